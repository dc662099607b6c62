"""What expressions are worth: as a spreadsheet would calculate them, corner by corner.

The agreement with real spreadsheet programs over thousands of formulas is test_agreement.py; here
stand the corners by name.
"""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.expressions.formula import formula
from estimator.expressions.functions import (
    and_more,
    choose,
    larger,
    round_half_away,
    rounded_up,
    share,
    share_or_zero,
    smaller,
    whole_down,
    whole_up,
)
from estimator.expressions.nodes import (
    cross,
    filled_in,
    find,
    first,
    largest,
    row_count,
    smallest,
    total,
)
from estimator.expressions.tables import Model
from estimator.expressions.value import calculate, filled
from estimator.units import UnitFault
from tests.expressions.small_model import add_quantity, small_frames, small_model, value_of


@pytest.fixture
def model() -> Model:
    return small_model()


# --- Rounding -----------------------------------------------------------------------------------

# Each of these is what LibreOffice Calc 7.4, formualizer 0.13 and ironcalc 0.9 all give.
ROUNDED = [
    (2.5, 0, 3), (-2.5, 0, -3), (0.5, 0, 1), (2.675, 2, 2.68), (-2.675, 2, -2.68), (1.005, 2, 1.01),
    (33.335 * 3, 2, 100.01), (8.325 * 3, 2, 24.98), (162.295, 2, 162.3), (5.015, 2, 5.02),
    (0.285, 2, 0.29), (9.995, 2, 10), (2.49999999999999, 0, 2), (0, 2, 0), (1234.5678, -2, 1200),
    (123456789012.0, 2, 123456789012.0),
]  # fmt: skip


@pytest.mark.parametrize(("value", "digits", "right"), ROUNDED)
def test_halves_are_rounded_away_from_zero(value: float, digits: int, right: float) -> None:
    assert round_half_away(value, digits) == right


def test_python_would_round_these_otherwise() -> None:
    """The reason for a rounding of our own."""
    assert round(2.675, 2) == 2.67
    assert round(2.5) == 2
    assert math.ceil(1.1 * 1.1 * 100) == 122
    assert whole_up(1.1 * 1.1 * 100, 6) == 121


@given(st.integers(-(10**11), 10**11), st.integers(0, 3))
def test_a_number_of_few_digits_is_its_own_rounding(whole: int, digits: int) -> None:
    value = whole / 10**digits
    assert round_half_away(value, digits) == value


