"""Two searches beside each other: which plan is kept does not hang on how quick they are."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from estimator.planner import tuning
from estimator.planner.companion import Companion, Limit
from estimator.planner.cutting import Effort, Plan, plan_sheets
from estimator.planner.search import searching
from estimator.planner.search.searching import Find, Task
from tests.planner.checking import plan_faults
from tests.planner.made_jobs import MadeJob, made_job

EFFORT = Effort(work=4 * 10**8)
JOBS = [
    made_job("inch", 14, 60, 2),
    made_job("inch", 15, 150, 3),
    made_job("inch", 17, 60, 2),
    made_job("metric", 9, 100, 2),
    made_job("metric", 11, 60, 2),
    made_job("metric", 14, 60, 2),
]


@pytest.fixture(autouse=True)
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Begin the second search before the first has done much, so that small jobs have one."""
    monkeypatch.setattr(tuning, "ALONE", 10**5)


class Here:
    """Stands in for a second process: done at once (``eager``), or not before it is asked for."""

    eager = False
    met = 0

    def __init__(self, work: Callable[[Task, Limit], Find], task: Task, limit: int) -> None:
        type(self).met += 1
        self.work, self.task = work, task
        self.so_far = work(task, lambda: limit) if self.eager else None

    def __enter__(self) -> Here:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def result(self, limit: int, stop: Callable[[], bool]) -> Find | None:
        return self.so_far or self.work(self.task, lambda: limit)


class Eager(Here):
    eager = True


def planned(job: MadeJob) -> Plan:
    return plan_sheets(
        job.parts, job.stock, kerf=job.kerf, trim=job.trim, stages=job.stages, effort=EFFORT
    )


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.name)
def test_the_plan_is_the_same_however_quick_the_second_search_is(
    job: MadeJob, monkeypatch: pytest.MonkeyPatch
) -> None:
    beside = planned(job)
    assert not plan_faults(beside, job.parts, job.kerf, job.trim, job.stages)
    for companion in (Here, Eager):
        monkeypatch.setattr(searching, "Companion", companion)
        companion.met = 0
        assert planned(job) == beside
        assert companion.met == 1, "the job is too easy to need a second search"


def test_the_plan_of_the_second_search_is_kept_when_it_took_less_work(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    finds: list[Find] = []

    class Noted(Here):
        def result(self, limit: int, stop: Callable[[], bool]) -> Find | None:
            finds.append(self.work(self.task, lambda: limit))
            return finds[0]

    monkeypatch.setattr(searching, "Companion", Noted)
    plan = planned(made_job("metric", 11, 60, 2))
    assert finds[0].sheets
    assert sorted(finds[0].sheets.values()) == sorted(times for _, times in plan.patterns)


def test_a_stop_ends_both_searches(monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[Companion[Task, Find]] = []

    class Watched(Companion[Task, Find]):
        def __init__(self, work: Callable[[Task, Limit], Find], task: Task, limit: int) -> None:
            super().__init__(work, task, limit)
            begun.append(self)

    monkeypatch.setattr(searching, "Companion", Watched)
    job = made_job("inch", 17, 60, 2)
    plan = plan_sheets(
        job.parts,
        job.stock,
        kerf=job.kerf,
        trim=job.trim,
        stages=2,
        stop=lambda: bool(begun),
    )
    assert plan.stopped_early
    assert not plan_faults(plan, job.parts, job.kerf, job.trim, 2)
    assert begun[0].process is not None
    assert begun[0].process.poll() is not None
