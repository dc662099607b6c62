"""Where the records of a table stand: for each, the cell of every field, found by defined names."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.workbook import END
from estimator.workbook.stored import (
    MOST_COLUMNS,
    MOST_ROWS,
    Area,
    Position,
    Stored,
    is_too_large,
    place,
)
from estimator.workbook.typed import Said, is_blank

Positions = list[dict[str, Position]]
"""A record's fields with their cells, for each record in order."""

UNDO = "Undo what removed it, or go back to the revision before."


def form_positions(stored: Stored, table: str, fields: Sequence[str], said: Said) -> Positions:
    """The one record of a form; none, and said why, when a field's cell is lost."""
    areas = _areas(stored, table, fields, said)
    if areas is None:
        return []
    return [{name: (area.sheet, area.top, area.left) for name, area in areas.items()}]


def row_positions(stored: Stored, table: str, fields: Sequence[str], said: Said) -> Positions:
    """The records of a table: its rows, those left blank and the end row passed over."""
    areas = _areas(stored, table, fields, said)
    if areas is None or not _side_by_side(areas, table, said):
        return []
    first = next(iter(areas.values()))
    rows: Positions = [
        {name: (area.sheet, row, area.left) for name, area in areas.items()} for row in first.rows
    ]
    _say_what_stands_below(stored, first, said)
    return [row for row in rows if _holds_record(stored, row, said)]


def count_positions(stored: Stored, said: Said) -> Positions:
    """The records of the grid of room counts: its filled cells, row by row."""
    names = ("room_type", "rooms", "axis")
    areas = _areas(stored, "counts", names, said)
    if areas is None:
        return []
    types, block, axis = (areas[name] for name in names)
    if (types.sheet, types.rows) != (block.sheet, block.rows) or axis.columns != block.columns:
        said.problem(str(block), "a grid with gaps", "types, floors and counts in one grid", UNDO)
        return []
    _say_what_stands_below(stored, types, said)
    every = (
        {
            "room_type": (types.sheet, row, types.left),
            "floor": (axis.sheet, axis.top, column),
            "rooms": (block.sheet, row, column),
        }
        for row in block.rows
        for column in block.columns
    )
    return [each for each in every if not is_blank(stored.cell(*each["rooms"]))]


def _areas(stored: Stored, table: str, fields: Sequence[str], said: Said) -> dict[str, Area] | None:
    """The area of each field, or None when the table cannot be read, which is said."""
    names = {field: f"{table}_{field}" for field in fields}
    areas = {field: stored.areas[name] for field, name in names.items() if name in stored.areas}
    lost = [name for field, name in names.items() if field not in areas]
    if lost:
        found = ", ".join(f"{name} {stored.names.get(name, 'missing')}" for name in lost)
        expected = f"names that point to cells: {', '.join(lost)}"
        said.problem(f"table {table}", found, expected, UNDO)
    for field, area in areas.items():
        _say_what_is_large(names[field], area, said)
        _say_what_is_merged(stored, area, said)
    return None if lost or any(map(is_too_large, areas.values())) else areas


def _say_what_is_large(name: str, area: Area, said: Said) -> None:
    if is_too_large(area):
        most = f"at most {MOST_ROWS:,} rows and {MOST_COLUMNS:,} columns"
        said.problem(f"the name {name}", str(area), most, "Delete the rows that are not used.")


def _side_by_side(areas: dict[str, Area], table: str, said: Said) -> bool:
    """Whether the columns of a table still have the same rows, and are one cell wide."""
    extents = {(each.sheet, each.rows, len(each.columns)) for each in areas.values()}
    if len(extents) == 1 and extents.pop()[2] == 1:
        return True
    found = ", ".join(sorted({str(each) for each in areas.values()}))
    fix = "Insert and delete whole rows only. " + UNDO
    said.problem(f"the names {table}_…", found, "columns side by side, of the same rows", fix)
    return False


def _say_what_is_merged(stored: Stored, area: Area, said: Said) -> None:
    for merged in stored.merged:
        if merged.meets(area):
            fix = "Take the merge apart and type into each cell that it covers."
            said.problem(str(merged), "merged cells", "a cell for each value", fix)


def _holds_record(stored: Stored, row: dict[str, Position], said: Said) -> bool:
    """Whether something stands in the row; only the words of the end row may stand in that one."""
    filled = [each for each in row.values() if not is_blank(stored.cell(*each))]
    ends = [each for each in filled if stored.cell(*each).value == END]
    for each in filled if ends else ():
        if each not in ends:
            value = str(stored.cell(*each).value)
            fix = "Insert a row above and move the values up into it."
            said.problem(place(*each), value, f"nothing beside “{END}”", fix)
    return bool(filled) and not ends


def _say_what_stands_below(stored: Stored, column: Area, said: Said) -> None:
    below = (column.sheet, column.bottom + 1, column.left)
    if not is_blank(stored.cell(*below)):
        said.remark(place(*below), f"stands below “{END}” and is not read")
