"""How right the live sheet count is for counts nobody planned for.

`python -m tests.benchmarks.live_count merrowby-lodge 200` plans that many random room mixes, from
nothing to three times each count, and compares the workbook's bound, the bound with its margin, and
the plain rule of area over a usual yield with what the plan takes. The mixes differ from those that
the bound and its margin were made from. How far it has come goes to standard error. What was
measured is recorded for the table of DEVELOPERS.md.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pandas as pd

from estimator.cut_plans import MOST, CutPlan, demand_of
from estimator.estimate import Estimate, estimate
from estimator.expressions.value import calculate
from estimator.planner.cutting import Effort, Stock
from estimator.planner.mixes import Demand, Mixes
from estimator.project.templates import read_template
from tests.benchmarks.measured import record

SEED = 4711
EFFORT = Effort(rounds=12, work=2 * 10**9, niceties=0, two_searches=False)
WORKERS = 2
BATCH = 10  # mixes that share the patterns met; what they are does not depend on the workers


@dataclass(frozen=True)
class Outcome:
    """Sheets of a material at one mix: planned, bound, ordered, by area and usual yield."""

    material: str
    planned: int
    bound: float
    ordered: int
    by_area: int


@lru_cache(maxsize=1)
def job(template: str) -> Estimate:
    return estimate(read_template(template))


def planner(made: Estimate, cut: CutPlan) -> Mixes:
    stock = [Stock(cut.material.key, cut.material.length, cut.material.width)]
    return Mixes.of(cut.parts, stock, kerf=made.project.terms.kerf, trim=made.project.terms.trim)


def moved_counts(made: Estimate, times: Sequence[float]) -> pd.DataFrame:
    """The table of counts with the rooms of each type so many times those counted."""
    counts = made.typed["counts"].copy()
    for floor in made.model["counts"].axis:
        counts[floor] = counts[floor].astype(float) * np.array(times)
    return counts


def outcomes(template: str, batch: Sequence[Sequence[float]]) -> list[Outcome]:
    """Some mixes: what the workbook's own formulas give beside a plan for each mix."""
    made = job(template)
    sheets = [cut for cut in made.plans if cut.material.form == "sheet"]
    planners = [planner(made, cut) for cut in sheets]
    found = []
    for times in batch:
        need, live = live_count(made, times)
        found += [
            outcome(made, cut, mixes, need, live[cut.material.key])
            for cut, mixes in zip(sheets, planners, strict=True)
        ]
    return found


def live_count(
    made: Estimate, times: Sequence[float]
) -> tuple[Demand, dict[str, tuple[float, float]]]:
    """Pieces needed at a mix; by material the workbook's bound and what it orders."""
    typed = {**made.typed, "counts": moved_counts(made, times)}
    own = calculate(made.model, typed, [made.model["materials"]["order"]])["materials"]
    live = zip(own["bound"].to_list(), own["order"].to_list(), strict=True)
    return demand_of(made.model, typed), dict(zip(own["key"].to_list(), live, strict=True))


def outcome(
    made: Estimate, cut: CutPlan, mixes: Mixes, need: Demand, live: tuple[float, float]
) -> Outcome:
    """Of one material; ``live``: the workbook's bound and order."""
    own = {part.key: need[part.key] for part in cut.parts}
    planned = mixes.plan(own, EFFORT).sheets if any(own.values()) else 0
    area = sum(own[part.key] * float(part.length) * float(part.width) for part in cut.parts)
    sheet = float(cut.material.length) * float(cut.material.width)
    usual = float(made.project.terms.waste_yield)
    by_area = math.ceil(area / sheet / usual)
    return Outcome(cut.material.key, planned, live[0], int(live[1]), by_area)


def mixes(template: str, number: int) -> Iterator[list[float]]:
    """Whole rooms per type: multiples of the counted ones, from none to three times."""
    made = job(template)
    counted = made.values["types"]["counted"].to_numpy()
    random = np.random.default_rng(SEED)
    for _ in range(number):
        wanted = np.round(random.uniform(0, MOST, len(counted)) * counted)
        yield list(np.divide(wanted, counted, out=np.zeros_like(counted), where=counted > 0))


COLUMNS = (
    "template, material",
    "mixes",
    "sheets",
    "bound above plan",
    "short by at most 1 or 0.5 %",
    "margin enough",
    "most too many",
    "too many by at most 2 or 1.5 %",
    "area rule off by up to",
)


def row(name: str, own: list[Outcome]) -> tuple[str, ...]:
    """What the outcomes of one material come to."""

    def share(test: list[bool]) -> str:
        return f"{sum(test) / len(test):.1%}"

    short = [each.planned - math.ceil(round(each.bound, 6)) for each in own]
    too_many = [each.ordered - each.planned for each in own]
    return (
        name,
        str(len(own)),
        f"{min(e.planned for e in own)}-{max(e.planned for e in own)}",
        str(sum(round(each.bound, 6) > each.planned for each in own)),
        share([s <= max(1, 0.005 * e.planned) for s, e in zip(short, own, strict=True)]),
        share([each >= 0 for each in too_many]),
        f"{max(too_many)}",
        share([t <= max(2, 0.015 * e.planned) for t, e in zip(too_many, own, strict=True)]),
        f"{max(abs(e.by_area - e.planned) for e in own)}",
    )


def measured(template: str, number: int) -> Iterator[Outcome]:
    """Outcomes at so many mixes, in their order; says on standard error how many are done."""
    every = list(mixes(template, number))
    batches = [every[start : start + BATCH] for start in range(0, number, BATCH)]
    with ProcessPoolExecutor(WORKERS) as pool:
        for done, some in enumerate(pool.map(outcomes, [template] * len(batches), batches), 1):
            print(f"{min(done * BATCH, number)} of {number} mixes", file=sys.stderr, flush=True)
            yield from some


def main() -> None:
    template, number = sys.argv[1], int(sys.argv[2])
    found = list(measured(template, number))
    materials = dict.fromkeys(each.material for each in found)
    rows = [row(f"{template}, {key}", [e for e in found if e.material == key]) for key in materials]
    print(" | ".join(COLUMNS))
    for each in rows:
        print(" | ".join(each))
    record("live-count", COLUMNS, rows)


if __name__ == "__main__":
    main()
