"""One more sheet for the pieces still wanted, none cut twice.

The pricing of the linear programme may repeat a part at will. Towards the end of a plan that
wastes sheets, so here every strip is bounded by the pieces still wanted. A sheet is filled section
by section and strip by strip: each choice is the best one if the rest were unbounded, and what is
left is calculated anew once a choice has used a part up. Not exact, but quick. A sequential
heuristic procedure: Haessler, "A heuristic programming solution to a nonlinear cutting stock
problem", Management Science 17 (1971), from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from estimator.planner import tuning
from estimator.planner.bound.knapsack import join, sheet_knapsack
from estimator.planner.bound.pricing import Pricer
from estimator.planner.columns import (
    PatternColumn,
    SectionCut,
    StripCut,
    make_column,
    make_section,
    make_strip,
)
from estimator.planner.grid import Ints, Whole


@dataclass
class Wanted:
    """What the filling works against: pieces left and what each is worth, by part."""

    left: Ints
    worth: Ints


@dataclass(frozen=True)
class Strips:
    """Best bounded strips: a row per shape (narrow to broad), a column per span point."""

    places: tuple[int, ...]
    most: tuple[int, ...]
    table: Whole
    by_level: Whole


class Filler:
    """Fills sheets of one grid. ``spans``: section spans worth trying besides the shapes' own."""

    def __init__(self, pricer: Pricer, spans: Iterable[int]) -> None:
        self.pricer = pricer
        self.spans = set(spans)
        self.spent = 0  # points looked at, for bounding the work
        grid = pricer.grid
        order = sorted(range(len(grid.shapes)), key=lambda p: (grid.breadths[p], grid.spans[p]))
        self.order = tuple(order)
        self.axis = grid.span.filled
        self.level_of = {int(breadth): i for i, breadth in enumerate(pricer.levels)}

    def strips(self, wanted: Wanted, point: int) -> Strips:
        """The best bounded strips up to a span point."""
        grid, pricer = self.pricer.grid, self.pricer
        every_most = (wanted.left[pricer.part] // pricer.pieces).tolist()
        values = pricer.narrowed(wanted.worth[pricer.part] * pricer.pieces)
        worth, room = values.tolist(), int(self.axis.points[point])
        places = tuple(
            p for p in self.order if every_most[p] and worth[p] and grid.spans[p] <= room
        )
        self.spent += len(places) * (point + tuning.ROW_POINTS)
        table = np.zeros((len(places) + 1, point + 1), dtype=values.dtype)
        spare = np.empty_like(table[0])
        ends = np.zeros(len(pricer.levels), dtype=np.int64)
        for row, place in enumerate(places, start=1):
            table[row] = table[row - 1]
            most = min(every_most[place], room // grid.spans[place])
            self._join(table[row], grid.spans[place], worth[place], most, spare)
            ends[self.level_of[grid.breadths[place]]] = row
        by_level = table[np.maximum.accumulate(ends)]
        return Strips(places, tuple(every_most[p] for p in places), table, by_level)

    def _join(self, row: Whole, size: int, worth: int, most: int, spare: Whole) -> None:
        """Let up to ``most`` copies of a shape into a row, in chunks 1, 2, 4, ..., the rest."""
        chunk = 1
        while most > 0:
            chunk = min(chunk, most)
            target, source = self.axis.leap(chunk * size, len(row))
            join(row, target, source, chunk * worth, spare)
            most -= chunk
            chunk *= 2

    def trace(self, strips: Strips, level: int, point: int, wanted: Wanted) -> StripCut | None:
        """The strip behind a value; shapes of one part are held to what is left of it."""
        pricer, grid = self.pricer, self.pricer.grid
        left = wanted.left.copy()
        breadth = int(pricer.levels[level])
        row = sum(1 for place in strips.places if grid.breadths[place] <= breadth)
        places: list[int] = []
        while row > 0 and strips.table[row, point] > 0:
            if strips.table[row, point] == strips.table[row - 1, point]:
                row -= 1
                continue
            place = strips.places[row - 1]
            copies, point = self._copies(strips, row, point, wanted)
            part, pieces = int(pricer.part[place]), int(pricer.pieces[place])
            copies = min(copies, int(left[part]) // pieces)
            left[part] -= copies * pieces
            places += [place] * copies
            row -= 1
        return make_strip(grid, places) if places else None

    def _copies(self, strips: Strips, row: int, point: int, wanted: Wanted) -> tuple[int, int]:
        span = self.axis
        place = strips.places[row - 1]
        size = self.pricer.grid.spans[place]
        worth = int(wanted.worth[self.pricer.part[place]] * self.pricer.pieces[place])
        value = strips.table[row, point]
        for copies in range(1, strips.most[row - 1] + 1):
            room = int(span.points[point]) - copies * size
            if room < 0:
                break
            rest = int(span.floor[room])
            if strips.table[row - 1, rest] + copies * worth == value:
                return copies, rest
        raise AssertionError("a strip's value comes from none of its shapes")

    def section(self, wanted: Wanted, strips: Strips, point: int) -> SectionCut | None:
        """A section of a span, filled strip by strip; takes its pieces off ``wanted``.

        ``strips``: the best for what is wanted, up to that span or further.
        """
        breadth = self.pricer.grid.breadth
        cuts: list[StripCut] = []
        left = len(breadth.points) - 1
        while True:
            worth = self._section_worth(strips.by_level[:, point])
            taken, left = self._take(strips, worth, point, left, wanted)
            cuts += taken
            if not taken or worth[left] == 0:
                return make_section(self.pricer.grid, cuts) if cuts else None
            strips = self.strips(wanted, point)

    def _section_worth(self, by_level: Ints) -> Whole:
        self.spent += len(by_level) * tuning.ROW_POINTS
        return self.pricer.section_values(by_level[:, None], self.pricer.fine)[:, 0]

    def _take(
        self, strips: Strips, worth: Whole, point: int, left: int, wanted: Wanted
    ) -> tuple[list[StripCut], int]:
        """The strips of the unbounded choice, as long as their pieces are still wanted."""
        breadth, levels = self.pricer.grid.breadth, self.pricer.levels
        by_level = strips.by_level[:, point]
        taken: list[StripCut] = []
        while worth[left] > 0:
            room = breadth.points[left] - levels
            rest = breadth.floor[np.maximum(room, 0)]
            gain = np.where((room >= 0) & (by_level > 0), worth[rest] + by_level, -1)
            level = int(np.flatnonzero(gain == worth[left])[-1])
            strip = self.trace(strips, level, point, wanted)
            if strip is None or not self._withdraw(strip, wanted):
                break
            taken.append(strip)
            left = int(breadth.floor[int(breadth.points[left]) - strip.breadth])
        return taken, left

    def _withdraw(self, strip: StripCut, wanted: Wanted) -> bool:
        """Take a strip's pieces off, unless some are no longer wanted."""
        pricer = self.pricer
        need = np.zeros_like(wanted.left)
        for place, copies in strip.contents:
            need[pricer.part[place]] += copies * pricer.pieces[place]
        if (need > wanted.left).any():
            return False
        wanted.left -= need
        return True

    def sheet(self, wanted: Wanted) -> PatternColumn | None:
        """One sheet for what is wanted; takes its pieces off ``wanted``."""
        span = self.axis
        sectioned = self.pricer.grid.sectioned
        cuts: list[SectionCut] = []
        left = len(span.points) - 1
        while True:
            strips = self.strips(wanted, left)
            point = self._next_section(strips, left) if sectioned else left
            cut = self.section(wanted, strips, point) if point > 0 else None
            if cut is None:
                break
            cuts.append(cut)
            if not sectioned:
                break
            left = int(span.floor[int(span.points[left]) - cut.span])
        return make_column(self.pricer.job, self.pricer.number, cuts) if cuts else None

    def _next_section(self, strips: Strips, left: int) -> int:
        """The span point at which the next section is best, were the rest unbounded."""
        span, spans = self.axis, self.pricer.grid.spans
        if not strips.places:
            return 0
        own = {spans[place] for place in strips.places}
        room = int(span.points[left])
        # A raster need not hold every size: a section as long as the next longer point does.
        tried = [size for size in self.spans | own | {room} if size <= room]
        at = np.unique(np.searchsorted(span.points, tried))
        worth = np.zeros(left + 1, dtype=np.int64)
        worth[at] = self.pricer.near_values(strips.by_level[:, at])
        best = sheet_knapsack(worth, at, span)
        through = worth[at] + best[span.floor[room - span.points[at]]]
        return int(at[np.flatnonzero(through == through.max())[-1]])