@given(st.integers(-(10**10), 10**10))
def test_halves_of_a_cent(half_cents: int) -> None:
    """An odd number of half cents goes to the cent further from nought."""
    up = math.copysign((abs(half_cents) + 1) // 2, half_cents) / 100
    assert round_half_away(half_cents / 200, 2) == up


@given(st.integers(0, 4 * 10**9))
def test_whole_numbers_stay(number: int) -> None:
    """Noise that the guard drops must not grow with the number."""
    assert whole_up(float(number), 6) == number
    assert whole_down(float(number), 6) == number


@given(st.floats(0, 1e6), st.just(6))
def test_rounding_up_holds_and_is_least(value: float, guard: int) -> None:
    up = whole_up(value, guard)
    assert up == int(up)
    assert value - 1e-6 <= up < value + 1
    assert whole_down(value, guard) <= value + 1e-6


def test_noise_beyond_the_guard_is_dropped() -> None:
    assert whole_up(2.0000000001, 6) == 2
    assert whole_up(2.000001, 6) == 3
    assert whole_down(2.9999999999, 6) == 3
    assert whole_up(-1.2, 6) == -2


def test_a_share_of_nothing_is_nothing() -> None:
    assert share_or_zero(np.array([1.0, 0.0]), np.array([4.0, 0.0])).tolist() == [0.25, 0]
    assert share_or_zero(3.0, 0) == 0


# --- Blanks -------------------------------------------------------------------------------------


def test_a_blank_number_counts_as_nought(model: Model) -> None:
    runs, terms = model["runs"], model["terms"]
    assert value_of(model, runs["height"] + 0) == [1.5, 0, 2.25, 0, 7, 2.5]
    assert value_of(model, terms["blank"] + 1, "terms") == [1]
    assert value_of(model, choose(runs["height"] == 0, 1, 0)) == [0, 1, 0, 1, 0, 0]


def test_blank_words_are_no_words(model: Model) -> None:
    runs, terms = model["runs"], model["terms"]
    assert value_of(model, choose(runs["note"] == "", 1, 0)) == [0, 0, 1, 0, 1, 0]
    assert value_of(model, choose(terms["nothing"] == "", 1, 0), "terms") == [1]


def test_blank_words_match_no_row_not_even_a_blank_one(model: Model) -> None:
    runs = model["runs"]
    assert value_of(model, total(runs["each"], runs["note"] == runs["note"])) == [
        5.5,
        5.5,
        0,
        0,
        0,
        5.5,
    ]
    with pytest.raises(UnitFault, match="blank words match no row"):
        total(runs["each"], runs["note"] == "")
    product = total(runs["each"] * runs["length"], runs["note"] == runs["note"])
    assert value_of(model, product)[2] == 0


def test_a_blank_number_meets_no_condition(model: Model) -> None:
    """As SUMIFS in all three engines: a blank cell is neither 0 nor less than 5."""
    runs, terms = model["runs"], model["terms"]
    assert value_of(model, total(runs["each"], runs["height"] == 0))[0] == 0
    at_most = total(runs["length"], runs["height"] <= terms["reach"])
    assert value_of(model, at_most)[0] == pytest.approx(96 + 1.1 + 66.6 + 3)


def test_a_blank_number_is_no_extreme(model: Model) -> None:
    """As MAX and MIN, which see only cells with numbers."""
    frames = small_frames()
    frames["runs"]["height"] = [-1.5, None, -2.25, -1, -7, None]
    runs = model["runs"]
    for expression in (largest(runs["height"]), smallest(runs["height"])):
        add_quantity(runs, expression)
    calculated = calculate(model, frames)["runs"]
    most, least = [definition.name for definition in model.order[-2:]]
    assert calculated[most][0] == -1
    assert calculated[least][0] == -7


def test_a_blank_number_is_seen_beside_others(model: Model) -> None:
    """MIN(blank cell, 5) would be 5 in a cell; as nought it is 0, chosen or looked up too."""
    runs, terms, counts = model["runs"], model["terms"], model["counts"]
    blank, reach = terms["blank"], terms["rate"]
    chosen = choose(runs["each"] > 0, blank, reach)
    empty = cross(counts["rooms"], counts["type"] == "twin", counts.along == "F1")
    for node in (blank, chosen, empty.number_of("1"), blank.number_of("1")):
        assert formula(larger(reach, node), lambda column: column.name).endswith("+0)")
    assert value_of(model, smaller(blank, reach), "terms") == [0]


def test_filled_takes_every_kind_of_blank() -> None:
    assert filled([1, None, float("nan"), 2.5], is_text=False).tolist() == [1, 0, 0, 2.5]
    assert filled(["a", None, "", float("nan")], is_text=True).tolist() == ["a", "", "", ""]


# --- Words --------------------------------------------------------------------------------------


def test_words_are_compared_without_case(model: Model) -> None:
    runs, types, terms = model["runs"], model["types"], model["terms"]
    assert value_of(model, choose(runs["type"] == "King", 1, 0)) == [1, 1, 0, 0, 0, 0]
    assert value_of(model, choose(runs["note"] != "EAST", 1, 0)) == [0, 0, 1, 1, 1, 0]
    assert value_of(model, choose(runs["type"] == terms["word"], 1, 0)) == [1, 1, 0, 0, 0, 0]
    assert value_of(model, total(types["rooms"], types["key"] == runs["type"])) == [
        7,
        7,
        0,
        0,
        3,
        0,
    ]


def test_a_choice_between_words(model: Model) -> None:
    runs = model["runs"]
    said = choose(runs["each"] > 1, runs["key"], "few")
    assert value_of(model, said) == ["few", "Rail-B", "rail-c", "few", "few", "rail-f"]


def test_words_that_were_chosen_match_like_typed_ones(model: Model) -> None:
    runs = model["runs"]
    chosen = add_quantity(runs, choose(runs["each"] > 0, "Some", ""))
    assert value_of(model, total(runs["each"], chosen == "SOME"))[0] == 8.5
    assert value_of(model, total(runs["each"], chosen == runs["note"]))[2] == 0


# --- Totals, look-ups ---------------------------------------------------------------------------


def test_the_total_of_nothing_is_nothing(model: Model) -> None:
    runs, types = model["runs"], model["types"]
    nobody = types["key"] == "nobody"
    for draw in (total, largest, smallest):
        assert value_of(model, draw(types["width"], nobody))[0] == 0
    assert value_of(model, total(types["width"] * types["share"], nobody))[0] == 0
    assert value_of(model, largest(types["width"], types["key"] == runs["type"]))[3] == 0


def test_totals_with_several_conditions(model: Model) -> None:
    runs = model["runs"]
    of_floor = total(runs["each"], runs["floor"] == runs["floor"], runs["each"] >= 1)
    assert value_of(model, of_floor) == [1, 2, 5.5, 1, 2, 5.5]
    reached = largest(runs["each"], runs["each"] <= runs["each"])
    assert value_of(model, reached) == [1, 2, 3, 0, -2, 2.5]


def test_a_total_in_a_form_and_a_form_in_a_row(model: Model) -> None:
    runs, terms = model["runs"], model["terms"]
    in_form = add_quantity(terms, total(runs["each"]))
    assert value_of(model, runs["each"] - in_form) == [-5.5, -4.5, -3.5, -6.5, -8.5, -4]
    assert value_of(model, total(terms.values, terms.keys == "REACH"))[0] == 4


def test_a_cell_of_a_grid(model: Model) -> None:
    types, counts = model["types"], model["counts"]
    rooms = cross(counts["rooms"], counts["type"] == types["key"], counts.along == "f3")
    assert value_of(model, rooms, "types") == [3, 0, 4, 1]
    assert value_of(model, total(counts["rooms"]), "types")[0] == 6 + 0 + 6 + 1.5


def test_a_look_up_finds_the_first_and_must_find_one(model: Model) -> None:
    runs, types = model["runs"], model["types"]
    first = find(runs["each"], runs["floor"] == runs["floor"])
    assert value_of(model, first) == [1, 2, 3, 1, 2, 3]
    with pytest.raises(LookupError, match="finds no row"):
        value_of(model, find(types["width"], types["key"] == runs["type"]))


def test_the_first_words_that_meet_a_condition_or_none(model: Model) -> None:
    runs, types = model["runs"], model["types"]
    rooms = first(types["key"], types["rooms"] == runs["each"].number_of("room"))
    assert value_of(model, rooms) == ["lobby", "", "SUITE", "twin", "", ""]
    none = first(types["key"], types["share"] == 1)
    assert value_of(model, none, "runs") == [""] * 6
    empty = small_frames() | {"types": small_frames()["types"].iloc[:0]}
    column = add_quantity(runs, none)
    assert list(calculate(model, empty)["runs"][column.name]) == [""] * 6


def test_the_words_of_a_form_by_the_name_of_their_field(model: Model) -> None:
    terms = model["terms"]
    assert value_of(model, first(terms.texts, terms.keys == "WORD"), "runs") == ["KING"] * 6
    assert value_of(model, total(terms.values, terms.keys == "word"), "runs") == [0] * 6
    assert value_of(model, first(terms.texts, terms.keys == "nobody"), "runs") == [""] * 6


def test_one_by_name_and_how_many_more(model: Model) -> None:
    runs, terms = model["runs"], model["terms"]
    several = and_more(runs["key"], runs["each"])
    assert value_of(model, several)[:5] == [
        "rail-a", "Rail-B and 1 more", "rail-c and 2 more", "rail-d", "rail-e",
    ]  # fmt: skip
    assert value_of(model, and_more(terms["word"], terms["guard"]), "terms") == ["KING and 5 more"]


def test_rows_with_a_key_and_rows_with_a_number(model: Model) -> None:
    runs = model["runs"]
    assert value_of(model, row_count(runs["key"]) - filled_in(runs["each"]), "terms") == [0]


def test_division_by_nothing_is_loud(model: Model) -> None:
    runs = model["runs"]
    with pytest.raises(FloatingPointError):
        value_of(model, runs["length"] / runs["each"])
    assert value_of(small_model(), share(runs["length"], runs["each"]))[3] == 0


def test_empty_tables_are_calculated() -> None:
    model, frames = small_model(), small_frames()
    frames["runs"] = frames["runs"].iloc[:0]
    runs, terms = model["runs"], model["terms"]
    doubled = add_quantity(runs, runs["each"] + runs["each"])
    for draw in (total, largest, smallest):
        add_quantity(terms, draw(doubled))
        assert calculate(model, frames)["terms"][model.order[-1].name].tolist() == [0]
    add_quantity(terms, total(doubled * runs["length"]))
    assert calculate(model, frames)["terms"][model.order[-1].name].tolist() == [0]


def test_only_what_is_asked_for_is_calculated(model: Model) -> None:
    runs = model["runs"]
    first = add_quantity(runs, runs["each"] + 1)
    wanted = add_quantity(runs, first + 1)
    aside = add_quantity(runs, runs["length"] + 1)
    whole = calculate(model, small_frames())["runs"]
    some = calculate(model, small_frames(), [wanted])["runs"]
    assert some[wanted.name].tolist() == whole[wanted.name].tolist()
    assert first.name in some
    assert aside.name not in some


def test_typed_frames_are_left_as_they_were(model: Model) -> None:
    frames = small_frames()
    before = {name: frame.copy() for name, frame in frames.items()}
    add_quantity(model["runs"], larger(model["runs"]["each"], 0))
    calculate(model, frames)
    for name, frame in before.items():
        pd.testing.assert_frame_equal(frames[name], frame)


def test_rounding_up_in_a_row(model: Model) -> None:
    runs, terms = model["runs"], model["terms"]
    assert value_of(model, rounded_up(runs["each"], terms["guard"])) == [1, 2, 3, 0, -2, 3]
