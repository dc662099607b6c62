"""The next revision stands beside the old one, which stays; nothing is dropped without a word."""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import pytest

from estimator.estimate import estimate
from estimator.problems import ProblemsFound
from estimator.revise.revise import next_letter, next_path, revise
from estimator.workbook.read import read_workbook
from estimator.workbook.write import write_workbook
from tests.engines import calc
from tests.workbook.estimates import estimated
from tests.workbook.hostile.packages import typed
from tests.workbook.projects import template

TODAY = date(2026, 12, 1)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "Wall.xlsx"
    write_workbook(estimated(template("one-wall")), path)
    return path


@pytest.mark.parametrize(
    ("revision", "following"), [("A", "B"), ("Y", "Z"), ("Z", "AA"), ("AZ", "BA"), ("ZZ", "AAA")]
)
def test_the_letter_moves_on(revision: str, following: str) -> None:
    assert next_letter(revision) == following


@pytest.mark.parametrize("name", ["Wall.xlsx", "Wall rev A.xlsx", "Wall rev AB.xlsx"])
def test_the_name_says_the_revision_once(name: str) -> None:
    assert next_path(Path("folder") / name, "B") == Path("folder/Wall rev B.xlsx")


def test_the_next_revision_stands_beside_an_untouched_workbook(book: Path) -> None:
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
    assert {each.field for each in revision.comparison.changes} == {"Revision", "Date", "Rooms"}
    assert revision.left_behind == ()


def test_a_name_that_is_taken_is_refused_and_left_alone(book: Path) -> None:
    taken = book.with_name("Wall rev B.xlsx")
    taken.write_bytes(b"mine")
    with pytest.raises(ProblemsFound) as found:
        revise(book, today=TODAY)
    assert "Wall rev B.xlsx: found “a file that stands already”" in str(found.value)
    assert taken.read_bytes() == b"mine"
    assert sorted(each.name for each in book.parent.iterdir()) == ["Wall rev B.xlsx", "Wall.xlsx"]


def test_of_two_runs_at_once_one_writes_and_one_is_refused(book: Path) -> None:
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


@pytest.mark.slow
def test_of_two_commands_at_once_one_writes_and_one_says_why_it_did_not(book: Path) -> None:
    command = [sys.executable, "-m", "estimator", "revise", str(book)]
    both = [
        subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for _ in range(2)
    ]
    said = [each.communicate(timeout=200) for each in both]
    assert sorted(each.returncode for each in both) == [0, 2]
    (refused,) = [errors for each, (_, errors) in zip(both, said, strict=True) if each.returncode]
    assert "a file that stands already" in refused
    assert "Traceback" not in refused
    written = book.with_name("Wall rev B.xlsx")
    assert read_workbook(written).project.project.revision == "B"
    assert sorted(each.name for each in book.parent.iterdir()) == [written.name, book.name]


def test_a_workbook_with_faults_is_not_revised(book: Path) -> None:
    wrong = book.with_name("Wrong.xlsx")
    typed({"counts_rooms": "many"})(book, wrong)
    with pytest.raises(ProblemsFound):
        revise(wrong, today=TODAY)
    assert sorted(each.name for each in book.parent.iterdir()) == ["Wall.xlsx", "Wrong.xlsx"]


@pytest.mark.slow
def test_what_calc_saved_of_a_planned_workbook_has_nothing_of_the_persons_own(
    tmp_path: Path,
) -> None:
    """Its drawings are the plan's, its charts the tool's; the second time with a price walk."""
    path = tmp_path / "Wall.xlsx"
    write_workbook(estimate(template("one-wall")), path)
    for letter in ("B", "C"):
        saved = calc.recalculate([path], tmp_path / f"calc {letter}")[path]
        made = revise(saved, tmp_path / f"Wall rev {letter}.xlsx", today=TODAY)
        assert made.left_behind == ()
        path = made.path


def test_a_workbook_revised_at_each_save_takes_the_next_free_letter(book: Path) -> None:
    names = [revise(book, today=TODAY, pass_over_taken=True).path.name for _ in range(2)]
    assert names == ["Wall rev B.xlsx", "Wall rev C.xlsx"]
    assert read_workbook(book.with_name(names[1])).project.project.revision == "C"
