"""Hours with repetition, against published learning-curve values.

Two forms are in use and both are called "the 85 % curve":
- cumulative average (T. P. Wright): the average of all units falls to 85 % with each doubling.
  This is the product's form; every value here comes out of an operation of a job.
- unit (J. R. Crawford): the time of the unit itself falls to 85 %. Calculated in this file only, as
  a contrast, so that nobody compares the product with the wrong table.

Sources: the documentation and tests of an open-source function library for learning curves
(AFIT-R/learningCurve 1.1.2, read); a project-management appendix for the 80 % row (secondary).
All were recomputed.
"""

from __future__ import annotations

import math
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate import Estimate
from estimator.problems import ProblemsFound
from tests.quantities.jobs import GRADE, MODULE, WORK, at_rooms, figures, job
from tests.workbook.estimates import estimated


def cumulative_average_total(first: float, slope: str, rooms: int) -> float:
    """Hours of all rooms, out of the product."""
    ((hours,),) = at_rooms(_estimate(first, slope), rooms, "operations", "hours")
    return hours


@cache
def _estimate(first: float, slope: str) -> Estimate:
    work = WORK | {"minutes": str(first * 60), "repetition": slope}
    return estimated(job(operations=[work]))


def average(first: float, slope: str, rooms: int) -> float:
    return cumulative_average_total(first, slope, rooms) / rooms


def unit_total(first: float, slope: float, units: int) -> float:
    """The unit form, for contrast only."""
    exponent = math.log(slope, 2)
    return first * sum(number**exponent for number in range(1, units + 1))


# --- Cumulative average: the product ------------------------------------------------------------


@pytest.mark.parametrize(
    ("rooms", "mean", "total"),
    [(1, 100, 100), (2, 80, 160), (4, 64, 256), (8, 51.2, 409.6), (16, 40.96, 655.36)],
)
def test_eighty_percent_doublings(rooms: int, mean: float, total: float) -> None:
    assert cumulative_average_total(100, "0.8", rooms) == pytest.approx(total, rel=1e-12)
    assert average(100, "0.8", rooms) == pytest.approx(mean, rel=1e-12)


