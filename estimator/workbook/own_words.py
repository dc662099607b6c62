"""What the tool itself says on its sheets, beside the cells of their tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from estimator.workbook.layout import FORM_COLUMNS, Placed
from estimator.workbook.page import Page


def own_words(pages: Iterable[Page]) -> dict[str, set[str]]:
    """By sheet, all words and notes outside of the tables' cells; below the last table of a sheet
    stands what changes with every workbook."""
    return {
        page.name: {
            cell.value
            for cell in page.cells
            if isinstance(cell.value, str)
            and cell.value
            and not cell.formula
            and _is_beside(cell.row, cell.column, page.tables)
        }
        | {note.words for note in page.notes}
        for page in pages
    }


def _is_beside(row: int, column: int, placed: Sequence[Placed]) -> bool:
    if placed and row > max(each.last for each in placed):
        return False
    return not any(_holds(each, row, column) for each in placed)


def _holds(placed: Placed, row: int, column: int) -> bool:
    """Whether it is a cell for values."""
    left, right = placed.left, placed.left + placed.width() - 1
    if placed.table.kind == "form":
        left = right = FORM_COLUMNS.index("value")
    return placed.first <= row <= placed.last and left <= column <= right
