"""The most valuable pattern, exactly, when every piece has a price.

Three knapsacks one inside the other. A strip of breadth b: shapes no broader than b fill its span.
A section of span s: strips fill its breadth. A sheet: sections fill its span. Prices are whole
numbers (a sheet's cost is about 2**28), so that sums are exact and the best value is proven; in 32
bits, half the memory and a third of the time, unless a sheet could be worth more than they hold.

Sections are the heavy part. Each has a quick upper limit, the best value per breadth of any strip
times the whole breadth, and only sections that could still lie in an improving sheet are worked
out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from estimator.planner.columns import (
    Column,
    SectionCut,
    StripCut,
    make_column,
    make_section,
    make_strip,
    stretch,
)
from estimator.planner.grid import Axis, Frame, Ints, Job, Steps, Whole, whole_axis

BATCH = 256  # sections worked out side by side for a proof
ONE_IN = 8  # one in so many span points is hopeful at a time, if that is more than a batch
BLOCK = 256  # rough limits worked out side by side
RUN = 8  # span points that share a rough limit
SIDE_BY_SIDE = 32  # sections worked out in one table
CELLS = 1024  # of the breadth, on coarse grids
HOPEFUL = 16  # sections tried because their upper limit is high
NEAR = 24  # sections to remember because they came near
TRACE = 25_000  # points that take as long as the rest of pricing does per shape
AT_ONCE = 4  # points of neighbouring sections that take as long as one
OFTEN = 48  # sections remembered

Floats = NDArray[np.float64]


class Care(IntEnum):
    """How thoroughly to price."""

    COARSE = 0
    OK = 1
    PROOF = 2


@dataclass(frozen=True)
class Found:
    """What pricing a frame gives: improving columns and, if proven, a value no sheet exceeds."""

    columns: tuple[Column, ...]
    most: int | None


class Ladder:
    """The breadth of a frame and how its points are reached by strips of each level."""

    def __init__(self, axis: Axis, sizes: Ints) -> None:
        self.axis = axis
        self.sizes = sizes
        self.steps: list[Steps] = [axis.steps(int(size)) for size in sizes]


class Pricer:
    """Prices one frame. Holds its steps, which depend on sizes only."""

    def __init__(self, job: Job, number: int) -> None:
        self.job = job
        self.number = number
        self.frame: Frame = job.frames[number]
        self.spent = 0  # points looked at, for bounding the work
        self.lately: dict[int, None] = {}  # span points of use in earlier pricings
        frame = self.frame
        shapes = [job.shapes[i] for i in frame.shapes]
        self.part = np.array([shape.part for shape in shapes])
        self.pieces = np.array([shape.pieces for shape in shapes])
        self.levels = np.array(sorted(set(frame.breadths)), dtype=np.int64)
        self.at_level = [
            [place for place, breadth in enumerate(frame.breadths) if breadth == level]
            for level in self.levels
        ]
        self.areas = np.multiply(frame.spans, frame.breadths, dtype=np.float64)
        by_span = {span: frame.span.steps(span) for span in set(frame.spans)}
        self.along: list[Steps] = [by_span[span] for span in frame.spans]
        self.own: list[int] = frame.span.floor[list(frame.spans)].tolist()
        self.fine = Ladder(frame.breadth, self.levels)
        self.coarse = self._coarse()

    def _coarse(self) -> Ladder:
        """Breadths rounded up to a coarse grid: patterns that fit there fit, and come quickly."""
        capacity = self.frame.breadth.capacity
        if len(self.frame.breadth.points) <= CELLS:
            return self.fine
        sizes = -(-self.levels * CELLS // capacity)
        return Ladder(whole_axis(self.frame.breadth.unit, sizes.tolist(), CELLS), sizes)

    @cached_property
    def complement(self) -> Ints:
        """For each span point, the point that holds what the sheet has left beside it."""
        span = self.frame.span
        return span.floor[span.capacity - span.points]

    def price(self, prices: Ints, limit: int, care: Care, wanted: int = 32) -> Found:
        """Columns worth more than ``limit``, the best first.

        With ``Care.PROOF``, no columns means that there are none; without, only sections that have
        been of use before and a few hopeful ones are looked at, on the coarse or the fine grid.
        """
        self.spent += len(self.part) * (len(self.frame.span.points) + TRACE)
        values = self._narrowed(prices[self.part] * self.pieces)
        tracer = Tracer(self, values, self.strip_values(values))
        if self.frame.sectioned:
            return self._price_sections(tracer, limit, care, wanted)
        whole = np.array([len(self.frame.span.points) - 1])
        worth = self.section_values(tracer.strips[:, whole], self.fine)
        tracer.keep(whole, worth, self.fine)
        most = int(worth[-1, 0])
        return Found((tracer.column(whole),) if most > limit else (), most)

    def _narrowed(self, values: Ints) -> Whole:
        """The values in 32 bits if a sheet full of the densest shape can be worth no more."""
        frame = self.frame
        densest = float((values / self.areas).max(initial=0.0))
        most = densest * frame.span.capacity * frame.breadth.capacity
        return values.astype(np.int32) if most < 2**31 else values

    def strip_values(self, values: Whole) -> Whole:
        """Best value of a strip, by its breadth (level) and its span (point)."""
        table = np.zeros((len(self.levels), len(self.frame.span.points)), dtype=values.dtype)
        for level, places in enumerate(self.at_level):
            row = table[level]
            if level:
                row[:] = table[level - 1]
            for place in places:
                if values[place] > row[self.own[place]]:  # else shorter shapes are worth as much
                    stretch(row, self.along[place], int(values[place]))
        return table

    def section_values(self, strips: Whole, ladder: Ladder) -> Whole:
        """Best value of a section by breadth point, a column for each column of ``strips``."""
        self.spent += strips.size * len(ladder.axis.points) // AT_ONCE
        blocks = [
            _section_block(np.ascontiguousarray(strips[:, start : start + SIDE_BY_SIDE]), ladder)
            for start in range(0, max(1, strips.shape[1]), SIDE_BY_SIDE)
        ]
        return np.hstack(blocks) if len(blocks) > 1 else blocks[0]

    def sheet_values(self, sections: Ints, useful: Ints) -> Ints:
        """Best value of a sheet's first stretch, by span point, given each section's value.

        ``useful``: the points at which a section is worth trying. A sheet has at most one section
        longer than half of it, so that only the shorter ones need to repeat.
        """
        span = self.frame.span
        points = span.points[: len(sections)]
        room = int(points[-1])
        best = np.maximum.accumulate(sections)
        for at in useful[2 * points[useful] <= room]:
            if best[at] > sections[at]:
                continue  # shorter sections together are worth more
            size, copies = int(points[at]), 1
            while copies * size <= room:
                start = int(np.searchsorted(points, copies * size))
                gain = best[span.floor[points[start:] - copies * size]]
                gain += copies * int(sections[at])
                np.maximum(best[start:], gain, out=best[start:])
                copies *= 2
        return best

    def _price_sections(self, tracer: Tracer, limit: int, care: Care, wanted: int) -> Found:
        """Work sections out, the most promising first, until no other can lie in a good sheet."""
        upper = self._density_limits(tracer.strips)
        exact = np.zeros(len(upper), dtype=np.int64)
        if care != Care.PROOF:
            ladder = self.coarse if care == Care.COARSE else self.fine
            at = np.union1d(self._hopeful(upper, exact, limit)[1][:HOPEFUL], list(self.lately))
            self._work_out(tracer, ladder, at.astype(np.int64), exact, upper)
            return Found(self._columns(tracer, exact, limit, wanted), None)
        np.minimum(upper, self._rough_limits(tracer.strips), out=upper)
        columns: tuple[Column, ...] = ()
        while True:
            ceiling, at = self._hopeful(upper, exact, limit)
            if columns or not len(at):
                return Found(columns, ceiling)
            self._work_out(tracer, self.fine, at, exact, upper)
            columns = self._columns(tracer, exact, limit, wanted)

    def _work_out(self, tracer: Tracer, ladder: Ladder, at: Ints, exact: Ints, upper: Ints) -> None:
        """Values of the sections at these span points, exact on the fine ladder."""
        worth = self.section_values(tracer.strips[:, at], ladder)
        tracer.keep(at, worth, ladder)
        exact[at] = upper[at] = worth[-1]

    def _hopeful(self, upper: Ints, exact: Ints, limit: int) -> tuple[int, Ints]:
        """What no sheet is worth more than, and the best sections that may bring one there."""
        # A shorter section is never worth more than a longer one.
        np.minimum.accumulate(upper[::-1], out=upper[::-1])
        ceiling = self.sheet_values(upper, _rises(upper))
        # A section worth nothing is settled too: its sheet is looked at through the others.
        through = np.where((exact > 0) | (upper == 0), 0, upper + ceiling[self.complement])
        unsettled = np.flatnonzero(through > limit)
        most = max(BATCH, len(through) // ONE_IN)
        at = np.sort(unsettled[np.argsort(-through[unsettled], kind="stable")[:most]])
        # Of more than a batch every few: the longest of neighbours limits the others.
        stride = max(1, -(-len(at) // BATCH))
        return int(ceiling[-1]), at[::-1][::stride][::-1]

    def _density_limits(self, strips: Whole) -> Ints:
        """What no section is worth more than: its densest strip over the whole breadth."""
        density = (strips / self.levels[:, None]).max(axis=0)
        limit = density * self.frame.breadth.capacity
        return np.where(limit > 0, limit * (1 + 1e-12) + 1, 0).astype(np.int64)

    def _rough_limits(self, strips: Whole) -> Ints:
        """The same, sharper: with breadths rounded down to a coarse grid, in short floats.

        Only every few span points: a section is worth no more than the next longer one looked at.
        """
        capacity = self.frame.breadth.capacity
        cells = min(capacity, max(CELLS, -(-capacity // int(self.levels[0]))))
        sizes = self.levels * cells // capacity
        unit = max(1, int(strips.max(initial=0)))
        at = np.unique(np.append(np.arange(RUN - 1, strips.shape[1], RUN), strips.shape[1] - 1))
        limits = np.empty(len(at))
        self.spent += len(sizes) * cells * len(at) // AT_ONCE
        for start in range(0, len(limits), BLOCK):
            block = (strips[:, at[start : start + BLOCK]] / unit).astype(np.float32)
            limits[start : start + BLOCK] = _rough_knapsack(block, sizes, cells)
        whole = (limits * (1 + 1e-5) * unit).astype(np.int64) + 1
        return whole[np.searchsorted(at, np.arange(strips.shape[1]))]

    def rough_values(self, strips: Whole, cells: int) -> Ints:
        """About what the best section is worth, for each column: breadths rounded to ``cells``."""
        capacity = self.frame.breadth.capacity
        cells = min(cells, capacity)  # then nothing is rounded
        sizes = np.maximum(1, (self.levels * cells + capacity // 2) // capacity)
        unit = max(1, int(strips.max(initial=0)))
        worth = _rough_knapsack((strips / unit).astype(np.float32), sizes, cells)
        return (worth * unit).astype(np.int64)

    def _columns(self, tracer: Tracer, exact: Ints, limit: int, wanted: int) -> tuple[Column, ...]:
        """The best sheets through different sections, down to the limit."""
        best = self.sheet_values(exact, _rises(exact))
        through = np.where(exact > 0, exact + best[self.complement], 0)
        order = np.argsort(-through, kind="stable")
        found: dict[Column, None] = {}
        used: set[int] = set()
        for at in order[: int((through > limit).sum())].tolist():
            if len(found) >= wanted:
                break
            if at not in used:
                points = tracer.sheet(exact, best, at)
                used.update(points)
                found[tracer.column(points)] = None
        self._remember([int(at) for at in order[:NEAR] if exact[at] > 0], found)
        return tuple(found)

    def _remember(self, near: list[int], columns: Iterable[Column]) -> None:
        """Keep the span points that came nearest, and those of the columns, for the next time."""
        points = self.frame.span.points
        spans = [cut.span for column in columns for cut, _ in column.sections]
        used: list[int] = np.searchsorted(points, spans).tolist()
        for point in near[::-1] + used:
            self.lately.pop(point, None)
            self.lately[point] = None
        while len(self.lately) > OFTEN:
            del self.lately[next(iter(self.lately))]


class Tracer:
    """Finds out which cuts made a value, by looking for the term that attains it exactly."""

    def __init__(self, pricer: Pricer, values: Whole, strips: Whole) -> None:
        self.pricer = pricer
        self.values = values
        self.strips = strips
        self.worth: dict[int, tuple[Whole, Ladder]] = {}
        self.sections: dict[int, SectionCut] = {}
        self.cut: dict[tuple[int, int], StripCut] = {}
        self.spans = np.array(pricer.frame.spans)
        self.breadths = np.array(pricer.frame.breadths)

    def keep(self, at: Ints, worth: Whole, ladder: Ladder) -> None:
        """Remember section values by breadth point, for tracing."""
        for i, point in enumerate(at):
            self.worth[int(point)] = worth[:, i], ladder

    def sheet(self, exact: Ints, best: Ints, first: int) -> list[int]:
        """The span points of the sections of the best sheet that has one at ``first``."""
        span = self.pricer.frame.span
        points = [first]
        left = int(self.pricer.complement[first])
        while best[left] > 0:
            rest = span.floor[np.maximum(span.points[left] - span.points[: left + 1], 0)]
            hits = np.flatnonzero(
                (exact[: left + 1] + best[rest] == best[left]) & (exact[: left + 1] > 0)
            )
            points.append(int(hits[0]))
            left = int(rest[hits[0]])
        return points

    def column(self, points: Iterable[int]) -> Column:
        """The column with sections at these span points."""
        points = [int(point) for point in points]
        for point in points:
            if point not in self.sections:
                self.sections[point] = self.section(point)
        cuts = [self.sections[point] for point in points]
        return make_column(self.pricer.job, self.pricer.number, cuts)

    def section(self, point: int) -> SectionCut:
        """The strips of the best section at a span point."""
        frame = self.pricer.frame
        worth, ladder = self.worth[point]
        levels, breadth = ladder.sizes, ladder.axis
        left = len(breadth.points) - 1
        strips: list[StripCut] = []
        while worth[left] > 0:
            room = breadth.points[left] - levels
            rest = breadth.floor[np.maximum(room, 0)]
            strip = self.strips[:, point]
            gain = np.where((room >= 0) & (strip > 0), worth[rest] + strip, -1)
            level = int(np.flatnonzero(gain == worth[left])[0])
            if (level, point) not in self.cut:
                self.cut[level, point] = self.strip(level, point)
            strips.append(self.cut[level, point])
            left = int(rest[level])
        return make_section(frame, strips)

    def strip(self, level: int, point: int) -> StripCut:
        """The shapes of the best strip of a level at a span point."""
        frame, worth = self.pricer.frame, self.strips[level]
        usable = (self.breadths <= self.pricer.levels[level]) & (self.values > 0)
        open_to = np.flatnonzero(usable)
        spans, values = self.spans[open_to], self.values[open_to]
        places: list[int] = []
        left = point
        while worth[left] > 0:
            room = frame.span.points[left] - spans
            rest = frame.span.floor[np.maximum(room, 0)]
            gain = np.where(room >= 0, worth[rest] + values, -1)
            hit = int((gain == worth[left]).argmax())
            assert gain[hit] == worth[left], "a strip's value comes from none of its shapes"
            places.append(int(open_to[hit]))
            left = int(rest[hit])
        return make_strip(frame, places)


def _section_block(strips: Whole, ladder: Ladder) -> Whole:
    """``section_values`` of so few columns that the table stays in the processor's cache."""
    table = np.zeros((len(ladder.axis.points), strips.shape[1]), dtype=strips.dtype)
    own = ladder.axis.floor[ladder.sizes]
    for level, steps in enumerate(ladder.steps):
        if (strips[level] > table[own[level]]).any():  # else narrower strips are worth as much
            stretch(table, steps, strips[level])
    return table


def _rough_knapsack(strips: NDArray[np.float32], sizes: Ints, cells: int) -> NDArray[np.float32]:
    """Best value of any number of strips of whole sizes in ``cells``, for each column."""
    table = np.zeros((cells + 1, strips.shape[1]), dtype=np.float32)
    before = np.zeros(strips.shape[1], dtype=np.float32)
    for size, strip in zip(sizes.tolist(), strips, strict=True):
        if not (strip > before).any():
            continue
        before = strip
        copies = 1
        while copies * size <= cells:
            gain = table[: cells + 1 - copies * size] + np.float32(copies) * strip
            np.maximum(table[copies * size :], gain, out=table[copies * size :])
            copies *= 2
    best: NDArray[np.float32] = table[-1]
    return best


def _rises(values: Ints) -> Ints:
    """The points at which a nondecreasing run of values grows."""
    before = np.concatenate(([0], np.maximum.accumulate(values)[:-1]))
    return np.flatnonzero(values > before)
