"""A workbook laid open: its sheets as pages, with every cell that says something."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from openpyxl.utils.datetime import to_excel
from openpyxl.utils.escape import unescape

from estimator.estimate import Estimate
from estimator.revise.looks import is_bare, look_of, theme_colours
from estimator.revise.parts import SheetParts, sheet_parts
from estimator.revise.places import Ground, stored_ground
from estimator.workbook.as_written import AS_WRITTEN
from estimator.workbook.book import CUT_PLAN, WELCOME
from estimator.workbook.history import NAMES as PAGE_NAMES
from estimator.workbook.page import Cell, Look, Page
from estimator.workbook.stored import (
    MOST_COLUMNS,
    MOST_ROWS,
    Area,
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
    covered: Sequence[Area]

    def is_ours(self, sheet: str) -> bool:
        """Whether the tool wrote the sheet."""
        return sheet in self.ground.sheets or sheet in (WELCOME, CUT_PLAN, AS_WRITTEN)

    @property
    def own(self) -> list[str]:
        """The sheets of the person's own."""
        return [name for name in self.pages if not self.is_ours(name)]

    def covers(self, position: Position) -> bool:
        """Whether the cell belongs to a table or a page of the tool."""
        return position in self._covered

    @cached_property
    def _covered(self) -> frozenset[Position]:
        return frozenset(
            (area.sheet, row, column)
            for area in self.covered
            for row in area.rows
            for column in area.columns
        )


def laid_open(stored: Stored, made: Estimate) -> LaidOpen:
    """made: what says which tables the workbook has."""
    theme, parts = theme_colours(stored.archive), sheet_parts(stored.archive)
    with (
        opened(stored.archive, shown=False) as book,
        opened(stored.archive, shown=True) as shown,
    ):
        pages = {
            sheet.title: _page(sheet, shown[sheet.title], parts[sheet.title], theme)
            for sheet in book.worksheets
        }
    names = {f"{t.name}_{n}" for t in made.model for n in (*t.definitions, "value", "key", "axis")}
    covered = [area for name, area in stored.areas.items() if name in names | set(PAGE_NAMES)]
    return LaidOpen(stored, stored_ground(stored, made.model), pages, parts, covered)


def _page(sheet: Any, shown: Any, parts: SheetParts, theme: tuple[str, ...]) -> Page:
    return Page(
        sheet.title,
        cells=tuple(_cells(sheet, shown, theme)),
        notes=tuple(parts.notes),
        widths=parts.widths,
        heights=parts.heights,
        hidden=sheet.sheet_state != "visible",
    )


def _cells(sheet: Any, shown: Any, theme: tuple[str, ...]) -> Iterator[Cell]:
    """Every cell of a sheet within the bounds of what is read, but for those that say nothing."""
    for each in (sheet, shown):
        each.reset_dimensions()
    looks: dict[Any, Look] = {}
    bounds = {"max_row": MOST_ROWS, "max_col": MOST_COLUMNS}
    for row, values in zip(sheet.iter_rows(**bounds), shown.iter_rows(**bounds), strict=False):
        for cell, value in zip(row, values, strict=False):
            style = getattr(cell, "_style_id", None)
            if style is None:  # the reader's mark for no cell at all
                continue
            if style not in looks:
                looks[style] = look_of(cell, theme)
            made = _cell(cell, value.value, looks[style])
            if not (made.is_empty and is_bare(made.look)):
                yield made


def _cell(cell: Any, shown: Any, look: Look) -> Cell:
    row, column = cell.row - 1, cell.column - 1
    if cell.data_type != "f":
        return Cell(row, column, _plain(cell.value), "", look)
    if isinstance(cell.value, str):
        return Cell(row, column, _plain(shown), cell.value.replace("==", "=", 1), look)
    text = (getattr(cell.value, "text", "") or "").removeprefix("=")
    return Cell(row, column, _plain(shown), f"{{={text}}}", look)


def _plain(value: Any) -> Any:
    """Words as they are meant; a day or a time as the number that it is in a cell."""
    if isinstance(value, str):
        return unescape(value)
    if value is None or isinstance(value, bool | int | float):
        return value
    number: float = to_excel(value)  # type: ignore[no-untyped-call]
    return number
