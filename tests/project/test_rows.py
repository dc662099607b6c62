"""Rows become a project or a list of faults; nothing else is ever raised."""

from collections.abc import Callable, Mapping, Sequence
from copy import deepcopy
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.problems import Problem, ProblemsFound
from estimator.project.checks import check_project
from estimator.project.records import FORMS, RECORDS, Project
from estimator.project.rows import Row, is_blank, project_from_rows
from estimator.project.templates import read_template

DEMO = read_template("merrowby-lodge")


def raw_rows(project: Project) -> dict[str, list[dict[str, Any]]]:
    """The project's rows as a workbook would hand them over."""
    tables = {}
    for record in RECORDS:
        value = getattr(project, record.table)
        rows = [value] if record in FORMS else value
        tables[record.table] = [dict(row) for row in rows]
    return tables


def place(table: str, row: int, name: str) -> str:
    return f"{table} {row} {name}"


def problems_of(raw: Mapping[str, Sequence[Row]]) -> tuple[Problem, ...]:
    with pytest.raises(ProblemsFound) as found:
        project_from_rows(raw, place)
    return found.value.problems


def with_field(table: str, row: int, name: str, value: object) -> dict[str, list[Any]]:
    raw = raw_rows(DEMO)
    raw[table][row][name] = value
    return raw


def only_problem(table: str, name: str, value: object) -> Problem:
    (problem,) = problems_of(with_field(table, 0, name, value))
    assert problem.place == f"{table} 0 {name}"
    return problem


def test_a_project_is_read_from_its_own_rows() -> None:
    assert project_from_rows(raw_rows(DEMO), place) == DEMO


@pytest.mark.parametrize("change", [str.upper, str.title])
def test_names_are_read_as_their_keys_are_spelt(change: Callable[[str], str]) -> None:
    """A spreadsheet compares words without case, so that the workbook works either way."""
    raw = raw_rows(DEMO)
    for record in RECORDS:
        for name, (about, _) in record.columns().items():
            for row in raw[record.table] if about.refers_to else ():
                row[name] = change(row[name])
    assert project_from_rows(raw, place) == DEMO


def test_a_length_without_a_unit_is_in_the_unit_of_the_project() -> None:
    raw = raw_rows(DEMO)
    raw["terms"][0]["kerf"] = "3.2"
    assert project_from_rows(raw, place).terms.kerf == Fraction(16, 5)
    raw["project"][0]["unit"] = "mm"
    raw["terms"][0]["kerf"] = '1/8"'
    assert project_from_rows(raw, place).terms.kerf == Fraction(127, 40)


def test_every_fault_of_every_table_is_reported_together() -> None:
    raw = raw_rows(DEMO)
    raw["project"][0]["currency"] = "dollars"
    raw["runs"][2]["length"] = "7' 14"
    raw["counts"][0]["rooms"] = -1
    raw["counts"][1]["rooms"] = 2.5
    del raw["modules"][3]["depth"]
    raw["operations"][0]["minuts"] = 5
    assert [problem.place for problem in problems_of(raw)] == [
        "project 0 currency",
        "counts 0 rooms",
        "counts 1 rooms",
        "runs 2 length",
        "modules 3 depth",
        "operations 0 minuts",
    ]


@pytest.mark.parametrize(
    ("table", "name", "value", "message"),
    [
        (
            "counts", "rooms", "=2+3",
            "counts 0 rooms: found “=2+3”; expected a whole number for Rooms. "
            "Type the result itself: what is typed in is a plain number, zero or more.",
        ),
        (
            "counts", "rooms", True,
            "counts 0 rooms: found “True”; expected a whole number for Rooms. "
            "Yes and no, true and false are no numbers: type the number.",
        ),
        (
            "counts", "rooms", -3,
            "counts 0 rooms: found “-3”; expected at least 0 for Rooms. "
            "Correct the number. How many rooms.",
        ),
        (
            "counts", "rooms", 10**9,
            "counts 0 rooms: found “1000000000”; expected at most 10,000,000 for Rooms. "
            "Correct the number. How many rooms.",
        ),
        (
            "modules", "load", "30 lb",
            "modules 0 load: found “30 lb”; expected a number for Hung load. "
            "Type digits only, with a point before decimals and no unit or currency sign.",
        ),
        (
            "runs", "length", datetime(2026, 3, 4),
            "runs 0 length: found “2026-03-04 00:00:00”; expected a length such as 5 1/2, "
            "7' 6 1/4\" or 140 mm. This cell holds the date 2026-03-04; it was probably typed as "
            "3/4. Type 0 3/4, or format the cell as a fraction first and type it again.",
        ),
        (
            "runs", "wall", "wodd",
            "runs 0 wall: found “wodd”; expected wood, steel or masonry. Wall: wood studs, steel "
            "studs (need backing) or masonry (need anchors). Did you mean wood?",
        ),
        (
            "runs", "over", "",
            "runs 0 over: found nothing; expected a value for Stands over. Fill it in: What is "
            "below: furniture where heads are (bed, seat, desk), a path that people walk, or "
            "neither (aside).",
        ),
        (
            "types", "key", "7th heaven",
            "types 0 key: found “7th heaven”; expected a short name of letters, digits and hyphens "
            "that begins with a letter. Shorten it to at most 40 such characters, for instance "
            "shelf-24.",
        ),
        (
            "types", "name", "x" * 10_000,
            f"types 0 name: found “{'x' * 60}… (10,000 characters)”; expected at most 500 "
            "characters for Name. Shorten it.",
        ),
        (
            "types", "name", 5,
            "types 0 name: found “5”; expected text for Name. "
            "Type it as text; in a template, between quotation marks.",
        ),
        (
            "project", "issued", 45_000,
            "project 0 issued: found “45000”; expected a date for Date. "
            "Type year, month and day as 2026-11-25.",
        ),
        (
            "project", "revision", "b2",
            "project 0 revision: found “b2”; expected Revision: A letter that moves on with each "
            "issue. Type it in that form.",
        ),
        (
            "terms", "margin", float("nan"),
            "terms 0 margin: found “NaN”; expected a number for Margin on price. "
            "Type digits only, with a point before decimals and no unit or currency sign.",
        ),
        (
            "terms", "margin", "0.97",
            "terms 0 margin: found “0.97”; expected less than 0.95 for Margin on price. "
            "Correct the number. The share of the price that is left after cost.",
        ),
    ],
)  # fmt: skip
def test_a_fault_is_said_with_what_stands_there_and_how_to_mend_it(
    table: str, name: str, value: Any, message: str
) -> None:
    assert str(only_problem(table, name, value)) == message


