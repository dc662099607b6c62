"""How good and how quick the planner is: gcut1d to gcut12d and the thirty-six made jobs.

Seconds are of the clock; those of the processor are of both cores together. What was measured is
recorded for the tables of DEVELOPERS.md.

Run: python -m tests.benchmarks.planner_jobs [words that a job's name must hold]
"""

from __future__ import annotations

import math
import resource
import sys
import time
from collections.abc import Iterator
from fractions import Fraction

from estimator.planner.cutting import FirstCut, plan_sheets
from tests.benchmarks.measured import record
from tests.planner.checking import plan_faults
from tests.planner.gcut import BOUNDS, gcut
from tests.planner.made_jobs import MadeJob, all_made_jobs

BOTH: tuple[FirstCut, ...] = ("across", "along")


def jobs() -> Iterator[tuple[MadeJob, tuple[FirstCut, ...]]]:
    """Every job with the directions that its first cuts may have."""
    for number in BOUNDS:
        parts, stock = gcut(number)
        plain = (tuple(parts), tuple(stock), Fraction(0), Fraction(0))
        yield MadeJob(f"gcut{number}d first across", *plain, 3), ("across",)
        yield MadeJob(f"gcut{number}d either way", *plain, 3), BOTH
        yield MadeJob(f"gcut{number}d two stages", *plain, 2), BOTH
    for job in all_made_jobs():
        yield job, BOTH


COLUMNS = ("job", "bound", "sheets", "above", "patterns", "s", "processor s", "checker")


def measured(job: MadeJob, first_cuts: tuple[FirstCut, ...]) -> tuple[str, ...]:
    """A row of the table; above: sheets above the rounded bound."""
    wall, processor = time.perf_counter(), _processor()
    plan = plan_sheets(
        job.parts,
        job.stock,
        kerf=job.kerf,
        trim=job.trim,
        stages=job.stages,
        first_cuts=first_cuts,
    )
    wall, processor = time.perf_counter() - wall, _processor() - processor
    above = plan.sheets - math.ceil(plan.bound)
    faults = plan_faults(plan, job.parts, job.kerf, job.trim, job.stages)
    counts = (f"{plan.bound:.3f}", str(plan.sheets), str(above), str(len(plan.patterns)))
    return job.name, *counts, f"{wall:.1f}", f"{processor:.1f}", str(faults or "right")


def _processor() -> float:
    """Seconds that this process and those it began have used so far."""
    both = map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(used.ru_utime + used.ru_stime for used in both)


def main() -> None:
    rows = []
    print(" | ".join(COLUMNS))
    for job, first_cuts in jobs():
        if all(word in job.name for word in sys.argv[1:]):
            rows.append(measured(job, first_cuts))
            print(" | ".join(rows[-1]), flush=True)
    record("planner-jobs", COLUMNS, rows)


if __name__ == "__main__":
    main()
