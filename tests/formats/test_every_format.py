"""Every workbook that a version of the tool ever wrote is read, checked and revised by this one.

Planning has tests of its own; here the next revisions stand under the stand-in plan, but for one.
"""

from __future__ import annotations

import json
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from estimator.estimate import Estimate, calculate_book
from estimator.formats.migrations import FORMAT, MIGRATIONS
from estimator.project.frames import plain
from estimator.quantities import define_model
from estimator.quantities.as_planned import EARLIER
from estimator.revise.revise import Revision, next_project, revise
from estimator.workbook.as_written import read_as_written
from estimator.workbook.origin import origin_of
from estimator.workbook.read import read_book, read_workbook
from estimator.workbook.stored import read_stored
from tests.engines import calc
from tests.formats.write import kept
from tests.revise.next_revision import TODAY, next_of, read, told

NUMBERS = range(1, FORMAT + 1)
WORKBOOKS = {path.stem: path for number in NUMBERS for path in kept(number)}
OLDER = [name for name in WORKBOOKS if not name.startswith(f"format-{FORMAT}-")]
THREE_TYPES = "format-1-three-types"
LEFT = {
    THREE_TYPES: {
        "Modules!B3: words over the tool's own “✎ Name” “Name on the quote”",
        "Materials!AO5: typed over the formula of Order “14”",
    }
}
"""What a person did that cannot come along."""


