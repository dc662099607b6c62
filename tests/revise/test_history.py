"""The sheet Changes: the price walk as a table and a chart, what changed, what was left."""

from __future__ import annotations

import json
import re
import zipfile
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook
from openxml_audit import OpenXmlValidator

from estimator.project.records import Project
from estimator.revise.changes import changes_between
from estimator.revise.revise import Revision, next_project
from estimator.revise.walk import price_walk
from estimator.workbook.as_written import read_as_written
from estimator.workbook.charts import axis_start
from estimator.workbook.read import read_workbook
from estimator.workbook.stored import read_stored
from estimator.workbook.write import write_workbook
from tests.engines import calc
from tests.revise.next_revision import TODAY, edited, next_of, read
from tests.revise.test_carried import own_sheet
from tests.revise.test_compare import with_first
from tests.workbook.estimates import estimated
from tests.workbook.formulas import cells_of_name, every_formula
from tests.workbook.projects import template
from tests.workbook.test_rules import PLAIN


def changed(project: Project) -> Project:
    """Another count, another wage, another margin: steps up and down."""
    more = with_first(project, "counts", rooms=project.counts[0].rooms + 3)
    dearer = with_first(more, "grades", wage=more.grades[0].wage + 4)
    terms = dearer.terms.model_copy(update={"margin": dearer.terms.margin - Decimal("0.05")})
    return dearer.model_copy(update={"terms": terms})


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("history")


@pytest.fixture(scope="module")
def made(folder: Path) -> Revision:
    """A revision with steps up and down, and a sheet of the person's own."""
    path = folder / "Wall.xlsx"
    write_workbook(estimated(template("one-wall")), path)
    return next_of(edited(path, own_sheet), changed)


@pytest.fixture(scope="module")
def book(made: Revision) -> Workbook:
    return read(made)


def lines(book: Workbook) -> list[tuple[object, ...]]:
    """The walk's lines: number, step, amount, total then."""
    (*_, last) = cells_of_name(book, "walk_number")
    first = cells_of_name(book, "walk_number")[0]
    rows = book["Changes"].iter_rows(first.row, last.row, max_col=4, values_only=True)
    return list(rows)


def test_the_first_revision_says_that_nothing_stands_before_it(folder: Path) -> None:
    first = (
        openpyxl.load_workbook(folder / "Wall.xlsx") if (folder / "Wall.xlsx").exists() else None
    )
    path = folder / "First.xlsx"
    write_workbook(estimated(template("one-wall")), path)
    first = openpyxl.load_workbook(path)
    words = [cell.value for row in first["Changes"].iter_rows(max_col=1) for cell in row]
    assert "This is the first revision: there is nothing before it to compare with." in words
    assert not [name for name in first.defined_names if name.startswith("walk")]


class TestTheWalk:
    def test_its_steps_stand_in_the_stated_order_and_add_up(
        self, made: Revision, book: Workbook
    ) -> None:
        shown, walk = lines(book), made.comparison.walk
        assert [line[1] for line in shown] == [
            "before", "counts", "scope", "rates", "plan", "terms", "after",
        ]  # fmt: skip
        amounts = [Decimal(str(line[2])) for line in shown[:-1]]
        assert amounts[0] == walk.before
        assert sum(amounts) == walk.after
        assert amounts[1:] == [each.amount for each in walk.steps]
        assert min(amounts[1:]) < 0 < max(amounts[1:])

    def test_amounts_are_values_and_totals_are_formulas_with_their_values(
        self, made: Revision, book: Workbook
    ) -> None:
        shown = openpyxl.load_workbook(made.path, data_only=True)
        assert all(isinstance(line[2], int | float) for line in lines(book)[:-1])
        assert all(str(line[3]).startswith("=SUMIFS(walk_amount,") for line in lines(book))
        totals = [Decimal(str(line[3])) for line in lines(shown)]
        assert totals[0] == made.comparison.walk.before
        assert totals[-1] == made.comparison.walk.after

    @pytest.mark.slow
    def test_calc_calculates_the_same_and_ties_it_to_the_total(
        self, made: Revision, tmp_path: Path
    ) -> None:
        calculated = openpyxl.load_workbook(
            calc.recalculate([made.path], tmp_path)[made.path], data_only=True
        )
        written = openpyxl.load_workbook(made.path, data_only=True)
        for ours, theirs in zip(
            written["Changes"].iter_rows(values_only=True, max_col=11),
            calculated["Changes"].iter_rows(values_only=True, max_col=11),
            strict=True,
        ):
            numbers = [each for each in ours if isinstance(each, int | float)]
            assert [e for e in theirs if isinstance(e, int | float)] == pytest.approx(numbers)
        (after,) = cells_of_name(calculated, "walk_after")
        (total,) = cells_of_name(calculated, "price_total")
        assert after.value == pytest.approx(total.value, abs=0.004)
        since = calculated["Changes"].cell(after.row + 2, 4)
        assert since.value == 0

    def test_its_formulas_keep_the_rules_of_the_others(self, book: Workbook) -> None:
        found = [each for each in every_formula(book) if each.place.startswith("Changes")]
        assert len(found) > 20
        for formula in found:
            assert set(formula.operands("NUMBER")) <= {"0"}, formula.place
            assert set(formula.functions()) <= PLAIN, formula.place
            for operand in formula.addresses():
                assert re.fullmatch(rf"[A-Z]+{formula.cell.row}", operand), formula.place
            assert set(formula.names()) <= set(book.defined_names)


