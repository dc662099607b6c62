"""Workbooks that Calc saved, and that a person edited in it, are read as they are meant."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest

from estimator.project.records import Project
from estimator.workbook.read import read_workbook
from estimator.workbook.write import write_workbook
from tests.engines import calc
from tests.workbook.estimates import estimated
from tests.workbook.projects import TEMPLATES, template

EDITS = Path(__file__).with_name("calc_edits.py")
SECONDS = 240


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A workbook of each template."""
    folder = tmp_path_factory.mktemp("books")
    paths = {name: folder / f"{name}.xlsx" for name in TEMPLATES}
    for name, path in paths.items():
        write_workbook(estimated(template(name)), path)
    return paths


def edited_in_calc(book: Path, folder: Path) -> Path:
    """The workbook after a person's edits in the real Calc, saved by it."""
    edited = folder / "edited.xlsx"
    calc.do(EDITS, SECONDS, book=str(book), edited=str(edited))
    return edited


def test_what_calc_saved_is_read_as_it_was_written(books: dict[str, Path], tmp_path: Path) -> None:
    saved = calc.recalculate(books.values(), tmp_path)
    for name, path in books.items():
        book = read_workbook(saved[path])
        assert book.project == template(name)
        assert book.remarks == ()


def test_what_another_writer_saved_is_read_as_it_was_written(
    books: dict[str, Path], tmp_path: Path
) -> None:
    for name, path in books.items():
        other = openpyxl.load_workbook(path)
        other.save(tmp_path / path.name)
        assert read_workbook(tmp_path / path.name).project == template(name)


def test_what_a_person_edited_in_calc_is_read_as_it_is_meant(
    books: dict[str, Path], tmp_path: Path
) -> None:
    book = read_workbook(edited_in_calc(books["merrowby-lodge"], tmp_path))
    assert book.project == as_edited(template("merrowby-lodge"))
    first, second = (f"Counts!{column}5" for column in "BC")
    assert [str(each) for each in book.remarks] == [
        f"{first} holds a formula, =6*2; its value 12 is used",
        f"{second} holds the text “24 ”; it is read as 24",
    ]


def as_edited(project: Project) -> Project:
    """What the edits of calc_edits.py come to."""
    first, second, *others = project.counts
    counts = (
        first.model_copy(update={"rooms": 12}),
        second.model_copy(update={"rooms": 24}),
        *others,
    )
    run, *runs = project.runs
    part = project.parts[-1].model_copy(update={"key": "added-part"})
    return project.model_copy(
        update={
            "counts": counts,
            "runs": (run.model_copy(update={"length": Fraction("90.25")}), *runs),
            "parts": (*project.parts, part),
            "items": tuple(sorted(project.items, key=lambda each: each.key, reverse=True)),
            "clauses": project.clauses[1:],
        }
    )
