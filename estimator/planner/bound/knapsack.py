"""The inner loops: unbounded knapsacks over the points of an axis, many of them side by side.

Any number of copies of each thing may be taken. For one thing after the other, copies join what the
points hold so far. Gilmore and Gomory, "The theory and computation of knapsack functions",
Operations Research 14 (1966), from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

import numpy as np

from estimator.planner import tuning
from estimator.planner.grid import Axis, Ints, Source, Step, Whole


class Ladder:
    """An axis and how its points are reached by any number of copies of each of some sizes."""

    def __init__(self, axis: Axis, sizes: Ints) -> None:
        self.axis = axis
        self.sizes = sizes
        self.own: list[int] = axis.floor[sizes].tolist()

    @cached_property
    def by_strides(self) -> list[tuple[Step, ...]]:
        """Steps that look at few points: for large tables."""
        return [self.axis.steps(size, tuning.STRIDES) for size in self.sizes.tolist()]

    @cached_property
    def by_doubling(self) -> list[tuple[Step, ...]]:
        """Fewer steps: for small tables, where calls take longer than points."""
        return [self.axis.steps(size, 1) for size in self.sizes.tolist()]


def join(values: Whole, target: slice, source: Source, gain: Whole | int, spare: Whole) -> None:
    """Let ``target`` points hold what ``source`` points do and ``gain``, where that is more."""
    held = spare[target]
    if isinstance(source, slice):
        np.add(values[source], gain, out=held)
    else:
        values.take(source, axis=0, out=held, mode="clip")
        held += gain
    best = values[target]
    np.maximum(best, held, out=best)


def join_copies(values: Whole, steps: tuple[Step, ...], value: Whole | int, spare: Whole) -> None:
    """Let any number of copies of a thing worth ``value`` join what each point holds, in place.

    ``values`` stands along the points; further axes are knapsacks done side by side. ``spare`` is
    an array like it to work in.
    """
    for target, source, copies in steps:
        join(values, target, source, value if copies == 1 else value * copies, spare)


def many_knapsacks(worth: Whole, ladder: Ladder) -> Whole:
    """Best value by point of the axis, a column for each column of ``worth``.

    ``worth``: a row per size of the ladder, no less than that of a smaller size.
    """
    table = np.zeros((len(ladder.axis.points), worth.shape[1]), dtype=worth.dtype)
    spare = np.empty_like(table)
    ways = ladder.by_strides if table.size > tuning.SMALL else ladder.by_doubling
    for row, own, steps in zip(worth, ladder.own, ways, strict=True):
        if (row > table[own]).any():  # else smaller sizes are worth as much
            join_copies(table, steps, row, spare)
    return table


def sheet_knapsack(sections: Ints, useful: Ints, span: Axis) -> Ints:
    """Best value of a sheet's first stretch, by span point, given each section's value.

    ``useful``: the points at which a section is worth trying. A sheet has at most one section
    longer than half of it, so that only the shorter ones need to repeat.
    """
    points, axis = span.points[: len(sections)], span.filled
    room = int(points[-1])
    best = np.maximum.accumulate(sections)
    if axis is not span:
        best = best[span.floor[: room + 1]]
    short = useful[2 * points[useful] <= room]
    own = short if axis is span else points[short]
    spare = np.empty_like(best)
    for at, size, value in zip(
        own.tolist(), points[short].tolist(), sections[short].tolist(), strict=True
    ):
        if best[at] > value:
            continue  # shorter sections together are worth more
        for copies in doubled(room // size):
            target, source, _ = axis.step(copies * size, copies, 0, room + 1)
            join(best, target, source, copies * value, spare)
    return best if axis is span else best[points]


def doubled(most: int) -> Iterator[int]:
    """1, 2, 4, ... up to ``most``: sums of some of them come to every number below the next."""
    copies = 1
    while copies <= most:
        yield copies
        copies *= 2


def rises(values: Ints) -> Ints:
    """The points at which a nondecreasing run of values grows."""
    before = np.concatenate(([0], np.maximum.accumulate(values)[:-1]))
    return np.flatnonzero(values > before)
