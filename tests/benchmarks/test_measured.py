"""The tables of DEVELOPERS.md are what was recorded, and what they say of plans still holds."""

from __future__ import annotations

import pytest

from tests.benchmarks.measured import PAGE, TABLES, marked, recorded, with_tables
from tests.benchmarks.planner_jobs import COLUMNS, jobs, measured

SHORT = 0.6
"""Seconds that a recorded job took, up to which it is planned again here."""


def test_developers_shows_what_was_recorded() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert sorted(marked(page)) == sorted(TABLES)
    assert with_tables(page) == page


def test_all_jobs_are_recorded_and_few_are_above_the_rounded_bound() -> None:
    frame = recorded("planner-jobs")
    assert list(frame["job"]) == [job.name for job, _ in jobs()]
    assert (frame["checker"] == "right").all()
    made = frame[~frame["job"].str.startswith("gcut")]
    assert len(made) == 36
    assert (made["above"] == "0").sum() >= 33
    assert (frame[frame["job"].str.startswith("gcut")]["above"] == "0").all()


@pytest.mark.parametrize(
    "name", [row.job for row in recorded("planner-jobs").itertuples() if float(str(row.s)) <= SHORT]
)
def test_a_short_job_plans_as_recorded(name: str) -> None:
    row = recorded("planner-jobs").set_index("job").loc[name]
    job, first_cuts = next((job, ways) for job, ways in jobs() if job.name == name)
    now = dict(zip(COLUMNS, measured(job, first_cuts), strict=True))
    steady = ["bound", "sheets", "above", "checker"]
    assert {each: now[each] for each in steady} == {each: row[each] for each in steady}
