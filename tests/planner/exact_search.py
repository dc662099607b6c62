"""The least number of sheets for a handful of pieces, by trying everything.

A strip holds its pieces end to end and is as broad as the broadest. A section holds its strips
side by side, and a sheet its sections. Subsets of the pieces are bit masks.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache

Size = tuple[Fraction, Fraction]


def fewest_sheets(
    pieces: Sequence[Size],
    may_turn: Sequence[bool],
    sheet: Size,
    kerf: Fraction,
    stages: int,
) -> int:
    """Least number of sheets when every sheet may be cut first either way."""

    @lru_cache(None)
    def fits(subset: int) -> bool:
        chosen = [i for i in range(len(pieces)) if subset >> i & 1]
        options = [
            [pieces[i], (pieces[i][1], pieces[i][0])] if may_turn[i] else [pieces[i]]
            for i in chosen
        ]
        return any(
            one_sheet([flip(size, swap) for size in sizes], flip(sheet, swap), kerf, stages)
            for sizes in itertools.product(*options)
            for swap in (False, True)
        )

    @lru_cache(None)
    def sheets(subset: int) -> int:
        if not subset:
            return 0
        return min(1 + sheets(subset ^ part) for part in parts_with_lowest(subset) if fits(part))

    return sheets((1 << len(pieces)) - 1)


def flip(size: Size, swap: bool) -> Size:
    return (size[1], size[0]) if swap else size


def parts_with_lowest(subset: int) -> Iterator[int]:
    """The subsets of a subset that hold its lowest member."""
    lowest = subset & -subset
    rest = subset ^ lowest
    part = rest
    while True:
        yield part | lowest
        if not part:
            return
        part = (part - 1) & rest


def one_sheet(sizes: Sequence[Size], sheet: Size, kerf: Fraction, stages: int) -> bool:
    """Whether pieces (along the strips, across them) come out of one sheet."""
    span, breadth = sheet[0] + kerf, sheet[1] + kerf
    along = [size[0] + kerf for size in sizes]
    across = [size[1] + kerf for size in sizes]

    def total(subset: int) -> Fraction:
        return sum((along[i] for i in range(len(sizes)) if subset >> i & 1), Fraction(0))

    @lru_cache(None)
    def least_breadth(subset: int, limit: Fraction) -> Fraction:
        if not subset:
            return Fraction(0)
        tries = [
            max(across[i] for i in range(len(sizes)) if part >> i & 1)
            + least_breadth(subset ^ part, limit)
            for part in parts_with_lowest(subset)
            if total(part) <= limit
        ]
        return min(tries, default=breadth + 1)

    @lru_cache(None)
    def section_span(subset: int) -> Fraction:
        limits = sorted({total(part) for part in range(1, subset + 1) if part & subset == part})
        return next((s for s in limits if least_breadth(subset, s) <= breadth), span + 1)

    @lru_cache(None)
    def least_span(subset: int) -> Fraction:
        if not subset:
            return Fraction(0)
        return min(
            section_span(part) + least_span(subset ^ part) for part in parts_with_lowest(subset)
        )

    every = (1 << len(sizes)) - 1
    if stages == 2:
        return least_breadth(every, span) <= breadth
    return least_span(every) <= span