def test_the_chart_stands_on_an_unseen_base_and_tells_up_from_down_without_colour(
    made: Revision,
) -> None:
    with zipfile.ZipFile(made.path) as package:
        charts = [package.read(n).decode() for n in package.namelist() if "charts/chart" in n]
    (walk,) = [each for each in charts if "Price walk" in each]
    assert '<c:grouping val="stacked"/>' in walk
    series = re.findall(r"<c:ser>.*?</c:ser>", walk, re.DOTALL)
    assert ["noFill" in each for each in series] == [True, False, False, False]
    patterns = [re.findall(r'pattFill prst="(\w+)"', each) for each in series]
    assert patterns == [[], [], ["wdUpDiag"], ["wdDnDiag"]]
    assert ["▲" in series[2], "▼" in series[3]] == [True, True]
    assert '<c:plotVisOnly val="0"/>' in walk or "plotVisOnly" not in walk


def test_every_change_of_input_stands_on_the_sheet(made: Revision, book: Workbook) -> None:
    rows = [
        tuple(value or "" for value in row[:6])
        for row in book["Changes"].iter_rows(values_only=True)
    ]
    assert len(made.comparison.changes) >= 5
    for each in made.comparison.changes:
        shown = (each.group, each.table, each.row, each.field, each.before, each.after)
        assert shown in rows


def test_it_is_read_back_as_what_was_planned(made: Revision, folder: Path) -> None:
    old = read_workbook(folder / "Edited.xlsx").project
    assert read_workbook(made.path).project == next_project(changed(old), TODAY)


def test_the_audit_finds_nothing_in_a_revision(made: Revision) -> None:
    audit = OpenXmlValidator().validate(str(made.path))
    assert [str(each) for each in audit.errors] == []


class TestTheWorkbookAsItWasWritten:
    """What was typed into it since is what changed, and the walk begins at the issued price."""

    @pytest.fixture
    def plain(self, tmp_path: Path) -> Path:
        path = tmp_path / "Typed.xlsx"
        write_workbook(estimated(template("one-wall")), path)
        return path

    def test_the_walk_begins_at_the_price_as_written(self, plain: Path) -> None:
        typed = edited(plain, lambda own: own["Counts"].__setitem__("B5", 4), "Typed in")
        made = next_of(typed)
        walk = made.comparison.walk
        issued = estimated(template("one-wall")).values["price"]["total"].iloc[0]
        assert float(walk.before) == pytest.approx(issued)
        assert next(each for each in walk.steps if each.group == "counts").amount > 0
        assert ("Rooms", "1", "4") in [
            (each.field, each.before, each.after) for each in made.comparison.changes
        ]
        words = [cell.value for row in read(made)["Changes"].iter_rows(max_col=1) for cell in row]
        assert [each for each in words if str(each).startswith("From Typed in.xlsx, as it was wri")]

    @pytest.mark.parametrize("name", ["one-wall", "one-wall-metric", "merrowby-lodge"])
    def test_it_is_kept_exactly(self, name: str, tmp_path: Path) -> None:
        path = tmp_path / "book.xlsx"
        write_workbook(estimated(template(name)), path)
        kept, found = read_as_written(read_stored(path)), read_workbook(path)
        assert kept is not None
        assert kept.project == found.project
        assert changes_between(kept.project, found.project) == ()
        assert set(kept.typed) == set(found.typed)
        walk = price_walk(kept, found)
        assert walk.before == walk.after
        assert not any(each.amount for each in walk.steps)

    @pytest.mark.parametrize("spoilt", ["{", "[]", '{"inputs": {}, "planned": {}}', "=1", ""])
    def test_where_it_is_lost_the_walk_begins_at_what_was_found(
        self, plain: Path, spoilt: str
    ) -> None:
        def edit(own: Workbook) -> None:
            own["Counts"]["B5"] = 4
            for row in own["As written"].iter_rows(min_row=4):
                for cell in row:
                    cell.value = spoilt or None

        walk = next_of(edited(plain, edit)).comparison.walk
        assert {each.group for each in walk.steps if each.amount} <= {"plan"}

    @pytest.mark.parametrize("value", ["a word", [1], True, 1e300, -1e300, float("nan")])
    def test_what_cannot_have_been_planned_is_not_taken(self, plain: Path, value: object) -> None:
        def edit(held: dict[str, Any]) -> None:
            held["planned"]["materials"]["planned"][0] = value

        assert read_as_written(read_stored(rewritten(plain, edit))) is None

    def test_inputs_that_do_not_fit_together_are_not_taken(self, plain: Path) -> None:
        def edit(held: dict[str, Any]) -> None:
            held["inputs"]["contents"][0]["module"] = "no such module"

        assert read_as_written(read_stored(rewritten(plain, edit))) is None

    def test_a_total_beyond_money_is_passed_over(self, plain: Path) -> None:
        def edit(held: dict[str, Any]) -> None:
            held["inputs"]["terms"][0] |= {"distance": 10**12, "vehicle_rate": 10**12}

        made = next_of(rewritten(plain, edit))
        assert made.comparison.walk.before == made.comparison.walk.after

    def test_the_sheet_is_hidden(self, plain: Path) -> None:
        assert openpyxl.load_workbook(plain)["As written"].sheet_state == "hidden"


def rewritten(path: Path, edit: Callable[[dict[str, Any]], None]) -> Path:
    """The workbook with what it keeps of itself rewritten."""

    def put(own: Workbook) -> None:
        cells = cells_of_name(own, "as_written")
        held = json.loads("".join(str(cell.value) for cell in cells))
        edit(held)
        text, most = json.dumps(held), 30_000
        assert len(text) <= most * len(cells)
        for at, cell in enumerate(cells):
            cell.value = text[at * most : (at + 1) * most] or None

    return edited(path, put, "Rewritten")


@given(st.lists(st.floats(0, 1e9), min_size=1, max_size=9))
def test_the_axis_begins_at_or_below_every_total(totals: list[float]) -> None:
    assert 0 <= axis_start(totals) <= min(totals)