def test_an_unknown_field_is_said_with_the_nearest_known_one() -> None:
    (problem,) = problems_of(with_field("floors", 0, "nmae", "x"))
    assert str(problem) == (
        "floors 0 nmae: found “nmae”; expected a field of this table: key, name. Did you mean name?"
    )


def test_a_blank_counts_as_what_a_blank_cell_counts_as_in_a_formula() -> None:
    raw = raw_rows(DEMO)
    raw["finishes"][0]["solids"] = None
    raw["contents"][0]["run"] = " "
    project = project_from_rows(raw, place)
    assert project.finishes[0].solids == 0
    assert project.contents[0].run == ""


def test_a_form_stands_exactly_once() -> None:
    raw = raw_rows(DEMO)
    raw["terms"] = []
    raw["project"] = raw["project"] * 2
    assert [(each.place, each.value) for each in problems_of(raw)] == [
        ("project 0 ", "2 of them"),
        ("terms 0 ", "0 of them"),
    ]


def test_faults_of_reading_come_first() -> None:
    raw = with_field("counts", 0, "rooms", "many")
    reading = Problem("a", "b", "c", "d")
    with pytest.raises(ProblemsFound) as found:
        project_from_rows(raw, place, [reading])
    assert [each.place for each in found.value.problems] == ["a", "counts 0 rooms"]


CELLS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.decimals(),
    st.text(max_size=20),
    st.sampled_from(["king", "yes", "in", "mm", "=1+1", "3/4", "7' 6\"", "1e400", "  ", "\x00"]),
    st.dates(),
    st.datetimes(),
    st.lists(st.integers(), max_size=2),
    st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
)
FIELDS = [
    (record.table, row, name)
    for record in RECORDS
    for row in range(min(2, len(raw_rows(DEMO)[record.table])))
    for name in record.columns()
]


@settings(max_examples=200)
@given(st.lists(st.tuples(st.sampled_from(FIELDS), CELLS), min_size=1, max_size=4))
def test_whatever_stands_in_a_cell_gives_a_project_or_problems(
    changes: list[tuple[Any, Any]],
) -> None:
    raw = deepcopy(raw_rows(DEMO))
    for (table, row, name), value in changes:
        raw[table][row][name] = value
    project, problems = outcome(raw)
    if project is None:
        assert problems
        assert {each.place for each in problems} <= {place(*where) for where, _ in changes}
    else:
        assert all(str(each) for each in check_project(project, place))


def outcome(raw: Mapping[str, Sequence[Row]]) -> tuple[Project | None, tuple[Problem, ...]]:
    """The project or its problems; whatever else is raised fails the test."""
    try:
        return project_from_rows(raw, place), ()
    except ProblemsFound as found:
        return None, found.problems


@given(st.decimals(min_value=0, max_value=1, places=4))
def test_a_rate_keeps_its_decimal_whether_it_comes_as_text_or_as_a_float(rate: Decimal) -> None:
    for typed in (str(rate), float(rate), Decimal(rate)):
        read = project_from_rows(with_field("terms", 0, "overhead", typed), place)
        assert read.terms.overhead == rate


def test_a_date_may_come_as_date_or_as_text() -> None:
    for typed in (date(2026, 3, 2), datetime(2026, 3, 2), "2026-03-02"):
        read = project_from_rows(with_field("project", 0, "issued", typed), place)
        assert read.project.issued == date(2026, 3, 2)


@pytest.mark.parametrize(("value", "blank"), [(None, True), ("", True), (" \n", True), (0, False)])
def test_blank_is_nothing_or_white_space(value: Any, blank: bool) -> None:
    assert is_blank(value) is blank
