"""What the tool says on its sheets beside the cells of its tables: titles, headers, notes, advice.

The next version, which may say it in other words, knows by them what is the tool's and what a
person wrote beside it.
"""

from __future__ import annotations

from collections.abc import Mapping

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from estimator.workbook.layout import FORM_COLUMNS, Layout, Placed


def own_words(
    book: Workbook, sheets: Mapping[str, Worksheet], layout: Layout
) -> dict[str, set[str]]:
    """By sheet, all words and notes that were written so far outside of the tables' cells; below
    the last table of a sheet stands what changes with every workbook."""
    texts = {number: text for text, number in book.str_table.string_table.items()}
    placed = layout.sheets()
    return {
        name: {
            texts[cell.string]
            for row, cells in sheet.table.items()
            for column, cell in cells.items()
            if hasattr(cell, "string") and _is_beside(row, column, placed.get(name, []))
        }
        | {note.text for notes in sheet.comments.values() for note in notes.values()}
        for name, sheet in sheets.items()
    }


def _is_beside(row: int, column: int, placed: list[Placed]) -> bool:
    if placed and row > max(each.last for each in placed):
        return False
    return not any(_holds(each, row, column) for each in placed)


def _holds(placed: Placed, row: int, column: int) -> bool:
    """Whether it is a cell for values."""
    left, right = placed.left, placed.left + placed.width() - 1
    if placed.table.kind == "form":
        left = right = FORM_COLUMNS.index("value")
    return placed.first <= row <= placed.last and left <= column <= right
