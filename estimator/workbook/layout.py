"""Where every table stands in the workbook: its sheet, its rows, its columns, its names.

A table of rows stands as title, remark, headers, units, rows, and an end row that is inside the
table's ranges, so that a row inserted above it is counted. A form stands downwards. Tables that
share a sheet stand below one another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from xlsxwriter.utility import xl_col_to_name, xl_rowcol_to_cell

from estimator.expressions.formula import ROW
from estimator.expressions.nodes import Column
from estimator.expressions.tables import Definition, Model, Table

TITLE_ROWS = 2
HEADER_ROWS = 2
GAP = 2
FORM_COLUMNS = ("label", "value", "unit", "key", "note")
SHEETS_TOP = 0


@dataclass(frozen=True)
class Spot:
    """What a cell of a table is for.

    column: the name of its column, or of a form's field. row: which row of data, from 0; None in a
    header and in the row that ends a table. key: in a grid's block, the key along its top.
    """

    table: str
    column: str
    row: int | None
    key: str = ""


@dataclass(frozen=True)
class Placed:
    """A table with its place. Rows and columns count from 0.

    top: the title's row. left: its first column. first: the first row of data. last: the end row,
    or a form's last field. columns: the column of each definition (of a grid's block its first).
    """

    table: Table
    sheet: str
    top: int
    left: int
    first: int
    last: int
    columns: Mapping[str, int]

    @property
    def header(self) -> int:
        """The row of the headers; units stand below it."""
        return self.first - HEADER_ROWS

    def cell_of_row(self, column: Column) -> str:
        """A column in the current row, the row left as a mark."""
        return f"{xl_col_to_name(self.columns[column.name])}{ROW}"

    def spot(self, row: int, column: int) -> Spot | None:
        """What the cell is for; None for one that is not of the table."""
        if self.table.kind == "form":
            names, at = list(self.table.definitions), row - self.first
            within = 0 <= at < len(names) and 0 <= column - self.left < len(FORM_COLUMNS)
            return Spot(self.table.name, names[at], 0) if within else None
        if not self.header <= row <= self.last:
            return None
        data = row - self.first if self.first <= row < self.last else None
        for name, left in self.columns.items():
            keys = self.table.axis if self.table.definitions[name].role == "block" else ("",)
            if left <= column < left + len(keys):
                return Spot(self.table.name, name, data, keys[column - left])
        return None

    def width(self) -> int:
        """How many columns the table takes."""
        if self.table.kind == "form":
            return len(FORM_COLUMNS)
        blocks = [each for each in self.table.definitions.values() if each.role == "block"]
        return len(self.columns) + len(blocks) * (len(self.table.axis) - 1)


@dataclass(frozen=True)
class Layout:
    """All tables of a model in their places."""

    placed: Mapping[str, Placed]

    def names(self) -> dict[str, str]:
        """Every defined name with the range or cell that it points to."""
        return {
            name: f"={quoted(placed.sheet)}!{where}"
            for placed in self.placed.values()
            for name, where in _names(placed)
        }

    def sheets(self) -> dict[str, list[Placed]]:
        """The tables by sheet, in the order of the sheets' first tables."""
        found: dict[str, list[Placed]] = {}
        for placed in self.placed.values():
            found.setdefault(placed.sheet, []).append(placed)
        return found


def quoted(sheet: str) -> str:
    """A sheet's name as a reference spells it."""
    return "'" + sheet.replace("'", "''") + "'"


def lay_out(model: Model, rows: Mapping[str, int]) -> Layout:
    """Places for all tables. rows: how many data rows each table has."""
    placed: dict[str, Placed] = {}
    for table in model:
        others = [each for each in placed.values() if each.sheet == table.sheet]
        top = max((each.last + 1 + GAP for each in others), default=SHEETS_TOP)
        left = 0
        if table.beside:
            top, left = others[-1].top, others[-1].left + others[-1].width() + 1
        placed[table.name] = _place(table, top, left, rows[table.name])
    return Layout(placed)


def _place(table: Table, top: int, left: int, rows: int) -> Placed:
    if table.kind == "form":
        first = top + TITLE_ROWS + 1
        end = first + len(table.definitions) - 1
        return Placed(table, table.sheet, top, left, first, end, {})
    first = top + TITLE_ROWS + HEADER_ROWS
    return Placed(table, table.sheet, top, left, first, first + rows, _columns(table, left))


def _columns(table: Table, left: int) -> dict[str, int]:
    columns: dict[str, int] = {}
    at = left
    for definition in sorted(table.definitions.values(), key=lambda each: each.aside):
        columns[definition.name] = at
        at += len(table.axis) if definition.role == "block" else 1
    return columns


def form_rows(placed: Placed) -> dict[str, int]:
    """The row of each field of a form."""
    return {name: placed.first + at for at, name in enumerate(placed.table.definitions)}


def _names(placed: Placed) -> list[tuple[str, str]]:
    table = placed.table
    if table.kind == "form":
        cells = [(f"{table.name}_{n}", area(r, 1, r, 1)) for n, r in form_rows(placed).items()]
        value, key = FORM_COLUMNS.index("value"), FORM_COLUMNS.index("key")
        ranges = [
            (f"{table.name}_value", area(placed.first, value, placed.last, value)),
            (f"{table.name}_key", area(placed.first, key, placed.last, key)),
        ]
        return cells + ranges
    return [
        (f"{table.name}_{each.name}", _column_area(placed, each))
        for each in table.definitions.values()
    ] + _axis_name(placed)


def _column_area(placed: Placed, definition: Definition) -> str:
    left = placed.columns[definition.name]
    right = left + (len(placed.table.axis) - 1 if definition.role == "block" else 0)
    return area(placed.first, left, placed.last, right)


def _axis_name(placed: Placed) -> list[tuple[str, str]]:
    blocks = [each for each in placed.table.definitions.values() if each.role == "block"]
    return [
        (
            f"{placed.table.name}_axis",
            area(
                placed.header,
                placed.columns[each.name],
                placed.header,
                placed.columns[each.name] + len(placed.table.axis) - 1,
            ),
        )
        for each in blocks
    ]


def area(first_row: int, first_column: int, last_row: int, last_column: int) -> str:
    """A rectangle, or a cell, as a name points to it."""
    start: str = xl_rowcol_to_cell(first_row, first_column, row_abs=True, col_abs=True)
    if (first_row, first_column) == (last_row, last_column):
        return start
    return f"{start}:{xl_rowcol_to_cell(last_row, last_column, row_abs=True, col_abs=True)}"
