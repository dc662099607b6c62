"""Bought lengths, against plain first-fit-free arithmetic and a checker of their own."""

from __future__ import annotations

import math
from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.planner.cutting import PartDoesNotFit
from estimator.planner.lengths_cut import Bar, BarPlan, LengthPart, plan_lengths

EIGHTH = Fraction(1, 8)


def bar_faults(plan: BarPlan, parts: list[LengthPart], kerf: Fraction, trim: Fraction) -> list[str]:
    found, made = [], Counter[str]()
    lengths = {part.key: Fraction(part.length) for part in parts}
    for pattern, times in plan.patterns:
        reach = trim
        for part, start, length in pattern.pieces:
            if start < reach or length != lengths[part]:
                found.append(f"{part} at {start}")
            reach = start + length + kerf
            made[part] += times
        if reach - kerf > pattern.length - trim:
            found.append("beyond the bar")
    return found + [f"{p.key} short" for p in parts if made[p.key] < p.demand]


def test_pieces_with_kerf() -> None:
    bar = [Bar("rail", 96)]
    assert plan_lengths([LengthPart("a", Fraction("23.90625"), 4)], bar, kerf=EIGHTH).bars == 1
    assert plan_lengths([LengthPart("a", 24, 4)], bar, kerf=EIGHTH).bars == 2


def test_trim_comes_off_both_ends() -> None:
    assert plan_lengths([LengthPart("a", 94, 1)], [Bar("rail", 96)], kerf=0, trim=1).bars == 1
    with pytest.raises(PartDoesNotFit):
        plan_lengths([LengthPart("a", 95, 1)], [Bar("rail", 96)], kerf=0, trim=1)


def test_the_cheapest_mix_of_lengths() -> None:
    # 3 x 40 in 120 at 10 each, 2 x 40 in 80 at 8: four pieces cost 16 as two short ones, not 18.
    plan = plan_lengths(
        [LengthPart("a", 40, 4)], [Bar("long", 120, 10), Bar("short", 80, 8)], kerf=0
    )
    assert plan.by_bar == {"long": 0, "short": 2}
    assert plan.cost == 16


# From the definition: with pieces of 51, 27 and 24 out of 102, every bar can be filled.
def test_full_bars() -> None:
    parts = [LengthPart("a", 51, 20), LengthPart("b", 27, 20), LengthPart("c", 24, 20)]
    plan = plan_lengths(parts, [Bar("rail", 102)], kerf=0)
    assert plan.bars == 20
    assert plan.bound == pytest.approx(20, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.integers(12, 380), st.integers(0, 60)), min_size=1, max_size=8),
    st.sampled_from([Fraction(0), EIGHTH]),
    st.sampled_from([Fraction(0), Fraction(1, 2)]),
)
def test_every_plan_is_right_and_near_its_bound(
    made: list[tuple[int, int]], kerf: Fraction, trim: Fraction
) -> None:
    parts = [LengthPart(f"p{i}", Fraction(n, 4), demand) for i, (n, demand) in enumerate(made)]
    plan = plan_lengths(parts, [Bar("rail", 96)], kerf=kerf, trim=trim)
    assert not bar_faults(plan, parts, kerf, trim)
    assert plan.bound <= plan.bars <= math.ceil(plan.bound) + 1
