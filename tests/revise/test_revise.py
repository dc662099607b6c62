"""The next revision stands beside the old one, which stays; nothing is dropped without a word."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from openpyxl.comments import Comment

from estimator.problems import ProblemsFound
from estimator.revise.left_behind import left_behind
from estimator.revise.revise import next_letter, next_path, revise
from estimator.workbook.read import read_workbook
from estimator.workbook.write import write_workbook
from tests.engines import calc
from tests.workbook.estimates import estimated
from tests.workbook.hostile.packages import typed
from tests.workbook.projects import template

TODAY = date(2026, 12, 1)


@pytest.fixture
def book(tmp_path) -> Path:
    path = tmp_path / "Wall.xlsx"
    write_workbook(estimated(template("one-wall")), path)
    return path


@pytest.mark.parametrize(
    ("revision", "following"), [("A", "B"), ("Y", "Z"), ("Z", "AA"), ("AZ", "BA"), ("ZZ", "AAA")]
)
def test_the_letter_moves_on(revision, following):
    assert next_letter(revision) == following


@pytest.mark.parametrize("name", ["Wall.xlsx", "Wall rev A.xlsx", "Wall rev AB.xlsx"])
def test_the_name_says_the_revision_once(name):
    assert next_path(Path("folder") / name, "B") == Path("folder/Wall rev B.xlsx")


def test_the_next_revision_stands_beside_an_untouched_workbook(book):
    typed({"counts_rooms": 3})(book, book.with_name("Wall rev A.xlsx"))
    edited = book.with_name("Wall rev A.xlsx")
    before = edited.read_bytes()
    revision = revise(edited, today=TODAY)
    assert edited.read_bytes() == before
    assert revision.path == book.with_name("Wall rev B.xlsx")
    new, old = read_workbook(revision.path).project, read_workbook(edited).project
    assert (new.project.revision, new.project.issued) == ("B", TODAY)
    assert new.counts == old.counts
    assert new.counts[0].rooms == 3
    walk = revision.comparison.walk
    assert walk.before + sum(each.amount for each in walk.steps) == walk.after
    assert {each.field for each in revision.comparison.changes} == {"Revision", "Date"}
    assert revision.left_behind == ()


def test_a_name_that_is_taken_is_refused_and_left_alone(book):
    taken = book.with_name("Wall rev B.xlsx")
    taken.write_bytes(b"mine")
    with pytest.raises(ProblemsFound) as found:
        revise(book, today=TODAY)
    assert "Wall rev B.xlsx: found “a file that stands already”" in str(found.value)
    assert taken.read_bytes() == b"mine"
    assert sorted(each.name for each in book.parent.iterdir()) == ["Wall rev B.xlsx", "Wall.xlsx"]


def test_of_two_runs_at_once_one_writes_and_one_is_refused(book):
    def run(_: int) -> str:
        try:
            return revise(book, today=TODAY).path.name
        except ProblemsFound as found:
            return found.problems[0].value

    with ThreadPoolExecutor(2) as threads:
        outcomes = sorted(threads.map(run, range(2)))
    assert outcomes == ["Wall rev B.xlsx", "a file that stands already"]
    assert read_workbook(book.with_name("Wall rev B.xlsx")).project.project.revision == "B"
    assert sorted(each.name for each in book.parent.iterdir()) == ["Wall rev B.xlsx", "Wall.xlsx"]


def test_a_workbook_with_faults_is_not_revised(book):
    wrong = book.with_name("Wrong.xlsx")
    typed({"counts_rooms": "many"})(book, wrong)
    with pytest.raises(ProblemsFound):
        revise(wrong, today=TODAY)
    assert sorted(each.name for each in book.parent.iterdir()) == ["Wall.xlsx", "Wrong.xlsx"]


def test_what_does_not_come_along_is_said_by_name(book):
    own = openpyxl.load_workbook(book)
    own.create_sheet("My sums")["A1"].value = 7
    own["Counts"]["Z9"].value = "ask the owner"
    own["Scope"]["B4"].comment = Comment("by phone", "me")
    changed = book.with_name("Changed.xlsx")
    own.save(changed)
    found = {str(each) for each in left_behind(changed, read_workbook(changed))}
    assert found == {
        "My sums: a sheet “My sums”",
        "Counts!Z9: a cell “ask the owner”",
        "Scope!B4: a note “by phone”",
    }


def test_what_calc_saved_has_nothing_of_the_persons_own(book, tmp_path):
    saved = calc.recalculate([book], tmp_path / "calc")[book]
    assert left_behind(saved, read_workbook(saved)) == ()
