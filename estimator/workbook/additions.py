"""What a workbook holds beyond its tables: what a person added, carried on, and its history.

Plain data, handed to `write_workbook` beside the estimate. None of it is read back as input.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import accumulate
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from estimator.workbook.cells import write_blank, write_formula, write_truth, write_value
from estimator.workbook.styles import Styles

Look = tuple[tuple[str, Any], ...]
"""Properties of a format, as the file writer names them, in the order of their names."""
_NOTE = {"x_scale": 1.6, "y_scale": 0.9, "author": ""}


@dataclass(frozen=True)
class OwnCell:
    """A cell that a person wrote. Rows and columns count from 0.

    value: nothing, words, a number, true or false; of a formula what it shows, "" when that has
    to be calculated anew.
    """

    row: int
    column: int
    value: Any
    formula: str = ""
    look: Look = ()


@dataclass(frozen=True)
class Note:
    """A note on a cell."""

    row: int
    column: int
    words: str


@dataclass(frozen=True)
class Added:
    """What a person added to one sheet, the tool's or their own.

    widths: of columns, in characters; heights: of rows, in points; 0 hides. merged: top, left,
    bottom, right. hidden: whether the sheet itself is.
    """

    sheet: str
    cells: tuple[OwnCell, ...] = ()
    notes: tuple[Note, ...] = ()
    widths: Mapping[int, float] = field(default_factory=dict)
    heights: Mapping[int, float] = field(default_factory=dict)
    merged: tuple[tuple[int, int, int, int], ...] = ()
    hidden: bool = False


@dataclass(frozen=True)
class History:
    """How a revision came from the workbook before it, to be shown on the sheet Changes.

    is_as_written: whether it starts from that workbook as it was written, not as it was found.
    start: the total then. steps: of the price walk, each with its name, what it holds and its
    amount. changes: part of the price, table, row, field, before, after. said: of what was not
    carried over or was read in another way: where it stood, what it is, its words.
    """

    before: str
    after: str
    is_as_written: bool
    start: Decimal
    steps: tuple[tuple[str, str, Decimal], ...]
    changes: tuple[tuple[str, ...], ...]
    said: tuple[tuple[str, str, str], ...]

    @property
    def totals(self) -> tuple[Decimal, ...]:
        """The total before, and after each step."""
        return tuple(accumulate((amount for _, _, amount in self.steps), initial=self.start))


@dataclass(frozen=True)
class Additions:
    """All of it. own: sheets of the person's own. on_ours: by the name of a sheet of the tool."""

    own: tuple[Added, ...] = ()
    on_ours: Mapping[str, Added] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    history: History | None = None

    def widths(self, sheet: str) -> Mapping[int, float]:
        """The widths that a person gave the columns of a sheet of the tool."""
        return self.on_ours[sheet].widths if sheet in self.on_ours else {}


NOTHING = Additions()


def write_own_sheets(book: Workbook, additions: Additions, styles: Styles) -> None:
    """The person's own sheets behind the tool's, and their names."""
    for added in additions.own:
        sheet = book.add_worksheet(added.sheet)
        write_added(sheet, added, styles)
        for column, width in added.widths.items():
            sheet.set_column(column, column, width or None, None, {"hidden": not width})
        for row, height in added.heights.items():
            sheet.set_row(row, height or None, None, {"hidden": not height})
        if added.hidden:
            sheet.hide()
    for name, where in additions.names.items():
        book.define_name(name, where)


def write_added(sheet: Worksheet, added: Added, styles: Styles) -> None:
    """The person's cells and notes on a sheet."""
    for area in added.merged:
        sheet.merge_range(*area, "", styles.of())
    for cell in added.cells:
        _write_cell(sheet, cell, styles)
    for note in added.notes:
        sheet.write_comment(note.row, note.column, note.words, _NOTE)


def _write_cell(sheet: Worksheet, cell: OwnCell, styles: Styles) -> None:
    style, at = styles.of(**dict(cell.look)), (cell.row, cell.column)
    if cell.formula:
        write_formula(sheet, *at, cell.formula, style, None if cell.value == "" else cell.value)
    elif cell.value is None:
        write_blank(sheet, *at, style)
    elif isinstance(cell.value, bool):
        write_truth(sheet, *at, cell.value, style)
    else:
        write_value(sheet, *at, cell.value, style)
