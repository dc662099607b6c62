"""Which cuts made a value: the patterns behind the best values of the pricing problem.

At every point the term is looked for that attains the value exactly (backtracking through the
tables of the dynamic programme), so that no choices need to be kept while the tables are filled.
Many are traced side by side.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from estimator.planner.bound.knapsack import Ladder
from estimator.planner.columns import (
    PatternColumn,
    SectionCut,
    StripCut,
    make_column,
    make_section,
    make_strip,
)
from estimator.planner.grid import Ints, Job, Whole


class Tracer:
    """Finds the cuts behind the tables of one pricing of one grid.

    ``values``: of each shape of the grid. ``strips``: best value of a strip by level and span
    point.
    """

    def __init__(self, job: Job, number: int, levels: Ints, values: Whole, strips: Whole) -> None:
        self.job = job
        self.number = number
        self.grid = job.grids[number]
        self.levels = levels
        self.values = values
        self.strips = strips
        self.tables: list[tuple[Whole, Ladder]] = []
        self.place: dict[int, tuple[int, int]] = {}  # by span point: table, and column of it
        self.sections: dict[int, SectionCut] = {}
        self.cut: dict[tuple[int, int], StripCut] = {}

    def keep(self, at: Ints, worth: Whole, ladder: Ladder) -> None:
        """Remember section values by breadth point and span point ``at``, for tracing."""
        number = len(self.tables)
        self.tables.append((worth, ladder))
        self.place.update((point, (number, i)) for i, point in enumerate(at.tolist()))

    def sheet(self, exact: Ints, best: Ints, first: int) -> list[int]:
        """The span points of the sections of the best sheet that has one at ``first``."""
        span = self.grid.span
        known = np.flatnonzero(exact)
        points = [first]
        left = int(span.complement[first])
        while best[left] > 0:
            some = known[: int(np.searchsorted(known, left, side="right"))]
            rest = span.floor[np.maximum(span.points[left] - span.points[some], 0)]
            hit = int((exact[some] + best[rest] == best[left]).argmax())
            points.append(int(some[hit]))
            left = int(rest[hit])
        return points

    def columns(self, sheets: Sequence[Sequence[int]]) -> list[PatternColumn]:
        """For each sheet the column with sections at its span points."""
        wanted = dict.fromkeys(point for points in sheets for point in points)
        self._trace_sections([point for point in wanted if point not in self.sections])
        return [
            make_column(self.job, self.number, [self.sections[point] for point in points])
            for points in sheets
        ]

    def _trace_sections(self, points: Sequence[int]) -> None:
        """The strips of the best sections at these span points."""
        found: dict[int, list[int]] = {point: [] for point in points}
        for number, (worth, ladder) in enumerate(self.tables):
            own = [point for point in points if self.place[point][0] == number]
            columns = np.array([self.place[point][1] for point in own], dtype=np.int64)
            for which, level in self._levels(own, worth, columns, ladder):
                found[own[which]].append(level)
        pairs = dict.fromkeys((level, point) for point in points for level in found[point])
        self._trace_strips([pair for pair in pairs if pair not in self.cut])
        for point in points:
            strips = [self.cut[level, point] for level in found[point]]
            self.sections[point] = make_section(self.grid, strips)

    def _levels(
        self, points: Sequence[int], worth: Whole, columns: Ints, ladder: Ladder
    ) -> Iterator[tuple[int, int]]:
        """(which of the points, level of a strip in its section), strip after strip."""
        axis, strips = ladder.axis, self.strips[:, points].T
        which = np.arange(len(points))
        left = np.full(len(points), len(axis.points) - 1)
        value = worth[left, columns]
        while (open_ := np.flatnonzero(value > 0)).size:
            which, left, value = which[open_], left[open_], value[open_]
            room = axis.points[left][:, None] - ladder.sizes
            rest = axis.floor[np.maximum(room, 0)]
            strip = strips[which]
            gain = worth[rest, columns[which][:, None]] + strip
            hit = _first((gain == value[:, None]) & (room >= 0) & (strip > 0))
            yield from zip(which.tolist(), hit.tolist(), strict=True)
            left = rest[np.arange(len(hit)), hit]
            value = worth[left, columns[which]]

    def _trace_strips(self, pairs: Sequence[tuple[int, int]]) -> None:
        """The shapes of the best strips of a level at a span point."""
        places: list[list[int]] = [[] for _ in pairs]
        span, spans = self.grid.span, np.array(self.grid.spans)
        levels, left = np.array(pairs, dtype=np.int64).reshape(-1, 2).T
        which = np.arange(len(pairs))
        value = self.strips[levels, left]
        usable = (np.array(self.grid.breadths) <= self.levels[:, None]) & (self.values > 0)
        while (open_ := np.flatnonzero(value > 0)).size:
            which, levels, left, value = which[open_], levels[open_], left[open_], value[open_]
            room = span.points[left][:, None] - spans
            rest = span.floor[np.maximum(room, 0)]
            gain = self.strips[levels[:, None], rest] + self.values
            hit = _first((gain == value[:, None]) & (room >= 0) & usable[levels])
            for number, place in zip(which.tolist(), hit.tolist(), strict=True):
                places[number].append(place)
            left = rest[np.arange(len(hit)), hit]
            value = self.strips[levels, left]
        self.cut.update(
            (pair, make_strip(self.grid, own)) for pair, own in zip(pairs, places, strict=True)
        )


def _first(attains: NDArray[np.bool_]) -> Ints:
    """For each row the first column that is true."""
    hit: Ints = attains.argmax(axis=1)
    assert attains[np.arange(len(hit)), hit].all(), "a value comes from none of its terms"
    return hit
