"""Every page on screen and on paper, letter and A4, in a real browser."""

from __future__ import annotations

import re
import struct
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.documents.cut_plan import cut_plan_html
from estimator.documents.files import write_documents, write_quote
from estimator.documents.labels import labels_html
from estimator.documents.quote import quote_html
from estimator.estimate import Estimate
from estimator.project.templates import read_template
from tests.documents.reading import foreign, text_of
from tests.documents.samples import plain, sample, with_patterns, with_texts
from tests.engines import browser, calc, programs
from tests.workbook.estimates import estimated, with_counts

PAGES: dict[str, Callable[[Estimate], str]] = {
    "quote": quote_html,
    "cut plan": cut_plan_html,
    "labels": labels_html,
}
TEMPLATES = ("one-wall", "one-wall-metric")
PAPER_IN_POINTS = {"letter": (612, 792), "A4": (595.3, 841.9)}  # ISO 216: 210 x 297 mm

# What sticks out, told by the browser itself: anything beyond its sheet's width, and any words of a
# drawing beyond the white box they stand in (the figures of the first cuts stand in none).
MEASURE = """
<script>
addEventListener("load", () => {
  document.body.style.maxWidth = "none";
  const found = [];
  const sheets = document.querySelectorAll(".sheet");
  const papers = sheets.length ? sheets : [document.body];
  const drawings = document.querySelectorAll("svg");
  for (const frame of [...papers, ...drawings]) {
    const outer = frame.getBoundingClientRect();
    for (const each of frame.querySelectorAll("*:not(title)")) {
      const box = each.getBoundingClientRect();
      if (box.right > outer.right + 0.5 || box.left < outer.left - 0.5) {
        found.push(each.tagName + " beyond " + frame.tagName);
      }
    }
  }
  let words = 0;
  for (const text of document.querySelectorAll("svg text")) {
    const box = text.getBoundingClientRect();
    const x = (box.left + box.right) / 2, y = (box.top + box.bottom) / 2;
    const around = [...text.parentNode.querySelectorAll("rect[stroke]")]
      .map((each) => each.getBoundingClientRect())
      .filter((r) => r.left <= x && x <= r.right && r.top <= y && y <= r.bottom);
    const fits = (r) => r.left - 0.5 <= box.left && box.right <= r.right + 0.5;
    words += around.length ? 1 : 0;
    if (around.length && !around.some(fits)) {
      found.push("words beyond their box: " + text.textContent);
    }
  }
  const told = found.join("; ") || "nothing";
  document.body.replaceChildren("sticks out: " + told + " / words " + words);
});
</script>
"""


def saved(page: str, path: Path) -> Path:
    path.write_text(page, encoding="utf-8")
    return path


def pdf_text(pdf: Path) -> str:
    surroundings = programs.environment(str(pdf.parent))
    return programs.run([programs.program("pdftotext"), "-layout", str(pdf), "-"], 60, surroundings)


def sticking_out(page: str, folder: Path) -> str:
    """What the browser found, and how many words it looked at."""
    start, policy = page.index('<meta http-equiv="Content-Security-Policy"'), '">\n'
    opened = page[:start] + page[page.index(policy, start) + len(policy) :]
    measured = saved(opened.replace("</body>", MEASURE + "</body>"), folder / "measured.html")
    return " ".join(pdf_text(browser.print_to_pdf(measured, folder / "measured.pdf")).split())


@pytest.mark.slow
@pytest.mark.parametrize("template", TEMPLATES)
@pytest.mark.parametrize("kind", PAGES)
def test_page_on_paper_and_on_screen(kind: str, template: str, tmp_path: Path) -> None:
    estimate = sample(template)
    page = saved(PAGES[kind](estimate), tmp_path / f"{kind}.html")
    pages = calc.pdf_pages(browser.print_to_pdf(page, tmp_path / "page.pdf"), tmp_path, 72)
    expected = {"quote": 3, "cut plan": 2, "labels": 1}[kind]
    assert len(pages) in (expected, expected - 1)
    for picture in pages:
        size = struct.unpack(">II", picture.read_bytes()[16:24])
        assert size == pytest.approx(PAPER_IN_POINTS[estimate.project.project.paper], abs=1)
    screen = browser.screenshot(page, tmp_path / "screen.png", width=900, height=1200)
    assert len(set(screen.read_bytes())) > 200, "a picture with something in it"


