"""What is particular to a sheet: bounds on a grid, answers marked, room for long words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from estimator.workbook.layout import Placed, form_rows
from estimator.workbook.page import Corners, Highlight, Look, Page, Validation, look
from estimator.workbook.widths import LINE_HEIGHT

GOOD = look(bold=True, font_color="#1F5132", bg_color="#DCEBDD")
BAD = look(bold=True, font_color="#8C1D18", bg_color="#F7DAD7")


@dataclass(frozen=True)
class RowBound:
    """What the cells of one row of a grid take: whole numbers up to so many, and what is said."""

    most: int
    message: str


def bound_grid(
    page: Page, grid: Placed, block: str, rows: Sequence[RowBound], title: str, error: str
) -> Page:
    """Bound the cells of a grid's block, row by row. error: said where a number is beyond."""
    left = grid.columns[block]
    right = left + len(grid.table.axis) - 1
    bounds = (
        Validation(
            (row, left, row, right),
            {
                "validate": "integer", "criteria": "between", "minimum": 0, "maximum": bound.most,
                "input_title": title, "input_message": bound.message,
                "error_title": "Beyond the bounds", "error_message": error,
            },
        )
        for row, bound in enumerate(rows, start=grid.first)
    )  # fmt: skip
    kept = (each for each in page.validations if each.area[0] != grid.first)
    return replace(page, validations=(*kept, *bounds))


def marked_words(
    marked: Iterable[tuple[Placed, str]], looks: Mapping[str, Look]
) -> Iterator[tuple[str, Highlight]]:
    """By sheet, how words look wherever they stand in these columns, or fields of forms."""
    for placed, name in marked:
        for words, mark in looks.items():
            yield placed.sheet, Highlight(_cells_of(placed, name), words, mark)


def _cells_of(placed: Placed, name: str) -> Corners:
    if placed.table.kind == "form":
        row = form_rows(placed)[name]
        return row, 1, row, 1
    column = placed.columns[name]
    return placed.first, column, placed.last, column


def wrapped(
    page: Page,
    placed: Placed,
    rows: Sequence[Mapping[str, str]],
    names: Sequence[str],
    width: int = 25,
) -> Page:
    """Long words of some columns in more lines, so that they can be read on a print."""
    heights = {
        row: LINE_HEIGHT * max(-(-len(words[name]) // (width - 4)) for name in names) + 2
        for row, words in enumerate(rows, start=placed.first)
    }
    widths = dict.fromkeys((placed.columns[name] for name in names), float(width))
    return page.under(Page(page.name, widths=widths, heights=heights))
