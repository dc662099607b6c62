"""Dual vectors bound every mix, and quick plans agree with full ones."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from estimator.planner import tuning
from estimator.planner.cutting import CutPart, Stock, plan_sheets
from estimator.planner.mixes import Mixes

EIGHTH = Fraction(1, 8)
SHEET = [Stock("ply", 96, 48)]
SIZES = [(30, 11), (22, 9), (40, 15), (18, 6), (61, 12), (33, 20), (12, 4), (27, 17)]
PARTS = [CutPart(f"p{i}", a, b, 0, i % 3 == 0) for i, (a, b) in enumerate(SIZES)]


def mixes(number: int) -> list[dict[str, int]]:
    rng = random.Random(number)
    return [{part.key: rng.randint(0, 120) for part in PARTS} for _ in range(number)]


def test_the_greatest_of_the_vectors_bounds_and_nearly_meets_other_mixes() -> None:
    planner = Mixes.of(PARTS, SHEET, kerf=EIGHTH)
    vectors = [planner.dual_vector(mix) for mix in mixes(8)]
    for mix in mixes(12):
        plan = planner.plan(mix)
        live = max(vector.bound(mix) for vector in vectors)
        assert live <= plan.bound + 1e-9
        assert plan.bound <= plan.cost
        assert plan.cost - live <= max(1.5, 0.02 * plan.cost) + 1


def test_a_quick_plan_needs_no_more_sheets_than_a_plan_of_its_own() -> None:
    planner = Mixes.of(PARTS, SHEET, kerf=EIGHTH)
    for mix in mixes(5):
        quick = planner.plan(mix)
        parts = [CutPart(p.key, p.length, p.width, mix[p.key], p.may_turn) for p in PARTS]
        own = plan_sheets(parts, SHEET, kerf=EIGHTH)
        assert own.bound * (1 - tuning.CLOSE) <= quick.bound <= own.bound * (1 + 1e-9)
        assert abs(quick.sheets - own.sheets) <= 1


def test_a_part_that_a_mix_leaves_out_has_a_dual_value() -> None:
    only = {PARTS[0].key: 50}
    vector = Mixes.of(PARTS, SHEET, kerf=EIGHTH).dual_vector(only)
    assert set(vector.values) == {part.key for part in PARTS}


def test_limited_stock_takes_a_credit_off() -> None:
    stock = [*SHEET, Stock("offcut", 48, 48, cost=0, on_hand=4)]
    demand = {PARTS[4].key: 0, PARTS[0].key: 200}
    planner = Mixes.of(PARTS, stock, kerf=EIGHTH)
    vector = planner.dual_vector(demand)
    assert vector.credit > 0
    for mix in mixes(5):
        assert vector.bound(mix) <= planner.plan(mix).cost


def test_an_unknown_part_in_a_mix_is_refused() -> None:
    with pytest.raises(ValueError, match="nobody"):
        Mixes.of(PARTS, SHEET, kerf=EIGHTH).dual_vector({"nobody": 3})