@pytest.mark.slow
@pytest.mark.parametrize("template", TEMPLATES)
@pytest.mark.parametrize("kind", PAGES)
def test_nothing_sticks_out(kind: str, template: str, tmp_path: Path) -> None:
    found = sticking_out(PAGES[kind](sample(template)), tmp_path)
    assert found.startswith("sticks out: nothing / words ")
    looked_at = re.search(r"words ([0-9]+)", found)
    assert looked_at
    assert kind != "cut plan" or int(looked_at[1]) > 10


@pytest.mark.slow
@pytest.mark.parametrize("kind", PAGES)
def test_nothing_sticks_out_however_long_the_texts_are(kind: str, tmp_path: Path) -> None:
    project = with_texts(read_template("one-wall"), lambda table, field: "WMWM" * 125)
    found = sticking_out(PAGES[kind](with_patterns(estimated(project))), tmp_path)
    assert found.startswith("sticks out: nothing / words ")


def test_the_measure_finds_what_sticks_out(tmp_path: Path) -> None:
    wide = "<p style='width: 3000px'>wide</p></body>"
    found = sticking_out(quote_html(plain("one-wall")).replace("</body>", wide), tmp_path)
    assert "P beyond BODY" in found


@pytest.mark.slow
def test_the_printed_quote_is_for_the_client(tmp_path: Path) -> None:
    fine = saved(quote_html(plain("merrowby-lodge")), tmp_path / "fine.html")
    text = pdf_text(browser.print_to_pdf(fine, tmp_path / "fine.pdf"))
    assert "Merrowby Lodge (invented)" in text
    assert "Before you send" not in text
    assert "Not to be sent" not in text
    assert re.findall(r"([0-9]) ?/ ?6\b", text) == list("123456"), "every page has its number"


@pytest.mark.slow
def test_a_failing_check_is_on_every_printed_page(tmp_path: Path) -> None:
    broken = with_counts(plain("one-wall"), {("home-wall", "H1"): -1})
    page = saved(quote_html(broken), tmp_path / "broken.html")
    pages = pdf_text(browser.print_to_pdf(page, tmp_path / "broken.pdf")).split("\f")[:-1]
    assert len(pages) > 1
    assert all("Not to be sent" in each for each in pages)


@pytest.mark.slow
@pytest.mark.parametrize(
    "hostile", ["</text></svg><script>alert(1)</script>", "\"'><img src=x onerror=x>"]
)
def test_hostile_text_stays_text_on_the_cut_plan(hostile: str) -> None:
    project = with_texts(read_template("one-wall"), lambda table, field: hostile)
    page = cut_plan_html(with_patterns(estimated(project)))
    assert foreign(page) == []
    assert text_of(page).count(hostile) > 10


@pytest.mark.parametrize("kind", PAGES)
def test_pages_fetch_nothing(kind: str) -> None:
    page = PAGES[kind](sample("one-wall"))
    assert foreign(page) == []
    assert "url(" not in page
    assert "@import" not in page
    assert "default-src 'none'" in page


def test_the_cut_plan_says_what_each_pattern_gives() -> None:
    text = text_of(cut_plan_html(sample("one-wall")))
    for expected in (
        "Pattern 1: cut 1", "1 sheet in 1 pattern", "no plan can use fewer", "Trim all four sides",
        "Board, Small shelf", "Offcuts worth keeping", "Saw kerf 1/8 in.", "Sizes are in inches",
    ):  # fmt: skip
        assert expected in text
    without = text_of(cut_plan_html(plain("one-wall")))
    assert "There is no plan for it yet" in without


def test_files_stand_beside_the_workbook_and_replace_nothing(tmp_path: Path) -> None:
    book = tmp_path / "job A.xlsx"
    first = write_documents(sample("one-wall"), book)
    assert [path.name for path in first] == [
        "job A quote.html", "job A cut plan.html", "job A cut list.csv", "job A labels.html"
    ]  # fmt: skip
    before = first[0].read_bytes()
    assert write_quote(sample("one-wall-metric"), book).name == "job A quote 2.html"
    assert first[0].read_bytes() == before
    assert first[2].read_bytes().startswith(b"\xef\xbb\xbfFloor,")
    assert len(list(tmp_path.iterdir())) == 5, "no half-written file is left"
