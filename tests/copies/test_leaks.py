"""No copy tells what its reader may not see: every part of every file is looked through.

The source is planted with marks: words that stand out, and numbers with odd digits, wherever a
cost, a wage, a rate of overhead, contingency or margin, a price, a supplier or a source of a price
is typed. What is calculated from them is looked for too.
"""

from __future__ import annotations

import io
import re
import subprocess
import zipfile
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from estimator.copies import issue as issuing
from estimator.copies.issue import READERS
from estimator.copies.purchaser import purchaser_book
from estimator.documents.quote import quote_html
from estimator.estimate import Estimate
from estimator.project.records import Project
from estimator.project.templates import read_template
from tests.copies.estimates import as_quoted, level
from tests.copies.parts import hidden_in, numbers_in, parts_of, told_beside_pictures
from tests.copies.planted import (
    ALTERNATES_TOLD,
    BY_READER,
    MARK,
    PRICES_TOLD,
    is_odd,
    planted,
    secret_numbers,
    words_kept_from,
)
from tests.engines import programs
from tests.workbook.estimates import with_counts
from tests.workbook.random_projects import some_projects

DEMO = "merrowby-lodge"
PATHS = ("/tmp/", "/home/", "/root/", f"{Path.cwd()}/", "file:", "\\Users\\")
OFFICE_WORDS = ("overhead", "contingency", "markup", "wage", "mark-up")
"""Not even the words, in what a purchaser gets; `margin` is a word of styles."""


def copies_for(reader: str, estimate: Estimate) -> dict[str, bytes]:
    """Every file that `issue` would write for a reader, by name."""
    made = READERS[reader](estimate, "job", lambda words, done: None)
    return {copy.name: copy.content for copy in made}


