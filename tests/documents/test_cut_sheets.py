"""The rows of a cut plan lead from the whole sheet to exactly the pieces of its pattern."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.documents.cut_sheets import CutSheet, Step, by_floor, cut_sheets, in_short
from estimator.planner.cutting import CutPart, Stock, plan_sheets
from tests.documents.samples import LITTLE, as_cut_plan, plain, sample

EIGHTH = Fraction(1, 8)


def sheets_of(
    parts: Sequence[CutPart], trim: Fraction = EIGHTH, stages: int = 3, **stock: Fraction | int
) -> list[CutSheet]:
    sheet = Stock("ply", stock.get("length", 96), stock.get("width", 48))
    plan = plan_sheets(parts, [sheet], kerf=EIGHTH, trim=trim, stages=stages, effort=LITTLE)
    return cut_sheets(as_cut_plan(plan, parts), "in")


def pieces_by_steps(steps: Sequence[Step], parts: Sequence[CutPart]) -> Counter[str]:
    """Follow the words: every count is for each of what the step above it gave."""
    sizes = {part.key: part for part in parts}
    found: Counter[str] = Counter()
    made = [1]
    for step in steps:
        if step.level == 0:
            continue
        del made[step.level :]
        number = re.match(r"(?:Crosscut|Rip) (\d+) ", step.words)
        made.append(made[-1] * (int(number[1]) if number else 1))
        if step.piece:
            assert step.piece in sizes
            found[step.piece] += made[-1] * (2 if step.words.startswith("Part each pair") else 1)
    return found


@st.composite
def jobs(draw: st.DrawFn) -> list[CutPart]:
    lengths = st.integers(12, 80).map(Fraction)
    widths = st.integers(6, 40).map(lambda halves: Fraction(halves, 2))
    parts = []
    for number in range(draw(st.integers(1, 5))):
        width = draw(widths)
        pair = draw(st.booleans())
        strip = 2 * width - Fraction(1, 2) if pair else None
        parts.append(
            CutPart(f"p{number}", draw(lengths), width, draw(st.integers(1, 9)),
                 draw(st.booleans()), strip)
        )  # fmt: skip
    return parts


@pytest.mark.slow
@settings(max_examples=8)
@given(jobs(), st.sampled_from([2, 3]))
def test_the_steps_give_the_pieces_of_the_pattern(parts: list[CutPart], stages: int) -> None:
    sheets = sheets_of(parts, stages=stages)
    assert sheets
    for sheet in sheets:
        assert pieces_by_steps(sheet.steps, parts) == Counter(sheet.pieces)
    made: Counter[str] = Counter()
    for sheet in sheets:
        made.update({key: each * sheet.times for key, each in sheet.pieces.items()})
    assert all(made[part.key] >= part.demand for part in parts)


def test_shop_order_is_most_repeated_first() -> None:
    for plan in sample("one-wall").plans:
        times = [sheet.times for sheet in cut_sheets(plan, "in")]
        assert times == sorted(times, reverse=True)
    parts = [CutPart("wide", 90, 40, 7), CutPart("rest", 50, 40, 1)]
    sheets = sheets_of(parts)
    assert [(sheet.number, sheet.times) for sheet in sheets] == [(1, 7), (2, 1)]


def test_cuts_that_need_not_be_made_are_left_out() -> None:
    (sheet,) = sheets_of([CutPart("whole", Fraction(383, 4), Fraction(191, 4), 1)])
    trimmed, cut = sheet.steps
    assert trimmed.words == "Trim all four sides"
    assert cut.piece == "whole"


def test_a_pair_is_cut_whole_and_then_parted() -> None:
    part = CutPart("cleat", 94, 3, 2, False, Fraction(175, 32))
    (sheet,) = sheets_of([part], length=96, width=6)
    whole, parted = sheet.steps[-2:]
    assert whole.words.endswith("1 pair")
    assert (whole.size, whole.piece) == ("94 × 5 15/32", "")
    assert (parted.words, parted.size) == ("Part each pair by one angled rip", "94 × 3")
    assert (parted.piece, parted.level) == ("cleat", whole.level + 1)
    assert sheet.pieces == {"cleat": 2}


def test_a_turned_piece_says_so_and_keeps_its_own_size() -> None:
    (sheet,) = sheets_of([CutPart("back", 40, 20, 1, True)], length=24, width=44)
    (step,) = [each for each in sheet.steps if each.piece]
    assert step.words.endswith(", turned")
    assert step.size == "40 × 20"


def test_offcuts_and_yield_are_those_of_the_pattern() -> None:
    (sheet,) = sheets_of([CutPart("board", 40, 24, 1)], trim=Fraction(0))
    assert sheet.used == pytest.approx(40 * 24 / 96 / 48, abs=1e-12)
    assert sheet.stock == "96 × 48"
    assert sheet.offcuts[0] in ("96 × 23 7/8", "55 7/8 × 48")


def test_a_material_without_patterns_has_no_sheets() -> None:
    assert [cut_sheets(plan, "in") for plan in plain("one-wall").plans] == [[]]


def test_the_proof_is_said_as_far_as_it_goes() -> None:
    parts = [CutPart("board", 90, 40, 3)]
    plan = as_cut_plan(plan_sheets(parts, [Stock("ply", 96, 48)], kerf=EIGHTH), parts)
    assert in_short(plan) == "3 sheets in 1 pattern; proven least 3.00: no plan can use fewer."
    assert by_floor(plan) == ""
