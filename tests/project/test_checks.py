"""Checks of a whole project: each fault is made in the demo and must be found, alone."""

import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.problems import Problem
from estimator.project import checks
from estimator.project.checks import check_project
from estimator.project.checks_of_sizes import Size, usable
from estimator.project.records import FORMS, RECORDS, Project
from estimator.project.templates import list_templates, read_template

DEMO = read_template("merrowby-lodge")
METRIC = read_template("one-wall-metric")


def place(table: str, row: int, name: str) -> str:
    return f"{table} {row} {name}"


def changed(project: Project, table: str, row: int, **fields: Any) -> Project:
    """The project with other values in one row, unchecked by its record."""
    record = next(each for each in RECORDS if each.table == table)
    value = getattr(project, table)
    if record in FORMS:
        return project.model_copy(update={table: value.model_copy(update=fields)})
    rows = [each.model_copy(update=fields) if at == row else each for at, each in enumerate(value)]
    return project.model_copy(update={table: tuple(rows)})


def without(project: Project, table: str, *keep: int) -> Project:
    """The project with only these rows of a table."""
    rows = getattr(project, table)
    return project.model_copy(update={table: tuple(rows[at] for at in keep)})


def number_of(project: Project, table: str, key: str) -> int:
    return [each.key for each in getattr(project, table)].index(key)


def found(project: Project) -> list[str]:
    return [str(each) for each in check_project(project, place)]


def only(project: Project) -> Problem:
    (problem,) = check_project(project, place)
    return problem


@pytest.mark.parametrize("name", [each.name for each in list_templates()])
def test_the_templates_have_no_fault(name: str) -> None:
    assert check_project(read_template(name), place) == []


def test_every_check_is_in_the_list_once() -> None:
    assert len(checks.CHECKS) == len(set(checks.CHECKS)) > 20


# --- Tables, texts --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "table", [record.table for record in RECORDS if record.table not in checks.MAY_BE_EMPTY]
)
def test_a_table_that_must_hold_rows_is_not_empty(table: str) -> None:
    if table in {form.table for form in FORMS}:
        return
    problems = check_project(without(DEMO, table), place)
    assert [each.place for each in problems if each.expected.startswith("at least one row")] == [
        f"{table} 0 "
    ]


@pytest.mark.parametrize("table", checks.MAY_BE_EMPTY)
def test_a_table_that_may_be_empty_may_be_empty(table: str) -> None:
    problems = check_project(without(DEMO, table), place)
    assert not [each for each in problems if each.expected.startswith("at least one row")]


@pytest.mark.parametrize("sign", ["\x00", "\x07", "\t", "\r", "\x7f", "\x85", "\uffff"])
def test_control_characters_are_refused(sign: str) -> None:
    problem = only(changed(DEMO, "project", 0, client=f"Merrowby{sign}Group"))
    assert problem.place == "project 0 client"
    assert f"U+{ord(sign):04X}" in problem.value
    assert sign not in str(problem)


def test_a_line_break_and_any_script_are_allowed() -> None:
    assert found(changed(DEMO, "project", 0, client="Gasthaus Ümläut\n旅館 – “=1+1”")) == []


# --- Names ----------------------------------------------------------------------------------------


def test_a_key_stands_once_whatever_its_case() -> None:
    assert found(changed(DEMO, "grades", 1, key="LEAD"))[0] == (
        "grades 1 key: found “LEAD”; expected a key that no other row of Wages has. "
        "Change it or remove the row: it already stands at grades 0 key."
    )


@pytest.mark.parametrize("name", ["sheets", "Pallet", "oil", "glue", "oil-quart", "birch-ply"])
def test_a_name_that_could_mean_two_things_in_one_column_is_refused(name: str) -> None:
    problems = check_project(changed(DEMO, "types", 5, key=name), place)
    assert any(each.expected == "a name for one thing only" for each in problems)


