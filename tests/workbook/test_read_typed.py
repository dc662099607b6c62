"""Cells as people leave them: what is read with a word, and what is refused with one."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.formats.description import ColumnAbout
from estimator.problems import ProblemsFound
from estimator.project.lengths import LengthUnit
from estimator.project.records import Facts, RailRun, RoomCount
from estimator.workbook import END
from estimator.workbook.read import read_workbook
from estimator.workbook.stored import Cell
from estimator.workbook.typed import Said, digits_read, typed_value
from estimator.workbook.write import write_workbook
from tests.workbook.estimates import estimated
from tests.workbook.hostile.packages import typed, where
from tests.workbook.projects import template

ROOMS = ColumnAbout("block", RoomCount.columns()["rooms"][0].label, "number")
LENGTH = ColumnAbout("input", RailRun.columns()["length"][0].label, "length")
NAME = ColumnAbout("input", Facts.columns()["name"][0].label, "text")


def read_cell(cell: Cell, about: ColumnAbout, unit: LengthUnit = "in") -> tuple[Any, list[str]]:
    """The value that the cell is read as, and all that is said."""
    said = Said()
    value = typed_value(cell, about, unit, "Sheet!A1", said)
    return value, [*map(str, said.remarks), *map(str, said.problems)]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("24 ", 24),
        (" 24", 24),
        ("1,200", 1200),
        ("1 200", 1200),
        ("1\u00a0200.50", Decimal("1200.5")),
        ("1'200", 1200),
        ("12 %", Decimal("0.12")),
        ("12.5%", Decimal("0.125")),
        (".5", Decimal("0.5")),
        ("007", 7),
        ("12,00", None),
        ("1,2000", None),
        ("1.200,50", None),
        ("-3", None),
        ("1e3", None),
        (".", None),
        ("%", None),
        ("", None),
        ("many", None),
        ("٣", None),
    ],
)
def test_digits_typed_as_text_are_read_when_they_can_mean_one_number_only(
    text: str, number: Any
) -> None:
    assert digits_read(text) == number


@given(st.decimals(0, 10**9, places=3))
def test_a_number_written_with_commas_is_read_back(number: Any) -> None:
    assert digits_read(f"{number:,}") == number


@pytest.mark.parametrize(
    ("cell", "about", "value", "words"),
    [
        (Cell(24), ROOMS, 24, []),
        (Cell(24.0), ROOMS, 24, []),
        (Cell("24 "), ROOMS, 24, ["Sheet!A1 holds the text “24 ”; it is read as 24"]),
        (
            Cell(12, "=6*2"), ROOMS, 12,
            ["Sheet!A1 holds a formula, =6*2; its value 12 is used"],
        ),
        (Cell("7' 6 1/4\""), LENGTH, "7' 6 1/4\"",
            ["Sheet!A1 holds the text “7' 6 1/4\"”; it is read as 90 1/4 in"]),
        (Cell("long"), LENGTH, "long", []),
        (Cell(1204), NAME, "1204",
            ["Sheet!A1 holds the number 1204; it is read as text for Project"]),
        (Cell(True), NAME, True, []),
        (
            Cell("#N/A", "=B2", is_error=True), ROOMS, None,
            ["Sheet!A1: found “#N/A”; expected a value for Rooms. Fix what the formula refers to, "
             "or type the value itself."],
        ),
        (
            Cell(None, "=B2"), ROOMS, None,
            ["Sheet!A1: found “=B2”; expected a formula that has been calculated. Save the "
             "workbook in a spreadsheet program, which calculates it, or type the value."],
        ),
        (
            Cell(3, "='[Old.xlsx]Counts'!C9"), ROOMS, None,
            ["Sheet!A1: found “='[Old.xlsx]Counts'!C9”; expected a value for Rooms in this "
             "workbook. Type its value: a workbook goes to others without the one that it refers "
             "to."],
        ),
    ],
)  # fmt: skip
def test_what_a_cell_is_read_as_and_what_is_said(
    cell: Cell, about: ColumnAbout, value: Any, words: list[str]
) -> None:
    assert read_cell(cell, about) == (value, words)


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("good") / "book.xlsx"
    write_workbook(estimated(template("one-wall")), path)
    return path


def problems_of(path: Path) -> list[str]:
    with pytest.raises(ProblemsFound) as found:
        read_workbook(path)
    return [str(each) for each in found.value.problems]


def place_of(good: Path, name: str, down: int = 0) -> str:
    return "!".join(where(good, name, down))


def test_a_length_that_became_a_date_is_said_as_one(good: Path, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(good)
    sheet, cell = where(good, "runs_length")
    book[sheet][cell].value = datetime(2026, 3, 4)
    book[sheet][cell].number_format = "d-mmm"
    book.save(tmp_path / "book.xlsx")
    (problem,) = problems_of(tmp_path / "book.xlsx")
    assert problem.startswith(f"{place_of(good, 'runs_length')}: found “2026-03-04")
    assert "it was probably typed as 3/4" in problem


def test_the_day_may_be_a_date_cell(good: Path, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(good)
    sheet, cell = where(good, "project_issued")
    book[sheet][cell].value = datetime(2026, 3, 4)
    book.save(tmp_path / "book.xlsx")
    assert f"{read_workbook(tmp_path / 'book.xlsx').project.project.issued}" == "2026-03-04"


def test_a_length_typed_with_its_unit_is_read(good: Path, tmp_path: Path) -> None:
    typed({"runs_length": "7' 6 1/4\""})(good, tmp_path / "book.xlsx")
    book = read_workbook(tmp_path / "book.xlsx")
    assert book.project.runs[0].length == Fraction("90.25")
    assert [each.place for each in book.remarks] == [place_of(good, "runs_length")]


def test_what_is_typed_into_the_end_row_is_said_and_not_lost(good: Path, tmp_path: Path) -> None:
    rows = len(template("one-wall").modules)
    book = openpyxl.load_workbook(good)
    sheet, cell = where(good, "modules_name", rows)
    book[sheet][cell].value = "A shelf"
    book.save(tmp_path / "book.xlsx")
    assert problems_of(tmp_path / "book.xlsx") == [
        f"{place_of(good, 'modules_name', rows)}: found “A shelf”; expected nothing beside “{END}”."
        " Insert a row above and move the values up into it."
    ]


def test_the_end_rows_words_may_be_typed_over_by_a_record(good: Path, tmp_path: Path) -> None:
    project = template("one-wall")
    book = openpyxl.load_workbook(good)
    for name, value in (("kind", "excluded"), ("text", "Painting.")):
        sheet, cell = where(good, f"clauses_{name}", len(project.clauses))
        book[sheet][cell].value = value
    book.save(tmp_path / "book.xlsx")
    read = read_workbook(tmp_path / "book.xlsx").project.clauses
    assert (read[:-1], read[-1].text) == (project.clauses, "Painting.")


def test_a_row_below_the_table_is_said(good: Path, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(good)
    sheet, cell = where(good, "clauses_kind", len(template("one-wall").clauses) + 1)
    book[sheet][cell].value = "excluded"
    book.save(tmp_path / "book.xlsx")
    assert [str(each) for each in read_workbook(tmp_path / "book.xlsx").remarks] == [
        f"{sheet}!{cell} stands below “{END}” and is not read"
    ]


def test_faults_of_all_sheets_are_said_at_once_each_with_its_cell(
    good: Path, tmp_path: Path
) -> None:
    wrong: dict[Any, str] = {
        "counts_rooms": "many",
        "runs_length": "long",
        "terms_kerf": "?",
        "project_unit": "cm",
    }
    typed(wrong)(good, tmp_path / "book.xlsx")
    places = {each.split(": found")[0] for each in problems_of(tmp_path / "book.xlsx")}
    assert places == {place_of(good, name) for name in wrong}
