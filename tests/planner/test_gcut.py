"""gcut1d to gcut12d: the known bound for first cuts across, and plans that meet it."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from estimator.planner.cutting import plan_sheets
from tests.planner.checking import plan_faults
from tests.planner.gcut import BOUNDS, gcut


@pytest.mark.parametrize("number", BOUNDS)
def test_bound_and_plan_with_first_cuts_across(number: int) -> None:
    parts, stock = gcut(number)
    plan = plan_sheets(parts, stock, kerf=0, first_cuts=("across",))
    assert plan.bound == pytest.approx(BOUNDS[number], abs=5e-4)
    assert plan.sheets == math.ceil(BOUNDS[number])
    assert not plan_faults(plan, parts, Fraction(0), Fraction(0), 3)


@pytest.mark.parametrize("number", [1, 2, 3, 5, 6, 9, 10])
def test_two_stages_never_promise_fewer_sheets_than_three(number: int) -> None:
    parts, stock = gcut(number)
    plan = plan_sheets(parts, stock, kerf=0, stages=2)
    three = plan_sheets(parts, stock, kerf=0)
    assert not plan_faults(plan, parts, Fraction(0), Fraction(0), 2)
    assert plan.bound >= three.bound - 1e-6
    assert plan.sheets <= math.ceil(plan.bound) + 1