@pytest.mark.parametrize(
    ("table", "row", "name", "value", "meant"),
    [
        ("counts", 0, "room_type", "kin", "king"),
        ("counts", 0, "floor", "f3", "F3"),
        ("contents", 0, "module", "bedside-shelve", "bedside-shelf"),
        ("runs", 0, "profile", "rail-ply-", "rail-ply"),
        ("profiles", 1, "finish", "oill", "oil"),
        ("parts", 0, "material", "birch-py", "birch-ply"),
        ("uses", 0, "item", "wodd-screw", "wood-screw"),
        ("uses", 0, "per", "shelf-25", "shelf-24"),
        ("operations", 0, "per", "sheet", "sheets"),
        ("operations", 0, "setup_per", "jobs", "job"),
        ("operations", 0, "grade", "leed", "lead"),
        ("containers", 1, "finish", "oil-", "oil"),
        ("prices", 1, "item", "birch-plyy", "birch-ply"),
    ],
)
def test_a_name_that_nothing_has_is_said_with_the_nearest(
    table: str, row: int, name: str, value: Any, meant: str
) -> None:
    problems = check_project(changed(DEMO, table, row, **{name: value}), place)
    assert [each.fix for each in problems if each.place == f"{table} {row} {name}"] == [
        f"Did you mean {meant}?"
    ]


def test_a_set_up_is_for_a_measure_only() -> None:
    problem = only(changed(DEMO, "operations", 0, setup_per="shelf-24"))
    assert problem.place == "operations 0 setup_per"


def test_a_count_stands_once_for_type_and_floor() -> None:
    twice = DEMO.model_copy(update={"counts": (*DEMO.counts, DEMO.counts[0])})
    assert found(twice) == [
        "counts 18 rooms: found “king on F3 again”; expected one count for each room type and "
        "floor. Add it to the count at counts 0 rooms."
    ]


def test_every_type_has_a_row_of_counts() -> None:
    kept = [at for at, each in enumerate(DEMO.counts) if each.room_type != "twin"]
    problem = only(without(DEMO, "counts", *kept))
    assert (problem.value, problem.expected) == ("twin", "a row of room counts")


def test_a_module_hangs_on_a_rail_of_its_own_room_type() -> None:
    problem = only(changed(DEMO, "contents", 0, run="double-bed"))
    assert problem.place == "contents 0 run"
    assert problem.expected.startswith("a rail run of king, not of double: king-bed, king-head")


def test_an_alternate_is_of_the_same_kind_and_says_what_it_stands_in_for() -> None:
    other_kind = only(changed(DEMO, "alternates", 0, instead="oil"))
    assert other_kind.expected == "the same kind of thing as maple-ply"
    maple = number_of(DEMO, "materials", "maple-ply")
    unsaid = only(changed(DEMO, "materials", maple, stands_in_for=""))
    assert unsaid.place == f"materials {maple} stands_in_for"


def test_an_alternate_is_not_replaced_itself() -> None:
    thin = number_of(DEMO, "materials", "birch-thin")
    problems = check_project(changed(DEMO, "materials", thin, stands_in_for="maple-ply"), place)
    assert "what is in the price itself" in [each.expected for each in problems]


def test_an_alternate_is_in_nothing_that_is_priced() -> None:
    assert only(changed(DEMO, "parts", 0, material="maple-ply")).fix == (
        "Use birch-ply; maple-ply is priced beside it."
    )
    assert only(changed(DEMO, "profiles", 0, finish="varnish")).place == "profiles 0 finish"


# --- Sizes ----------------------------------------------------------------------------------------


def test_a_part_larger_than_its_sheet_is_said_with_both_sizes() -> None:
    assert found(changed(DEMO, "parts", 0, length=Fraction(96))) == [
        "parts 0 length: found “96 x 10 in”; expected at most 95 3/4 x 47 3/4 in along the grain, "
        "which birch-ply gives after trimming. "
        "Make the part smaller or of several pieces, or choose a larger sheet."
    ]


def test_a_part_may_be_as_large_as_what_trimming_leaves() -> None:
    fits = changed(DEMO, "parts", 0, length=Fraction(383, 4), width=Fraction(191, 4))
    assert found(fits) == []


def test_only_a_part_whose_grain_may_run_anywhere_is_turned() -> None:
    tall = {"length": Fraction(40), "width": Fraction(60)}
    assert only(changed(DEMO, "parts", 0, **tall)).place == "parts 0 length"
    assert found(changed(DEMO, "parts", 0, **tall, grain="any")) == []


