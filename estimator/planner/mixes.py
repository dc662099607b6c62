"""One job, many demands: prices for a live bound, and quick plans to measure its margin.

The sizes stay, only the numbers change, so that the patterns found for one demand are the start
for the next.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from estimator.planner.cutting import BOTH_WAYS, Plan, above, below, plan_demand, prices_of
from estimator.planner.grid import FirstCut, lay_out
from estimator.planner.master import Master, Progress, Stop
from estimator.planner.parts import Exact, Part, Stock, exact
from estimator.planner.rounding import Effort
from estimator.planner.searching import fewest

Demand = Mapping[str, int]


@dataclass(frozen=True)
class PriceVector:
    """Prices taken at one demand: cost >= sum(price * pieces) - credit for every demand."""

    prices: Mapping[str, float]
    credit: float

    def bound(self, demand: Demand) -> float:
        """The least cost of a demand as these prices see it."""
        return sum(self.prices[key] * number for key, number in demand.items()) - self.credit


@dataclass(frozen=True)
class MixPlan:
    """What one demand takes: whole sheets by stock, their cost, and the bound of its own."""

    by_stock: Mapping[str, int]
    cost: float
    bound: float

    @property
    def sheets(self) -> int:
        return sum(self.by_stock.values())


class Mixes:
    """Plans many demands of the same parts from the same stock; keeps the patterns it meets."""

    def __init__(
        self,
        parts: Sequence[Part],
        stock: Sequence[Stock],
        *,
        kerf: Exact,
        trim: Exact = 0,
        stages: int = 3,
        first_cuts: Sequence[FirstCut] = BOTH_WAYS,
    ) -> None:
        kerf, trim = exact(kerf, "kerf"), exact(trim, "trim")
        self.job = lay_out(parts, stock, kerf, trim, stages, first_cuts)
        self.master = Master(self.job)

    def _numbers(self, demand: Demand) -> list[int]:
        unknown = set(demand) - {part.key for part in self.job.parts}
        if unknown:
            raise ValueError(f"demand for parts that the job does not have: {sorted(unknown)}")
        return [demand.get(part.key, 0) for part in self.job.parts]

    def prices(self, demand: Demand, stop: Stop | None = None) -> PriceVector:
        """The prices that make the bound as high as it gets at this demand."""
        bound = self.master.solve(self._numbers(demand), stop).bound
        return PriceVector(prices_of(self.job, bound), above(bound.credit))

    def whole_plan(
        self,
        demand: Demand,
        effort: Effort | None = None,
        progress: Progress | None = None,
        stop: Stop | None = None,
    ) -> Plan:
        """The plan of one demand with its patterns, which later demands then start from."""
        return plan_demand(self.master, self._numbers(demand), effort, progress, stop)

    def plan(self, demand: Demand, effort: Effort | None = None) -> MixPlan:
        """A whole-number plan for this demand, in counts only."""
        numbers = self._numbers(demand)
        relaxation = self.master.solve(numbers)
        sheets = fewest(self.master, relaxation, numbers, effort or Effort())
        by_stock = {
            sheet.key: sum(n for column, n in sheets.items() if column.stock == i)
            for i, sheet in enumerate(self.job.stock)
        }
        return MixPlan(by_stock, float(self.master.cost(sheets)), below(relaxation.least))
