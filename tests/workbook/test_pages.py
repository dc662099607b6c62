"""Pages as plain data: what they say, how they are asked, and that a file says the same."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from estimator.workbook.book import CUT_PLAN, PRICE, book_of
from estimator.workbook.cells import WriteRefused
from estimator.workbook.layout import FORM_COLUMNS, Placed, Spot, form_rows
from estimator.workbook.page import (
    Book,
    Cell,
    Chart,
    Highlight,
    Note,
    Page,
    Picture,
    Series,
    Validation,
    look,
)
from estimator.workbook.write import file_of
from tests.workbook.conftest import Book as Written

PACKAGE = Path(__file__).parents[2] / "estimator"
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
"""How many a sheet has; counted from 0, the first that it does not have."""


# --- What a file says is what the pages say -------------------------------------------------------


@pytest.fixture(scope="module", params=["one-wall", "merrowby-lodge"])
def both(request: pytest.FixtureRequest, books: dict[str, Written]) -> tuple[Book, Any]:
    """The pages of a workbook, and what openpyxl reads of its file."""
    written = books[request.param]
    return book_of(written.estimate), written.read


def test_the_file_has_the_sheets_in_their_order(both: tuple[Book, Any]) -> None:
    pages, read = both
    assert [page.name for page in pages.pages] == read.sheetnames
    assert [page.name for page in pages.pages if page.hidden] == ["As written"]
    assert {name: each.attr_text for name, each in read.defined_names.items()} == {
        name: where.removeprefix("=") for name, where in pages.names.items()
    }


def test_each_cell_says_in_the_file_what_it_says_on_its_page(both: tuple[Book, Any]) -> None:
    pages, read = both
    said = 0
    for page in pages.pages:
        cells = {
            (cell.row - 1, cell.column - 1): Cell(0, 0, cell.value).words
            for row in read[page.name].iter_rows()
            for cell in row
            if cell.value is not None
        }
        assert cells == {
            place: each.words for place, each in page.by_place.items() if not each.is_empty
        }
        said += len(cells)
    assert said > 3_000


def test_each_cell_looks_in_the_file_as_on_its_page(both: tuple[Book, Any]) -> None:
    pages, read = both
    for page in pages.pages:
        for (row, column), each in page.by_place.items():
            cell, wanted = read[page.name].cell(row + 1, column + 1), dict(each.look)
            fill = cell.fill.fgColor.rgb[2:] if cell.fill.fill_type == "solid" else ""
            assert f"#{fill}" == wanted.get("bg_color", "#")
            assert bool(cell.font.b) == wanted.get("bold", False)
            assert cell.protection.locked == wanted.get("locked", True)
            assert cell.number_format == wanted.get("num_format", "General")


def test_notes_widths_and_guards_are_those_of_the_page(both: tuple[Book, Any]) -> None:
    pages, read = both
    for page in pages.pages:
        sheet = read[page.name]
        notes = {
            (cell.row - 1, cell.column - 1): cell.comment.text
            for row in sheet.iter_rows()
            for cell in row
            if cell.comment
        }
        assert notes == {place: each.words for place, each in page.notes_by_place.items()}
        assert bool(sheet.protection.sheet) == (page.allowed is not None)
        assert len(sheet.data_validations.dataValidation) == len(page.validations)
        assert sheet.freeze_panes == (at(*page.frozen) if page.frozen else None)
        heights = {row - 1: e.height for row, e in sheet.row_dimensions.items() if e.customHeight}
        assert heights == pytest.approx(page.heights, abs=0.5)


def at(row: int, column: int) -> str:
    assert column in (0, 1)
    return f"{'AB'[column]}{row + 1}"


# --- Asking a page --------------------------------------------------------------------------------


def test_a_cell_of_a_table_tells_what_it_is_for(both: tuple[Book, Any]) -> None:
    pages, _ = both
    asked = 0
    for page in pages.pages:
        for placed in page.tables:
            for place, spot in spots(placed):
                assert page.spot(*place) == spot
                asked += 1
    assert asked > 3_000


def spots(placed: Placed) -> Iterator[tuple[tuple[int, int], Spot]]:
    """Cells of a table with what they are for, written out by hand for each kind of table."""
    name = placed.table.name
    if placed.table.kind == "form":
        for field, row in form_rows(placed).items():
            yield from (((row, at), Spot(name, field, 0)) for at in range(len(FORM_COLUMNS)))
        return
    for column in placed.table.definitions:
        keys = placed.table.axis if placed.table.definitions[column].role == "block" else ("",)
        for left, key in enumerate(keys, start=placed.columns[column]):
            for row in (placed.header, placed.header + 1, placed.last):
                yield (row, left), Spot(name, column, None, key)
            for row in range(placed.first, placed.last):
                yield (row, left), Spot(name, column, row - placed.first, key)


def test_what_stands_around_tables_is_of_none(both: tuple[Book, Any]) -> None:
    pages, _ = both
    for page in pages.pages:
        for placed in page.tables:
            around = [(placed.top, placed.left), (placed.top + 1, placed.left)]
            around += [(placed.last + 1, placed.left), (placed.last, placed.left + 500)]
            assert {page.spot(*each) for each in around} == {None}
        assert page.tables or page.spot(5, 0) is None


def test_every_formula_stands_in_a_table(both: tuple[Book, Any]) -> None:
    pages, _ = both
    formulas = [(p, c) for p in pages.pages for c in p.by_place.values() if c.formula]
    assert len(formulas) > 1_000
    assert [(p.name, c) for p, c in formulas if p.spot(c.row, c.column) is None] == []


def test_a_later_cell_stands_over_an_earlier_one() -> None:
    below = Page("One", (Cell(0, 0, "below"), Cell(0, 1, "beside")), widths={0: 5.0, 1: 6.0})
    above = Page("Two", (Cell(0, 0, "above"),), (Note(3, 3, "note"),), widths={1: 7.0})
    both = below.under(above)
    assert (both.name, both.cell(0, 0).value, both.cell(0, 1).value) == ("One", "above", "beside")
    assert both.cell(9, 9) == Cell(9, 9)
    assert both.cell(9, 9).is_empty
    assert both.widths == {0: 5.0, 1: 7.0}
    assert both.notes == above.notes


@pytest.mark.parametrize(
    ("value", "words"),
    [(36.0, "36"), (0.1 + 0.2, "0.3"), (True, "True"), ("36", "36"), (1 / 3, "0.333333333333333")],
)
def test_a_number_says_the_fifteen_digits_that_a_cell_keeps(value: object, words: str) -> None:
    assert Cell(0, 0, value).words == words


def test_a_folded_column_has_no_width() -> None:
    page = Page("One", widths={2: 7.0, 3: 8.0, 4: 0.0}, folded=frozenset({3}))
    assert [page.shown_width(column) for column in range(1, 5)] == [None, 7.0, 0.0, 0.0]


# --- One writer, which says when something was not written ----------------------------------------

AXIS: dict[str, Any] = {}
PNG = b"\x89PNG\r\n\x1a\n" + bytes(8) + (10).to_bytes(4, "big") + (10).to_bytes(4, "big")
SERIES = Series("One", (0, 0, 1, 0), (0, 1, 1, 1), {})
REFUSED = {
    "a cell": Page("One", (Cell(LAST_ROW, 0, 1),)),
    "a link": Page("One", (Cell(LAST_ROW, 0, "there", link="'One'!A1"),)),
    "a link that is too long": Page("One", (Cell(0, 0, "there", link="A" * 3_000),)),
    "a note": Page("One", notes=(Note(0, LAST_COLUMN, "note"),)),
    "a width": Page("One", widths={LAST_COLUMN: 9.0}),
    "a height": Page("One", heights={LAST_ROW: 9.0}),
    "merged cells": Page("One", merged=((0, 0, LAST_ROW, 1),)),
    "a validation": Page(
        "One", validations=(Validation((0, 0, LAST_ROW, 0), {"validate": "any"}),)
    ),
    "a message that is too long": Page(
        "One", validations=(Validation((0, 0, 1, 1), {"validate": "any", "input_title": "x" * 40}),)
    ),
    "a highlight": Page("One", highlights=(Highlight((0, 0, LAST_ROW, 0), "x", look(bold=True)),)),
    "a picture": Page("One", pictures=(Picture(LAST_ROW, 0, PNG, 10.0, "a.png", "a"),)),
    "a chart": Page(
        "One", charts=(Chart(LAST_ROW, 0, "bar", (SERIES,), "a", (9, 9), AXIS, AXIS, AXIS),)
    ),
}


@pytest.mark.parametrize("what", REFUSED)
@pytest.mark.filterwarnings("ignore")  # the file writer also warns, of some of them
def test_what_the_file_writer_turns_away_is_said_aloud(what: str) -> None:
    with pytest.raises(WriteRefused, match="One"):
        file_of(Book((REFUSED[what],), {}, "", "", "One"))


@pytest.mark.filterwarnings("ignore")
def test_a_name_that_is_turned_away_is_said_aloud() -> None:
    with pytest.raises(WriteRefused, match="the name 1st"):
        file_of(Book((Page("One"),), {"1st": "='One'!$A$1"}, "", "", "One"))


def test_only_one_place_writes_files() -> None:
    """Whoever wants to know what a sheet says asks its page."""
    uses: dict[str, set[str]] = {}
    for path in PACKAGE.rglob("*.py"):
        for module in imported(path):
            uses.setdefault(module, set()).add(path.relative_to(PACKAGE).as_posix())
    writers = uses["xlsxwriter"] | uses["xlsxwriter.worksheet"] | uses["xlsxwriter.format"]
    assert writers == {"workbook/write.py", "workbook/cells.py"}
    assert not {each for each in uses if each.startswith("xlsxwriter.")} - {
        "xlsxwriter.worksheet",
        "xlsxwriter.format",
        "xlsxwriter.utility",
    }
    assert uses["estimator.workbook.write"] == {
        "cli.py",
        "revise/revise.py",
        "workbook/small_book.py",
    }


def imported(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
    return found


def test_pages_without_an_estimate_of_their_plan_have_no_pictures(both: tuple[Book, Any]) -> None:
    """The stand-in plan has no patterns; the charts are drawn from cells, and always there."""
    pages, read = both
    assert pages[CUT_PLAN].pictures == ()
    assert [page.name for page in pages.pages if page.charts] == [PRICE]
    assert len(read[PRICE]._charts) == len(pages[PRICE].charts) == 2
