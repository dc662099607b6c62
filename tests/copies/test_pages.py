"""The pages of shop and site, and the quote as PDF: on screen and on paper, letter and A4."""

from __future__ import annotations

import re
import struct
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.copies.shop_pages import shop_html
from estimator.copies.site import site_html
from estimator.documents.pdf import pdf_of
from estimator.documents.quote import quote_html
from estimator.estimate import Estimate
from estimator.project.templates import read_template
from tests.copies.estimates import level
from tests.documents.reading import foreign, text_of
from tests.documents.samples import with_texts
from tests.documents.test_pages_in_browser import PAPER_IN_POINTS, pdf_text, saved, sticking_out
from tests.engines import browser, calc

PAGES: dict[str, Callable[[Estimate], str]] = {"shop": shop_html, "site": site_html}
TEMPLATES = ("one-wall", "one-wall-metric", "merrowby-lodge")


@pytest.mark.slow
@pytest.mark.parametrize("template", TEMPLATES)
@pytest.mark.parametrize("kind", PAGES)
def test_page_on_paper_and_on_screen(kind: str, template: str, tmp_path: Path) -> None:
    estimate = level(read_template(template))
    page = saved(PAGES[kind](estimate), tmp_path / f"{kind}.html")
    printed = browser.print_to_pdf(page, tmp_path / "page.pdf")
    pages = calc.pdf_pages(printed, tmp_path, 72)
    assert len(pages) >= 3
    for picture in pages:
        size = struct.unpack(">II", picture.read_bytes()[16:24])
        assert size == pytest.approx(PAPER_IN_POINTS[estimate.project.project.paper], abs=1)
    assert all(each.strip() for each in pdf_text(printed).split("\f")[:-1]), "no page is empty"
    screen = browser.screenshot(page, tmp_path / "screen.png", width=900, height=1200)
    assert len(set(screen.read_bytes())) > 200, "a picture with something in it"


@pytest.mark.slow
@pytest.mark.parametrize("kind", PAGES)
@pytest.mark.parametrize("template", TEMPLATES)
def test_nothing_sticks_out(kind: str, template: str, tmp_path: Path) -> None:
    found = sticking_out(PAGES[kind](level(read_template(template))), tmp_path)
    assert found.startswith("sticks out: nothing / words ")


@pytest.mark.slow
@pytest.mark.parametrize("kind", PAGES)
def test_nothing_sticks_out_however_long_the_texts_are(kind: str, tmp_path: Path) -> None:
    project = with_texts(read_template("one-wall"), lambda table, field: "WMWM" * 125)
    found = sticking_out(PAGES[kind](level(project)), tmp_path)
    assert found.startswith("sticks out: nothing / words ")


@pytest.mark.parametrize("kind", PAGES)
@pytest.mark.parametrize(
    "hostile", ["</text></svg><script>alert(1)</script>", "\"'><img src=x onerror=x>"]
)
def test_hostile_text_stays_text_and_nothing_is_fetched(kind: str, hostile: str) -> None:
    project = with_texts(read_template("one-wall"), lambda table, field: hostile)
    page = PAGES[kind](level(project))
    assert foreign(page) == []
    assert text_of(page).count(hostile) > 5
    assert "url(" not in page
    assert "@import" not in page


@pytest.mark.slow
@pytest.mark.parametrize("template", TEMPLATES)
def test_the_quote_as_pdf_says_what_the_page_says(template: str, tmp_path: Path) -> None:
    estimate = level(read_template(template))
    page = quote_html(estimate)
    pdf = tmp_path / "quote.pdf"
    pdf.write_bytes(pdf_of(page))
    pages = calc.pdf_pages(pdf, tmp_path, 72)
    for picture in pages:
        size = struct.unpack(">II", picture.read_bytes()[16:24])
        assert size == pytest.approx(PAPER_IN_POINTS[estimate.project.project.paper], abs=1)
    text = pdf_text(pdf)
    money = re.compile(r"[$€£][\d,]+\.\d\d")
    assert set(money.findall(text_of(page))) == set(money.findall(text))
    assert re.search(rf"1 ?/ ?{len(pages)}\b", text)
