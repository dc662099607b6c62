"""Sheets for parts: the plan, the proven least number, and a dual value for every part.

from estimator.planner.cutting import CutPart, Stock, plan_sheets

plan = plan_sheets(
    [CutPart("shelf", Fraction(73, 2), 12, demand=40), CutPart("cleat", 20, 3, demand=80)],
    [Stock("ply", 96, 48)],
    kerf=Fraction(1, 8),
)
plan.sheets, plan.bound, plan.patterns, plan.dual_values

Column generation, then rounding: Wäscher and Gau, "Heuristics for the integer one-dimensional
cutting stock problem: a computational study", OR Spektrum 18 (1996), from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.planner.bound.column_generation import ColumnGeneration, Relaxation
from estimator.planner.bound.lower_bound import above, below
from estimator.planner.grid import FirstCut, Job, lay_out
from estimator.planner.parts import (
    CutPart,
    Exact,
    Misfit,
    NotEnoughStock,
    PartDoesNotFit,
    Report,
    Stock,
    Stop,
    exact,
)
from estimator.planner.pattern import Pattern, draw_up, placements
from estimator.planner.search.searching import fewest
from estimator.planner.search.state import Effort, Sheets

__all__ = [
    "CutPart",
    "Effort",
    "FirstCut",
    "Misfit",
    "NotEnoughStock",
    "PartDoesNotFit",
    "Pattern",
    "Plan",
    "Report",
    "Stock",
    "Stop",
    "placements",
    "plan_sheets",
]

BOTH_WAYS: tuple[FirstCut, ...] = ("across", "along")


@dataclass(frozen=True)
class Plan:
    """How the parts are cut.

    ``bound``: no plan whatever costs less (in sheets when a sheet costs 1). ``dual_values``: what
    one piece of a part adds to the bound; the dual values of what any sheet can yield never exceed
    its cost, so that for any other demand too sum(dual value * pieces) - ``credit`` is a proven
    least cost. ``credit`` is 0 unless stock is limited in number. ``surplus``: pieces beyond the
    demand.
    """

    patterns: tuple[tuple[Pattern, int], ...]
    by_stock: Mapping[str, int]
    cost: Fraction
    bound: float
    dual_values: Mapping[str, float]
    credit: float
    surplus: Mapping[str, int]
    stopped_early: bool

    @property
    def sheets(self) -> int:
        """Sheets in all, of every size."""
        return sum(self.by_stock.values())

    @property
    def gap(self) -> float:
        """By how much of its cost the plan may exceed the best one at most."""
        return max(0.0, float(self.cost) - self.bound) / float(self.cost) if self.cost else 0.0


def plan_sheets(
    parts: Sequence[CutPart],
    stock: Sequence[Stock],
    *,
    kerf: Exact,
    trim: Exact = 0,
    stages: int = 3,
    first_cuts: Sequence[FirstCut] = BOTH_WAYS,
    effort: Effort | None = None,
    report: Report | None = None,
    stop: Stop | None = None,
) -> Plan:
    """Plan the cutting of ``parts`` from ``stock``, in any one unit of length.

    ``kerf`` is what a cut eats, ``trim`` what comes off each of the four sides (its cuts
    included). ``stages``: 3 for sections, strips and pieces, 2 for strips and pieces; a piece may
    always be trimmed to its width. ``first_cuts``: the directions the first cuts may have; a plan
    may mix them. ``report`` hears what is being done and how near the plan is to the bound (0 to
    1); once ``stop`` says True the best plan so far is returned.

    Raises PartDoesNotFit, NotEnoughStock, and ValueError or TypeError for senseless input.
    """
    job = lay_out(parts, stock, exact(kerf, "kerf"), exact(trim, "trim"), stages, first_cuts)
    demand = [part.demand for part in parts]
    return plan_demand(ColumnGeneration(job), demand, effort, report, stop)


def plan_demand(
    generation: ColumnGeneration,
    demand: Sequence[int],
    effort: Effort | None = None,
    report: Report | None = None,
    stop: Stop | None = None,
) -> Plan:
    """The plan of a demand, from the patterns met so far onwards."""
    relaxation = generation.solve(demand, stop, report)
    return plan_relaxed(generation, relaxation, demand, effort or Effort(), report, stop)


def plan_relaxed(
    generation: ColumnGeneration,
    relaxation: Relaxation,
    demand: Sequence[int],
    effort: Effort,
    report: Report | None = None,
    stop: Stop | None = None,
) -> Plan:
    """The plan of a demand whose linear programme is solved."""
    sheets = fewest(generation, relaxation, demand, effort, stop, report)
    stopped = not relaxation.finished or (stop is not None and stop())
    return make_plan(generation.job, sheets, relaxation, demand, generation.cost(sheets), stopped)


def make_plan(
    job: Job,
    sheets: Sheets,
    relaxation: Relaxation,
    demand: Sequence[int],
    cost: Fraction,
    stopped: bool,
) -> Plan:
    """The plan in the caller's terms, most repeated pattern first."""
    order = sorted(sheets.items(), key=lambda item: (-item[1], repr(item[0])))
    yields: Counter[int] = Counter()
    by_stock = dict.fromkeys((sheet.key for sheet in job.stock), 0)
    for column, times in order:
        by_stock[job.stock[column.stock].key] += times
        for part, pieces in column.yields:
            yields[part] += pieces * times
    surplus = {
        part.key: yields[i] - demand[i] for i, part in enumerate(job.parts) if yields[i] > demand[i]
    }
    return Plan(
        tuple((draw_up(job, column), times) for column, times in order),
        by_stock,
        cost,
        below(relaxation.least),
        relaxation.bound.dual_floats([part.key for part in job.parts]),
        above(relaxation.bound.credit),
        surplus,
        stopped,
    )
