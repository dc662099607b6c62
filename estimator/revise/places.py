"""Where a cell of one workbook stands in another: by the rows and columns of the table beside it.

A table's rows are known by their keys, its columns by their names. A cell above, below or beside a
table keeps its distance from it. All rows and columns count from 1.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from estimator.estimate import Estimate
from estimator.expressions.tables import Model, Table
from estimator.project.records import RECORDS
from estimator.revise.changes import WITHOUT_KEY
from estimator.workbook import END
from estimator.workbook.layout import HEADER_ROWS, TITLE_ROWS, lay_out
from estimator.workbook.stored import Area, Position, Stored, area_of
from estimator.workbook.tables import row_count

RowName = tuple[str, ...]
"""What a row of a table is known by; a field's name in a form."""
Cells = Callable[[str, str], Iterable[Any]]
"""The cells of a column of a table, or of its axis."""
HEAD, FORM_HEAD = TITLE_ROWS + HEADER_ROWS, TITLE_ROWS + 1
"""How many rows of words stand above the first row of a table, and of a form."""


@dataclass(frozen=True)
class Standing:
    """A table as it stands on a sheet.

    columns: left and right of each of its columns by name, and of each floor in a grid. rows: by
    what they are known by. bottom: the row that ends the table, or a form's last field.
    """

    sheet: str
    top: int
    bottom: int
    columns: Mapping[str, tuple[int, int]]
    rows: Mapping[RowName, int]
    is_form: bool = False

    def is_head(self, row: int, column: int) -> bool:
        """Whether the tool's words stand there: above the rows, and beside what a form holds."""
        if self.is_form:  # labels stand before the values, notes behind the names
            within = self.top - FORM_HEAD <= row <= self.bottom
            return within and self.left - 1 <= column <= self.right + 1
        return self.top - HEAD <= row < self.top and self.left <= column <= self.right

    @cached_property
    def names(self) -> Mapping[int, RowName]:
        """What each row is known by."""
        return {row: name for name, row in self.rows.items()}

    @cached_property
    def left(self) -> int:
        """Its first column."""
        return min(left for left, _ in self.columns.values())

    @cached_property
    def right(self) -> int:
        """Its last column."""
        return max(right for _, right in self.columns.values())

    def row_in(self, other: Standing, row: int) -> int | None:
        """The other table's row for a row at this one; None when it has none."""
        if row < self.top:
            return other.top - (self.top - row)
        if row >= self.bottom and row not in self.names:
            return other.bottom + (row - self.bottom)
        return other.rows.get(self.names.get(row, ()))

    def column_in(self, other: Standing, column: int) -> int | None:
        """The other table's column for a column at this one; None when it has none."""
        within = [name for name, (left, right) in self.columns.items() if left <= column <= right]
        for name in within:
            if name in other.columns:
                return other.columns[name][0]
        if within:
            return None
        before = [(right, name) for name, (_, right) in self.columns.items() if right < column]
        if not before:
            return other.left - (self.left - column)
        edge, name = max(before)
        return other.columns[name][1] + (column - edge) if name in other.columns else None


@dataclass(frozen=True)
class Ground:
    """All tables of a workbook where they stand."""

    tables: Mapping[str, Standing]

    @cached_property
    def sheets(self) -> frozenset[str]:
        """The sheets that hold a table."""
        return frozenset(each.sheet for each in self.tables.values())

    @cached_property
    def by_sheet(self) -> Mapping[str, Mapping[str, Standing]]:
        """The tables of each sheet."""
        found: dict[str, dict[str, Standing]] = {}
        for name, each in self.tables.items():
            found.setdefault(each.sheet, {})[name] = each
        return found

    def is_head(self, sheet: str, row: int, column: int) -> bool:
        """Whether the tool's words on a table stand in a cell."""
        return any(e.is_head(row, column) for e in self.tables.values() if e.sheet == sheet)

    def nearest(self, sheet: str, row: int, column: int) -> str | None:
        """The table at which a cell stands: the one in its rows, else the one above it."""
        here = self.by_sheet.get(sheet, {})
        beside = {n: e for n, e in here.items() if e.top - HEAD <= row <= e.bottom}
        above = {n: e for n, e in here.items() if e.bottom < row}
        if beside:
            found = [(e.left, n) for n, e in beside.items() if e.left <= column]
            return max(found)[1] if found else min((e.left, n) for n, e in beside.items())[1]
        if above:
            lowest = max(each.bottom for each in above.values())
            return next(name for name, each in above.items() if each.bottom == lowest)
        return min(here, key=lambda name: here[name].top, default=None)


