"""The fewest sheets for a few pieces: other stock, limited stock, pairs, and what is too much."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.planner.cutting import CutPart, Stock, plan_sheets
from estimator.planner.grid import FirstCut, lay_out
from estimator.planner.search.exact import fewest_sheets
from tests.planner import exact_search
from tests.planner.checking import plan_faults

BOTH: tuple[FirstCut, ...] = ("across", "along")
EIGHTH = Fraction(1, 8)
SHEET = Stock("sheet", 96, 48)


def exactly(parts: list[CutPart], stock: list[Stock], costs: list[int], stages: int) -> int | None:
    """What the exact search pays, in steps of cost; None if it does not answer."""
    job = lay_out(parts, stock, EIGHTH, Fraction(0), stages, BOTH)
    sheets = fewest_sheets(job, [part.demand for part in parts], costs)
    return None if sheets is None else sum(costs[c.stock] * n for c, n in sheets.items())


def test_two_sheets_where_filling_finds_three() -> None:
    sizes = [(12, 2), (8, 6), (2, 3), (7, 6), (12, 2), (6, 4)]
    turns = [False, True, True, True, False, False]
    parts = [CutPart(f"p{i}", *size, 1, turns[i]) for i, size in enumerate(sizes)]
    plan = plan_sheets(parts, [Stock("small", 12, 8)], kerf=0, stages=2)
    assert plan.sheets == 2
    assert not plan_faults(plan, parts, Fraction(0), Fraction(0), 2)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(2, 12), st.integers(2, 8), st.booleans()), min_size=2, max_size=6
    ),
    st.integers(0, 2),
    st.sampled_from([2, 3]),
)
def test_cheap_sheets_are_taken_as_far_as_they_go(
    pieces: list[tuple[int, int, bool]], cheap: int, stages: int
) -> None:
    """With a few cheap sheets of the same size the least cost follows from the least number."""
    parts = [CutPart(f"p{i}", a, b, 1, turn) for i, (a, b, turn) in enumerate(pieces)]
    least = exact_search.fewest_sheets(
        [(Fraction(a), Fraction(b)) for a, b, _ in pieces],
        [turn for _, _, turn in pieces],
        (Fraction(12), Fraction(8)),
        EIGHTH,
        stages,
    )
    stock = [Stock("bought", 12, 8, cost=3), Stock("left over", 12, 8, cost=1, on_hand=cheap)]
    assert exactly(parts, stock, [3, 1], stages) == 3 * least - 2 * min(cheap, least)


@pytest.mark.parametrize(("demand", "sheets"), [(8, 1), (9, 2), (16, 2), (17, 3)])
def test_a_pair_out_of_one_strip_counts_as_two(demand: int, sheets: int) -> None:
    """Strips of two pieces, 11 in wide: four in 48 in with kerf, where seven single ones go."""
    part = CutPart("cleat", 96, 6, demand, shares_rip=11)
    assert exactly([part], [SHEET], [1], 2) == sheets
    plain = CutPart("cleat", 96, 6, demand)
    assert exactly([plain], [SHEET], [1], 2) == -(-demand // 7)


def test_too_many_pieces_are_left_to_the_search() -> None:
    assert exactly([CutPart("a", 20, 10, 10**6)], [SHEET], [1], 3) is None


def test_too_little_stock_has_no_answer() -> None:
    assert exactly([CutPart("a", 90, 40, 3)], [Stock("ply", 96, 48, on_hand=2)], [1], 3) is None


def test_an_offcut_that_holds_only_what_is_not_wanted_stays_unused() -> None:
    parts = [CutPart("large", 60, 30, 3), CutPart("small", 10, 5, 0)]
    assert exactly(parts, [SHEET, Stock("offcut", 20, 10, on_hand=5)], [2, 1], 3) == 6
