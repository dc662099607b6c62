"""From exact lengths to whole numbers on a grid.

A cut eats one kerf. Give every piece a kerf on its far side and the usable sheet one kerf more,
and kerfs vanish from the arithmetic: n pieces fit when n (w + k) <= S + k. All positions are then
sums of piece sizes, so that lengths may be counted in units of the sizes' greatest common divisor
and only the sums that can occur (raster points) need looking at: Terno, Lindemann and Scheithauer,
"Zuschnittprobleme und ihre praktische Lösung" (1987), from memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from estimator.planner import tuning
from estimator.planner.parts import CutPart, Misfit, PartDoesNotFit, Stock, exact

Ints = NDArray[np.int64]
Whole = NDArray[np.signedinteger[Any]]  # in 32 or in 64 bits
Source = slice | Ints
"""Points to take values from: a run of them, or one by one."""
Step = tuple[slice, Source, int]
"""Points that so many copies of a size may end at, and the points where these copies begin."""
FirstCut = Literal["across", "along"]


@dataclass(frozen=True)
class Shape:
    """A rectangle to cut out of a sheet: one piece of a part, or a pair that shares a rip."""

    part: int
    length: Fraction
    width: Fraction
    pieces: int
    turned: bool


@dataclass(frozen=True)
class Axis:
    """One side of the sheet: the raster points 0..capacity in units of ``unit``."""

    unit: Fraction
    capacity: int
    points: Ints
    floor: Ints
    leaps: dict[int, tuple[int, Ints]] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def every(self) -> bool:
        """Whether the points are all whole numbers to the capacity."""
        return len(self.points) == self.capacity + 1

    @cached_property
    def complement(self) -> Ints:
        """For each point, the point that holds what the side has left beside it."""
        return self.floor[self.capacity - self.points]

    def leap(self, size: int, end: int) -> tuple[slice, Source]:
        """One leap of a size, kept for the next time: to which of the first ``end`` points, from
        which."""
        if self.every:
            return slice(size, end), slice(0, end - size)
        if size not in self.leaps:
            start = int(np.searchsorted(self.points, size))
            self.leaps[size] = start, self.floor[self.points[start:] - size]
        start, left = self.leaps[size]
        return slice(start, end), left[: end - start]

    def steps(self, size: int, strides: int) -> tuple[Step, ...]:
        """How any number of copies of a size is joined to the points, one step after the other.

        First 1, 2, 4, ... copies join all points at once. Then strides of as many copies as have
        not been reached by that go from one end to the other, each upon what the one before left:
        at most about ``strides`` of them, which look at every point but once.
        """
        steps, copies = [], 1
        while self.capacity // (size * copies) > strides:
            steps.append(self.step(size * copies, copies))
            copies *= 2
        stride = size * copies
        for first in range(stride, self.capacity + 1, stride):
            steps.append(self.step(stride, copies, first, first + stride))
        return tuple(step for step in steps if step[0].start < step[0].stop)

    def step(self, size: int, copies: int, first: int = 0, end: int | None = None) -> Step:
        """One leap of a size, to points from ``first`` to before ``end``, worth so many copies."""
        first = max(first, size)
        end = self.capacity + 1 if end is None else min(end, self.capacity + 1)
        if self.every:
            return slice(first, end), slice(first - size, end - size), copies
        start, stop = np.searchsorted(self.points, [first, end]).tolist()
        return slice(start, stop), self.floor[self.points[start:stop] - size], copies

    @cached_property
    def filled(self) -> Axis:
        """The axis with every whole number for a point, unless its points are few and far between.

        Runs of neighbours are several times as quick as points looked up one by one.
        """
        if self.every or len(self.points) * tuning.SPARSE < self.capacity:
            return self
        every = np.arange(self.capacity + 1)
        return Axis(self.unit, self.capacity, every, every)


@dataclass(frozen=True)
class SheetGrid:
    """A stock size with the way it is cut first, in whole units: a pricing problem of its own.

    Sections divide the ``span``, strips divide the ``breadth`` of a section, pieces divide the
    span of a strip. ``span_is_length`` says which side of the sheet the span is. With two stages
    there is one section, the whole sheet.
    """

    stock: int
    first_cut: FirstCut
    span_is_length: bool
    sectioned: bool
    span: Axis
    breadth: Axis
    shapes: tuple[int, ...]
    spans: tuple[int, ...]
    breadths: tuple[int, ...]


@dataclass(frozen=True)
class Job:
    """Everything about a planning job that does not depend on the numbers wanted."""

    parts: tuple[CutPart, ...]
    stock: tuple[Stock, ...]
    kerf: Fraction
    trim: Fraction
    shapes: tuple[Shape, ...]
    grids: tuple[SheetGrid, ...]


def lay_out(
    parts: Sequence[CutPart],
    stock: Sequence[Stock],
    kerf: Fraction,
    trim: Fraction,
    stages: int,
    first_cuts: Sequence[FirstCut],
) -> Job:
    """The job on its grids. Raises PartDoesNotFit with every part that no stock can hold."""
    _check(parts, stock, kerf, trim, stages)
    shapes = tuple(shape for i, part in enumerate(parts) for shape in _shapes(i, part, kerf))
    grids = tuple(
        _sheet_grid(number, sheet, shapes, kerf, trim, stages, first_cut)
        for number, sheet in enumerate(stock)
        for first_cut in first_cuts
        if _fitting(sheet, shapes, trim)
    )
    held = {shapes[i].part for grid in grids for i in grid.shapes}
    misfits = [_misfit(part, stock, trim) for i, part in enumerate(parts) if i not in held]
    if misfits:
        raise PartDoesNotFit(tuple(misfits))
    return Job(tuple(parts), tuple(stock), kerf, trim, shapes, grids)


def _check(
    parts: Sequence[CutPart], stock: Sequence[Stock], kerf: Fraction, trim: Fraction, stages: int
) -> None:
    if stages not in (2, 3):
        raise ValueError(f"stages is {stages}: give 2 or 3")
    if kerf < 0 or trim < 0:
        raise ValueError("kerf and trim can't be negative")
    if not stock:
        raise ValueError("no stock to cut from")
    for keys in ([part.key for part in parts], [sheet.key for sheet in stock]):
        if len(set(keys)) < len(keys):
            raise ValueError(f"keys must differ: {sorted(k for k in keys if keys.count(k) > 1)}")
    for part in parts:
        if min(exact(part.length, part.key), exact(part.width, part.key)) <= 0 or part.demand < 0:
            raise ValueError(f"{part.key}: sizes must be above 0 and demand not below 0")
        if part.shares_rip is not None and part.shares_rip <= part.width:
            raise ValueError(f"{part.key}: a pair's strip must be wider than one piece")


def _shapes(number: int, part: CutPart, kerf: Fraction) -> list[Shape]:
    length, width = exact(part.length, part.key), exact(part.width, part.key)
    shapes = [Shape(number, length, width, 1, False)]
    # A shared rip that saves nothing over two plain strips is left out.
    if part.shares_rip is not None and part.shares_rip < 2 * width + kerf:
        shapes.append(Shape(number, length, exact(part.shares_rip, part.key), 2, False))
    if part.may_turn:
        shapes += [
            Shape(number, shape.width, shape.length, shape.pieces, True)
            for shape in shapes
            if shape.length != shape.width
        ]
    return shapes


def _fitting(sheet: Stock, shapes: Sequence[Shape], trim: Fraction) -> list[int]:
    length, width = usable(sheet, trim)
    return [i for i, s in enumerate(shapes) if s.length <= length and s.width <= width]


def usable(sheet: Stock, trim: Fraction) -> tuple[Fraction, Fraction]:
    """Length and width of a sheet once the trim is off all four sides."""
    return (
        exact(sheet.length, sheet.key) - 2 * trim,
        exact(sheet.width, sheet.key) - 2 * trim,
    )


def _misfit(part: CutPart, stock: Sequence[Stock], trim: Fraction) -> Misfit:
    length, width = exact(part.length, part.key), exact(part.width, part.key)
    rooms = [usable(sheet, trim) for sheet in stock]
    turned = any(width <= room[0] and length <= room[1] for room in rooms)
    return Misfit(part.key, length, width, max(rooms, key=lambda room: room[0] * room[1]), turned)


def _sheet_grid(
    number: int,
    sheet: Stock,
    shapes: Sequence[Shape],
    kerf: Fraction,
    trim: Fraction,
    stages: int,
    first_cut: FirstCut,
) -> SheetGrid:
    fitting = _fitting(sheet, shapes, trim)
    sides = usable(sheet, trim)
    # Three stages: the first cut makes the sections. Two: it makes the strips.
    span_is_length = (first_cut == "across") == (stages == 3)
    span, spans = _axis(
        [(shapes[i].length if span_is_length else shapes[i].width) + kerf for i in fitting],
        (sides[0] if span_is_length else sides[1]) + kerf,
    )
    breadth, breadths = _axis(
        [(shapes[i].width if span_is_length else shapes[i].length) + kerf for i in fitting],
        (sides[1] if span_is_length else sides[0]) + kerf,
    )
    return SheetGrid(
        number,
        first_cut,
        span_is_length,
        stages == 3,
        span,
        breadth.filled,
        tuple(fitting),
        spans,
        breadths,
    )


def _axis(sizes: Sequence[Fraction], capacity: Fraction) -> tuple[Axis, tuple[int, ...]]:
    unit = common_divisor(sizes)
    whole = tuple(int(size / unit) for size in sizes)
    return whole_axis(unit, whole, math.floor(capacity / unit)), whole


def whole_axis(unit: Fraction, sizes: Sequence[int], capacity: int) -> Axis:
    """The axis of a capacity that is divided into whole sizes."""
    points = raster_points(sizes, capacity)
    floor = np.searchsorted(points, np.arange(capacity + 1), side="right") - 1
    return Axis(unit, capacity, points, floor.astype(np.int64))


def common_divisor(sizes: Iterable[Fraction]) -> Fraction:
    """The largest length that goes into every size a whole number of times."""
    found = Fraction(0)
    for size in sizes:
        denominator = found.denominator * size.denominator
        found = Fraction(math.gcd(int(found * denominator), int(size * denominator)), denominator)
    return found


def raster_points(sizes: Iterable[int], capacity: int) -> Ints:
    """The sums that matter: for every sum of sizes, the largest sum that fits beside it.

    Any pattern can be pushed onto these points without loss (Scheithauer and Terno's raster).
    """
    mask = (1 << (capacity + 1)) - 1
    sums = 1  # bit x set: x is a sum of sizes
    for size in set(sizes):
        shift = size
        while shift <= capacity:
            sums |= (sums << shift) & mask
            shift *= 2
    bits = np.frombuffer(sums.to_bytes(capacity // 8 + 1, "little"), dtype=np.uint8)
    reached = np.flatnonzero(np.unpackbits(bits, bitorder="little")[: capacity + 1])
    beside = reached[np.searchsorted(reached, capacity - reached, side="right") - 1]
    return np.unique(beside).astype(np.int64)
