"""A cutting pattern as a nest of counts, before it has positions: a column of the linear programme.

A pattern is a sheet's sections, each section's strips and each strip's shapes, in units of its
grid. What it yields is a count per part. Patterns of so many stages of edge-to-edge cuts: Gilmore
and Gomory, "Multistage cutting stock problems of two and more dimensions", Operations Research 13
(1965), from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np

from estimator.planner.grid import Ints, Job, SheetGrid

Contents = tuple[tuple[int, int], ...]  # (shape's place in the grid, copies), largest first


@dataclass(frozen=True, order=True)
class StripCut:
    """A strip of some breadth and the shapes cut from it, side by side along the span."""

    breadth: int
    contents: Contents


@dataclass(frozen=True, order=True)
class SectionCut:
    """A section of some span, and its strips."""

    span: int
    strips: tuple[tuple[StripCut, int], ...]


@dataclass(frozen=True)
class PatternColumn:
    """A way to cut one sheet: its grid and its sections, with how many of each."""

    grid: int
    stock: int
    sections: tuple[tuple[SectionCut, int], ...]
    yields: tuple[tuple[int, int], ...]  # (part, pieces)

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        # Asked for at every look into a pool, and long to work out.
        return hash((self.grid, self.stock, self.sections, self.yields))

    @cached_property
    def parts(self) -> Ints:
        """The parts it yields, as an index array."""
        return np.array([part for part, _ in self.yields], dtype=np.int64)

    @cached_property
    def pieces(self) -> Ints:
        """Pieces of each of ``parts``."""
        return np.array([pieces for _, pieces in self.yields], dtype=np.int64)


Cut = TypeVar("Cut", StripCut, SectionCut)


def counted(things: Iterable[Cut]) -> tuple[tuple[Cut, int], ...]:
    """Equal things with their number, in an order that does not depend on how they came."""
    return tuple(sorted(Counter(things).items(), reverse=True))


def make_strip(grid: SheetGrid, places: Iterable[int]) -> StripCut:
    """The strip that holds the shapes at these places of the grid."""
    contents = tuple(sorted(Counter(places).items()))
    return StripCut(max(grid.breadths[place] for place, _ in contents), contents)


def strip_span(grid: SheetGrid, strip: StripCut) -> int:
    """How much of the span a strip's shapes take."""
    return sum(grid.spans[place] * copies for place, copies in strip.contents)


def make_section(grid: SheetGrid, strips: Iterable[StripCut]) -> SectionCut:
    """The shortest section that holds these strips."""
    together = counted(strips)
    span = max(strip_span(grid, strip) for strip, _ in together)
    return SectionCut(span, together)


def make_column(job: Job, number: int, sections: Iterable[SectionCut]) -> PatternColumn:
    """The sheet that holds these sections, cut as grid ``number`` says."""
    grid = job.grids[number]
    together = counted(sections)
    yields: Counter[int] = Counter()
    for section, times in together:
        for part, pieces in yields_of(job, grid, section.strips).items():
            yields[part] += pieces * times
    return PatternColumn(number, grid.stock, together, tuple(sorted(yields.items())))


def yields_of(job: Job, grid: SheetGrid, strips: Iterable[tuple[StripCut, int]]) -> Counter[int]:
    """Pieces by part in these strips, each so many times."""
    yields: Counter[int] = Counter()
    for strip, many in strips:
        for place, copies in strip.contents:
            shape = job.shapes[grid.shapes[place]]
            yields[shape.part] += shape.pieces * copies * many
    return yields


def full_of(job: Job, number: int, place: int, most: int) -> PatternColumn:
    """As many of one shape as a sheet holds, though not more than ``most``."""
    grid = job.grids[number]
    along = min(most, grid.span.capacity // grid.spans[place])
    beside = min(-(-most // along), grid.breadth.capacity // grid.breadths[place])
    strip = make_strip(grid, [place] * along)
    return make_column(job, number, [make_section(grid, [strip] * beside)])
