"""The pricing problem: the most valuable pattern, exactly, when every piece has a dual value.

Three knapsacks one inside the other (Gilmore and Gomory, "Multistage cutting stock problems of two
and more dimensions", Operations Research 13 (1965), from memory). A strip of breadth b: shapes no
broader than b fill its span. A section of span s: strips fill its breadth. A sheet: sections fill
its span. Dual values are whole numbers (a sheet's cost is about 2**28), so that sums are exact and
the best value is proven; in 32 bits, half the memory and a third of the time, unless a sheet could
be worth more than they hold. A pattern's reduced cost is its cost less its value: one that is worth
more than it costs makes the restricted master problem cheaper.

Sections are the heavy part. Each has a quick upper limit, from breadths rounded down to a coarse
grid, and only sections that could still lie in an improving sheet are worked out. Between proofs
only those are that have been of use before: nearly all good patterns are made of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from estimator.planner import tuning
from estimator.planner.bound.knapsack import (
    Ladder,
    join_copies,
    many_knapsacks,
    rises,
    sheet_knapsack,
)
from estimator.planner.bound.tracing import Tracer
from estimator.planner.columns import PatternColumn
from estimator.planner.grid import Axis, Ints, Job, SheetGrid, Step, Whole


@dataclass(frozen=True)
class Priced:
    """What pricing a grid gives: improving columns and, if proven, a value no sheet exceeds."""

    columns: tuple[PatternColumn, ...]
    most: int | None


class Pricer:
    """Prices one grid. Holds its steps, which depend on sizes only."""

    def __init__(self, job: Job, number: int) -> None:
        self.job = job
        self.number = number
        self.grid: SheetGrid = job.grids[number]
        self.spent = 0  # points looked at, for bounding the work
        self.lately: dict[int, None] = {}  # span points of use in earlier pricings
        grid = self.grid
        shapes = [job.shapes[i] for i in grid.shapes]
        self.part = np.array([shape.part for shape in shapes])
        self.pieces = np.array([shape.pieces for shape in shapes])
        self.levels = np.array(sorted(set(grid.breadths)), dtype=np.int64)
        self.at_level = [
            [place for place, breadth in enumerate(grid.breadths) if breadth == level]
            for level in self.levels
        ]
        self.areas = np.multiply(grid.spans, grid.breadths, dtype=np.float64)
        by_span = {span: grid.span.steps(span, 1) for span in set(grid.spans)}
        self.along: list[tuple[Step, ...]] = [by_span[span] for span in grid.spans]
        self.own: list[int] = grid.span.floor[list(grid.spans)].tolist()
        self.fine = Ladder(grid.breadth, self.levels)

    @cached_property
    def rough(self) -> Ladder:
        """Breadths rounded down to a coarse grid: whatever fits does there, and some more."""
        cells = max(tuning.ROUGH_CELLS, -(-self.grid.breadth.capacity // int(self.levels[0])))
        return self._coarse(cells, 0)

    @cached_property
    def near(self) -> Ladder:
        """Breadths rounded to the nearest on a coarse grid, for comparing sections."""
        return self._coarse(tuning.FILLING_CELLS, self.grid.breadth.capacity // 2)

    def _coarse(self, cells: int, up: int) -> Ladder:
        capacity = self.grid.breadth.capacity
        if cells >= capacity:
            return self.fine
        sizes = np.maximum(1, (self.levels * cells + up) // capacity)
        every = np.arange(cells + 1)
        return Ladder(Axis(self.grid.breadth.unit * capacity / cells, cells, every, every), sizes)

    def price(self, duals: Ints, limit: int, proof: bool, wanted: int) -> Priced:
        """At most ``wanted`` columns worth more than ``limit``, the best first.

        With ``proof``, no columns means that there are none. Without, only sections are looked at
        that have been of use before.
        """
        self.spent += len(self.part) * (len(self.grid.span.points) + tuning.TRACING_POINTS)
        values = self.narrowed(duals[self.part] * self.pieces)
        strips = self.strip_values(values)
        tracer = Tracer(self.job, self.number, self.levels, values, strips)
        if self.grid.sectioned:
            return self._price_sections(tracer, limit, proof, wanted)
        whole = np.array([len(self.grid.span.points) - 1])
        worth = self.section_values(strips[:, whole], self.fine)
        tracer.keep(whole, worth, self.fine)
        most = int(worth[-1, 0])
        return Priced(tuple(tracer.columns([whole.tolist()])) if most > limit else (), most)

    def narrowed(self, values: Ints) -> Whole:
        """The values in 32 bits if a sheet full of the densest shape is worth half of that at most.

        The other half is for breadths that are rounded down.
        """
        grid = self.grid
        densest = float((values / self.areas).max(initial=0.0))
        most = densest * grid.span.capacity * grid.breadth.capacity
        return values.astype(np.int32) if most < 2**30 else values

    def strip_values(self, values: Whole) -> Whole:
        """Best value of a strip, by its breadth (level) and its span (point)."""
        table = np.zeros((len(self.levels), len(self.grid.span.points)), dtype=values.dtype)
        spare = np.empty_like(table[0])
        for level, places in enumerate(self.at_level):
            row = table[level]
            if level:
                row[:] = table[level - 1]
            for place in places:
                if values[place] > row[self.own[place]]:  # else shorter shapes are worth as much
                    join_copies(row, self.along[place], int(values[place]), spare)
        return table

    def section_values(self, strips: Whole, ladder: Ladder) -> Whole:
        """Best value of a section by breadth point, a column for each column of ``strips``."""
        self.spent += strips.size * len(ladder.axis.points) // tuning.NEIGHBOUR_POINTS
        together = max(1, tuning.TABLE // len(ladder.axis.points))
        blocks = [
            many_knapsacks(np.ascontiguousarray(strips[:, start : start + together]), ladder)
            for start in range(0, max(1, strips.shape[1]), together)
        ]
        return np.hstack(blocks) if len(blocks) > 1 else blocks[0]

    def _price_sections(self, tracer: Tracer, limit: int, proof: bool, wanted: int) -> Priced:
        """Work sections out, the most promising first, until no other can lie in a good sheet."""
        exact = np.zeros(tracer.strips.shape[1], dtype=np.int64)
        if not proof:
            self._work_out(tracer, np.array(sorted(self.lately), dtype=np.int64), exact)
            return Priced(self._columns(tracer, exact, limit, wanted), None)
        upper = self._limits(tracer.strips)
        columns: tuple[PatternColumn, ...] = ()
        while True:
            ceiling, at = self._hopeful(upper, exact, limit)
            if columns or not len(at):
                return Priced(columns, ceiling)
            self._work_out(tracer, at, exact)
            upper[at] = exact[at]
            columns = self._columns(tracer, exact, limit, wanted)

    def _work_out(self, tracer: Tracer, at: Ints, exact: Ints) -> None:
        """Values of the sections at these span points."""
        worth = self.section_values(tracer.strips[:, at], self.fine)
        tracer.keep(at, worth, self.fine)
        exact[at] = worth[-1]

    def _hopeful(self, upper: Ints, exact: Ints, limit: int) -> tuple[int, Ints]:
        """What no sheet is worth more than, and the best sections that may bring one there."""
        # A shorter section is never worth more than a longer one.
        np.minimum.accumulate(upper[::-1], out=upper[::-1])
        ceiling = sheet_knapsack(upper, rises(upper), self.grid.span)
        # A section worth nothing is settled too: its sheet is looked at through the others.
        settled = (exact > 0) | (upper == 0)
        through = np.where(settled, 0, upper + ceiling[self.grid.span.complement])
        unsettled = np.flatnonzero(through > limit)
        most = max(tuning.SECTIONS_AT_ONCE, len(through) // tuning.HOPEFUL_SHARE)
        at = np.sort(unsettled[np.argsort(-through[unsettled], kind="stable")[:most]])
        # Of more than a batch every few: the longest of neighbours limits the others.
        stride = max(1, -(-len(at) // tuning.SECTIONS_AT_ONCE))
        return int(ceiling[-1]), at[::-1][::stride][::-1]

    def _limits(self, strips: Whole) -> Ints:
        """What no section is worth more than, by span point: the lower of two limits.

        The densest strip over the whole breadth; and what the best strips come to in short numbers
        rounded up, their breadths rounded down if the grid is fine. Only every few span points are
        looked at for that, since a section is worth no more than the next longer one.
        """
        density = (strips / self.levels[:, None]).max(axis=0) * self.grid.breadth.capacity
        dense = np.where(density > 0, density * (1 + 1e-12) + 1, 0).astype(np.int64)
        run, many = tuning.SHARED_LIMIT, strips.shape[1]
        at = np.unique(np.append(np.arange(run - 1, many, run), many - 1))
        rough = self._short_values(strips[:, at], self.rough)
        limits: Ints = np.minimum(dense, rough[np.searchsorted(at, np.arange(many))])
        return limits

    def near_values(self, strips: Whole) -> Ints:
        """About what the best section is worth, for each column of ``strips``."""
        return self._short_values(strips, self.near)

    def _short_values(self, strips: Whole, ladder: Ladder) -> Ints:
        """Best value of a section for each column, on a ladder and in 16 bits, rounded up.

        Half the memory of 32 bits, and half the time.
        """
        # What rounding up can add: no section has more strips than there are narrowest ones.
        added = ladder.axis.capacity // int(ladder.sizes[0])
        if added > 2**14:
            short, unit = strips, 1
        else:
            short, unit = self._shortened(strips, ladder, 2**15 - 2 - added)
        values: Ints = self.section_values(short, ladder)[-1].astype(np.int64) * unit
        return values

    def _shortened(self, strips: Whole, ladder: Ladder, most: int) -> tuple[Whole, int]:
        """Strip values in 16 bits, no section's more than ``most`` but for rounding; their unit."""
        densest = float((strips.max(axis=1) / ladder.sizes).max()) * ladder.axis.capacity
        unit = max(1, math.ceil(densest / most))
        return (-(-strips // unit)).astype(np.int16), unit

    def _columns(
        self, tracer: Tracer, exact: Ints, limit: int, wanted: int
    ) -> tuple[PatternColumn, ...]:
        """The best sheets through different sections, down to the limit."""
        span = self.grid.span
        useful = rises(exact)  # others hold no more than a shorter section does
        best = sheet_knapsack(exact, useful, span)
        through = exact[useful] + best[span.complement[useful]]
        order = useful[np.argsort(-through, kind="stable")]
        sheets: list[list[int]] = []
        used: set[int] = set()
        for at in order[: int((through > limit).sum())].tolist():
            if len(sheets) >= wanted:
                break
            if at not in used:
                sheets.append(tracer.sheet(exact, best, at))
                used.update(sheets[-1])
        columns = tuple(dict.fromkeys(tracer.columns(sheets)))
        self._remember(order[: tuning.NEAR].tolist(), columns)
        return columns

    def _remember(self, near: list[int], columns: Iterable[PatternColumn]) -> None:
        """Keep the span points that came nearest, and those of the columns, for the next time."""
        points = self.grid.span.points
        spans = [cut.span for column in columns for cut, _ in column.sections]
        used: list[int] = np.searchsorted(points, spans).tolist()
        for point in near[::-1] + used:
            self.lately.pop(point, None)
            self.lately[point] = None
        while len(self.lately) > tuning.REMEMBERED:
            del self.lately[next(iter(self.lately))]
