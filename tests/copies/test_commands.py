"""The copies as their users make them: issue, fill in LibreOffice Calc, receive, award, issue."""

from __future__ import annotations

import re
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import pytest

from estimator.copies.requests import asked_of
from estimator.documents.files import write_documents
from estimator.estimate import calculate_book
from estimator.project.templates import read_template
from estimator.workbook.read import read_workbook
from estimator.workbook.write import write_workbook
from tests.commands import run
from tests.copies.estimates import level
from tests.copies.in_calc import typed_in_calc
from tests.copies.parts import parts_of
from tests.copies.requests import HOSTILE, filled
from tests.documents.reading import foreign, parse, text_of
from tests.engines import calc, cells


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a workbook, its next revision and all its copies."""
    folder = tmp_path_factory.mktemp("issued")
    write_workbook(level(read_template("one-wall")), folder / "wall.xlsx")
    told = run("issue", "wall.xlsx", *TO_ALL, folder=folder)
    assert told.returncode == 0, told.stderr
    for path in folder.iterdir():
        assert path.name == "wall.xlsx" or f"Wrote {path.name}." in told.stdout
    return folder


TO_ALL = ("--to", "purchaser", "--to", "suppliers", "--to", "shop", "--to", "site")


@pytest.mark.slow
class TestIssued:
    def test_each_reader_gets_its_files(self, issued: Path) -> None:
        names = {path.name.removeprefix("wall rev B") for path in issued.glob("wall rev B*")}
        assert {
            ".xlsx", " for purchaser.xlsx", " quote.html", " quote.pdf", " for shop.xlsx",
            " shop lists.html", " cut plan.html", " labels.html", " for site.html",
            " price request sheets.xlsx", " price request fasteners.xlsx",
            " price request finish.xlsx", " price request freight.xlsx",
        } <= names  # fmt: skip

    def test_the_register_stands_on_the_sheet_changes(self, issued: Path) -> None:
        shown = cells.values(issued / "wall rev B.xlsx")
        changes = {value for (sheet, _), value in shown.items() if sheet == "Changes"}
        copies = [each for each in issued.glob("wall rev B ?*") if "bids" not in each.name]
        assert len(copies) >= 12
        for copy in copies:
            assert {copy.name, sha256(copy.read_bytes()).hexdigest()} <= changes

    def test_the_copies_tie_to_the_workbook_to_the_cent(self, issued: Path) -> None:
        read = read_workbook(issued / "wall rev B.xlsx")
        values = calculate_book(read.project, read.typed).values
        total = float(values["price"]["total"].iloc[0])
        purchaser = cells.values(issued / "wall rev B for purchaser.xlsx")
        assert total in purchaser.values()
        for page in ("quote.html",):
            assert f"${total:,.2f}" in text_of((issued / f"wall rev B {page}").read_text())
        sheets = cells.values(issued / "wall rev B price request sheets.xlsx")
        assert float(values["materials"]["order"].iloc[0]) in sheets.values()


@pytest.mark.slow
class TestReceived:
    def test_bids_are_compared_and_the_lowest_reach_the_next_revision(self, issued: Path) -> None:
        read = read_workbook(issued / "wall rev B.xlsx")
        lines = asked_of(calculate_book(read.project, read.typed))["sheets"]
        request = issued / "wall rev B price request sheets.xlsx"
        for name, price in (("North", 71.25), ("South", 69.5)):
            cell = filled(len(lines))
            typing = {**cell.head(name), **cell.priced(0, price, 1, 2)}
            typed_in_calc(request, [typing], [], issued / f"{name}.xlsx")
        told = run("receive", "wall rev B.xlsx", "North.xlsx", "South.xlsx", "--award",
                   "lowest", folder=issued)  # fmt: skip
        assert told.returncode == 0, told.stderr
        assert re.search(r"South.*lowest awarded", told.stdout)
        bids = set(cells.values(issued / "wall rev B bids.xlsx").values())
        assert {"North", "South", 71.25, 69.5, "lowest", "awarded"} <= bids
        project = read_workbook(issued / "wall rev C.xlsx").project
        found = next(each for each in project.prices if each.item == lines[0].key)
        assert (found.price, found.source) == (Decimal("69.5"), "bid of South, 2026-04-02")

    def test_a_file_that_is_no_answer_is_told_and_nothing_awarded(self, issued: Path) -> None:
        before = sorted(each.name for each in issued.iterdir())
        told = run("receive", "wall rev B.xlsx", "wall.xlsx", "--award", "lowest", folder=issued)
        assert told.returncode == 2
        assert "a price request of this tool" in told.stderr
        assert "Traceback" not in told.stderr
        assert sorted(each.name for each in issued.iterdir()) == before

    def test_hostile_words_of_a_supplier_stay_words_in_all_that_follows(self, issued: Path) -> None:
        """Awarded: in the workbook's cells, its formulas, links, and every page made from it."""
        read = read_workbook(issued / "wall rev B.xlsx")
        lines = asked_of(calculate_book(read.project, read.typed))["fasteners"]
        cell = filled(len(lines))
        typing = {**cell.priced(0, 30, 10, 2), cell.answer("supplier"): "'" + HOSTILE,
                  cell.line("remark", 0): "'" + HOSTILE}  # fmt: skip
        request = issued / "wall rev B price request fasteners.xlsx"
        typed_in_calc(request, [typing], [], issued / "hostile.xlsx")
        folder = issued / "after"
        folder.mkdir()
        (folder / "wall.xlsx").write_bytes((issued / "wall rev B.xlsx").read_bytes())
        told = run("receive", "wall.xlsx", "../hostile.xlsx", "--award", "lowest", folder=folder)
        assert told.returncode == 0, told.stderr
        (revision,) = (each for each in folder.glob("wall rev *.xlsx") if "bids" not in each.name)
        for book in (revision, folder / "wall bids.xlsx"):
            shown = cells.values(calc.recalculate([book], folder / book.stem)[book])
            assert HOSTILE in shown.values()
            assert_no_link(book)
        read = read_workbook(revision)
        for page in write_documents(calculate_book(read.project, read.typed), revision):
            if page.suffix == ".html":
                assert foreign(page.read_text()) == []
                parse(page.read_text())


