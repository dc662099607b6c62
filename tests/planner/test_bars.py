"""Bought lengths: bars are sheets one wide, with parts one wide. Published cases and a checker."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.planner.cutting import CutPart, PartDoesNotFit, Plan, Stock, plan_sheets
from tests.planner.checking import plan_faults

EIGHTH = Fraction(1, 8)
TEXTBOOK = json.loads((Path(__file__).parent / "textbook.json").read_text(encoding="utf-8"))


def bars(
    parts: Sequence[CutPart],
    lengths: Sequence[Stock],
    kerf: Fraction | int = 0,
    trim: Fraction = EIGHTH,
) -> Plan:
    """The plan, checked; the trim comes off both ends and off sides that are wider by it."""
    stock = [Stock(s.key, s.length, 1 + 2 * trim, s.cost, s.on_hand) for s in lengths]
    plan = plan_sheets(parts, stock, kerf=kerf, trim=trim, stages=2, first_cuts=("along",))
    assert not plan_faults(plan, parts, Fraction(kerf), trim, 2)
    return plan


@pytest.mark.parametrize("case", TEXTBOOK.values(), ids=list(TEXTBOOK))
def test_textbook_cases_come_to_their_published_or_proven_cost(case: dict[str, Any]) -> None:
    stock = [
        Stock(length, Decimal(length), 1, Decimal(cost), on_hand)
        for length, cost, on_hand in case["stock"]
    ]
    rows = enumerate(case["parts"])
    parts = [CutPart(str(at), Decimal(length), 1, demand) for at, (length, demand) in rows]
    plan = bars(parts, stock, trim=Fraction(0))
    assert plan.cost == Fraction(case["cost"])
    assert plan.bound <= plan.cost


def test_pieces_with_kerf() -> None:
    rail = [Stock("rail", 96, 1)]
    for length, sheets in ((Fraction("23.90625"), 1), (Fraction(24), 2)):
        parts = [CutPart("a", length, 1, 4)]
        assert bars(parts, rail, EIGHTH, trim=Fraction(0)).sheets == sheets


def test_trim_comes_off_both_ends() -> None:
    rail = [Stock("rail", 96, 1)]
    assert bars([CutPart("a", 94, 1, 1)], rail, trim=Fraction(1)).sheets == 1
    with pytest.raises(PartDoesNotFit):
        bars([CutPart("a", 95, 1, 1)], rail, trim=Fraction(1))


def test_the_cheapest_mix_of_lengths() -> None:
    # 3 x 40 in 120 at 10 each, 2 x 40 in 80 at 8: four pieces cost 16 as two short ones, not 18.
    stock = [Stock("long", 120, 1, 10), Stock("short", 80, 1, 8)]
    plan = bars([CutPart("a", 40, 1, 4)], stock, trim=Fraction(0))
    assert plan.by_stock == {"long": 0, "short": 2}
    assert plan.cost == 16


# From the definition: with pieces of 51, 27 and 24 out of 102, every bar can be filled.
def test_full_bars() -> None:
    parts = [CutPart("a", 51, 1, 20), CutPart("b", 27, 1, 20), CutPart("c", 24, 1, 20)]
    plan = bars(parts, [Stock("rail", 102, 1)], trim=Fraction(0))
    assert plan.sheets == 20
    assert plan.bound == pytest.approx(20, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(12, 380), st.integers(0, 60)), min_size=1, max_size=8),
    st.sampled_from([Fraction(0), EIGHTH]),
    st.sampled_from([Fraction(0), Fraction(1, 2)]),
)
def test_every_plan_is_near_its_bound(
    made: list[tuple[int, int]], kerf: Fraction, trim: Fraction
) -> None:
    parts = [CutPart(f"p{i}", Fraction(n, 4), 1, demand) for i, (n, demand) in enumerate(made)]
    plan = bars(parts, [Stock("rail", 96, 1)], kerf, trim)
    assert plan.bound <= plan.sheets <= math.ceil(plan.bound) + 1
