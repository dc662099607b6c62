"""A workbook as it lies on disk: its defined names, and the cells that they point to."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from io import BytesIO
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils.cell import get_column_letter, range_boundaries
from openpyxl.workbook.workbook import Workbook

from estimator.problems import Problem, ProblemsFound
from estimator.workbook.archive import A_WORKBOOK, SAVE_AGAIN, Archive, check_archive

REFERENCE = re.compile(
    r"=?(?:'(?P<quoted>(?:[^']|'')+)'|(?P<bare>[^'!\[\]]+))!(?P<area>[$A-Z0-9:]+)"
)
MOST_ROWS, MOST_COLUMNS = 20_000, 500
"""Of one table; what is declared larger is a slip or an attack, and costs time to walk through."""


@dataclass(frozen=True)
class Area:
    """A rectangle of cells on a sheet. Rows and columns count from 1, the last ones included."""

    sheet: str
    top: int
    left: int
    bottom: int
    right: int

    @property
    def rows(self) -> range:
        """Its rows."""
        return range(self.top, self.bottom + 1)

    @property
    def columns(self) -> range:
        """Its columns."""
        return range(self.left, self.right + 1)

    def meets(self, other: Area) -> bool:
        """Whether the two share a cell."""
        return (
            self.sheet == other.sheet
            and max(self.top, other.top) <= min(self.bottom, other.bottom)
            and max(self.left, other.left) <= min(self.right, other.right)
        )

    def __str__(self) -> str:
        first = place(self.sheet, self.top, self.left)
        if (self.top, self.left) == (self.bottom, self.right):
            return first
        return f"{first}:{get_column_letter(self.right)}{self.bottom}"


def place(sheet: str, row: int, column: int) -> str:
    """A cell as messages name it: Counts!C9."""
    return f"{sheet}!{get_column_letter(column)}{row}"


@dataclass(frozen=True)
class Cell:
    """What a cell holds. formula: its text, "" for a typed cell; value: what it shows."""

    value: Any = None
    formula: str = ""
    is_error: bool = False


BLANK = Cell()
Position = tuple[str, int, int]


@dataclass(frozen=True)
class Stored:
    """The names with the areas they point to, what stands there, and merged areas.

    names: the text of each defined name. areas: those names that point to cells of the workbook.
    typed: the cells around them, of formulas only the text. properties: of the document, those
    that a program may set at will.
    """

    names: Mapping[str, str]
    areas: Mapping[str, Area]
    typed: Mapping[Position, Cell]
    merged: tuple[Area, ...]
    archive: Archive
    properties: Mapping[str, Any] = field(default_factory=dict)

    def cell(self, sheet: str, row: int, column: int) -> Cell:
        """A cell; blank where nothing stands."""
        typed = self.typed.get((sheet, row, column), BLANK)
        if not typed.formula:
            return typed
        shown = self._shown.get((sheet, row, column), BLANK)
        return Cell(shown.value, typed.formula, shown.is_error)

    @cached_property
    def _shown(self) -> Mapping[Position, Cell]:
        """What formulas show; the file is read again for it, as the reader gives one or the other.

        Read when first asked for: most workbooks have no formula where something is typed.
        """
        with opened(self.archive, shown=True) as book:
            return _cells(book, _boxes(self.areas.values()))


def read_stored(path: Path) -> Stored:
    """The workbook's names and what stands where they point to.

    Raises ProblemsFound if the file is no workbook, is damaged, or is unsafe to open.
    """
    archive = check_archive(path)
    with opened(archive, shown=False) as book:
        names = {name: each.attr_text or "" for name, each in book.defined_names.items()}
        areas = _areas(names, set(book.sheetnames))
        boxes = _boxes(areas.values())
        within = {name: area for name, area in areas.items() if _is_read(area, boxes)}
        said = {each.name: each.value for each in book.custom_doc_props.props}  # type: ignore[attr-defined]
        return Stored(names, within, _cells(book, boxes), _merged(archive), archive, said)


@contextmanager
def opened(archive: Archive, *, shown: bool) -> Iterator[Workbook]:
    """The workbook, with what its formulas show or with their text; its faults become problems."""
    with foreign_parts(archive), warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of extensions and print titles, which are not read
        book = load_workbook(
            BytesIO(archive.content), read_only=True, data_only=shown, keep_links=False
        )
        with closing(book):
            yield book


@contextmanager
def foreign_parts(archive: Archive) -> Iterator[None]:
    """While parts of the archive are read that any program may have written."""
    try:
        yield
    except ProblemsFound:
        raise
    except Exception as error:  # what a foreign part makes the reader raise is not foreseeable
        words = f"parts that do not fit together ({type(error).__name__}: {error})"
        raise ProblemsFound([Problem(archive.name, words, A_WORKBOOK, SAVE_AGAIN)]) from None


def _areas(names: Mapping[str, str], sheets: set[str]) -> dict[str, Area]:
    found = {name: area_of(text) for name, text in names.items()}
    return {name: area for name, area in found.items() if area and area.sheet in sheets}


def area_of(reference: str) -> Area | None:
    """The area that a name's text points to; None for a formula, a lost cell or a whole column."""
    parts = REFERENCE.fullmatch(reference)
    if parts is None:
        return None
    sheet = parts["quoted"].replace("''", "'") if parts["quoted"] else parts["bare"]
    return _rectangle(sheet, parts["area"].replace("$", ""))


def _rectangle(sheet: str, text: str) -> Area | None:
    try:
        left, top, right, bottom = range_boundaries(text)
    except ValueError:
        return None
    if left is None or top is None or right is None or bottom is None:
        return None
    return Area(sheet, top, left, bottom, right)


def is_too_large(area: Area) -> bool:
    """Whether the area is beyond what a table can take."""
    return len(area.rows) > MOST_ROWS or len(area.columns) > MOST_COLUMNS


def _boxes(areas: Iterable[Area]) -> dict[str, Area]:
    """Per sheet the rectangle around its areas, and the row below, where a person may type on."""
    boxes: dict[str, Area] = {}
    for area in areas:
        if not is_too_large(area):
            box = boxes.get(area.sheet, area)
            boxes[area.sheet] = Area(
                area.sheet,
                min(box.top, area.top),
                min(box.left, area.left),
                max(box.bottom, area.bottom + 1),
                max(box.right, area.right),
            )
    return {sheet: box for sheet, box in boxes.items() if not is_too_large(box)}


def _is_read(area: Area, boxes: Mapping[str, Area]) -> bool:
    """Whether the area's cells are read; one that is too large is kept, so that it can be said."""
    return area.sheet in boxes or is_too_large(area)


def _cells(book: Workbook, boxes: Mapping[str, Area]) -> dict[Position, Cell]:
    """What stands in the boxes."""
    return {
        (sheet, cell.row, cell.column): _cell(cell)
        for sheet, box in boxes.items()
        for row in book[sheet].iter_rows(box.top, box.bottom, box.left, box.right)
        for cell in row
        if cell.value is not None
    }


def _cell(cell: Any) -> Cell:
    """An array formula keeps its text in a field of its own."""
    if cell.data_type == "f":
        return Cell(None, str(getattr(cell.value, "text", cell.value)))
    return Cell(cell.value, "", cell.data_type == "e")


def _merged(archive: Archive) -> tuple[Area, ...]:
    found = (_rectangle(sheet, text) for sheet, texts in archive.merged.items() for text in texts)
    return tuple(area for area in found if area)
