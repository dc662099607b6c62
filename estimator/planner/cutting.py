"""Sheets for parts: the plan, the proven least number, and a price for every part.

from estimator.planner.cutting import Part, Stock, plan_sheets

plan = plan_sheets(
    [Part("shelf", Fraction(73, 2), 12, demand=40), Part("cleat", 20, 3, demand=80)],
    [Stock("ply", 96, 48)],
    kerf=Fraction(1, 8),
)
plan.sheets, plan.bound, plan.patterns, plan.prices
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.planner.grid import FirstCut, Job, lay_out
from estimator.planner.master import Bound, Master, Progress, Relaxation, Stop
from estimator.planner.parts import (
    Exact,
    Misfit,
    NotEnoughStock,
    Part,
    PartDoesNotFit,
    Stock,
    exact,
)
from estimator.planner.pattern import Pattern, draw_up, placements
from estimator.planner.rounding import Effort, Sheets
from estimator.planner.searching import fewest

__all__ = [
    "Effort",
    "FirstCut",
    "Misfit",
    "NotEnoughStock",
    "Part",
    "PartDoesNotFit",
    "Pattern",
    "Plan",
    "Stock",
    "placements",
    "plan_sheets",
]

BOTH_WAYS: tuple[FirstCut, ...] = ("across", "along")


@dataclass(frozen=True)
class Plan:
    """How the parts are cut.

    ``bound``: no plan whatever costs less (in sheets when a sheet costs 1). ``prices``: what one
    piece of a part adds to the bound; the prices of what any sheet can yield never exceed its
    cost, so that for any other demand too sum(price * pieces) - ``credit`` is a proven least cost.
    ``credit`` is 0 unless stock is limited in number. ``surplus``: pieces beyond the demand.
    """

    patterns: tuple[tuple[Pattern, int], ...]
    by_stock: Mapping[str, int]
    cost: Fraction
    bound: float
    prices: Mapping[str, float]
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
    parts: Sequence[Part],
    stock: Sequence[Stock],
    *,
    kerf: Exact,
    trim: Exact = 0,
    stages: int = 3,
    first_cuts: Sequence[FirstCut] = BOTH_WAYS,
    effort: Effort | None = None,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> Plan:
    """Plan the cutting of ``parts`` from ``stock``, in any one unit of length.

    ``kerf`` is what a cut eats, ``trim`` what comes off each of the four sides (its cuts
    included). ``stages``: 3 for sections, strips and pieces, 2 for strips and pieces; a piece may
    always be trimmed to its width. ``first_cuts``: the directions the first cuts may have; a plan
    may mix them. ``progress`` hears what is being done and how near the plan is to the bound (0 to
    1); once ``stop`` says True the best plan so far is returned.

    Raises PartDoesNotFit, NotEnoughStock, and ValueError or TypeError for senseless input.
    """
    job = lay_out(parts, stock, exact(kerf, "kerf"), exact(trim, "trim"), stages, first_cuts)
    return plan_demand(Master(job), [part.demand for part in parts], effort, progress, stop)


def plan_demand(
    master: Master,
    demand: Sequence[int],
    effort: Effort | None = None,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> Plan:
    """The plan of a demand, from the patterns that the master has met so far onwards."""
    relaxation = master.solve(demand, stop, progress)
    sheets = fewest(master, relaxation, demand, effort or Effort(), stop, progress)
    stopped = not relaxation.finished or (stop is not None and stop())
    return make_plan(master.job, sheets, relaxation, demand, master.cost(sheets), stopped)


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
        prices_of(job, relaxation.bound),
        above(relaxation.bound.credit),
        surplus,
        stopped,
    )


def prices_of(job: Job, bound: Bound) -> dict[str, float]:
    """Prices by part key, each a hair below its exact value so that float sums stay bounds."""
    return {
        part.key: below(bound.price(i) * (1 - Fraction(1, 10**13)))
        for i, part in enumerate(job.parts)
    }


def below(value: Fraction) -> float:
    """The float at or just below an exact value."""
    near = float(value)
    return near if Fraction(near) <= value else math.nextafter(near, -math.inf)


def above(value: Fraction) -> float:
    """The float at or just above an exact value."""
    near = float(value)
    return near if Fraction(near) >= value else math.nextafter(near, math.inf)
