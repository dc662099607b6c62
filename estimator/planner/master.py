"""Column generation: the patterns that the linear programme needs, and the proven bound.

Solve over the patterns at hand, take each part's dual price, look for patterns
worth more than they cost, repeat. The prices become whole numbers before they are used, and the
final ones are scaled so that no pattern at all is worth more than its cost. The bound is calculated
from those, so that no solver tolerance is in it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from estimator.planner.columns import Column, full_of
from estimator.planner.grid import Ints, Job, common_divisor
from estimator.planner.linear import Answer, Floats, Linear
from estimator.planner.parts import NotEnoughStock, exact
from estimator.planner.pricing import Care, Pricer

Stop = Callable[[], bool]
Progress = Callable[[str, float], None]

ALL = 2**31  # copies: as many as fit
SCALE = 2**28  # the dearest sheet's cost in price units
WORK = 8 * 10**8  # span points x breadth points priced before a rounded bound is enough
NEAR = 2e-5  # how near the bound must be then, growing with the work
LEAST_WORTH = SCALE // 10**5  # parts without a price are filled into sheets all the same
NIL = 1e-5  # demand that stands in for none, so that the part is priced all the same


@dataclass(frozen=True)
class Bound:
    """Dual feasible prices: cost >= sum(price * demand) - credit for any demand whatever."""

    prices: Ints  # per part, in units of 1 / (scale)
    credit: Fraction  # what limited stock takes off, in cost
    scale: Fraction  # price units in one unit of cost
    shrink: Fraction  # factor (at most 1) that makes the prices feasible

    def price(self, part: int) -> Fraction:
        """The price of one piece, in cost."""
        return int(self.prices[part]) * self.shrink / self.scale

    def of(self, demand: Sequence[int]) -> Fraction:
        """The least cost at which this demand can be met."""
        total = sum(int(p) * int(d) for p, d in zip(self.prices, demand, strict=True))
        return max(Fraction(0), total * self.shrink / self.scale - self.credit)


@dataclass(frozen=True)
class Relaxation:
    """The solved linear programme: how often each column of the pool, and the proven bound."""

    times: Floats
    bound: Bound
    least: Fraction
    finished: bool
    work: int  # points looked at


class Master:
    """The linear programme over a growing pool of columns, and the pricing that grows it."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.pricers = [Pricer(job, number) for number in range(len(job.frames))]
        self.costs = [exact(sheet.cost, sheet.key) for sheet in job.stock]
        self.scale = Fraction(SCALE) / (max(self.costs) or Fraction(1))
        # By stock, in price units: what a sheet must be worth more than to be of use.
        self.limits = [int(cost * self.scale * (1 + Fraction(1, 10**6))) for cost in self.costs]
        self.step = common_divisor(self.costs) or Fraction(1)
        self.turn = 0
        self.programmed = 0  # points' worth of work in linear programmes
        self.work = sum(
            len(pricer.frame.span.points) * len(pricer.frame.breadth.points)
            for pricer in self.pricers
            if pricer.frame.sectioned
        )
        self.linear = Linear(job)
        self.add(self._plain_columns())

    def solve(
        self,
        demand: Sequence[int],
        stop: Stop | None = None,
        progress: Progress | None = None,
    ) -> Relaxation:
        """Generate columns until none improves (or ``stop``), starting from the pool so far."""
        self.linear.ask([number or NIL for number in demand])
        spent = self.spent()
        best: Bound | None = None
        work, halted = 0, False
        care = least_care = Care.COARSE
        while True:
            answer = self.linear.solve()
            self.programmed += answer.work
            halted = stop is not None and stop()
            bound, fresh = self._price(answer, Care.PROOF if halted else care)
            work += self.work
            if bound and (best is None or bound.of(demand) > best.of(demand)):
                best = bound
            value = answer.value
            if best and progress:
                progress("pricing patterns", float(best.of(demand)) / value if value else 1.0)
            added = self.add(fresh)
            if added == 0 and bound:
                break
            if best and (halted or self._near_enough(best.of(demand), value, work)):
                break
            # Once the coarse grid is exhausted it has little more to give. Columns in the pool
            # already do not count: a solver's tolerance can make them look worth their while.
            care = least_care if added else Care(care + 1)
            least_care = max(least_care, min(care, Care.OK))
        assert best is not None
        return self._relaxation(answer, best, demand, halted, self.spent() - spent)

    @property
    def pool(self) -> dict[Column, None]:
        """The columns found so far."""
        return self.linear.columns

    @property
    def limited(self) -> list[int]:
        """The stock of which there is only so much."""
        return self.linear.limited

    def cost(self, sheets: Mapping[Column, int]) -> Fraction:
        """What the sheets cost."""
        many = [0] * len(self.costs)
        for column, times in sheets.items():
            many[column.stock] += times
        return sum((cost * n for cost, n in zip(self.costs, many, strict=True)), Fraction(0))

    def spent(self) -> int:
        """Points looked at so far, in pricing and by their worth in linear programmes."""
        return self.programmed + sum(pricer.spent for pricer in self.pricers)

    def whole_prices(self, duals: Floats) -> Ints:
        """Duals in price units."""
        return np.floor(duals * float(self.scale)).astype(np.int64)

    def quick_columns(self, duals: Floats, wanted: int) -> list[Column]:
        """Columns worth more than they cost at these duals, found on coarse grids."""
        prices = self.whole_prices(duals)
        found: list[Column] = []
        for pricer in self.pricers:
            limit = self.limits[pricer.frame.stock]
            found += pricer.price(prices, limit, Care.COARSE, wanted).columns
        return found

    def _near_enough(self, least: Fraction, value: float, work: int) -> bool:
        """Whether, after much work, the bound is as good as it need be."""
        if work < WORK:
            return False
        step = float(self.step)
        same = math.ceil(float(least) / step) == math.ceil(value / step - 1e-6)
        return same or value - float(least) < NEAR * value * work / WORK

    def _relaxation(
        self, answer: Answer, best: Bound, demand: Sequence[int], halted: bool, work: int
    ) -> Relaxation:
        if not halted and answer.uncovered > 1e-4:
            raise NotEnoughStock("the stock on hand does not yield the parts")
        times = np.zeros(len(self.pool))
        times[: len(answer.times)] = answer.times
        return Relaxation(times, best, best.of(demand), not halted, work)

    def add(self, columns: Iterable[Column]) -> int:
        """Put columns into the pool; the number that were new."""
        return self.linear.add(columns)

    def _plain_columns(self) -> list[Column]:
        """For every frame, each shape by itself: once, and as often as the sheet holds it.

        The full ones keep prices so low from the start that no sheet is worth many times its cost.
        """
        return [
            full_of(self.job, number, place, most)
            for most in (1, ALL)
            for number, frame in enumerate(self.job.frames)
            for place in range(len(frame.shapes))
        ]

    def _price(self, answer: Answer, care: Care) -> tuple[Bound | None, list[Column]]:
        """Prices made whole, columns worth more than they cost, and with proof the bound."""
        scale = self.scale
        prices = self.whole_prices(answer.duals)
        rents = dict.fromkeys(range(len(self.job.stock)), Fraction(0))
        for i, rent in zip(self.limited, answer.rents.tolist(), strict=True):
            rents[i] = Fraction(math.floor(rent * float(scale))) / scale
        fresh: list[Column] = []
        shrink = Fraction(1)
        for _ in self.pricers:
            if fresh and care != Care.PROOF:
                break  # the other frames have their turn next time
            pricer = self.pricers[self.turn]
            self.turn = (self.turn + 1) % len(self.pricers)
            stock = pricer.frame.stock
            limit = math.floor((self.costs[stock] + rents[stock]) * scale)
            slack = limit + int(scale * max(self.costs)) // 10**9
            found = pricer.price(prices, slack, care)
            fresh += found.columns
            if found.most is not None and found.most > limit:
                shrink = min(shrink, Fraction(limit, found.most))
        credit = sum(
            (rents[i] * (self.job.stock[i].on_hand or 0) for i in self.limited),
            Fraction(0),
        )
        return Bound(prices, credit * shrink, scale, shrink) if care == Care.PROOF else None, fresh