SIZES = st.fractions(min_value=0, max_value=200, max_denominator=64)


@given(SIZES, SIZES, SIZES, SIZES)
def test_what_a_sheet_holds_it_holds_turned_when_both_are_turned(
    length: Fraction, width: Fraction, long: Fraction, wide: Fraction
) -> None:
    sheet, part = Size(length, width), Size(long, wide)
    assert sheet.holds(part) == sheet.turned().holds(part.turned())
    assert sheet.holds(sheet)
    assert sheet.turned().turned() == sheet


@given(SIZES)
def test_trimming_takes_from_sheets_only_and_never_leaves_less_than_nothing(trim: Fraction) -> None:
    sheet = DEMO.materials[number_of(DEMO, "materials", "birch-ply")]
    bought = DEMO.materials[number_of(DEMO, "materials", "maple-rail")]
    assert usable(bought, trim) == Size(bought.length, bought.width)
    left = usable(sheet, trim)
    assert left.length == max(96 - 2 * trim, 0)
    assert left.width == max(48 - 2 * trim, 0)


def test_trimming_must_leave_something() -> None:
    problems = check_project(changed(METRIC, "terms", 0, trim=Fraction(700)), place)
    assert "materials 0 length" in [each.place for each in problems]


def test_a_rail_is_no_wider_than_its_sheet() -> None:
    wide = changed(DEMO, "materials", 0, width=Fraction(5))
    places = [each.place for each in check_project(wide, place)]
    assert "profiles 0 width" in places


def test_a_bought_length_is_neither_ripped_nor_bevelled() -> None:
    assert only(changed(DEMO, "profiles", 1, width=Fraction(5))).expected == (
        "5 1/2 in, the width of maple-rail"
    )
    assert only(changed(DEMO, "profiles", 1, bevelled="yes")).expected == "no for maple-rail"


def test_a_bevel_leaves_wood() -> None:
    """The narrow face is the wide one less thickness times tan angle; at 45 degrees, thickness."""
    cleat = number_of(DEMO, "parts", "shelf-24-cleat")
    thickness = DEMO.materials[0].thickness
    assert found(changed(DEMO, "parts", cleat, width=thickness + Fraction(1, 64))) == []
    gone = only(changed(DEMO, "parts", cleat, width=thickness - Fraction(1, 64)))
    assert gone.place == f"parts {cleat} width"
    steep = changed(DEMO, "terms", 0, bevel_angle=Decimal(79))
    lost = float(thickness) * math.tan(math.radians(79))
    narrow = {each.key for each in DEMO.parts if each.bevelled == "yes" and each.width <= lost}
    named = {DEMO.parts[int(each.place.split()[1])].key for each in check_project(steep, place)}
    assert named == narrow


def test_the_kerf_is_narrower_than_what_is_cut() -> None:
    assert only(changed(DEMO, "parts", 0, width=Fraction(1, 8))).expected == (
        "more than the saw kerf of 1/8 in"
    )


def test_a_run_is_long_enough_for_a_screw() -> None:
    problem = only(changed(DEMO, "runs", 0, length=Fraction(4)))
    assert problem.expected == "more than twice the end distance of 2 in"


def test_a_pieced_run_has_stock_that_reaches_from_stud_to_stud() -> None:
    """Stock of 30 in ends 2 in past no stud when studs stand 29 in apart."""
    short = changed(
        DEMO, "materials", number_of(DEMO, "materials", "maple-rail"), length=Fraction(30)
    )
    lobby = number_of(DEMO, "runs", "lobby-long")
    assert found(changed(short, "runs", lobby, spacing=Fraction(28))) == []
    problem = only(changed(short, "runs", lobby, spacing=Fraction(29)))
    assert problem.place == f"runs {lobby} spacing"