def moved(was: Ground, now: Ground, position: Position) -> Position | None:
    """Where the cell stands now; None when what it stands beside is gone."""
    name = was.nearest(*position)
    if name is None or name not in now.tables:
        return None
    before, after = was.tables[name], now.tables[name]
    row, column = before.row_in(after, position[1]), before.column_in(after, position[2])
    if row is None or column is None or min(row, column) < 1:
        return None
    return after.sheet, row, column


# --- From a workbook on disk, or one to be written ------------------------------------------------


def stored_ground(stored: Stored, model: Model) -> Ground:
    """The tables of a workbook as it lies on disk. Those whose names are lost are left out."""

    def cells(table: str, name: str) -> Iterator[Any]:
        area = stored.areas[f"{table}_{name}"]
        for row in area.rows:
            for column in area.columns:
                yield stored.cell(area.sheet, row, column).value

    return _ground(model, stored.areas, cells)


def planned_ground(made: Estimate) -> Ground:
    """The tables of a workbook that is yet to be written."""
    rows = {table.name: row_count(table, made.typed[table.name]) for table in made.model}
    texts = lay_out(made.model, rows).names()
    areas = {name: area for name, text in texts.items() if (area := area_of(text))}

    def cells(table: str, name: str) -> Iterable[Any]:
        return made.model[table].axis if name == "axis" else made.typed[table][name]

    return _ground(made.model, areas, cells)


def _ground(model: Model, areas: Mapping[str, Area], cells: Cells) -> Ground:
    tables = {}
    for table in model:
        own = {n: a for n in _names(table) if (a := areas.get(f"{table.name}_{n}"))}
        if own and len({each.sheet for each in own.values()}) == 1:
            make = _form if table.kind == "form" else _rows
            tables[table.name] = make(table, own, cells)
    return Ground(tables)


def _names(table: Table) -> list[str]:
    more = {"form": ["value", "key"], "grid": ["axis"]}.get(table.kind, [])
    return [*table.definitions, *more]


def _form(table: Table, own: Mapping[str, Area], cells: Cells) -> Standing:
    fields = {name: area for name, area in own.items() if name in table.definitions}
    rows: dict[RowName, int] = {(name,): area.top for name, area in fields.items()}
    edges = {name: (own[name].left, own[name].right) for name in ("value", "key") if name in own}
    sheet = next(iter(own.values())).sheet
    return Standing(sheet, min(rows.values()), max(rows.values()), edges, rows, is_form=True)


def _rows(table: Table, own: Mapping[str, Area], cells: Cells) -> Standing:
    columns = {n: (area.left, area.right) for n, area in own.items() if n in table.definitions}
    if "axis" in own:
        blocks = [each.name for each in table.definitions.values() if each.role == "block"]
        left = own["axis"].left
        columns = {n: edges for n, edges in columns.items() if n not in blocks}
        columns |= {
            f"floor {key}".casefold(): (left + at, left + at)
            for at, key in enumerate(cells(table.name, "axis"))
        }
    first = own[next(name for name in own if name in table.definitions)]
    known_by = [name for name in known_by_of(table) if name in own]
    texts = zip(*(map(_text, cells(table.name, name)) for name in known_by), strict=False)
    rows = dict(_numbered(first.top, texts))
    return Standing(first.sheet, first.top, first.bottom, columns, rows)


def _numbered(top: int, names: Iterable[RowName]) -> Iterator[tuple[RowName, int]]:
    """Rows by their names; a name that comes again gets its number besides."""
    seen: Counter[RowName] = Counter()
    for row, name in enumerate(names, start=top):
        if any(name) and name[0] != END:
            seen[name] += 1
            yield (*name, *([f"({seen[name]})"] if seen[name] > 1 else [])), row


def known_by_of(table: Table) -> Sequence[str]:
    """The columns by which a table's rows are known."""
    if "key" in table.definitions:
        return ("key",)
    everything = {record.table: tuple(record.columns()) for record in RECORDS}
    named = {**WITHOUT_KEY, "counts": ("room_type",)}
    laid_out = tuple(
        each.name for each in table.definitions.values() if each.role in ("label", "planned")
    )
    return named.get(table.name) or everything.get(table.name) or laid_out


def _text(value: Any) -> str:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:g}"
    return "" if value is None else str(value).strip().casefold()
