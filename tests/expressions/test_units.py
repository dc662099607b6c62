"""Units: exact factors, and faults on the line that mixes them, both sides named."""

from __future__ import annotations

import re
import traceback
from fractions import Fraction

import pytest

from estimator.expressions.formula import formula
from estimator.expressions.functions import SMALLER as SMALLER_OF
from estimator.expressions.functions import (
    and_more,
    both,
    call,
    choose,
    larger,
    power,
    rounded,
    tangent,
)
from estimator.expressions.nodes import Expression, find, first, largest, smallest, total
from estimator.expressions.tables import Model
from estimator.units import COUNTED, OTHER, SYSTEMS, UnitFault, factor, name_of, unit
from tests.expressions.small_model import small_model


@pytest.fixture
def model() -> Model:
    return small_model()


# --- Factors ------------------------------------------------------------------------------------

# The litre of 1964 and the inch of 1959 are exact; the gallon of 231 cubic inches and its parts
# are those of NIST Handbook 44, appendix C.
EXACT = [
    ("gal", "in**3", Fraction(231)),
    ("gal", "liter", Fraction("3.785411784")),
    ("quart", "in**3", Fraction("57.75")),
    ("pint", "in**3", Fraction("28.875")),
    ("fluid_ounce", "in**3", Fraction("1.8046875")),
    ("gal", "quart", Fraction(4)),
    ("gal", "pint", Fraction(8)),
    ("gal", "fluid_ounce", Fraction(128)),
    ("in**3", "milliliter", Fraction("16.387064")),
    ("ft", "in", Fraction(12)),
    ("in", "mm", Fraction("25.4")),
    ("ft**2", "in**2", Fraction(144)),
    ("ft**3", "in**3", Fraction(1728)),
    ("lb", "kg", Fraction("0.45359237")),
    ("mile", "ft", Fraction(5280)),
    ("in", "thou", Fraction(1000)),
    ("hour", "min", Fraction(60)),
]


@pytest.mark.parametrize(("source", "target", "exact"), EXACT)
def test_factors_are_exact(source: str, target: str, exact: Fraction) -> None:
    assert factor(unit(source), unit(target)) == exact
    assert factor(unit(target), unit(source)) == 1 / exact


# Rounded figures that reference pages print; the last digit is theirs.
PRINTED = [
    ("ft**3", "gal", 7.480519, 5e-7),
    ("liter", "gal", 0.264172052, 5e-10),
    ("quart", "liter", 0.946352946, 5e-10),
    ("pint", "liter", 0.473176473, 5e-10),
    ("fluid_ounce", "milliliter", 29.5735295625, 5e-11),
    ("m**2/liter", "ft**2/gal", 40.74583, 5e-6),
    ("kg/m**3", "lb/ft**3", 0.06242796, 5e-9),
    ("gal/thou", "ft**2", 1604.1667, 5e-5),  # 231 / 144 * 1000: one gallon, one mil thick
    ("liter/um", "m**2", 1000.0, 0),  # one source prints 100, a slip
]


@pytest.mark.parametrize(("source", "target", "printed", "last_digit"), PRINTED)
def test_factors_agree_with_printed_ones(
    source: str, target: str, printed: float, last_digit: float
) -> None:
    assert abs(float(factor(unit(source), unit(target))) - printed) <= last_digit


@pytest.mark.parametrize("one", [*COUNTED, *OTHER])
@pytest.mark.parametrize("other", [*COUNTED, *OTHER])
def test_things_counted_are_dimensions_of_their_own(one: str, other: str) -> None:
    if one == other:
        assert factor(unit(one), unit(other)) == 1
    else:
        shown = [name_of(unit(each)) for each in (one, other)]
        with pytest.raises(UnitFault, match=f"^cannot turn {shown[0]} into {shown[1]}$"):
            factor(unit(one), unit(other))


@pytest.mark.parametrize("text", ["sheetz", "ft**2/rom", "dollar"])
def test_an_unknown_unit_is_named(text: str) -> None:
    with pytest.raises(UnitFault, match=f"^unknown unit '{re.escape(text)}'$"):
        unit(text)


