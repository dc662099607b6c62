"""One job, many demands: dual values for a live bound, and quick plans to measure its margin.

The sizes stay, only the numbers change, so that the patterns found for one demand are the start
for the next. Dual values feasible at one demand bound every other (weak duality of linear
programmes: Gale, Kuhn and Tucker, "Linear programming and the theory of games" (1951), from
memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from estimator.planner import tuning
from estimator.planner.bound.column_generation import ColumnGeneration
from estimator.planner.bound.lower_bound import above, below
from estimator.planner.cutting import BOTH_WAYS
from estimator.planner.grid import FirstCut, Job, lay_out
from estimator.planner.parts import CutPart, Exact, Stock, Stop, exact
from estimator.planner.search.searching import fewest
from estimator.planner.search.state import Effort

Demand = Mapping[str, int]


@dataclass(frozen=True)
class DualVector:
    """Dual values taken at one demand: cost >= sum(value * pieces) - credit for every demand."""

    values: Mapping[str, float]
    credit: float

    def bound(self, demand: Demand) -> float:
        """The least cost of a demand as these dual values see it."""
        return sum(self.values[key] * number for key, number in demand.items()) - self.credit


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

    def __init__(self, job: Job, generation: ColumnGeneration | None = None) -> None:
        self.job = job
        self.generation = generation or ColumnGeneration(job)

    @classmethod
    def of(
        cls,
        parts: Sequence[CutPart],
        stock: Sequence[Stock],
        *,
        kerf: Exact,
        trim: Exact = 0,
        stages: int = 3,
        first_cuts: Sequence[FirstCut] = BOTH_WAYS,
    ) -> Mixes:
        """For parts and stock as ``plan_sheets`` takes them. Raises as it does."""
        kerf, trim = exact(kerf, "kerf"), exact(trim, "trim")
        return cls(lay_out(parts, stock, kerf, trim, stages, first_cuts))

    def numbers(self, demand: Demand) -> list[int]:
        """The pieces wanted, in the order of the job's parts."""
        unknown = set(demand) - {part.key for part in self.job.parts}
        if unknown:
            raise ValueError(f"demand for parts that the job does not have: {sorted(unknown)}")
        return [demand.get(part.key, 0) for part in self.job.parts]

    def dual_vector(self, demand: Demand, stop: Stop | None = None) -> DualVector:
        """The dual values that make the bound as high as it gets at this demand."""
        bound = self.generation.solve(self.numbers(demand), stop, close=tuning.CLOSE).bound
        keys = [part.key for part in self.job.parts]
        return DualVector(bound.dual_floats(keys), above(bound.credit))

    def plan(self, demand: Demand, effort: Effort | None = None) -> MixPlan:
        """A whole-number plan for this demand, in counts only."""
        numbers = self.numbers(demand)
        relaxation = self.generation.solve(numbers, close=tuning.CLOSE)
        sheets = fewest(self.generation, relaxation, numbers, effort or Effort())
        by_stock = {
            sheet.key: sum(n for column, n in sheets.items() if column.stock == i)
            for i, sheet in enumerate(self.job.stock)
        }
        return MixPlan(by_stock, float(self.generation.cost(sheets)), below(relaxation.least))
