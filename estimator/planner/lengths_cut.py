"""Bought lengths (rail, edging): the same planning in one dimension.

A bar is a sheet one unit wide with parts one unit wide: one strip, crosscut into pieces.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.planner.cutting import Plan, plan_sheets
from estimator.planner.master import Progress, Stop
from estimator.planner.parts import Exact, Part, Stock, exact
from estimator.planner.pattern import Pattern, pieces_of
from estimator.planner.rounding import Effort


@dataclass(frozen=True)
class LengthPart:
    """Pieces of one length, needed ``demand`` times."""

    key: str
    length: Exact
    demand: int


@dataclass(frozen=True)
class Bar:
    """A length that can be bought: what one costs and how many there are (None: any number)."""

    key: str
    length: Exact
    cost: Exact = 1
    on_hand: int | None = None


@dataclass(frozen=True)
class BarPattern:
    """One way to cut one bar: (part, where it starts, its length) from one end to the other."""

    bar: str
    length: Fraction
    pieces: tuple[tuple[str, Fraction, Fraction], ...]
    rest: Fraction  # the end piece left over, less the kerf that frees it


@dataclass(frozen=True)
class BarPlan:
    """As ``Plan``, for bars."""

    patterns: tuple[tuple[BarPattern, int], ...]
    by_bar: Mapping[str, int]
    cost: Fraction
    bound: float
    prices: Mapping[str, float]
    credit: float
    surplus: Mapping[str, int]
    gap: float
    stopped_early: bool

    @property
    def bars(self) -> int:
        """Bars in all, of every length."""
        return sum(self.by_bar.values())


def as_sheet_parts(parts: Sequence[LengthPart]) -> list[Part]:
    """The parts as rectangles one wide, for the functions that plan sheets."""
    return [Part(part.key, part.length, 1, part.demand) for part in parts]


def as_sheets(bars: Sequence[Bar], trim: Exact) -> list[Stock]:
    """The bars as sheets that are one wide once the trim is off."""
    wide = 1 + 2 * exact(trim, "trim")
    return [Stock(bar.key, bar.length, wide, bar.cost, bar.on_hand) for bar in bars]


def plan_lengths(
    parts: Sequence[LengthPart],
    bars: Sequence[Bar],
    *,
    kerf: Exact,
    trim: Exact = 0,
    effort: Effort | None = None,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> BarPlan:
    """Plan the cutting of bought lengths; ``trim`` comes off both ends. Raises as plan_sheets."""
    plan = plan_sheets(
        as_sheet_parts(parts),
        as_sheets(bars, trim),
        kerf=kerf,
        trim=trim,
        stages=2,
        first_cuts=("along",),
        effort=effort,
        progress=progress,
        stop=stop,
    )
    return _as_bars(plan)


def _as_bars(plan: Plan) -> BarPlan:
    return BarPlan(
        tuple((_as_bar(pattern), times) for pattern, times in plan.patterns),
        plan.by_stock,
        plan.cost,
        plan.bound,
        plan.prices,
        plan.credit,
        plan.surplus,
        plan.gap,
        plan.stopped_early,
    )


def _as_bar(pattern: Pattern) -> BarPattern:
    pieces = tuple((p.part, p.box.x, p.box.length) for p in pieces_of(pattern))
    _, start, length = pieces[-1]
    rest = pattern.length - pattern.trim - (start + length) - pattern.kerf
    return BarPattern(pattern.stock, pattern.length, pieces, max(rest, Fraction(0)))
