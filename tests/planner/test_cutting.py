"""Sheets: strips with kerf, shared rips, refusals, and every plan through the checker."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.planner.cutting import (
    CutPart,
    Effort,
    NotEnoughStock,
    PartDoesNotFit,
    Stock,
    placements,
    plan_sheets,
)
from tests.planner.checking import plan_faults
from tests.planner.exact_search import fewest_sheets
from tests.planner.made_jobs import made_job

EIGHTH = Fraction(1, 8)
SHEET = Stock("ply", 96, 48)


# n strips of width w with kerf k come out of a width S when n (w + k) <= S + k: derived from the
# saw's geometry, n strips needing n - 1 cuts.
@pytest.mark.parametrize(
    ("across", "strip", "strips"),
    [
        (48, "5.5", 8),
        (48, "4", 11),
        (48, "2.875", 16),
        (48, "12", 3),
        (48, "24", 1),
        (48, "11.90625", 4),
        (96, "23.90625", 4),
    ],
)
def test_strips_with_kerf(across: int, strip: str, strips: int) -> None:
    part = CutPart("strip", 10, Decimal(strip), demand=strips)
    stock = [Stock("board", 10, across)]
    assert plan_sheets([part], stock, kerf=EIGHTH).sheets == 1
    one_more = CutPart("strip", 10, Decimal(strip), demand=strips + 1)
    assert plan_sheets([one_more], stock, kerf=EIGHTH).sheets == 2


def test_without_kerf_one_more_strip_fits() -> None:
    assert plan_sheets([CutPart("strip", 10, 4, 12)], [Stock("board", 10, 48)], kerf=0).sheets == 1


# Two 45 degree bevels of 3 in cleats, 3/4 in thick, share one rip: strip = 2 w - t + k sqrt 2,
# derived from the bevel's geometry, here rounded up to 1/1000 in.
SHARED = Fraction(math.ceil(1000 * (2 * 3 - 0.75 + 0.125 * math.sqrt(2))), 1000)


def test_eight_shared_strips_make_sixteen_cleats() -> None:
    cleats = CutPart("cleat", 96, 3, demand=16, shares_rip=SHARED)
    plan = plan_sheets([cleats], [SHEET], kerf=EIGHTH)
    assert plan.sheets == 1
    pairs = [p for pattern, _ in plan.patterns for p in placements(pattern) if p[6]]
    assert len(pairs) == 8
    assert {p[4] for p in pairs} == {SHARED}
    assert not plan_faults(plan, [cleats], EIGHTH, Fraction(0), 3)


def test_plain_strips_of_six_make_fourteen() -> None:
    naive = CutPart("pair", 96, 6, demand=8)
    assert plan_sheets([naive], [SHEET], kerf=EIGHTH).sheets == 2


def test_a_shared_rip_that_saves_nothing_is_not_used() -> None:
    cleats = CutPart("cleat", 96, 3, demand=4, shares_rip=Fraction(13, 2))
    plan = plan_sheets([cleats], [SHEET], kerf=EIGHTH)
    assert not [p for pattern, _ in plan.patterns for p in placements(pattern) if p[6]]


def test_trim_comes_off_all_four_sides() -> None:
    part = CutPart("panel", 95, 47, demand=1)
    half, more = Fraction(1, 2), Fraction(5, 8)
    assert plan_sheets([part], [SHEET], kerf=EIGHTH, trim=half).sheets == 1
    with pytest.raises(PartDoesNotFit):
        plan_sheets([part], [SHEET], kerf=EIGHTH, trim=more)


def test_parts_that_do_not_fit_are_named_all_at_once() -> None:
    parts = [
        CutPart("long", 100, 5, 1),
        CutPart("turned", 30, 50, 1),
        CutPart("fits", 30, 40, 1),
        CutPart("turns", 40, 60, 1, may_turn=True),
    ]
    with pytest.raises(PartDoesNotFit) as caught:
        plan_sheets(parts, [SHEET], kerf=0)
    assert [(m.part, m.only_turned) for m in caught.value.misfits] == [
        ("long", False),
        ("turned", True),
    ]
    assert str(caught.value) == (
        "long (100 x 5) is too large (largest stock: 96 x 48); "
        "turned (30 x 50) fits only turned against its grain (largest stock: 96 x 48)"
    )


def test_a_float_is_refused() -> None:
    with pytest.raises(TypeError, match="give an int, a Fraction or a Decimal"):
        plan_sheets([CutPart("a", 10.5, 5, 1)], [SHEET], kerf=0)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "parts",
    [
        [CutPart("a", 10, 5, -1)],
        [CutPart("a", 0, 5, 1)],
        [CutPart("a", 10, 5, 1), CutPart("a", 11, 5, 1)],
        [CutPart("a", 10, 5, 1, shares_rip=5)],
    ],
)
def test_senseless_parts_are_refused(parts: list[CutPart]) -> None:
    with pytest.raises(ValueError, match=r"a|must"):
        plan_sheets(parts, [SHEET], kerf=0)


def test_no_demand_needs_no_sheet_but_has_dual_values() -> None:
    plan = plan_sheets([CutPart("a", 40, 20, 0), CutPart("b", 30, 20, 0)], [SHEET], kerf=EIGHTH)
    assert (plan.sheets, plan.bound, plan.patterns) == (0, 0.0, ())
    assert set(plan.dual_values) == {"a", "b"}
    assert max(plan.dual_values.values()) > 0


def test_a_million_of_a_part() -> None:
    parts = [CutPart("a", 33, 5, 1_000_000), CutPart("b", 10, 5, 3)]
    plan = plan_sheets(parts, [SHEET], kerf=EIGHTH)
    assert plan.sheets == math.ceil(plan.bound)
    assert not plan_faults(plan, parts, EIGHTH, Fraction(0), 3)
    assert plan.surplus.get("b", 0) < 100


def test_the_cheaper_size_is_used_and_offcuts_on_hand_only_as_far_as_they_go() -> None:
    parts = [CutPart("a", 40, 20, 12)]
    stock = [SHEET, Stock("offcut", 41, 21, cost=0, on_hand=3)]
    plan = plan_sheets(parts, stock, kerf=EIGHTH)
    assert plan.by_stock == {"ply": 3, "offcut": 3}
    assert plan.cost == 3
    assert plan.bound <= 3
    assert plan.bound == pytest.approx(9 / 4, abs=1e-6)
    assert not plan_faults(plan, parts, EIGHTH, Fraction(0), 3)


def test_too_little_stock_is_said() -> None:
    with pytest.raises(NotEnoughStock):
        plan_sheets([CutPart("a", 40, 20, 9)], [Stock("ply", 96, 48, on_hand=2)], kerf=EIGHTH)


def test_the_same_input_gives_the_same_plan() -> None:
    parts = [
        CutPart(f"p{i}", 11 + 3 * i, 5 + 2 * i % 9, 7 + i, may_turn=i % 2 == 0) for i in range(9)
    ]
    one = plan_sheets(parts, [SHEET], kerf=EIGHTH)
    assert plan_sheets(parts, [SHEET], kerf=EIGHTH) == one


def test_stopped_at_once_it_still_gives_a_right_plan_with_a_bound() -> None:
    parts = [CutPart(f"p{i}", 11 + 3 * i, 5 + 2 * i % 9, 7 + i) for i in range(9)]
    plan = plan_sheets(parts, [SHEET], kerf=EIGHTH, stop=lambda: True)
    assert plan.stopped_early
    assert 0 < plan.bound <= plan.sheets
    assert not plan_faults(plan, parts, EIGHTH, Fraction(0), 3)


def test_what_is_done_is_told_in_words_and_nearness() -> None:
    heard: list[tuple[str, float]] = []
    parts = [CutPart(f"p{i}", 11 + 3 * i, 5 + 2 * i % 9, 7 + i) for i in range(9)]
    plan_sheets(parts, [SHEET], kerf=EIGHTH, report=lambda words, near: heard.append((words, near)))
    assert heard
    assert all(words and 0 <= near <= 1 + 1e-9 for words, near in heard)


def test_offcuts_could_each_hold_a_part_and_overlap_no_piece() -> None:
    plan = plan_sheets([CutPart("a", 40, 20, 3)], [SHEET], kerf=EIGHTH)
    ((pattern, _),) = plan.patterns
    assert pattern.offcuts
    for offcut in pattern.offcuts:
        assert offcut.length >= 40
        assert offcut.width >= 20
        for _, x, y, length, width, _, _ in placements(pattern):
            assert (
                x + length <= offcut.x
                or offcut.x + offcut.length <= x
                or y + width <= offcut.y
                or offcut.y + offcut.width <= y
            )


sizes = st.integers(8, 96)


@st.composite
def made_parts(draw: st.DrawFn) -> list[CutPart]:
    """One to six parts in quarter inches that fit a 96 x 48 sheet with half an inch of trim."""
    parts = []
    for number in range(draw(st.integers(1, 6))):
        length = Fraction(draw(st.integers(12, 380)), 4)
        width = Fraction(draw(st.integers(8, 188)), 4)
        pair = draw(st.booleans()) and 2 * width < 47
        parts.append(
            CutPart(
                f"p{number}",
                length,
                width,
                draw(st.integers(0, 40)),
                draw(st.booleans()),
                2 * width - Fraction(3, 8) if pair and width > 1 else None,
            )
        )
    return parts


@settings(max_examples=60, deadline=None)
@given(
    made_parts(),
    st.sampled_from([Fraction(0), Fraction(1, 8), Fraction(3, 32)]),
    st.sampled_from([Fraction(0), Fraction(1, 2)]),
    st.sampled_from([2, 3]),
)
def test_every_plan_passes_the_checker(
    parts: list[CutPart], kerf: Fraction, trim: Fraction, stages: int
) -> None:
    plan = plan_sheets(parts, [SHEET], kerf=kerf, trim=trim, stages=stages)
    assert not plan_faults(plan, parts, kerf, trim, stages)
    assert plan.bound <= plan.cost
    assert plan.sheets == sum(times for _, times in plan.patterns)


@settings(max_examples=60, deadline=None)
@given(made_parts(), st.data(), st.sampled_from([2, 3]))
def test_dual_values_bound_any_other_demand(
    parts: list[CutPart], data: st.DataObject, stages: int
) -> None:
    plan = plan_sheets(parts, [SHEET], kerf=EIGHTH, stages=stages)
    other = [
        CutPart(p.key, p.length, p.width, data.draw(st.integers(0, 60)), p.may_turn, p.shares_rip)
        for p in parts
    ]
    bound = sum(plan.dual_values[part.key] * part.demand for part in other)
    assert bound <= plan_sheets(other, [SHEET], kerf=EIGHTH, stages=stages).cost


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(2, 12), st.integers(2, 8), st.booleans()), min_size=1, max_size=6
    ),
    st.sampled_from([Fraction(0), Fraction(1, 4)]),
    st.sampled_from([2, 3]),
)
def test_a_few_pieces_take_the_sheets_an_exact_search_finds(
    pieces: list[tuple[int, int, bool]], kerf: Fraction, stages: int
) -> None:
    sheet = (Fraction(12), Fraction(8))
    parts = [CutPart(f"p{i}", a, b, 1, turn) for i, (a, b, turn) in enumerate(pieces)]
    plan = plan_sheets(parts, [Stock("small", 12, 8)], kerf=kerf, stages=stages)
    least = fewest_sheets(
        [(Fraction(a), Fraction(b)) for a, b, _ in pieces],
        [turn for _, _, turn in pieces],
        sheet,
        kerf,
        stages,
    )
    assert plan.sheets == least
    assert plan.bound <= least


def test_a_section_that_is_worth_nothing_does_not_keep_pricing_busy() -> None:
    """Sections at such points were looked at again and again, and planning never ended."""
    job = made_job("metric", 14, 60, 3)
    plan = plan_sheets(
        job.parts, job.stock, kerf=job.kerf, trim=job.trim, effort=Effort(rounds=0, niceties=0)
    )
    assert not plan_faults(plan, job.parts, job.kerf, job.trim, 3)