SHOWN = {
    "1": "ratio", "in": "in", "ft**2": "ft²", "ft**3": "ft³", "min/room": "min/room",
    "money/stock": "money/sheet or length", "ft**2/gal": "ft²/gal", "lb/ft**3": "lb/ft³",
    "1/room": "1/room", "hour*person": "h·person", "thou": "mil", "um": "µm", "liter": "L",
    "degree": "°", "money/hour/person": "money/h·person",
}  # fmt: skip


@pytest.mark.parametrize(("text", "shown"), SHOWN.items())
def test_a_unit_is_shown_as_people_write_it(text: str, shown: str) -> None:
    assert name_of(unit(text)) == shown


@pytest.mark.parametrize("system", SYSTEMS.values(), ids=SYSTEMS)
def test_units_of_a_system_are_units(system: object) -> None:
    braces = ("length", "run", "area", "weight", "volume", "film", "space", "distance", "spread")
    for name in (*braces, "density"):
        unit(system.fill("{" + name + "}"))  # type: ignore[attr-defined]


# --- Faults -------------------------------------------------------------------------------------


def fault_of(build: object) -> str:
    with pytest.raises(UnitFault) as fault:
        build()  # type: ignore[operator]
    return str(fault.value)


JOINS = {
    "cannot add: left is in, right is room": lambda r, t: r["length"] + t["rooms"],
    "cannot subtract: left is in, right is money": lambda r, t: r["length"] - r["price"],
    "cannot add: left is in, right is ft": lambda r, t: r["length"] + r["height"],
    "cannot compare: left is in, right is room": lambda r, t: r["length"] < t["rooms"],
    "cannot compare: left is money, right is ratio": lambda r, t: r["price"] >= r["each"],
    "cannot compare: left is text, right is in": lambda r, t: r["key"] == r["length"],
    "cannot compare: left is in, right is text": lambda r, t: r["length"] != "a",
}


@pytest.mark.parametrize("message", JOINS)
def test_both_sides_are_named(message: str, model: Model) -> None:
    assert fault_of(lambda: JOINS[message](model["runs"], model["types"])) == message


def test_every_sign_refuses_mixed_units_or_gives_the_unit_it_should(model: Model) -> None:
    inches, rooms = model["runs"]["length"], model["types"]["rooms"]
    for mixed in (
        lambda: inches + rooms, lambda: inches - rooms, lambda: inches == rooms,
        lambda: inches != rooms, lambda: inches < rooms, lambda: inches <= rooms,
        lambda: inches > rooms, lambda: inches >= rooms,
    ):  # fmt: skip
        fault_of(mixed)
    assert (inches * rooms).unit == unit("in*room")
    assert (inches / rooms).unit == unit("in/room")
    assert (1 / rooms).unit == unit("1/room")
    assert (1 - inches).unit == unit("in")
    assert (inches < inches).unit == unit("truth")


def test_the_fault_lies_on_the_authors_line(model: Model) -> None:
    try:
        wrong = model["runs"]["length"] + model["runs"]["price"]
    except UnitFault as fault:
        lines = [frame.line for frame in traceback.extract_tb(fault.__traceback__)]
        assert lines[0] == 'wrong = model["runs"]["length"] + model["runs"]["price"]'
    else:
        pytest.fail(f"{wrong} was built")


@pytest.mark.parametrize("number", [2, -1, 12, True, False])
def test_a_number_that_may_change_is_refused(number: int, model: Model) -> None:
    lengths = model["runs"]["length"]
    for join in (lambda: lengths * number, lambda: lengths + number, lambda: number - lengths,
                 lambda: lengths > number, lambda: number / lengths):  # fmt: skip
        assert f"the number {number} may change" in fault_of(join)


def test_nought_and_one_take_the_unit_of_the_other_side(model: Model) -> None:
    lengths = model["runs"]["length"]
    assert (lengths + 0).unit == (lengths - 1).unit == (1 - lengths).unit == unit("in")
    assert (lengths * 1).unit == unit("in")
    assert (lengths > 0).unit == unit("truth")


