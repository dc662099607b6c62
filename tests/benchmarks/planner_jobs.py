"""How good and how quick the planner is: gcut1d to gcut12d and the thirty-six made jobs.

Run: python -m tests.benchmarks.planner_jobs [words that a job's name must hold]
"""

from __future__ import annotations

import math
import sys
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from estimator.planner.cutting import FirstCut, Part, Stock, plan_sheets
from tests.planner.checking import plan_faults
from tests.planner.gcut import BOUNDS, gcut
from tests.planner.made_jobs import all_made_jobs

BOTH: tuple[FirstCut, ...] = ("across", "along")


@dataclass(frozen=True)
class Run:
    name: str
    parts: tuple[Part, ...]
    stock: tuple[Stock, ...]
    kerf: Fraction
    trim: Fraction
    stages: int
    first_cuts: tuple[FirstCut, ...] = BOTH


def runs() -> Iterator[Run]:
    for number in BOUNDS:
        parts, stock = gcut(number)
        plain = (tuple(parts), tuple(stock), Fraction(0), Fraction(0))
        yield Run(f"gcut{number}d first across", *plain, 3, ("across",))
        yield Run(f"gcut{number}d either way", *plain, 3)
        yield Run(f"gcut{number}d two stages", *plain, 2)
    for job in all_made_jobs():
        yield Run(job.name, job.parts, job.stock, job.kerf, job.trim, job.stages)


def line(run: Run) -> tuple[str, int]:
    """A row of the table, and by how many sheets the plan is above the rounded bound."""
    wall, processor = time.perf_counter(), time.process_time()
    plan = plan_sheets(
        run.parts,
        run.stock,
        kerf=run.kerf,
        trim=run.trim,
        stages=run.stages,
        first_cuts=run.first_cuts,
    )
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    above = plan.sheets - math.ceil(plan.bound)
    wrong = plan_faults(plan, run.parts, run.kerf, run.trim, run.stages)
    row = (
        f"| {run.name} | {plan.bound:.3f} | {plan.sheets} | {above} | {len(plan.patterns)} "
        f"| {wall:.1f} | {processor:.1f} | {wrong or 'right'} |"
    )
    return row, above


def main() -> None:
    print("| job | bound | sheets | above | patterns | s | processor s | checker |")
    print("|---|---|---|---|---|---|---|---|")
    counts: Counter[int] = Counter()
    for run in runs():
        if all(word in run.name for word in sys.argv[1:]):
            row, above = line(run)
            counts[above] += 1
            print(row, flush=True)
    print(f"\nsheets above the rounded bound, and in how many jobs: {dict(sorted(counts.items()))}")


if __name__ == "__main__":
    main()
