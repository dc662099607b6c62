"""What is counted in a plan: patterns in shop order, their pieces, their share of the sheets."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.planner.cutting import CutPart, Effort, Plan, Stock, plan_sheets
from estimator.planner.shop_order import above_bound, shop_order

LITTLE = Effort(rounds=2, niceties=0)
SHEET = Stock("ply", 96, 48)


def plan_of(parts: list[CutPart]) -> Plan:
    return plan_sheets(parts, [SHEET], kerf=Fraction(1, 8), trim=Fraction(1, 8), effort=LITTLE)


PARTS = st.lists(
    st.tuples(st.integers(12, 80), st.integers(6, 40), st.integers(1, 9)), min_size=1, max_size=4
).map(lambda sizes: [CutPart(f"p{at}", *size) for at, size in enumerate(sizes)])


@settings(max_examples=15)
@given(PARTS)
def test_all_patterns_give_the_demand_and_its_surplus(parts: list[CutPart]) -> None:
    plan = plan_of(parts)
    order = shop_order(plan)
    made: Counter[str] = Counter()
    for each in order.patterns:
        made.update(each.in_all)
        assert each.count == sum(each.pieces.values())
    assert made == Counter({p.key: p.demand + plan.surplus.get(p.key, 0) for p in parts})
    assert order.sheets == plan.sheets
    assert above_bound(plan) >= 0


@settings(max_examples=15)
@given(PARTS)
def test_use_is_the_area_of_the_pieces_over_that_of_the_sheets(parts: list[CutPart]) -> None:
    order = shop_order(plan_of(parts))
    areas = {part.key: Fraction(part.length) * Fraction(part.width) for part in parts}
    cut = sum(areas[key] * n for each in order.patterns for key, n in each.in_all.items())
    assert order.use == pytest.approx(float(cut / (96 * 48 * order.sheets)), abs=1e-12)


def test_the_most_repeated_pattern_comes_first_and_numbers_go_on() -> None:
    order = shop_order(plan_of([CutPart("wide", 90, 40, 7), CutPart("rest", 50, 40, 1)]))
    assert [(each.number, each.times) for each in order.patterns] == [(1, 7), (2, 1)]
    assert order.count == 2


def test_a_whole_sheet_takes_three_cuts() -> None:
    """By hand: a section, a strip and a piece, though the saw need not make them all."""
    order = shop_order(plan_of([CutPart("whole", Fraction(383, 4), Fraction(191, 4), 2)]))
    assert order.cuts_each == 3
    assert order.use == pytest.approx(383 / 4 * 191 / 4 / 96 / 48)


def test_a_plan_without_patterns_counts_nothing() -> None:
    empty = Plan((), {"ply": 0}, Fraction(0), 0.0, {}, 0.0, {}, False)
    order = shop_order(empty)
    assert (order.count, order.sheets, order.use, order.cuts_each) == (0, 0, 0.0, 0.0)


def test_the_bound_is_rounded_up_to_whole_sheets() -> None:
    def above(sheets: int, bound: float) -> int:
        return above_bound(Plan((), {"ply": sheets}, Fraction(sheets), bound, {}, 0.0, {}, False))

    assert [above(132, 130.99), above(131, 131.0), above(131, 130.0)] == [1, 0, 1]
