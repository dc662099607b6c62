"""A pattern drawn to scale, as plain shapes that any renderer can paint.

Positions are in points of the drawing, from its upper left corner. The sheet's length, and with it
the grain, runs from left to right. What is not covered by a piece or an offcut is saw kerf, edge
trim or waste and keeps the ground's grey, so that kerfs show as gaps at their true width.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from estimator.planner.pattern import Box, Pattern, Piece, pieces_of
from estimator.planner.saw_cuts import tree_of
from estimator.project.lengths import LengthUnit, format_length, format_sides

WIDE, HIGH, MARGIN = 680.0, 440.0, 16.0
LARGEST, SMALLEST, SMALLEST_NUMBER = 11.0, 7.5, 6.0
LINE_HEIGHT, CLEAR = 1.2, 2.0
HATCH = 7.0


@dataclass(frozen=True)
class PieceLabel:
    """What is written into a piece; its number in the list beside the drawing where that is all
    that fits."""

    number: int
    name: str
    size: str


@dataclass(frozen=True)
class Area:
    """A filled rectangle; `sheet` is the grey ground, `paper` a clear place for words."""

    kind: Literal["sheet", "piece", "offcut", "paper"]
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Stroke:
    """A straight line: an offcut's hatching, the rip that a pair shares, a measure."""

    kind: Literal["hatch", "rip", "measure"]
    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True)
class Words:
    """A line of text around its middle; upright ones read from below."""

    text: str
    x: float
    y: float
    size: float
    upright: bool = False


Shape = Area | Stroke | Words


@dataclass(frozen=True)
class Drawing:
    """Shapes in the order in which they are painted."""

    width: float
    height: float
    shapes: tuple[Shape, ...]


def draw_pattern(
    pattern: Pattern, labels: Mapping[str, PieceLabel], unit: LengthUnit, wide: float = WIDE
) -> Drawing:
    """The whole sheet within `wide` points; measures of the first cuts stand at its edge."""
    across = pattern.first_cut == "across"
    left, top = (0.0, MARGIN) if across else (MARGIN, 0.0)
    scale = min((wide - left) / float(pattern.length), HIGH / float(pattern.width))
    to = Scale(scale, left, top)
    sheet = to.area("sheet", Box(pattern.trim * 0, pattern.trim * 0, pattern.length, pattern.width))
    shapes: list[Shape] = [sheet, *_measures(pattern, to, unit)]
    for box in pattern.offcuts:
        shapes += _offcut(to.area("offcut", box), format_sides(box.length, box.width, unit))
    for piece in pieces_of(pattern):
        shapes += _piece(piece, to.area("piece", piece.box), labels[piece.part])
    return Drawing(left + sheet.width, top + sheet.height, tuple(shapes))


@dataclass(frozen=True)
class Scale:
    """From the sheet's lengths to points of the drawing."""

    scale: float
    left: float
    top: float

    def area(self, kind: Literal["sheet", "piece", "offcut"], box: Box) -> Area:
        x, y = self.left + float(box.x) * self.scale, self.top + float(box.y) * self.scale
        return Area(kind, x, y, float(box.length) * self.scale, float(box.width) * self.scale)


def _measures(pattern: Pattern, to: Scale, unit: LengthUnit) -> Iterator[Shape]:
    """What the saw is set to for each first cut, along the edge where it begins."""
    for cut in tree_of(pattern).inside:
        area = to.area("piece", cut.box)
        text = format_length(cut.set_to, unit)
        middle = MARGIN / 2
        if pattern.first_cut == "across":
            x1, x2 = area.x, area.x + area.width
            yield Stroke("measure", x1, MARGIN - 3, x2, MARGIN - 3)
            if words_width(text, SMALLEST) <= area.width:
                yield Words(text, (x1 + x2) / 2, middle - 2, SMALLEST)
        else:
            y1, y2 = area.y, area.y + area.height
            yield Stroke("measure", MARGIN - 3, y1, MARGIN - 3, y2)
            if words_width(text, SMALLEST) <= area.height:
                yield Words(text, middle - 2, (y1 + y2) / 2, SMALLEST, upright=True)