@pytest.mark.parametrize(("upto", "increment"), [(2, 60), (4, 48), (8, 38.4), (16, 30.72)])
def test_average_of_the_rooms_added_by_each_doubling(upto: int, increment: float) -> None:
    added = cumulative_average_total(100, "0.8", upto) - cumulative_average_total(
        100, "0.8", upto // 2
    )
    assert added / (upto // 2) == pytest.approx(increment, rel=1e-12)


def test_trap_a_misprinted_increment() -> None:
    """A study text prints 254.76 where its own totals, 655.36 less 409.6, give 245.76."""
    added = cumulative_average_total(100, "0.8", 16) - cumulative_average_total(100, "0.8", 8)
    assert added == pytest.approx(245.76, rel=1e-12)


def test_unit_and_total_at_125() -> None:
    total = cumulative_average_total(100, "0.85", 125)
    assert total == pytest.approx(4029.559, abs=5e-4)
    assert total - cumulative_average_total(100, "0.85", 124) == pytest.approx(24.70136, abs=5e-6)


def test_a_late_unit() -> None:
    last = cumulative_average_total(110, "0.885", 2200) - cumulative_average_total(
        110, "0.885", 2199
    )
    assert last == pytest.approx(23.34001, abs=5e-6)


@pytest.mark.parametrize(
    ("first", "slope", "start", "end", "hours"),
    [(75, "0.85", 201, 250, 806.77), (125, "0.75", 55, 165, 1188.61)],
)
def test_a_block_of_units(first: float, slope: str, start: int, end: int, hours: float) -> None:
    block = cumulative_average_total(first, slope, end) - cumulative_average_total(
        first, slope, start - 1
    )
    assert block == pytest.approx(hours, abs=5e-3)


def test_the_slope_that_gives_a_known_total() -> None:
    """First unit 80, 250 units in 8250: the published slope gives the total back."""
    assert cumulative_average_total(80, "0.8947908", 250) == pytest.approx(8250, rel=1e-6)


def test_the_error_of_a_wrong_slope() -> None:
    assert average(1, "0.87", 250) / average(1, "0.85", 250) - 1 == pytest.approx(
        0.2035303, abs=5e-8
    )


@pytest.mark.parametrize(
    ("rooms", "cumulative", "by_unit", "no_learning"),
    [(10, 56.375, 63.956, 80), (50, 220.705, 257.136, 400), (100, 397.268, 465.128, 800)],
)
def test_a_job_of_rooms_at_ninety_percent(
    rooms: int, cumulative: float, by_unit: float, no_learning: float
) -> None:
    """8 hours for the first room (derived from the definitions, both forms labelled)."""
    assert cumulative_average_total(8, "0.9", rooms) == pytest.approx(cumulative, abs=5e-4)
    assert cumulative_average_total(8, "1", rooms) == pytest.approx(no_learning, rel=1e-12)
    assert unit_total(8, 0.9, rooms) == pytest.approx(by_unit, abs=5e-4)


# --- Unit form: contrast only -------------------------------------------------------------------

UNIT_AT_125 = {0.80: 21.13225, 0.825: 26.18401, 0.85: 32.23647, 0.875: 39.44942, 0.90: 48.00243}


@pytest.mark.parametrize(("slope", "hours"), UNIT_AT_125.items())
def test_contrast_the_unit_form_gives_another_unit(slope: float, hours: float) -> None:
    assert 100 * 125 ** math.log(slope, 2) == pytest.approx(hours, abs=5e-6)
    assert cumulative_average_total(100, str(slope), 125) - cumulative_average_total(
        100, str(slope), 124
    ) == pytest.approx(hours * (1 + math.log(slope, 2)), rel=5e-3)


def test_contrast_the_same_85_percent_means_two_totals() -> None:
    by_unit, cumulative = unit_total(100, 0.85, 125), cumulative_average_total(100, "0.85", 125)
    assert by_unit == pytest.approx(5201.085, abs=5e-4)
    assert cumulative / by_unit == pytest.approx(1 - 0.225, abs=5e-4)


def test_contrast_the_textbook_unit_table() -> None:
    """80 %, units 1 to 10 cumulative; the ten-unit coefficients 0.477 and 6.315 are from memory."""
    table = [100, 180, 250.21, 314.21, 373.77, 429.94, 483.39, 534.59, 583.89, 631.54]
    for units, total in enumerate(table, start=1):
        assert unit_total(100, 0.8, units) == pytest.approx(total, abs=6e-3)


def test_trap_the_midpoint_shift_is_a_half() -> None:
    """A vignette prints m - .05 for the unit form; only m - 0.5 gives the value it prints."""
    power = 1 + math.log(0.85, 2)

    def approximate(shift: float) -> float:
        return 100 / power * (125.5**power - (1 - shift) ** power)

    assert approximate(0.5) == pytest.approx(5202.988, abs=5e-4)
    assert approximate(0.05) == pytest.approx(5154.230, abs=5e-4)


# --- What holds for all slopes ------------------------------------------------------------------


@settings(max_examples=15)
@given(st.integers(1, 400), st.integers(50, 100), st.integers(1, 40))
def test_doubling_the_rooms_multiplies_the_average_by_the_rate(
    rooms: int, percent: int, first: int
) -> None:
    slope = f"{percent / 100:.2f}"
    once, twice = average(first, slope, rooms), average(first, slope, 2 * rooms)
    assert twice == pytest.approx(once * percent / 100, rel=1e-9)
    total = cumulative_average_total(first, slope, rooms)
    assert total <= unit_total(first, percent / 100, rooms) * (1 + 1e-12)
    assert total <= first * rooms * (1 + 1e-12)


@pytest.mark.parametrize("rate", ["0.49", "1.01", "-0.9"])
def test_a_rate_that_is_no_rate_is_refused(rate: str) -> None:
    with pytest.raises(ProblemsFound):
        job(operations=[WORK | {"repetition": rate}])


# --- Crews, setting up, wages, days -------------------------------------------------------------


def test_minutes_are_of_the_crew_and_hours_of_people() -> None:
    """A crew of 3 for 20 minutes a room and 30 minutes of setting up: by hand."""
    work = WORK | {"minutes": 20, "crew": 3, "setup": 30}
    row = figures(job(rooms=12, operations=[work]), "operations")
    assert row["hours"] == pytest.approx(12 * 20 * 3 / 60 + 30 * 3 / 60)
    assert row["setup_hours"] == pytest.approx(1.5)


def test_the_loaded_wage() -> None:
    work = WORK | {"minutes": 60, "where": "site"}
    wages = [GRADE | {"wage": "30", "burden": "0.4"}]
    row = figures(job(rooms=10, operations=[work], grades=wages), "operations")
    assert row["cost"] == pytest.approx(10 * 42)


@pytest.mark.parametrize(("hours", "crew", "days"), [(16, 2, 1), (17, 2, 2), (64, 4, 2), (1, 4, 1)])
def test_days_on_site_are_whole_days_of_the_crew(hours: int, crew: int, days: int) -> None:
    work = WORK | {"where": "site", "minutes": 60}
    terms = {"site_crew": crew, "hours_per_day": 8, "lodging": 100}
    row = figures(job(rooms=hours, operations=[work], terms=terms), "labour")
    assert row["days"] == days
    assert row["lodging"] == days * crew * 100


def test_work_for_each_thing_counts_that_thing() -> None:
    """Modules with their spares, a type's rooms, a measure, a material's sheets."""
    modules = [MODULE | {"spares": "0.1"}]
    rows = [
        WORK | {"key": f"work-{per}", "per": per}
        for per in ("box", "room", "rooms", "modules", "parts", "job")
    ]
    project = job(rooms=21, modules=modules, operations=rows)
    counts = [figures(project, "operations", at)["count"] for at in range(len(rows))]
    assert counts == [21 + 3, 21, 21, 24, 24, 1]
