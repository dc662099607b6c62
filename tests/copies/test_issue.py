"""Issuing and awarding: files beside the workbook, a register, and nothing written over."""

from __future__ import annotations

import sys
from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest

from estimator.copies.issue import award_bids, issue
from estimator.copies.register import Copy, with_issued
from estimator.documents.pdf import write_pdf
from estimator.estimate import Estimate
from estimator.problems import ProblemsFound
from estimator.project.records import Project
from estimator.project.templates import read_template
from estimator.workbook.read import read_workbook
from estimator.workbook.write import write_workbook
from tests.copies.estimates import level
from tests.copies.test_suppliers import bid

TODAY = date(2026, 4, 1)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "wall.xlsx"
    write_workbook(level(read_template("one-wall")), path)
    return path


class TestRegister:
    def test_numbers_go_on_within_the_revision(self) -> None:
        project = read_template("one-wall")
        once = with_issued(
            project, [Copy("shop", "a.xlsx", b"a"), Copy("site", "b.html", b"b")], TODAY
        )
        twice = with_issued(once, [Copy("purchaser", "c.xlsx", b"c")], TODAY)
        assert [each.key for each in twice.issued] == ["A-1", "A-2", "A-3"]
        assert twice.issued[2].digest == sha256(b"c").hexdigest()


class TestIssue:
    def test_writes_the_next_revision_with_its_register(self, book: Path) -> None:
        before = book.read_bytes()
        written = issue(book, ["purchaser", "suppliers", "shop", "site"], TODAY, level)
        assert book.read_bytes() == before
        assert written[0].name == "wall rev B.xlsx"
        register = read_workbook(written[0]).project.issued
        assert [(each.file, each.digest) for each in register] == [
            (path.name, sha256(path.read_bytes()).hexdigest()) for path in written[1:]
        ]
        assert {each.to for each in register} == {"purchaser", "suppliers", "shop", "site"}
        assert {each.revision for each in register} == {"B"}
        assert {each.day for each in register} == {TODAY}

    def test_the_register_goes_on_in_later_revisions(self, book: Path) -> None:
        first = issue(book, ["site"], TODAY, level)[0]
        second = issue(first, ["shop"], TODAY, level)[0]
        keys = [each.key for each in read_workbook(second).project.issued]
        assert keys == ["B-1", "C-1", "C-2", "C-3", "C-4"]

    def test_nothing_is_written_over(self, book: Path) -> None:
        issue(book, ["site"], TODAY, level)
        names = sorted(each.name for each in book.parent.iterdir())
        with pytest.raises(ProblemsFound, match="a name that is free"):
            issue(book, ["shop"], TODAY, level)
        assert sorted(each.name for each in book.parent.iterdir()) == names

    def test_no_price_leaves_while_a_check_fails(self, book: Path) -> None:
        def failing(project: Project) -> Estimate:
            stage = project.stages[0].model_copy(update={"share": project.stages[0].share / 2})
            return level(project.model_copy(update={"stages": (stage, *project.stages[1:])}))

        with pytest.raises(ProblemsFound, match="before a price leaves"):
            issue(book, ["purchaser"], TODAY, failing)
        assert [each.name for each in book.parent.iterdir()] == [book.name]

    def test_an_unknown_reader_is_told(self, book: Path) -> None:
        with pytest.raises(ProblemsFound, match="purchaser or suppliers or shop or site"):
            issue(book, ["client"], TODAY, level)


class TestAward:
    def test_the_next_revision_holds_the_awarded_price(self, book: Path) -> None:
        sheet = read_template("one-wall").materials[0].key
        planned: list[Project] = []

        def plan(project: Project) -> Estimate:
            planned.append(project)
            return level(project)

        path = award_bids(book, [bid(sheet, "Yard", "61.25")], TODAY, plan)
        project = read_workbook(path).project
        price = next(each for each in project.prices if each.item == sheet)
        assert (str(price.price), price.source) == ("61.25", "bid of Yard, 2026-04-02")
        assert project.project.revision == "B"
        assert len(planned) == 1


class TestPdf:
    def test_without_the_extra_it_says_what_to_install(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setitem(sys.modules, "weasyprint", None)
        page = tmp_path / "quote.html"
        page.write_text("<p>x</p>")
        with pytest.raises(ProblemsFound, match=r"'\.\[pdf\]'"):
            write_pdf(page)
        assert [each.name for each in tmp_path.iterdir()] == ["quote.html"]
