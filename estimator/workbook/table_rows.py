"""The rows of every table as they stand in a workbook, found by its description: typed and planned.

What a person typed is a fault where it cannot be read; what the tool laid out or planned and is
lost since is said, and stays blank until the sheets are planned again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from estimator.formats.description import ColumnAbout, TableAbout
from estimator.project.lengths import LengthUnit
from estimator.project.rows import Entry
from estimator.workbook.origin import Origin
from estimator.workbook.positions import (
    Positions,
    count_positions,
    form_positions,
    row_positions,
)
from estimator.workbook.stored import Position, Stored, place
from estimator.workbook.typed import Said, typed_value

LARGEST = 10**12
"""Of what the planner wrote; what is typed is held to its own bounds."""


def rows_as_stored(stored: Stored, origin: Origin, said: Said) -> dict[str, list[Entry]]:
    """By table; each row with what is typed, laid out and planned in it."""
    tables = origin.description.tables
    typed_in = {name: each for name, each in tables.items() if each.of_role("input", "block")}
    positions = {name: _positions(name, each, stored, said) for name, each in typed_in.items()}
    unit = _unit(positions.get("project", []), stored)
    typed = {
        name: [_typed(row, about, unit, stored, said) for row in positions[name]]
        for name, about in typed_in.items()
    }
    for name, about in tables.items():
        if name not in positions:
            positions[name] = _laid_out_positions(name, about, stored)
            typed[name] = [Entry(f"table {name}", {}) for _ in positions[name]]
    return {
        name: _together(typed[name], _laid_out(name, about, positions[name], stored, said))
        for name, about in tables.items()
    }


def _together(typed: Sequence[Entry], laid_out: Sequence[dict[str, Any]]) -> list[Entry]:
    pairs = zip(typed, laid_out, strict=True)
    return [replace(entry, fields={**entry.fields, **more}) for entry, more in pairs]


# --- What was typed ------------------------------------------------------------------------------


def _positions(table: str, about: TableAbout, stored: Stored, said: Said) -> Positions:
    if about.kind == "grid":
        return count_positions(stored, said)
    find = form_positions if about.kind == "form" else row_positions
    return find(stored, table, about.of_role("input"), said)


def _unit(facts: Positions, stored: Stored) -> LengthUnit:
    """The project's unit of length; inches while its cell is lost or wrong, which is said later."""
    return "mm" if facts and stored.cell(*facts[0]["unit"]).value == "mm" else "in"


def _typed(
    row: Mapping[str, Position], about: TableAbout, unit: LengthUnit, stored: Stored, said: Said
) -> Entry:
    places = {name: place(*position) for name, position in row.items()}
    fields = {
        name: typed_value(stored.cell(*at), _column(about, name), unit, places[name], said)
        for name, at in row.items()
    }
    return Entry(next(iter(places.values())), fields, places)


def _column(about: TableAbout, name: str) -> ColumnAbout:
    """A column; of a grid also what stands along its top."""
    return about.columns.get(name) or ColumnAbout("input", name.capitalize(), "text")


# --- What the tool laid out and planned ----------------------------------------------------------


def _laid_out_names(about: TableAbout) -> list[str]:
    return about.of_role("label", "planned")


def _laid_out_positions(table: str, about: TableAbout, stored: Stored) -> Positions:
    """The rows of a table in which nothing is typed."""
    names = [name for name in _laid_out_names(about) if f"{table}_{name}" in stored.areas]
    if not names:
        return []
    find = form_positions if about.kind == "form" else row_positions
    return find(stored, table, names, Said())


def _laid_out(
    table: str, about: TableAbout, rows: Positions, stored: Stored, said: Said
) -> list[dict[str, Any]]:
    """Of each row what the tool wrote into it."""
    columns = {
        name: _cells_of(
            f"{table}_{name}", about.columns[name], about.kind == "form", rows, stored, said
        )
        for name in _laid_out_names(about)
    }
    return [{name: cells[at] for name, cells in columns.items()} for at in range(len(rows))]


def _cells_of(
    name: str, column: ColumnAbout, is_form: bool, rows: Positions, stored: Stored, said: Said
) -> list[Any]:
    area = stored.areas.get(name)
    if area is None:
        said.remark(f"The name {name}", "points nowhere; plan again to have its column back")
        return [None] * len(rows)
    tops = [area.top if is_form else next(iter(row.values()))[1] for row in rows]
    return [_planned(column, (area.sheet, top, area.left), stored, said) for top in tops]


def _planned(column: ColumnAbout, where: Position, stored: Stored, said: Said) -> Any:
    """What stands in a planned cell; what is not of its kind counts as nothing, and is said."""
    value = stored.cell(*where).value
    if can_stand(column, value):
        return value
    said.remark(place(*where), f"holds {value!r} where a planned value stood; plan again")
    return None


def can_stand(column: ColumnAbout, value: Any) -> bool:
    """Whether a planned cell can hold the value: nothing, or words or a number as its column is."""
    if value is None or column.holds == "text":
        return value is None or isinstance(value, str)
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= LARGEST