@pytest.fixture(scope="module", params=WORKBOOKS)
def book(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of a kept workbook."""
    return copy(request.param, tmp_path_factory.mktemp("books"))


@pytest.fixture(scope="module")
def made(book: Path) -> Revision:
    """Its next revision."""
    return next_of(book)


def copy(name: str, folder: Path) -> Path:
    return Path(shutil.copy(WORKBOOKS[name], folder / f"{name}.xlsx"))


def number_of(path: Path) -> int:
    return int(path.stem.split("-")[1])


def calculated(path: Path) -> Estimate:
    """Its figures under the plan it holds."""
    found = read_workbook(path)
    return calculate_book(found.project, found.typed)


@pytest.mark.parametrize("number", NUMBERS)
def test_there_is_a_workbook_of_the_format(number: int) -> None:
    """Of the present one: if there is none, run `python -m tests.formats.write`."""
    assert kept(number)
    assert number == FORMAT or number in MIGRATIONS


# --- Read and checked ----------------------------------------------------------------------------


def test_it_is_known_by_its_number(book: Path) -> None:
    assert origin_of(read_stored(book)).number == number_of(book)


def test_it_is_read_and_older_ones_say_so(book: Path) -> None:
    found = read_workbook(book)
    older = f"{book.name} is of format {number_of(book)} and read as format {FORMAT}"
    assert [str(each)[: len(older)] == older for each in found.remarks[:1]] == (
        [True] if number_of(book) < FORMAT else []
    )
    typed = [each for each in found.remarks if "holds a formula" in each.words]
    assert len(found.remarks) == len(typed) + (number_of(book) < FORMAT)
    assert len(typed) == (book.stem == THREE_TYPES)


def test_what_was_typed_is_all_there(book: Path) -> None:
    """By what the workbook keeps of itself, read here without the product."""
    found, compared = read_workbook(book).project, 0
    for table, rows in typed_when_written(book).items():
        if table == "counts" and book.stem == THREE_TYPES:  # one was typed over since
            rows[0]["rooms"] = 2
        for row, then in zip(found.rows(table), rows, strict=True):
            same = {name: plain(getattr(row, name)) for name in then if hasattr(row, name)}
            assert same == {name: then[name] for name in same}, table
            compared += len(same)
    assert compared > 700


def typed_when_written(book: Path) -> dict[str, list[dict[str, Any]]]:
    own = openpyxl.load_workbook(book, read_only=True)
    sheet, area = own.defined_names["as_written"].attr_text.rsplit("!", 1)
    rows = own[sheet.strip("$'")][area.replace("$", "")]
    cells = rows if isinstance(rows, tuple) else ((rows,),)
    held: dict[str, Any] = json.loads("".join(row[0].value for row in cells))
    return dict(held["inputs"])


def test_its_checks_are_those_of_today_and_its_plan_is_current_only_if_it_says_so(
    book: Path,
) -> None:
    checks = calculated(book).values["checks"].set_index("key")
    assert list(checks.index) == [each.name for each in define_model("in", ("F1",))[1]]
    assert set(checks["state"]) <= {"OK", "Review", "Fail"}
    plan = checks.loc["plan_fits"]
    older = ("Fail", EARLIER)
    assert (plan["state"], plan["which"]) == (older if number_of(book) < FORMAT else ("OK", ""))
    assert (checks["fix"] != "").all()


def test_the_figures_as_issued_stand_beside_those_of_now(book: Path) -> None:
    """Of an older one each under the name it has now."""
    panel = calculated(book).values["headline"].set_index("key")
    assert float(panel["issued"]["quoted"]) > 0
    if book.stem != THREE_TYPES:  # where a count has moved since
        same = panel["now"].round(6) == panel["issued"].round(6)
        assert set(panel.index[~same]) <= {"failing", "reviewing"}
        assert panel.loc["reviewing", "issued"] == 1


# --- Revised -------------------------------------------------------------------------------------


def test_its_next_revision_is_of_today_and_keeps_all_that_is_typed(
    book: Path, made: Revision
) -> None:
    was = read_workbook(book).project
    stored = read_stored(made.path)
    assert origin_of(stored).number == FORMAT
    found = read_book(stored)
    assert found.remarks == ()
    assert found.project == next_project(was, TODAY)
    plan = calculated(made.path).values["checks"].set_index("key").loc["plan_fits"]
    assert (plan["state"], plan["which"]) == ("OK", "")


def test_what_is_left_behind_is_the_persons_and_not_the_tools_older_words(
    book: Path, made: Revision
) -> None:
    assert told(made) == LEFT.get(book.stem, set())
    if book.stem == THREE_TYPES:  # the most that there is to come along, once more
        assert told(next_of(made.path)) == set()


def test_its_price_is_walked_from_when_it_was_written(book: Path, made: Revision) -> None:
    assert read_as_written(read_stored(book)) is not None
    walk = made.comparison.walk
    issued = calculated(book).values["headline"].set_index("key").loc["total", "issued"]
    assert float(walk.before) == pytest.approx(issued, abs=0.005)
    assert walk.before + sum(each.amount for each in walk.steps) == walk.after
    changed = {(each.table, each.field) for each in made.comparison.changes}
    rooms = {("Room counts", "Rooms")} if book.stem == THREE_TYPES else set()
    assert changed - {("Project", "Date")} == {("Project", "Revision")} | rooms


@pytest.mark.parametrize("book", [THREE_TYPES], indirect=True)
def test_what_a_person_added_to_an_older_one_comes_along(made: Revision) -> None:
    own, mine = read(made), read(made)["My notes"]
    assert [mine.cell(row, 2).value for row in range(1, 5)] == [
        "=summary_total", "=summary_reviewing", "=Counts!B5*2", 0.3,
    ]  # fmt: skip
    assert own.defined_names["my_share"].attr_text == "'My notes'!$B$4"
    assert own["Counts"]["Z6"].value == "ask the owner"
    assert "by Friday" in {cell.value for row in own["Checks"].iter_rows() for cell in row}
    assert own["Parts"]["A5"].comment.text == "agreed by phone"
    assert own["Modules"]["B3"].value == "✎ Name"


@pytest.mark.slow
def test_an_older_one_is_planned_and_written_anew_and_calc_agrees(tmp_path: Path) -> None:
    made = revise(copy("format-1-one-wall-metric", tmp_path), today=date(2026, 12, 1))
    saved = calc.recalculate([made.path], tmp_path / "calc")[made.path]
    shown = openpyxl.load_workbook(saved, data_only=True)
    where = openpyxl.load_workbook(made.path).defined_names["price_total"].attr_text
    sheet, cell = where.replace("'", "").replace("$", "").split("!")
    assert shown[sheet][cell].value == pytest.approx(float(made.comparison.walk.after))