@pytest.mark.parametrize(
    ("project", "table", "row", "name", "value"),
    [
        (METRIC, "materials", 0, "length", Fraction(96)),
        (METRIC, "runs", 0, "spacing", Fraction(16)),
        (METRIC, "terms", 0, "kerf", Fraction(32)),
        (METRIC, "materials", 0, "density", Decimal("42.5")),
        (DEMO, "materials", 0, "length", Fraction(2440)),
        (DEMO, "materials", 0, "thickness", Fraction(18)),
        (DEMO, "materials", 0, "density", Decimal(680)),
        (DEMO, "runs", 0, "bottom", Fraction(1500)),
        (DEMO, "counts", 0, "rooms", 1_000_000),
        (DEMO, "parts", 0, "each", 20_000),
        (DEMO, "operations", 0, "crew", 400),
    ],
)
def test_absurd_values_and_mixed_up_units_are_found(
    project: Project, table: str, row: int, name: str, value: Any
) -> None:
    problems = check_project(changed(project, table, row, **{name: value}), place)
    assert f"{table} {row} {name}" in [each.place for each in problems]


def test_a_length_in_the_wrong_unit_is_said_in_the_units_of_the_project() -> None:
    assert found(changed(METRIC, "runs", 0, spacing=Fraction(16)))[0] == (
        "runs 0 spacing: found “16 mm”; expected Stud spacing between 100 and 2,500 mm. "
        "Correct it; was another unit meant? A length may be typed with its own, as in 140 mm or "
        "5 1/2 in."
    )


# --- Prices, containers, stages, scope ------------------------------------------------------------


@pytest.mark.parametrize("key", ["birch-ply", "glue", "pallet"])
def test_everything_that_is_bought_has_a_price_from_one(key: str) -> None:
    row = next(at for at, each in enumerate(DEMO.prices) if each.item == key)
    problem = only(changed(DEMO, "prices", row, from_quantity=2))
    assert problem.expected.startswith("a price from a quantity of 1")


def test_a_price_break_stands_once() -> None:
    problem = only(changed(DEMO, "prices", 1, from_quantity=1))
    assert problem.value == "birch-ply from 1 again"


def test_a_finish_has_a_spreading_rate_or_solids_and_film() -> None:
    oil = number_of(DEMO, "finishes", "oil")
    assert only(changed(DEMO, "finishes", oil, spread=Decimal(0))).place == f"finishes {oil} spread"
    varnish = number_of(DEMO, "finishes", "varnish")
    assert only(changed(DEMO, "finishes", varnish, film=Decimal(0))).expected == (
        "a spreading rate, or solids and dry film"
    )


def test_a_finish_is_sold_in_a_large_container_and_each_size_once() -> None:
    large = number_of(DEMO, "containers", "oil-gallon")
    problems = check_project(changed(DEMO, "containers", large, size="medium"), place)
    assert [each.expected for each in problems][:2] == [
        "a large container for this finish",
        "one medium container of oil",
    ]


def test_containers_hold_more_and_cost_less_for_it_the_larger_they_are() -> None:
    large = number_of(DEMO, "containers", "oil-gallon")
    holds = only(changed(DEMO, "containers", large, holds=Decimal("0.2")))
    assert holds.place == f"containers {large} holds"
    price = only(changed(DEMO, "containers", large, price=Decimal(125)))
    assert price.expected == "at most 124.00, what as much costs in oil-quart"


@pytest.mark.parametrize("name", ["length", "width", "thickness"])
def test_a_material_offered_instead_has_the_same_size(name: str) -> None:
    maple = number_of(DEMO, "materials", "maple-ply")
    value = getattr(DEMO.materials[maple], name) + Fraction(1, 8)
    assert (
        only(changed(DEMO, "materials", maple, **{name: value})).place
        == f"materials {maple} {name}"
    )


def test_payment_stages_add_up_to_exactly_the_price() -> None:
    assert found(changed(DEMO, "stages", 3, share=Decimal("0.1001"))) == [
        "stages 3 share: found “100.01% in all”; expected shares that add up to 100 %. "
        "Change one of the shares."
    ]
    assert only(changed(DEMO, "stages", 1, number=1)).expected == "each number once"


def test_only_an_allowance_has_a_sum() -> None:
    assert only(changed(DEMO, "clauses", 0, amount=Decimal(5))).expected == (
        "no sum for what is included"
    )
