"""What is typed for strength and access is checked before anything is calculated."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from estimator.project.checks import check_project
from estimator.project.templates import read_template

DEMO = read_template("merrowby-lodge")


def said(table: str, row: int = 0, again: bool = False, **fields: Any) -> str:
    """The one fault of the demo with other values in one row, or with that row twice."""
    rows = list(getattr(DEMO, table))
    changed = rows[row].model_copy(update=fields)
    rows = [*rows, changed] if again else [*rows[:row], changed, *rows[row + 1 :]]
    project = DEMO.model_copy(update={table: tuple(rows)})
    (problem,) = check_project(project, lambda table, row, name: f"{table} {row} {name}")
    return str(problem)


def test_the_upper_screws_stand_on_the_rail() -> None:
    assert said("profiles", screw_line=Fraction("5.5")) == (
        "profiles 0 screw_line: found “5 1/2 in”; expected less than the rail's width of 5 1/2 in. "
        "Measure from the rail's lower edge up to its upper screws."
    )


def test_the_upper_screws_are_some_of_all() -> None:
    assert said("profiles", upper_screws=4) == (
        "profiles 0 upper_screws: found “4”; expected at most 3, all screws in a stud. "
        "Count the screws of the upper row only."
    )


def test_a_thread_is_no_longer_than_its_screw() -> None:
    assert said("screws", thread=Fraction(4)) == (
        "screws 0 thread: found “4 in”; expected at most the screw's length of 3 in. "
        "Correct one of the two."
    )


def test_a_part_spans_no_more_than_its_length() -> None:
    assert said("parts", span=Fraction(25)) == (
        "parts 0 span: found “25 in”; expected at most the part's length of 24 in. "
        "Measure the span along the grain, between the faces of the supports."
    )


@pytest.mark.parametrize(
    ("table", "name", "value"), [("steps", "from_rooms", "1"), ("reaches", "over", "0")]
)
def test_a_step_stands_once(table: str, name: str, value: str) -> None:
    number = len(getattr(DEMO, table))
    assert said(table, again=True) == (
        f"{table} {number} {name}: found “{value}”; expected each step once. Remove one of the two."
    )


def test_a_rail_names_a_known_screw_that_is_bought() -> None:
    assert said("profiles", screw="wall-screws").startswith(
        "profiles 0 screw: found “wall-screws”; expected one of: wall-screw."
    )
