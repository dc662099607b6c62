"""A plan and, beside it, dual vectors that bound the sheets of any other demand.

A bound is good near the demands that its vectors were taken at. They are taken at the base demand;
at every start (one kind of demand nearly alone); and at the candidates where the bound so far falls
furthest short of the candidate's own, one after another (the greedy rule for covering a set:
Chvátal, "A greedy heuristic for the set-covering problem", Mathematics of Operations Research 4
(1979), from memory). How far the bound falls short elsewhere is measured at demands held out.

The other demands do not wait for one another. They are worked through in two shares, each from the
patterns that the base demand's linear programme needed: one here and one in a second process, if it
can be had. Where a share is worked through does not change what it gives.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import dataclass

import numpy as np

from estimator.planner import tuning
from estimator.planner.bound.column_generation import ColumnGeneration
from estimator.planner.columns import PatternColumn
from estimator.planner.companion import Companion, Limit
from estimator.planner.cutting import Plan, plan_relaxed
from estimator.planner.grid import Job
from estimator.planner.mixes import Demand, DualVector, Mixes
from estimator.planner.parts import Report, Stop
from estimator.planner.search.state import Effort, never


@dataclass(frozen=True)
class Demands:
    """Pieces by key: of the base, of mixes to take vectors at, choose from and test on.

    ``batches``: parts of the base that are also planned by themselves, by name.
    """

    base: Demand
    starts: Sequence[Demand]
    candidates: Sequence[Demand]
    held_out: Sequence[Demand]
    batches: Mapping[str, Demand]

    def of(self, keys: Collection[str]) -> Demands:
        """The same for some of the parts."""

        def only(demand: Demand) -> Demand:
            return {key: demand[key] for key in keys}

        return Demands(
            only(self.base),
            [only(each) for each in self.starts],
            [only(each) for each in self.candidates],
            [only(each) for each in self.held_out],
            {name: only(each) for name, each in self.batches.items()},
        )


@dataclass(frozen=True)
class LivePlan:
    """The base demand's plan, vectors, and by what share their bound may fall short.

    ``batches``: sheets by batch if each is planned by itself.
    """

    plan: Plan
    vectors: tuple[DualVector, ...]
    margin_share: float
    batches: Mapping[str, int]

    def bound(self, demand: Demand) -> float:
        """The least cost of a demand, as the vectors see it."""
        return bound_of(self.vectors, demand)


def bound_of(vectors: Sequence[DualVector], demand: Demand) -> float:
    """The largest of the vectors' bounds."""
    return max((each.bound(demand) for each in vectors), default=0.0)


@dataclass(frozen=True)
class Share:
    """Demands to take vectors at and to plan, and the patterns that both start from."""

    job: Job
    columns: tuple[PatternColumn, ...]
    priced: tuple[Demand, ...]
    planned: tuple[Demand, ...]


@dataclass(frozen=True)
class Worked:
    """Vectors and sheets of a share's demands."""

    vectors: tuple[DualVector, ...]
    sheets: tuple[int, ...]


def plan_live(
    mixes: Mixes,
    demands: Demands,
    most: int,
    effort: Effort,
    report: Report | None = None,
    stop: Stop | None = None,
) -> LivePlan:
    """Plan the base demand, and take at most so many vectors.

    ``report`` hears what is being done and how much of it is done (0 to 1).
    """
    tell = report or (lambda words, done: None)
    numbers = mixes.numbers(demands.base)
    relaxation = mixes.generation.solve(numbers, stop, lambda words, near: tell(words, near / 4))
    columns = tuple(mixes.generation.pool)
    there = Share(mixes.job, columns, tuple(demands.starts), tuple(demands.batches.values()))
    here = Share(mixes.job, columns, (*demands.candidates, *demands.held_out), ())
    # A second process takes longer to begin than a small job takes.
    long = relaxation.work > tuning.SHARED_WORK or not relaxation.finished
    with Companion(work_share, there, 0) if long else nullcontext() as second:
        plan = plan_relaxed(
            mixes.generation, relaxation, numbers, effort, lambda w, near: tell(w, near / 2), stop
        )
        own = work_through(here, lambda done: tell("dual values for other counts", (1 + done) / 2))
        other = second.result(0, never) if second else None
        other = other or work_share(there, lambda: 0)
    tell("dual values for other counts", 1.0)
    base = DualVector(plan.dual_values, plan.credit)
    many = len(demands.candidates)
    priced = list(zip(own.vectors[:many], demands.candidates, strict=True))
    vectors = _chosen([base, *other.vectors][:most], priced, most)
    share = _margin(vectors, list(zip(own.vectors[many:], demands.held_out, strict=True)))
    batches = dict(zip(demands.batches, other.sheets, strict=True))
    return LivePlan(plan, tuple(vectors), share, batches)


def work_share(share: Share, limit: Limit) -> Worked:
    """In whichever process: the share's answers. There is nothing to limit."""
    return work_through(share, lambda done: None)


def work_through(share: Share, tell: Callable[[float], None]) -> Worked:
    """The share's answers; ``tell`` hears how much of it is done (0 to 1)."""
    generation = ColumnGeneration(share.job)
    generation.add(share.columns)
    mixes = Mixes(share.job, generation)
    vectors = []
    for number, demand in enumerate(share.priced):
        tell(number / len(share.priced))
        vectors.append(mixes.dual_vector(demand))
    quick = Effort(rounds=tuning.BATCH_ROUNDS, niceties=0, two_searches=False)
    return Worked(tuple(vectors), tuple(mixes.plan(each, quick).sheets for each in share.planned))


def _chosen(
    chosen: list[DualVector], candidates: Sequence[tuple[DualVector, Demand]], most: int
) -> list[DualVector]:
    """Add the vector of the demand where the bound falls furthest short, until it hardly does."""
    own = np.array([vector.bound(demand) for vector, demand in candidates])
    reached = np.array([bound_of(chosen, demand) for _, demand in candidates])
    while len(chosen) < most and len(candidates):
        short = (own - reached) / np.maximum(own, 1.0)
        worst = int(short.argmax())
        if short[worst] < tuning.HARDLY_SHORT:
            break
        vector = candidates[worst][0]
        chosen = [*chosen, vector]
        reached = np.maximum(reached, [vector.bound(demand) for _, demand in candidates])
    return chosen


def _margin(vectors: Sequence[DualVector], held_out: Sequence[tuple[DualVector, Demand]]) -> float:
    """How far the bound falls short of demands' own bounds, at demands it was not made from.

    The worst of them, rounded up to a tenth of a percent. The whole sheet that is added besides is
    for what rounding costs: a good plan takes the rounded bound or one sheet more.
    """
    share = 0.0
    for own, demand in held_out:
        reached = bound_of(vectors, demand)
        if reached > 0:
            share = max(share, own.bound(demand) / reached - 1)
    return math.ceil(round(share * 1000, 6)) / 1000
