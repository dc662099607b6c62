"""A pattern with positions: what to cut in which order, and where every piece lies.

x runs along the sheet's length, y across its width, from one corner of the whole sheet, trim
included. All lengths are Fractions in the caller's unit. The first cuts part the sheet into
sections, the second ones part a section into strips, the third ones part a strip into pieces;
a piece narrower than its strip is trimmed to width. With two stages there is one section and the
first cuts part it into strips. (Stages of a guillotine cut: Gilmore and Gomory, "Multistage cutting
stock problems of two and more dimensions", Operations Research 13 (1965), from memory.)
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from estimator.planner.columns import PatternColumn, SectionCut, StripCut
from estimator.planner.grid import FirstCut, Job, SheetGrid, usable
from estimator.planner.parts import exact

Cut = TypeVar("Cut")


@dataclass(frozen=True)
class Box:
    """A rectangle on the sheet: its corner nearest to the origin, and its sides."""

    x: Fraction
    y: Fraction
    length: Fraction
    width: Fraction

    @property
    def area(self) -> Fraction:
        return self.length * self.width


@dataclass(frozen=True)
class Piece:
    """A piece, or a pair of pieces yet to be parted by their shared rip, where it lies."""

    part: str
    box: Box
    turned: bool
    is_pair: bool
    trimmed: bool  # narrower than its strip: a last cut brings it to width


@dataclass(frozen=True)
class Strip:
    box: Box
    pieces: tuple[Piece, ...]


@dataclass(frozen=True)
class Section:
    box: Box
    strips: tuple[Strip, ...]


@dataclass(frozen=True)
class Pattern:
    """One way to cut one sheet. ``first_cut``: across the sheet's length, or along it."""

    stock: str
    length: Fraction
    width: Fraction
    trim: Fraction
    kerf: Fraction
    stages: int
    first_cut: FirstCut
    sections: tuple[Section, ...]
    yields: tuple[tuple[str, int], ...]  # (part, pieces), a pair counting two
    offcuts: tuple[Box, ...]  # remainders in which a part of the job would fit, largest first

    @property
    def use(self) -> float:
        """The share of the sheet's area that becomes parts."""
        cut = sum((p.box.area for p in pieces_of(self)), Fraction(0))
        return float(cut / (self.length * self.width))


def pieces_of(pattern: Pattern) -> Iterator[Piece]:
    """Every piece and pair, in cutting order."""
    for section in pattern.sections:
        for strip in section.strips:
            yield from strip.pieces


def placements(
    pattern: Pattern,
) -> list[tuple[str, Fraction, Fraction, Fraction, Fraction, bool, bool]]:
    """(part, x, y, length, width, turned, is_pair) of every piece and pair, in cutting order."""
    return [
        (p.part, p.box.x, p.box.y, p.box.length, p.box.width, p.turned, p.is_pair)
        for p in pieces_of(pattern)
    ]


def draw_up(job: Job, column: PatternColumn) -> Pattern:
    """The pattern of a column. Wide sections and strips come first, so that rests lie together."""
    grid = job.grids[column.grid]
    sheet = job.stock[column.stock]
    length, width = usable(sheet, job.trim)
    draft = _Draft(job, grid, length, width)
    sections = draft.sections(column)
    offcuts = tuple(sorted(draft.offcuts(sections), key=lambda b: (-b.area, b.x, b.y)))
    return Pattern(
        sheet.key,
        exact(sheet.length, sheet.key),
        exact(sheet.width, sheet.key),
        job.trim,
        job.kerf,
        3 if grid.sectioned else 2,
        grid.first_cut,
        sections,
        tuple((job.parts[part].key, pieces) for part, pieces in column.yields),
        offcuts,
    )


class _Draft:
    """Turns grid counts of one grid into boxes."""

    def __init__(self, job: Job, grid: SheetGrid, length: Fraction, width: Fraction) -> None:
        self.job = job
        self.grid = grid
        self.span, self.breadth = (length, width) if grid.span_is_length else (width, length)

    def box(self, along: Fraction, beside: Fraction, span: Fraction, breadth: Fraction) -> Box:
        """A box from its place and size along the span and the breadth."""
        trim = self.job.trim
        if self.grid.span_is_length:
            return Box(trim + along, trim + beside, span, breadth)
        return Box(trim + beside, trim + along, breadth, span)

    def sections(self, column: PatternColumn) -> tuple[Section, ...]:
        at = Fraction(0)
        found = []
        for cut in _largest_first([(c, c.span, n) for c, n in column.sections]):
            span = cut.span * self.grid.span.unit
            found.append(self.section(cut, at))
            at += span
        return tuple(found)

    def section(self, cut: SectionCut, at: Fraction) -> Section:
        span = cut.span * self.grid.span.unit - self.job.kerf
        beside = Fraction(0)
        strips = []
        for strip in _largest_first([(s, s.breadth, n) for s, n in cut.strips]):
            strips.append(self.strip(strip, at, beside, span))
            beside += strip.breadth * self.grid.breadth.unit
        if not self.grid.sectioned:
            span = self.span
        return Section(self.box(at, Fraction(0), span, self.breadth), tuple(strips))

    def strip(self, cut: StripCut, at: Fraction, beside: Fraction, span: Fraction) -> Strip:
        breadth = cut.breadth * self.grid.breadth.unit - self.job.kerf
        if not self.grid.sectioned:
            span = self.span
        box = self.box(at, beside, span, breadth)
        pieces = []
        for place in _largest_first([(p, self.grid.spans[p], n) for p, n in cut.contents]):
            shape = self.job.shapes[self.grid.shapes[place]]
            trimmed = self.grid.breadths[place] < cut.breadth
            size = self.box(at, beside, Fraction(0), Fraction(0))
            lies = Box(size.x, size.y, shape.length, shape.width)
            part = self.job.parts[shape.part].key
            pieces.append(Piece(part, lies, shape.turned, shape.pieces == 2, trimmed))
            at += self.grid.spans[place] * self.grid.span.unit
        return Strip(box, tuple(pieces))

    def offcuts(self, sections: Sequence[Section]) -> Iterator[Box]:
        """Remainders of sheet, sections and strips that could hold some shape of the job."""
        for box in self._remainders(sections):
            if any(
                s.length <= box.length and s.width <= box.width
                for s in (self.job.shapes[i] for i in self.grid.shapes)
            ):
                yield box

    def _remainders(self, sections: Sequence[Section]) -> Iterator[Box]:
        kerf, lengthwise = self.job.kerf, self.grid.span_is_length
        whole = self.box(Fraction(0), Fraction(0), self.span, self.breadth)
        if self.grid.sectioned:
            yield _beyond(whole, sections[-1].box, lengthwise, kerf)
        for section in sections:
            yield _beyond(section.box, section.strips[-1].box, not lengthwise, kerf)
            for strip in section.strips:
                yield _beyond(strip.box, strip.pieces[-1].box, lengthwise, kerf)


def _largest_first(counted: Sequence[tuple[Cut, int, int]]) -> Iterator[Cut]:
    for cut, _, times in sorted(counted, key=lambda item: -item[1]):
        for _ in range(times):
            yield cut


def _beyond(whole: Box, last: Box, along_x: bool, kerf: Fraction) -> Box:
    """What is left of a box beyond the last thing in it and the kerf that frees it."""
    if along_x:
        start = last.x + last.length + kerf
        return Box(start, whole.y, whole.x + whole.length - start, whole.width)
    start = last.y + last.width + kerf
    return Box(whole.x, start, whole.length, whole.y + whole.width - start)
