"""Column generation: the patterns that the linear programme needs, and the proven lower bound.

Solve the restricted master problem, take each part's dual value, solve the pricing problem for
patterns of negative reduced cost, repeat: Gilmore and Gomory, "A linear programming approach to the
cutting-stock problem", part II, Operations Research 11 (1963), from memory. The dual values become
whole numbers before they are used, and the final ones are scaled so that no pattern at all is worth
more than its cost. The bound is calculated from those, so that no solver tolerance is in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from estimator.planner import tuning
from estimator.planner.bound.lower_bound import DualBound
from estimator.planner.bound.pricing import Pricer
from estimator.planner.bound.restricted_master import Floats, LinearSolution, RestrictedMaster
from estimator.planner.columns import PatternColumn, full_of
from estimator.planner.grid import Ints, Job, common_divisor
from estimator.planner.parts import NotEnoughStock, Report, Stop, exact

ALL = 2**31  # copies: as many as fit
SCALE = 2**28  # the dearest sheet's cost in dual units
LEAST_WORTH = SCALE // tuning.LEAST_SHARE


@dataclass(frozen=True)
class Relaxation:
    """The solved linear programme: how often each column of the pool, and the proven bound."""

    times: Floats
    bound: DualBound
    least: Fraction
    finished: bool
    work: int  # points looked at


class ColumnGeneration:
    """The restricted master problem over a growing pool, and the pricing that grows it."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.pricers = [Pricer(job, number) for number in range(len(job.grids))]
        self.costs = [exact(sheet.cost, sheet.key) for sheet in job.stock]
        self.scale = Fraction(SCALE) / (max(self.costs) or Fraction(1))
        # By stock, in dual units: what a sheet must be worth more than to be of use.
        self.limits = [int(cost * self.scale * (1 + Fraction(1, 10**6))) for cost in self.costs]
        self.step = common_divisor(self.costs) or Fraction(1)
        self.turn = 0
        self.programmed = 0  # points' worth of work in linear programmes
        self.restricted_master = RestrictedMaster(job)
        self.add(self._plain_columns())

    def solve(
        self,
        demand: Sequence[int],
        stop: Stop | None = None,
        report: Report | None = None,
        close: float = 0.0,
    ) -> Relaxation:
        """Generate columns until none improves (or ``stop``), starting from the pool so far.

        ``close``: how near to the programme's value, as a share of it, the bound is good enough.
        """
        self.restricted_master.ask([number or tuning.NIL for number in demand])
        spent = self.spent()
        best: DualBound | None = None
        halted = proof = False
        while True:
            solution = self.restricted_master.solve()
            self.programmed += solution.work
            halted = stop is not None and stop()
            bound, fresh = self._price(solution, proof or halted, close)
            if bound and (best is None or bound.of(demand) > best.of(demand)):
                best = bound
            value = solution.value
            if best and report:
                report("pricing patterns", float(best.of(demand)) / value if value else 1.0)
            # Columns in the pool already do not count: a solver's tolerance can make them look
            # worth their while.
            added = self.add(fresh)
            if added == 0 and bound:
                break
            work = self.spent() - spent
            if best and (halted or self._near_enough(best.of(demand), value, close, work)):
                break
            proof = added == 0
        assert best is not None
        return self._relaxation(solution, best, demand, halted, self.spent() - spent)

    @property
    def pool(self) -> dict[PatternColumn, None]:
        """The columns found so far."""
        return self.restricted_master.columns

    @property
    def limited(self) -> list[int]:
        """The stock of which there is only so much."""
        return self.restricted_master.limited

    def cost(self, sheets: Mapping[PatternColumn, int]) -> Fraction:
        """What the sheets cost."""
        many = [0] * len(self.costs)
        for column, times in sheets.items():
            many[column.stock] += times
        return sum((cost * n for cost, n in zip(self.costs, many, strict=True)), Fraction(0))

    def spent(self) -> int:
        """Points looked at so far, in pricing and by their worth in linear programmes."""
        return self.programmed + sum(pricer.spent for pricer in self.pricers)

    def whole_duals(self, duals: Floats) -> Ints:
        """Dual values in dual units."""
        return np.floor(duals * float(self.scale)).astype(np.int64)

    def quick_columns(self, duals: Floats, wanted: int) -> list[PatternColumn]:
        """Columns of negative reduced cost at these dual values, found without a proof."""
        whole = self.whole_duals(duals)
        found: list[PatternColumn] = []
        for pricer in self.pricers:
            limit = self.limits[pricer.grid.stock]
            found += pricer.price(whole, limit, False, wanted).columns
        return found

    def _near_enough(self, least: Fraction, value: float, close: float, work: int) -> bool:
        """Whether the bound is as good as it need be; after much work that is less."""
        if value - float(least) <= close * value:
            return True
        if work < tuning.BOUND_WORK:
            return False
        step = float(self.step)
        same = math.ceil(float(least) / step) == math.ceil(value / step - 1e-6)
        near = tuning.BOUND_NEAR * value * work / tuning.BOUND_WORK
        return same or value - float(least) < near

    def _relaxation(
        self,
        solution: LinearSolution,
        best: DualBound,
        demand: Sequence[int],
        halted: bool,
        work: int,
    ) -> Relaxation:
        if not halted and solution.uncovered > 1e-4:
            raise NotEnoughStock("the stock on hand does not yield the parts")
        times = np.zeros(len(self.pool))
        times[: len(solution.times)] = solution.times
        return Relaxation(times, best, best.of(demand), not halted, work)

    def add(self, columns: Iterable[PatternColumn]) -> int:
        """Put columns into the pool; the number that were new."""
        return self.restricted_master.add(columns)

    def _plain_columns(self) -> list[PatternColumn]:
        """For every grid, each shape by itself: once, and as often as the sheet holds it.

        The full ones keep dual values so low from the start that no sheet is worth many times its
        cost.
        """
        return [
            full_of(self.job, number, place, most)
            for most in (1, ALL)
            for number, grid in enumerate(self.job.grids)
            for place in range(len(grid.shapes))
        ]

    def _price(
        self, solution: LinearSolution, proof: bool, close: float
    ) -> tuple[DualBound | None, list[PatternColumn]]:
        """Columns of negative reduced cost, and with proof the bound.

        The proof is for what is worth by a share of ``close`` more than it costs: quicker, and the
        bound lower by that at most.
        """
        scale = self.scale
        duals = self.whole_duals(solution.duals)
        rents = self._rents(solution)
        fresh: list[PatternColumn] = []
        shrink = Fraction(1)
        for _ in self.pricers:
            if fresh and not proof:
                break  # the other grids have their turn next time
            pricer = self.pricers[self.turn]
            self.turn = (self.turn + 1) % len(self.pricers)
            stock = pricer.grid.stock
            limit = math.floor((self.costs[stock] + rents[stock]) * scale)
            slack = limit + int(scale * max(self.costs) * Fraction(close / 2 + 1e-9))
            priced = pricer.price(duals, slack, proof, tuning.COLUMNS_WANTED)
            fresh += priced.columns
            if priced.most is not None and priced.most > limit:
                shrink = min(shrink, Fraction(limit, priced.most))
        if not proof:
            return None, fresh
        on_hand = (rents[i] * (self.job.stock[i].on_hand or 0) for i in self.limited)
        return DualBound(duals, sum(on_hand, Fraction(0)) * shrink, scale, shrink), fresh

    def _rents(self, solution: LinearSolution) -> list[Fraction]:
        """By stock, what a sheet is worth beyond its cost because there are only so many."""
        rents = [Fraction(0)] * len(self.job.stock)
        for i, rent in zip(self.limited, solution.rents.tolist(), strict=True):
            rents[i] = Fraction(math.floor(rent * float(self.scale))) / self.scale
        return rents