def test_words_and_truths_are_not_calculated_with(model: Model) -> None:
    runs = model["runs"]
    words, truth, each = runs["key"], runs["each"] > 0, runs["each"]
    for join in (lambda: words + words, lambda: words * 1, lambda: words / each,
                 lambda: words < words, lambda: each * words, lambda: truth + truth,
                 lambda: truth * each, lambda: each / truth, lambda: truth == truth):  # fmt: skip
        assert "write choose(condition, 1, 0)" in fault_of(join)
    assert fault_of(lambda: words == 0) == "the number 0 stands where words belong"


def test_an_expression_is_neither_true_nor_false(model: Model) -> None:
    each = model["runs"]["each"]
    for ask in (lambda: bool(each > 0), lambda: 0 < each < 1, lambda: each in (1, 2),
                lambda: not each, lambda: each > 0 and each < 1):  # fmt: skip
        with pytest.raises(TypeError, match=r"write choose\(condition, a, b\)"):
            ask()


def test_functions_name_themselves_and_what_they_were_given(model: Model) -> None:
    runs = model["runs"]
    lengths, prices, each = runs["length"], runs["price"], runs["each"]
    assert fault_of(lambda: larger(lengths, prices)) == "larger: needs one unit, has in, money"
    assert fault_of(lambda: call(SMALLER_OF, each, prices)) == (
        "smaller: needs one unit, has ratio, money"
    )
    assert fault_of(lambda: choose(each, lengths, lengths)) == "choose: needs truth, has ratio"
    assert fault_of(lambda: choose(each > 0, lengths, prices)) == (
        "choose: needs one unit, has in, money"
    )
    assert fault_of(lambda: power(lengths, each)) == "power: needs 1, has in, ratio"
    assert fault_of(lambda: tangent(each)) == "tangent: needs degree, has ratio"
    assert fault_of(lambda: both(each > 0, each)) == "all: needs truth, has truth, ratio"


def test_only_words_are_a_first_and_only_words_are_named(model: Model) -> None:
    runs, types = model["runs"], model["types"]
    with_rooms = types["rooms"] == runs["each"].number_of("room")
    fault = fault_of(lambda: first(types["width"], with_rooms))
    assert fault == "the first of what is no words: in; write a find or total"
    assert (
        fault_of(lambda: and_more(runs["each"], runs["each"])) == "and more: needs text, has ratio"
    )
    assert fault_of(lambda: and_more(runs["key"], runs["key"])) == "and more: needs 1, has text"


def test_a_conversion_keeps_the_dimension(model: Model) -> None:
    lengths = model["runs"]["length"]
    assert lengths.to("ft").unit == unit("ft")
    assert lengths.to("in") is lengths
    assert fault_of(lambda: lengths.to("ft**2")) == "cannot turn in into ft²"
    assert fault_of(lambda: lengths.to("money")) == "cannot turn in into money"


def test_a_count_is_renamed_only_in_words(model: Model) -> None:
    rooms = model["types"]["rooms"]
    assert rooms.number_of("piece").unit == unit("piece")
    assert rooms.measured().unit == unit("measure")
    assert model["runs"]["length"].per("room").unit == unit("in/room")


# --- Faults of a definition ---------------------------------------------------------------------


def test_a_stated_unit_is_compared_with_what_comes_out(model: Model) -> None:
    runs = model["runs"]
    fault = fault_of(
        lambda: runs.quantity("x", "Feet", "ft", runs["length"] * runs["each"], "Wrong.")
    )
    assert fault == "Runs, Feet: stated ft, comes to in"


def test_a_row_of_another_table_needs_a_total(model: Model) -> None:
    runs, types = model["runs"], model["types"]
    stray = types["width"] + runs["length"]
    fault = fault_of(lambda: runs.quantity("x", "Both", "in", stray, "Wrong."))
    assert fault == "Runs, Both: reads a row of types without a total"
    form_fault = fault_of(lambda: model["terms"].quantity("x", "Width", "in", types["width"], "W."))
    assert form_fault == "Terms, Width: reads a row of types without a total"
    runs.quantity("x", "Fine", "in", total(types["width"]) + runs["length"], "In sight.")
    runs.quantity("y", "Form", "in", model["terms"]["end"] + runs["length"], "In sight.")


