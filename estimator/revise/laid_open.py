"""A workbook laid open: every cell that says something, with its look, the notes, the widths."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from openpyxl.utils.datetime import to_excel

from estimator.formats.description import Description
from estimator.revise.looks import is_bare, look_of, marks, theme_colours
from estimator.revise.parts import SheetParts, sheet_parts
from estimator.revise.places import Ground, stored_ground
from estimator.workbook.additions import Look
from estimator.workbook.as_written import AS_WRITTEN
from estimator.workbook.history import NAMES as PAGE_NAMES
from estimator.workbook.stored import (
    MOST_COLUMNS,
    MOST_ROWS,
    Area,
    Position,
    Stored,
    opened,
)
from estimator.workbook.write import CUT_PLAN, WELCOME


@dataclass(frozen=True)
class Written:
    """A cell as it was read. Rows and columns count from 1.

    value: of a formula what it shows. is_array: a formula over an area, or another odd one.
    """

    row: int
    column: int
    value: Any
    formula: str
    look: Look
    is_array: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands in it."""
        return self.value is None and not self.formula

    @property
    def is_bare(self) -> bool:
        """Whether nothing can be seen of it."""
        return self.is_empty and is_bare(self.look)

    @property
    def words(self) -> str:
        """What a person would say stands there."""
        return self.formula or str(self.value)


@dataclass(frozen=True)
class Book:
    """The whole workbook. cells: by sheet. covered: the cells of the tool's tables and pages.

    hidden: sheets that are not shown.
    """

    stored: Stored
    ground: Ground
    cells: Mapping[str, Sequence[Written]]
    parts: Mapping[str, SheetParts]
    covered: Sequence[Area]
    hidden: frozenset[str]

    def is_ours(self, sheet: str) -> bool:
        """Whether the tool wrote the sheet."""
        return sheet in self.ground.sheets or sheet in (WELCOME, CUT_PLAN, AS_WRITTEN)

    @property
    def own(self) -> list[str]:
        """The sheets of the person's own."""
        return [name for name in self.cells if not self.is_ours(name)]

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

    @cached_property
    def words(self) -> Mapping[Position, str]:
        """What stands in each cell that is not empty."""
        return {
            (sheet, cell.row, cell.column): cell.words
            for sheet, cells in self.cells.items()
            for cell in cells
            if not cell.is_empty
        }

    @cached_property
    def marks(self) -> Mapping[Position, Look]:
        """How each cell is marked by colour and weight."""
        return {
            (sheet, cell.row, cell.column): marks(cell.look)
            for sheet, cells in self.cells.items()
            for cell in cells
        }

    @cached_property
    def notes(self) -> Mapping[Position, str]:
        """The words of each note."""
        return {
            (sheet, row, column): words
            for sheet, parts in self.parts.items()
            for row, column, words in parts.notes
        }


def laid_open(stored: Stored, description: Description) -> Book:
    """description: says which tables the workbook has."""
    theme = theme_colours(stored.archive)
    with (
        opened(stored.archive, shown=False) as book,
        opened(stored.archive, shown=True) as shown,
    ):
        cells = {s.title: list(_written(s, shown[s.title], theme)) for s in book.worksheets}
        hidden = frozenset(s.title for s in book.worksheets if s.sheet_state != "visible")
    names = description.names() | set(PAGE_NAMES)
    covered = [area for name, area in stored.areas.items() if name in names]
    ground = stored_ground(stored, description.as_model())
    return Book(stored, ground, cells, sheet_parts(stored.archive), covered, hidden)


def _written(sheet: Any, shown: Any, theme: tuple[str, ...]) -> Iterator[Written]:
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
            if not made.is_bare:
                yield made


def _cell(cell: Any, shown: Any, look: Look) -> Written:
    at = cell.row, cell.column
    if cell.data_type == "f":
        is_text = isinstance(cell.value, str)
        text = cell.value if is_text else f"={getattr(cell.value, 'text', '') or ''}"
        return Written(*at, _plain(shown), text.replace("==", "=", 1), look, not is_text)
    return Written(*at, _plain(cell.value), "", look)


def _plain(value: Any) -> Any:
    """A day or a time as the number that it is in a cell."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    number: float = to_excel(value)  # type: ignore[no-untyped-call]
    return number
