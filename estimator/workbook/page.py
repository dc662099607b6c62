"""A workbook as plain data: its pages with their cells, notes, widths, pictures and charts.

Pages are composed from an estimate (`book.py`), looked up by whoever wants to know what a sheet
says, and turned into a file in one place (`write.py`). Rows and columns count from 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from estimator.workbook.layout import Placed, Spot

Look = tuple[tuple[str, Any], ...]
"""Properties of a format, as the file writer names them, in the order of their names."""
Corners = tuple[int, int, int, int]
"""Top, left, bottom and right of an area, the last ones included."""


def look(**properties: Any) -> Look:
    """A look by its properties."""
    return tuple(sorted(properties.items()))


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in a cell.

    value: nothing, words, a number, true or false; of a formula what it shows, nothing when that
    has to be calculated anew. link: the cell of this workbook that its words lead to, such as
    'Counts'!A1.
    """

    row: int
    column: int
    value: Any = None
    formula: str = ""
    look: Look = ()
    link: str = ""

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands in it."""
        return self.value in (None, "") and not self.formula

    @property
    def words(self) -> str:
        """What a person would say stands there: the formula, or the value to fifteen digits."""
        if self.formula or isinstance(self.value, bool) or not isinstance(self.value, int | float):
            return self.formula or str(self.value)
        return f"{self.value:.15g}"


@dataclass(frozen=True)
class Note:
    """A note on a cell. tall: as a share of a program's usual height. ground: its colour."""

    row: int
    column: int
    words: str
    tall: float = 0.9
    ground: str = ""


@dataclass(frozen=True)
class Picture:
    """A PNG picture whose upper left corner is that of a cell. width: as shown, in dots."""

    row: int
    column: int
    png: bytes
    width: float
    name: str
    description: str

    @property
    def scale(self) -> float:
        """Of its own size, which a PNG file states up front."""
        return self.width / int.from_bytes(self.png[16:20], "big")

    @property
    def height(self) -> float:
        """As shown, in dots."""
        return int.from_bytes(self.png[20:24], "big") * self.scale


@dataclass(frozen=True)
class Series:
    """What a chart draws: words beside numbers. look: options, as the file writer names them."""

    sheet: str
    words: Corners
    numbers: Corners
    look: Mapping[str, Any]


@dataclass(frozen=True)
class Chart:
    """A chart whose upper left corner lies so many dots right of a cell's.

    kind: "bar" or "column". size: width and height in dots. keeps_size: also where its cells are
    made wider. Axes and legend hold options, as the file writer names them.
    """

    row: int
    column: int
    kind: str
    series: tuple[Series, ...]
    title: str
    size: tuple[int, int]
    legend: Mapping[str, Any]
    x_axis: Mapping[str, Any]
    y_axis: Mapping[str, Any]
    from_left: int = 0
    is_stacked: bool = False
    shows_folded: bool = False
    keeps_size: bool = False
    description: str = ""


@dataclass(frozen=True)
class Validation:
    """What the cells of an area accept. rule: options, as the file writer names them."""

    area: Corners
    rule: Mapping[str, Any]


@dataclass(frozen=True)
class Highlight:
    """How those cells of an area look in which these words stand."""

    area: Corners
    words: str
    look: Look


@dataclass(frozen=True)
class PrintSetup:
    """How a sheet is printed.

    pages: how many wide and how many high it is fitted to, 0 for as many as it takes. repeated:
    the first and the last row of the headers on every page. repeats_first_column: likewise.
    """

    paper: int
    footer: str
    pages: tuple[int, int]
    is_landscape: bool
    repeated: tuple[int, int] | None = None
    repeats_first_column: bool = False


@dataclass(frozen=True)
class Page:
    """A sheet. Of two cells, or two notes, in one place the later one stands.

    widths: of columns, in characters; heights: of rows, in points; 0 hides. folded: columns that
    are folded away. merged: areas that are one cell. tables: those that stand on it. frozen: the
    first row and column that move. allowed: what its protection lets a person do; None leaves it
    unprotected.
    """

    name: str
    cells: tuple[Cell, ...] = ()
    notes: tuple[Note, ...] = ()
    widths: Mapping[int, float] = field(default_factory=dict)
    heights: Mapping[int, float] = field(default_factory=dict)
    folded: frozenset[int] = frozenset()
    merged: tuple[Corners, ...] = ()
    pictures: tuple[Picture, ...] = ()
    charts: tuple[Chart, ...] = ()
    validations: tuple[Validation, ...] = ()
    highlights: tuple[Highlight, ...] = ()
    tables: tuple[Placed, ...] = ()
    frozen: tuple[int, int] | None = None
    printed: PrintSetup | None = None
    allowed: Mapping[str, bool] | None = None
    tab_colour: str = ""
    has_gridlines: bool = True
    hidden: bool = False

    @cached_property
    def by_place(self) -> Mapping[tuple[int, int], Cell]:
        """The cells by row and column."""
        return {(each.row, each.column): each for each in self.cells}

    @cached_property
    def notes_by_place(self) -> Mapping[tuple[int, int], Note]:
        """The notes by row and column."""
        return {(each.row, each.column): each for each in self.notes}

    def cell(self, row: int, column: int) -> Cell:
        """What stands in a cell; a bare one where nothing does."""
        return self.by_place.get((row, column)) or Cell(row, column)

    def shown_width(self, column: int) -> float | None:
        """A column's width in characters, 0 when it is not shown; None for the usual one."""
        return 0.0 if column in self.folded else self.widths.get(column)

    def spot(self, row: int, column: int) -> Spot | None:
        """The table, column and row that a cell belongs to; None outside of tables."""
        found = (each.spot(row, column) for each in self.tables)
        return next((each for each in found if each is not None), None)

    def under(self, other: Page) -> Page:
        """This page with what another says laid over it; how it is shown stays."""
        return replace(
            self,
            cells=self.cells + other.cells,
            notes=self.notes + other.notes,
            widths={**self.widths, **other.widths},
            heights={**self.heights, **other.heights},
            folded=self.folded | other.folded,
            merged=self.merged + other.merged,
            pictures=self.pictures + other.pictures,
            charts=self.charts + other.charts,
            validations=self.validations + other.validations,
            highlights=self.highlights + other.highlights,
        )


@dataclass(frozen=True)
class Book:
    """A workbook: its pages in order, its defined names, and what its properties say.

    names: with the area that each points to. on_top: the page that is shown when it is opened.
    properties: further ones of the document, by name.
    """

    pages: tuple[Page, ...]
    names: Mapping[str, str]
    title: str
    comments: str
    on_top: str
    properties: Mapping[str, str | float] = field(default_factory=dict)

    @cached_property
    def by_name(self) -> Mapping[str, Page]:
        """The pages by their names."""
        return {each.name: each for each in self.pages}

    def __getitem__(self, name: str) -> Page:
        return self.by_name[name]
