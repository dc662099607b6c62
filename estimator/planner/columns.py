"""A cutting pattern as a nest of counts, before it has positions.

A column is a sheet's sections, each section's strips and each strip's shapes, on the grid of its
frame. What it yields is a count per part.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np

from estimator.planner.grid import Frame, Ints, Job, Steps, Whole

Contents = tuple[tuple[int, int], ...]  # (shape's place in the frame, copies), largest first


@dataclass(frozen=True)
class StripCut:
    """A strip of some breadth and the shapes cut from it, side by side along the span."""

    breadth: int
    contents: Contents


@dataclass(frozen=True)
class SectionCut:
    """A section of some span, and its strips."""

    span: int
    strips: tuple[tuple[StripCut, int], ...]


@dataclass(frozen=True)
class Column:
    """One sheet cut: its frame and its sections, with how many of each."""

    frame: int
    stock: int
    sections: tuple[tuple[SectionCut, int], ...]
    yields: tuple[tuple[int, int], ...]  # (part, pieces)

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        # Asked for at every look into a pool, and long to work out.
        return hash((self.frame, self.stock, self.sections, self.yields))

    @cached_property
    def parts(self) -> Ints:
        """The parts it yields, as an index array."""
        return np.array([part for part, _ in self.yields], dtype=np.int64)

    @cached_property
    def pieces(self) -> Ints:
        """Pieces of each of ``parts``."""
        return np.array([pieces for _, pieces in self.yields], dtype=np.int64)


Cut = TypeVar("Cut")


def counted(things: Iterable[Cut]) -> tuple[tuple[Cut, int], ...]:
    """Equal things with their number, in an order that does not depend on how they came."""
    counts = Counter(things)
    return tuple(sorted(counts.items(), key=lambda item: repr(item[0]), reverse=True))


def make_strip(frame: Frame, places: Iterable[int]) -> StripCut:
    """The strip that holds the shapes at these places of the frame."""
    contents = tuple(sorted(Counter(places).items()))
    return StripCut(max(frame.breadths[place] for place, _ in contents), contents)


def strip_span(frame: Frame, strip: StripCut) -> int:
    """How much of the span a strip's shapes take."""
    return sum(frame.spans[place] * copies for place, copies in strip.contents)


def make_section(frame: Frame, strips: Iterable[StripCut]) -> SectionCut:
    """The shortest section that holds these strips."""
    together = counted(strips)
    span = max(strip_span(frame, strip) for strip, _ in together)
    return SectionCut(span, together)


def make_column(job: Job, number: int, sections: Iterable[SectionCut]) -> Column:
    """The sheet that holds these sections, cut as frame ``number`` says."""
    frame = job.frames[number]
    together = counted(sections)
    yields: Counter[int] = Counter()
    for section, times in together:
        for part, pieces in yields_of(job, frame, section.strips).items():
            yields[part] += pieces * times
    return Column(number, frame.stock, together, tuple(sorted(yields.items())))


def yields_of(job: Job, frame: Frame, strips: Iterable[tuple[StripCut, int]]) -> Counter[int]:
    """Pieces by part in these strips, each so many times."""
    yields: Counter[int] = Counter()
    for strip, many in strips:
        for place, copies in strip.contents:
            shape = job.shapes[frame.shapes[place]]
            yields[shape.part] += shape.pieces * copies * many
    return yields


def full_of(job: Job, number: int, place: int, most: int) -> Column:
    """As many of one shape as a sheet holds, though not more than ``most``."""
    frame = job.frames[number]
    along = min(most, frame.span.capacity // frame.spans[place])
    beside = min(-(-most // along), frame.breadth.capacity // frame.breadths[place])
    strip = make_strip(frame, [place] * along)
    return make_column(job, number, [make_section(frame, [strip] * beside)])


def stretch(values: Whole, steps: Steps, value: Whole | int) -> None:
    """Let any number of copies of a thing worth ``value`` join what each point holds, in place.

    ``values`` stands along the points; further axes are jobs done side by side. Copies double
    (1, 2, 4, ...).
    """
    for power, (start, left) in enumerate(steps):
        gain = values.take(left, axis=0)
        gain += value if power == 0 else value << power
        rest = values[start:]
        np.maximum(rest, gain, out=rest)
