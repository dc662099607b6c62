"""What is particular to a sheet: bounds on a grid, answers marked, room for long words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from estimator.workbook.layout import Placed, form_rows
from estimator.workbook.sheets import LINE_HEIGHT

GOOD = {"bold": True, "font_color": "#1F5132", "bg_color": "#DCEBDD"}
BAD = {"bold": True, "font_color": "#8C1D18", "bg_color": "#F7DAD7"}


@dataclass(frozen=True)
class RowBound:
    """What the cells of one row of a grid take: whole numbers up to so many, and what is said."""

    most: int
    message: str


def bound_grid(
    sheet: Worksheet, grid: Placed, block: str, rows: Sequence[RowBound], title: str, error: str
) -> None:
    """Bound the cells of a grid's block, row by row. error: said where a number is beyond."""
    left = grid.columns[block]
    right = left + len(grid.table.axis) - 1
    for row, bound in enumerate(rows, start=grid.first):
        rule = {
            "validate": "integer", "criteria": "between", "minimum": 0, "maximum": bound.most,
            "input_title": title, "input_message": bound.message,
            "error_title": "Beyond the bounds", "error_message": error,
        }  # fmt: skip
        sheet.data_validation(row, left, row, right, rule)


def mark_words(
    book: Workbook,
    sheets: Mapping[str, Worksheet],
    marked: Iterable[tuple[Placed, str]],
    looks: Mapping[str, Mapping[str, Any]],
) -> None:
    """Give words a look wherever they stand in these columns, or fields of forms."""
    formats = {words: book.add_format(dict(look)) for words, look in looks.items()}
    for placed, name in marked:
        for words, look in formats.items():
            rule = {"type": "cell", "criteria": "==", "value": f'"{words}"', "format": look}
            sheets[placed.sheet].conditional_format(*_cells_of(placed, name), rule)


def _cells_of(placed: Placed, name: str) -> tuple[int, int, int, int]:
    if placed.table.kind == "form":
        row = form_rows(placed)[name]
        return row, 1, row, 1
    column = placed.columns[name]
    return placed.first, column, placed.last, column


def wrap(
    sheet: Worksheet,
    placed: Placed,
    rows: Sequence[Mapping[str, str]],
    names: Sequence[str],
    width: int = 25,
) -> None:
    """Long words of some columns in more lines, so that they can be read on a print."""
    for name in names:
        sheet.set_column(placed.columns[name], placed.columns[name], width)
    for row, words in enumerate(rows, start=placed.first):
        lines = max(-(-len(words[name]) // (width - 4)) for name in names)
        sheet.set_row(row, LINE_HEIGHT * lines + 2)
