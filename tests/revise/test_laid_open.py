"""A workbook just written, laid open, says what the pages say that it is held against."""

from __future__ import annotations

import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest
from openpyxl import Workbook
from openpyxl.worksheet.formula import ArrayFormula

from estimator.estimate import Estimate
from estimator.project.templates import list_templates
from estimator.revise.carried import SAME_WIDTH, Carried, carried
from estimator.revise.laid_open import LaidOpen, laid_open
from estimator.revise.looks import marks
from estimator.revise.parts import parts_of_page
from estimator.revise.places import planned_ground
from estimator.workbook.additions import Additions
from estimator.workbook.book import book_of
from estimator.workbook.origin import origin_of
from estimator.workbook.page import Book, Cell, Page
from estimator.workbook.read import read_book
from estimator.workbook.stored import read_stored
from estimator.workbook.write import write_workbook
from tests.documents.samples import sample
from tests.revise.next_revision import edited, next_of, read, told
from tests.workbook.estimates import estimated
from tests.workbook.projects import template


@dataclass(frozen=True)
class Both:
    """A workbook as it was composed, and as it was read."""

    path: Path
    estimate: Estimate
    pages: Book
    read: LaidOpen


@pytest.fixture(scope="module", params=[each.name for each in list_templates()])
def both(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Both:
    """With real patterns where they are quickly found."""
    name, path = request.param, tmp_path_factory.mktemp("laid-open") / "Book.xlsx"
    estimate = sample(name) if name.startswith("one-wall") else estimated(template(name))
    write_workbook(estimate, path)
    stored = read_stored(path)
    return Both(path, estimate, book_of(estimate), laid_open(stored, origin_of(stored).description))


def test_cells_and_notes(both: Both) -> None:
    assert list(both.read.pages) == [page.name for page in both.pages.pages]
    for page in both.pages.pages:
        found = both.read.pages[page.name]
        assert words_of(found) == words_of(page)
        assert notes_of(found) == notes_of(page)
        assert found.hidden == page.hidden


def words_of(page: Page) -> Mapping[tuple[int, int], str]:
    """A file keeps sixteen digits of a number; twelve of them cannot be rounded in two ways."""
    return {
        place: each.words if each.formula or isinstance(each.value, str) else f"{each.value:.12g}"
        for place, each in page.by_place.items()
        if not each.is_empty
    }


def notes_of(page: Page) -> Mapping[tuple[int, int], str]:
    return {place: each.words for place, each in page.notes_by_place.items()}


def test_marks(both: Both) -> None:
    for page in both.pages.pages:
        found = both.read.pages[page.name].by_place
        own = {place: marks(each.look) for place, each in page.by_place.items() if place in found}
        assert {place: marks(found[place].look) for place in own} == own


def test_widths(both: Both) -> None:
    for page in both.pages.pages:
        widths = both.read.pages[page.name].widths
        assert widths.keys() == page.widths.keys()
        assert widths == pytest.approx(
            {column: page.shown_width(column) for column in page.widths}, abs=SAME_WIDTH
        )


def test_drawings_and_rules(both: Both) -> None:
    drawn = 0
    for page in both.pages.pages:
        found, ours = both.read.parts[page.name], parts_of_page(page)
        assert {kind: len(where) for kind, where in found.rules.items()} == {
            kind: len(where) for kind, where in ours.rules.items() if where
        }
        kinds = [[(each.kind, each.description) for each in p.shapes] for p in (found, ours)]
        assert sorted(kinds[0]) == sorted(kinds[1])
        charts = [{each.name for each in p.shapes if "chart" in each.kind} for p in (found, ours)]
        assert charts[0] == charts[1]
        drawn += len(found.shapes)
    assert drawn >= 2


def test_places_of_tables(both: Both) -> None:
    assert both.read.ground == planned_ground(both.estimate)


def test_nothing_of_it_is_a_persons(both: Both) -> None:
    assert both.read.own == []
    stored = read_stored(both.path)
    assert carried(stored, read_book(stored), both.estimate) == Carried(Additions(), ())


def test_a_formula_over_an_area_leaves_its_value(tmp_path: Path) -> None:
    write_workbook(estimated(template("one-wall")), tmp_path / "Wall.xlsx")

    def edit(own: Workbook) -> None:
        own.create_sheet("Mine")["A1"] = ArrayFormula("A1:A2", "=B1:B2*2")

    made = next_of(edited(tmp_path / "Wall.xlsx", edit))
    words = "Mine!A1: a formula over an area; its value stands “{=B1:B2*2}”"
    assert told(made) == {words}
    assert read(made)["Mine"]["A1"].data_type != "f"


def test_words_that_look_like_an_escape_stay_as_they_are(tmp_path: Path) -> None:
    """A file spells _x0041_ as _x005F_x0041_ (ECMA-376, part 1, 22.9.2.19), once."""
    own = Page("Mine", (Cell(0, 0, "_x0041_"),))
    path = tmp_path / "Wall.xlsx"
    write_workbook(estimated(template("one-wall")), path, Additions(own=(own,)))
    second = next_of(next_of(path).path)
    with zipfile.ZipFile(second.path) as package:
        assert b"<t>_x005F_x0041_</t>" in package.read("xl/sharedStrings.xml")