def assert_no_link(book: Path) -> None:
    for part, text in parts_of(book.read_bytes()).items():
        assert not re.search(r"<f>[^<]*HYPERLINK", text), part
        assert "<script" not in text, part
        assert "bad.invalid" not in text or part.startswith(("xl/sharedStrings", "xl/worksheets"))
        assert 'relationships/hyperlink" Target="http' not in text, part


@pytest.mark.slow
def test_locale_gives_paper_date_and_money(tmp_path: Path) -> None:
    """German: A4 in the print set-up of sheets and pages, days and euros as written there."""
    project = read_template("one-wall-metric")
    facts = project.project.model_copy(update={"locale": "de-DE", "currency": "EUR", "paper": "A4"})
    estimate = level(project.model_copy(update={"project": facts}))
    book = tmp_path / "wand.xlsx"
    write_workbook(estimate, book)
    told = run("issue", "wand.xlsx", "--to", "purchaser", folder=tmp_path)
    assert told.returncode == 0, told.stderr
    page = text_of((tmp_path / "wand rev B quote.html").read_text())
    assert re.search(r"\d{1,2}\. (?:Januar|Februar|März|April|Mai|Juni|Juli|August|September|"
                     r"Oktober|November|Dezember) 20\d\d", page)  # fmt: skip
    assert re.search(r"\d,\d\d €", page)
    sheets = parts_of((tmp_path / "wand rev B for purchaser.xlsx").read_bytes())
    papers = {found for text in sheets.values() for found in re.findall(r'paperSize="(\d+)"', text)}
    assert papers == {"9"}
    pdf = "".join(parts_of((tmp_path / "wand rev B quote.pdf").read_bytes()).values())
    assert re.search(r"MediaBox ?\[ ?0 0 595\.2\d* 841\.8\d*", pdf)