@pytest.fixture
def no_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bands without width: how wide they are is no matter here, and the search takes long."""
    monkeypatch.setattr(issuing, "find_band", lambda estimate, progress: as_quoted(estimate))


@pytest.mark.slow
@pytest.mark.parametrize("reader", READERS)
def test_no_mark_in_the_demo(reader: str) -> None:
    estimate = level(planted(read_template(DEMO)))
    files = copies_for(reader, estimate)
    assert len(files) >= BY_READER[reader]
    for name, file in files.items():
        assert len(list(_numbers(name, file))) > 1, name
        assert_no_leak(reader, name, file, estimate)


@pytest.mark.slow
@pytest.mark.usefixtures("no_search")
def test_no_mark_in_random_projects() -> None:
    looked = 0
    for project in some_projects(12):
        estimate = level(planted(project))
        for reader in READERS:
            for name, file in copies_for(reader, estimate).items():
                assert_no_leak(reader, name, file, estimate)
                looked += 1
    assert looked >= 12 * 4


@pytest.mark.usefixtures("no_search")
def test_what_the_office_is_to_look_at_stays_there() -> None:
    estimate = with_counts(level(read_template(DEMO)), {("king", "F1"): 9})
    assert "Before you send this" in quote_html(estimate)
    for name, file in copies_for("purchaser", estimate).items():
        assert "Before you send" not in "".join(texts_of(name, file).values())


@pytest.mark.usefixtures("no_search")
class TestTheReaderFinds:
    """Each kind of leak that it looks for, where there is one."""

    def test_words_that_are_shown(self) -> None:
        project = planted(read_template("one-wall"))
        loud = project.types[0].model_copy(update={"name": f"{MARK} types name"})
        project = project.model_copy(update={"types": (loud, *project.types[1:])})
        for name, file in copies_for("purchaser", level(project)).items():
            with pytest.raises(AssertionError, match=MARK):
                assert_no_words("purchaser", name, file)

    def test_numbers_that_are_shown(self) -> None:
        project = planted(read_template(DEMO))
        wage = Decimal(repr(float(project.grades[0].wage)))
        clause = next(each for each in project.clauses if each.kind == "allowance")
        told = clause.model_copy(update={"amount": wage})
        estimate = level(project.model_copy(update={"clauses": (told, *project.clauses)}))
        file = copies_for("purchaser", estimate)["job for purchaser.xlsx"]
        with pytest.raises(AssertionError, match=r"grades\.wage"):
            assert_no_numbers("purchaser", "x.xlsx", file, estimate)

    def test_amounts_rounded_to_cents_in_a_page(self) -> None:
        estimate = level(planted(read_template(DEMO)))
        cost = estimate.values["price"]["cost"].iloc[0]
        page = f"<p>It costs us {cost:,.2f} in all.</p>".encode()
        with pytest.raises(AssertionError, match=r"price\.cost"):
            assert_no_numbers("site", "x.html", page, estimate)

    @pytest.mark.parametrize(
        "part", ["xl/comments1.xml", "docProps/app.xml", "customXml/item1.xml", "xl/calcChain.xml"]
    )
    def test_a_mark_in_any_part(self, part: str) -> None:
        file = copies_for("purchaser", level(read_template("one-wall")))["job for purchaser.xlsx"]
        bad = with_part(file, part, f"<x>{MARK} price</x>".encode())
        with pytest.raises(AssertionError, match=MARK):
            assert_no_words("purchaser", "x.xlsx", bad)

    def test_words_in_a_picture_and_after_its_end(self) -> None:
        file = copies_for("site", level(read_template("one-wall")))
        assert file
        notes, picture = PngInfo(), io.BytesIO()
        notes.add_text("Author", "somebody")
        Image.new("RGB", (2, 2)).save(picture, "png", pnginfo=notes)
        plain = io.BytesIO()
        Image.new("RGB", (2, 2)).save(plain, "png")
        for content, told in (
            (picture.getvalue(), ["xl/media/image1.png: tEXt"]),
            (plain.getvalue() + b"words", ["xl/media/image1.png: after its end"]),
            (plain.getvalue(), []),
        ):
            package = io.BytesIO()
            with zipfile.ZipFile(package, "w") as made:
                made.writestr("xl/media/image1.png", content)
            assert told_beside_pictures(package.getvalue()) == told


def with_part(file: bytes, name: str, content: bytes) -> bytes:
    """The package with a part added, or replaced."""
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(file)) as old, zipfile.ZipFile(made, "w") as new:
        for each in old.namelist():
            if each != name:
                new.writestr(each, old.read(each))
        new.writestr(name, content)
    return made.getvalue()


# --- What may not be told ------------------------------------------------------------------------


def assert_no_leak(reader: str, name: str, file: bytes, estimate: Estimate) -> None:
    assert_no_words(reader, name, file)
    assert_no_numbers(reader, name, file, estimate)
    if name.endswith(".xlsx"):
        assert hidden_in(file) == []


def assert_no_words(reader: str, name: str, file: bytes) -> None:
    for part, text in texts_of(name, file).items():
        lower = text.casefold()
        for word in (*words_kept_from(reader), *PATHS):
            assert word.casefold() not in lower, (name, part, word)
        if reader == "purchaser":
            for word in OFFICE_WORDS:
                assert not re.search(rf"\b{word}", lower), (name, part, word)


def texts_of(name: str, file: bytes) -> Mapping[str, str]:
    """All parts as text; of a PDF also what it shows, which its streams hold as glyphs."""
    if not name.endswith(".pdf"):
        return parts_of(file)
    command = [programs.program("pdftotext"), "-layout", "-", "-"]
    shown = subprocess.run(command, input=file, capture_output=True, check=True, timeout=60)
    return {**parts_of(file), "shown": f">{shown.stdout.decode()}<"}


def assert_no_numbers(reader: str, name: str, file: bytes, estimate: Estimate) -> None:
    on_paper = name.endswith((".html", ".pdf"))
    of_purchaser = PRICES_TOLD if on_paper else ALTERNATES_TOLD
    told = of_purchaser if reader == "purchaser" else ()
    secrets = [each for each in secret_numbers(estimate) if each[0] not in told]
    shown = np.array([number for _, number in _numbers(name, file)])
    for what, value in secrets:
        for sought in _looks(value):
            near = np.isclose(shown, sought, rtol=1e-9, atol=0)
            assert not near.any(), (name, what, value)


def _numbers(name: str, file: bytes) -> Iterator[tuple[str, float]]:
    if not name.endswith(".pdf"):
        yield from numbers_in(file)
        return
    for digits in re.findall(r"\d[\d,]*(?:\.\d+)?", texts_of(name, file)["shown"]):
        yield "shown", float(digits.replace(",", ""))


def _looks(value: float) -> Iterator[float]:
    """As it is, in per cent, and rounded to cents; those that cannot be told from a count not."""
    if is_odd(value):
        yield value
        yield value * 100
    if abs(value) > 10_000 and is_odd(round(value, 2)):
        yield round(value, 2)


# --- Solving back --------------------------------------------------------------------------------


def without_allowances(project: Project) -> Project:
    """No sum is told at cost, and prices step by 20, so that cents of rounding move none."""
    clauses = tuple(each for each in project.clauses if each.kind != "allowance")
    terms = project.terms.model_copy(update={"price_step": Decimal(20)})
    return project.model_copy(update={"clauses": clauses, "terms": terms})


def cheaper(project: Project, times: Decimal) -> Project:
    """Everything costs so many times as much, and the margin makes the same price of it."""
    terms = project.terms
    update = {
        name: getattr(terms, name) * times for name in ("vehicle_rate", "lodging", "freight_base")
    }
    update["margin"] = 1 - times * (1 - terms.margin)

    def scaled(rows: tuple[object, ...], name: str) -> tuple[object, ...]:
        return tuple(row.model_copy(update={name: getattr(row, name) * times}) for row in rows)  # type: ignore[attr-defined]

    return project.model_copy(
        update={
            "terms": terms.model_copy(update=update),
            "prices": scaled(project.prices, "price"),
            "containers": scaled(project.containers, "price"),
            "grades": scaled(project.grades, "wage"),
        }
    )


def test_another_cost_and_margin_with_the_same_price_give_the_same_copy() -> None:
    """So neither can be worked out from it: the copy does not depend on them.

    With the same band for both: it is found from prices at other counts, which cents of rounding
    in so much cheaper materials move by a step here and there.
    """
    dear = level(without_allowances(read_template(DEMO)))
    cheap = level(cheaper(dear.project, Decimal("0.75")))
    of_dear, of_cheap = dear.values["price"].iloc[0], cheap.values["price"].iloc[0]
    assert of_cheap["cost"] < of_dear["cost"] * 0.76
    assert of_dear["quoted"] == of_cheap["quoted"]
    band = as_quoted(dear)
    books = [parts_of(purchaser_book(each, band)) for each in (dear, cheap)]
    dated = "docProps/core.xml"
    assert {k: v for k, v in books[0].items() if k != dated} == {
        k: v for k, v in books[1].items() if k != dated
    }
