"""Headless Chromium shows a page as a picture and on paper."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest

from tests.engines import browser, calc, programs


@pytest.fixture
def page(tmp_path: Path) -> Path:
    path = tmp_path / "page.html"
    path.write_text(
        "<!doctype html><meta charset='utf-8'><style>@page { size: A4 }</style>"
        "<p>Twelve rooms</p><p style='break-before: page'>Second page × ½</p>",
        encoding="utf-8",
    )
    return path


def test_a_screenshot_has_the_size_asked_for(page: Path) -> None:
    picture = browser.screenshot(page, page.with_suffix(".png"), width=600, height=400)
    # The PNG standard (ISO/IEC 15948, 11.2.2) puts width and height at bytes 16 to 24.
    assert struct.unpack(">II", picture.read_bytes()[16:24]) == (600, 400)


def test_a_printed_page_holds_the_text_on_paper_of_the_pages_choice(page: Path) -> None:
    pdf = browser.print_to_pdf(page, page.with_suffix(".pdf"))
    surroundings = programs.environment(str(page.parent))
    text = programs.run([programs.program("pdftotext"), str(pdf), "-"], 30, surroundings)
    assert [part.strip() for part in text.split("\f")] == ["Twelve rooms", "Second page × ½", ""]
    pages = calc.pdf_pages(pdf, page.parent, dots_per_inch=72)
    sizes = [struct.unpack(">II", p.read_bytes()[16:24]) for p in pages]
    assert sizes == [(595, 842)] * 2 or sizes == [(596, 842)] * 2  # A4 is 595.3 x 841.9 points