def test_a_total_reads_the_row_only_through_its_conditions(model: Model) -> None:
    runs, types = model["runs"], model["types"]
    of_type = total(types["rooms"], types["key"] == runs["type"])
    assert of_type.scope == {"runs"}
    assert total(types["rooms"]).scope == frozenset()
    fault = fault_of(lambda: types.quantity("x", "Rooms", "room", of_type, "Wrong."))
    assert fault == "Types, Rooms: reads a row of runs without a total"


CONDITIONS = {
    "a condition compares a column": [
        lambda runs, types: total(types["rooms"], types["key"]),
        lambda runs, types: total(types["rooms"], types["share"] + 0 == runs["each"]),
        lambda runs, types: total(types["rooms"], types["key"] != runs["type"]),
    ],
    "a row is looked up by what a column is equal to": [
        lambda runs, types: first(types["key"], types["share"] > runs["each"]),
        lambda runs, types: find(types["share"], types["rooms"] >= runs["each"].number_of("room")),
    ],
    "a condition on runs, but what is drawn is of types": [
        lambda runs, types: total(types["rooms"], runs["type"] == types["key"]),
    ],
}


@pytest.mark.parametrize("message", CONDITIONS)
def test_a_condition_stands_on_the_table_it_draws_from(message: str, model: Model) -> None:
    for build in CONDITIONS[message]:
        assert message in fault_of(lambda build=build: build(model["runs"], model["types"]))


def test_over_whole_ranges_only_signs_join(model: Model) -> None:
    """Two engines of three cannot round, or look up, inside a sum of products."""
    types, terms = model["types"], model["terms"]
    looked_up = total(model["runs"]["each"], model["runs"]["type"] == types["key"])
    for of in (rounded(types["share"], terms["cents"]), looked_up * types["rooms"]):
        assert "make it a column first" in fault_of(lambda of=of: total(of))
    for extreme in (largest, smallest):
        fault = fault_of(lambda extreme=extreme: extreme(types["rooms"] * types["width"]))
        assert "make it a column first" in fault
    assert isinstance(total(types["rooms"] * types["width"]), Expression)


def test_an_unknown_column_is_told_with_those_there_are(model: Model) -> None:
    assert fault_of(lambda: model["types"]["height"]) == (
        "Types has no column 'height' yet; so far: key, rooms, width, share"
    )


def test_names_are_given_once(model: Model) -> None:
    assert fault_of(lambda: model["types"].input("rooms", "Rooms", "room", "Again.")) == (
        "Types has two columns named 'rooms'"
    )
    assert fault_of(lambda: model.table("types", "Types", "Rows", "Again.")) == (
        "there are two tables named 'types'"
    )


def test_a_column_in_an_unknown_unit_is_refused(model: Model) -> None:
    assert "unknown unit 'sheetz'" in fault_of(
        lambda: model["types"].input("x", "X", "sheetz", "X.")
    )


def test_a_form_is_not_added_up_inside_itself(model: Model) -> None:
    terms = model["terms"]
    whole = total(terms.values, terms.keys == "rate")
    fault = fault_of(lambda: terms.quantity("x", "Whole", "measure", whole, "A circle."))
    assert fault == "Terms, Whole: adds up the form that it stands in"
    model["runs"].quantity("x", "Whole", "measure", whole, "No circle.")


def test_a_look_up_goes_through_a_reference_only() -> None:
    """The same formula as the condition written out; a fault where the column names no such row."""
    model = Model()
    types = model.table("types", "Types", "Types", "Rows.")
    types.input("key", "Type", "text", "Key.")
    rooms = types.input("rooms", "Rooms", "room", "Rooms.")
    runs = model.table("runs", "Runs", "Runs", "Rows.")
    named = runs.input("type", "Type", "text", "Its type.", refers_to=("types",))
    runs.input("floor", "Floor", "text", "Its floor.", refers_to=("floors",))

    def as_formula(node: Expression) -> str:
        return formula(node, lambda column: column.name)

    written_out = total(rooms, types["key"] == named)
    assert as_formula(runs.via("type", rooms)) == as_formula(written_out)
    with pytest.raises(UnitFault, match="refers by 'floor'"):
        runs.via("floor", rooms)