def _piece(piece: Piece, area: Area, label: PieceLabel) -> Iterator[Shape]:
    yield area
    if piece.is_pair:
        yield _shared_rip(piece, area)
    name = f"2 × {label.name}" if piece.is_pair else label.name
    written = _fitted(area, [[name, label.size], [f"{name} {label.size}"]], SMALLEST)
    written = written or _fitted(area, [[str(label.number)]], SMALLEST_NUMBER)
    if piece.is_pair:
        yield from map(_ground, written)
    yield from written


def _shared_rip(piece: Piece, area: Area) -> Stroke:
    """Along the pieces' length, in the middle of the pair."""
    x, y = area.x + area.width / 2, area.y + area.height / 2
    if piece.turned:
        return Stroke("rip", x, area.y, x, area.y + area.height)
    return Stroke("rip", area.x, y, area.x + area.width, y)


def _offcut(area: Area, size: str) -> Iterator[Shape]:
    yield area
    yield from _hatching(area)
    written = _fitted(area, [[f"offcut {size}"], ["offcut", size], [size]], SMALLEST)
    yield from map(_ground, written)
    yield from written


def _hatching(area: Area) -> Iterator[Stroke]:
    """Slanting lines x + y = so far, cut off at the sides of the rectangle."""
    so_far = HATCH
    while so_far < area.width + area.height:
        x1, x2 = min(so_far, area.width), max(0.0, so_far - area.height)
        y1, y2 = so_far - x1, so_far - x2
        yield Stroke("hatch", area.x + x1, area.y + y1, area.x + x2, area.y + y2)
        so_far += HATCH


# --- Words that fit -----------------------------------------------------------------------------


def _fitted(area: Area, choices: list[list[str]], smallest: float) -> list[Words]:
    """The first choice of lines that fits the area, lying before upright; nothing if none does."""
    for lines in choices:
        for upright in (False, True):
            along, beside = (area.height, area.width) if upright else (area.width, area.height)
            size = _largest_size(lines, along - 2 * CLEAR, beside - CLEAR)
            if size >= smallest:
                return _lines(area, lines, size, upright)
    return []


def _largest_size(lines: list[str], along: float, beside: float) -> float:
    """The largest size of letters at which all lines fit, LARGEST at most."""
    widest = max(words_width(line, 1) for line in lines)
    return min(LARGEST, along / widest, beside / (LINE_HEIGHT * len(lines)))


def _lines(area: Area, lines: list[str], size: float, upright: bool) -> list[Words]:
    """The lines around the middle of the area."""
    x, y = area.x + area.width / 2, area.y + area.height / 2
    step = size * LINE_HEIGHT
    offsets = [(at - (len(lines) - 1) / 2) * step for at in range(len(lines))]
    return [
        Words(line, x + offset * upright, y + offset * (not upright), size, upright)
        for line, offset in zip(lines, offsets, strict=True)
    ]


def _ground(words: Words) -> Area:
    """A clear place behind words that would stand on lines."""
    along, beside = words_width(words.text, words.size) + 2, words.size * LINE_HEIGHT
    width, height = (beside, along) if words.upright else (along, beside)
    return Area("paper", words.x - width / 2, words.y - height / 2, width, height)


def words_width(text: str, size: float) -> float:
    """An upper estimate of a line's width: which sans serif face will be there is not known."""
    return size * sum(map(_letter_width, text))


NARROW = frozenset(" .,:;'’|!ijlIftr()[]/")


def _letter_width(letter: str) -> float:
    """In ems, as wide as the widest of the common faces has it (DejaVu Sans, measured)."""
    if unicodedata.east_asian_width(letter) in "WF":
        return 1.05
    if letter in NARROW:
        return 0.42
    if letter in "mwMW@%—":
        return 1.02
    return 0.85 if letter.isupper() or not letter.isascii() else 0.64
