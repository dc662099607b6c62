"""A workbook laid open: its sheets as pages, with every cell that says something."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from openpyxl.utils.datetime import to_excel

from estimator.formats.description import Description
from estimator.revise.looks import is_bare, look_of, theme_colours
from estimator.revise.parts import SheetParts, sheet_parts
from estimator.revise.places import Ground, stored_ground
from estimator.workbook.archive import Archive
from estimator.workbook.as_written import AS_WRITTEN
from estimator.workbook.book import CUT_PLAN, WELCOME
from estimator.workbook.history import NAMES as PAGE_NAMES
from estimator.workbook.page import Cell, Look, Page
from estimator.workbook.stored import (
    MOST_COLUMNS,
    MOST_ROWS,
    Position,
    Stored,
    opened,
)


@dataclass(frozen=True)
class LaidOpen:
    """The whole workbook.

    pages: its sheets by name, with cells, notes, widths and heights; a formula over an area stands
    in braces. parts: what else is on each. covered: the cells of the tool's tables and pages.
    """

    stored: Stored
    ground: Ground
    pages: Mapping[str, Page]
    parts: Mapping[str, SheetParts]
    covered: frozenset[Position]

    def is_ours(self, sheet: str) -> bool:
        """Whether the tool wrote the sheet."""
        return sheet in self.ground.sheets or sheet in (WELCOME, CUT_PLAN, AS_WRITTEN)

    @property
    def own(self) -> list[str]:
        """The sheets of the person's own."""
        return [name for name in self.pages if not self.is_ours(name)]


def laid_open(stored: Stored, description: Description) -> LaidOpen:
    """description: says which tables the workbook has."""
    theme, parts = theme_colours(stored.archive), sheet_parts(stored.archive)
    with opened(stored.archive, shown=False) as book:
        pages = {each.title: _page(each, parts[each.title], theme) for each in book.worksheets}
    covered = frozenset(_covered(stored, description))
    pages |= _with_values(pages, covered, stored.archive)
    return LaidOpen(stored, stored_ground(stored, description.as_model()), pages, parts, covered)


def _covered(stored: Stored, description: Description) -> Iterator[Position]:
    """The cells of the tables and of the page on the sheet Changes."""
    for name in stored.areas.keys() & (description.names() | set(PAGE_NAMES)):
        area = stored.areas[name]
        yield from ((area.sheet, row, column) for row in area.rows for column in area.columns)


def _page(sheet: Any, parts: SheetParts, theme: tuple[str, ...]) -> Page:
    return Page(
        sheet.title,
        cells=tuple(_cells(sheet, theme)),
        notes=tuple(parts.notes),
        widths=parts.widths,
        heights=parts.heights,
        hidden=sheet.sheet_state != "visible",
    )


def _cells(sheet: Any, theme: tuple[str, ...]) -> Iterator[Cell]:
    """Every cell of a sheet within the bounds of what is read, but for those that say nothing."""
    looks: dict[Any, Look] = {}
    for cell in _within_bounds(sheet):
        style = getattr(cell, "_style_id", None)
        if style is None:  # the reader's mark for no cell at all
            continue
        if style not in looks:
            looks[style] = look_of(cell, theme)
        made = _cell(cell, looks[style])
        if not (made.is_empty and is_bare(made.look)):
            yield made


def _within_bounds(sheet: Any) -> Iterator[Any]:
    sheet.reset_dimensions()
    for row in sheet.iter_rows(max_row=MOST_ROWS, max_col=MOST_COLUMNS):
        yield from row


def _cell(cell: Any, look: Look) -> Cell:
    row, column = cell.row - 1, cell.column - 1
    if cell.data_type != "f":
        return Cell(row, column, _plain(cell.value), "", look)
    if isinstance(cell.value, str):
        return Cell(row, column, None, cell.value.replace("==", "=", 1), look)
    text = (getattr(cell.value, "text", "") or "").removeprefix("=")
    return Cell(row, column, None, f"{{={text}}}", look)


def _with_values(
    pages: Mapping[str, Page], covered: frozenset[Position], archive: Archive
) -> dict[str, Page]:
    """Those pages that have formulas of a person's, with what they show.

    The file is read again for it, since the reader gives one or the other.
    """
    asked = {name for name, page in pages.items() if _has_own_formulas(page, covered)}
    if not asked:
        return {}
    with opened(archive, shown=True) as shown:
        return {name: _with_values_of(shown[name], pages[name]) for name in asked}


def _has_own_formulas(page: Page, covered: frozenset[Position]) -> bool:
    return any(
        each.formula and (page.name, each.row + 1, each.column + 1) not in covered
        for each in page.cells
    )


def _with_values_of(shown: Any, page: Page) -> Page:
    values = {
        (each.row - 1, each.column - 1): _plain(each.value)
        for each in _within_bounds(shown)
        if each.value is not None
    }
    cells = (
        replace(each, value=values.get((each.row, each.column))) if each.formula else each
        for each in page.cells
    )
    return replace(page, cells=tuple(cells))


def _plain(value: Any) -> Any:
    """A day or a time as the number that it is in a cell."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    number: float = to_excel(value)  # type: ignore[no-untyped-call]
    return number
