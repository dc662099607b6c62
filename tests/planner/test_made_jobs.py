"""Made jobs through the checker and against their bounds."""

from __future__ import annotations

import math

import pytest

from estimator.planner.cutting import Effort, plan_sheets
from tests.planner.checking import plan_faults
from tests.planner.made_jobs import MadeJob, all_made_jobs, made_job


def quick(job: MadeJob) -> bool:
    """The largest jobs are left to the benchmark, which checks their plans as well."""
    return len(job.parts) < 30 or (len(job.parts) == 30 and job.stages == 2)


@pytest.mark.slow
@pytest.mark.parametrize(
    "job", [job for job in all_made_jobs() if quick(job)], ids=lambda job: job.name
)
def test_right_and_at_most_one_sheet_above_the_bound(job: MadeJob) -> None:
    plan = plan_sheets(
        job.parts,
        job.stock,
        kerf=job.kerf,
        trim=job.trim,
        stages=job.stages,
        effort=Effort(work=9 * 10**8),
    )
    assert not plan_faults(plan, job.parts, job.kerf, job.trim, job.stages)
    assert plan.sheets <= math.ceil(plan.bound) + 1


@pytest.mark.slow
@pytest.mark.parametrize(
    ("kind", "sizes", "pieces"), [("inch", 30, 1000), ("metric", 30, 100), ("inch", 60, 10000)]
)
def test_the_last_sheets_come_all_at_once(kind: str, sizes: int, pieces: int) -> None:
    """Jobs that fills and squeezes leave a sheet above the bound."""
    job = made_job(kind, sizes, pieces, 2)
    plan = plan_sheets(job.parts, job.stock, kerf=job.kerf, trim=job.trim, stages=2)
    assert not plan_faults(plan, job.parts, job.kerf, job.trim, 2)
    assert plan.sheets == math.ceil(plan.bound)
