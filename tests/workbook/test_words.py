"""Whatever a person types stays words: no formula, no code, no broken file."""

from __future__ import annotations

import zipfile
from collections.abc import Mapping, Sequence
from io import BytesIO
from itertools import cycle
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import openpyxl
import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import example, given, settings
from hypothesis import strategies as st
from openpyxl.utils.escape import unescape
from openxml_audit import OpenXmlValidator
from xlsxwriter import Workbook

from estimator.project.records import FORMS, RECORDS, Project, Record
from estimator.project.records.fields import Text
from estimator.project.templates import read_template
from estimator.workbook.sheets import set_up_page
from estimator.workbook.write import write_workbook
from tests.engines import calc
from tests.engines.cells import values
from tests.workbook.estimates import estimated
from tests.workbook.footers import in_parts, parts_of
from tests.workbook.formulas import every_formula

# First characters that make a formula of words in a program that guesses (OWASP, CSV injection:
# = + - @ tab and carriage return), words with them inside, and what merely looks alike.
HARMFUL = (
    "=1+1", "+1", "-2*3", "@SUM(A1)", "\t=1", "\r=1", "=cmd|' /C calc'!A0", " =1+1", "{=1+1}",
    '=HYPERLINK("http://example.invalid","free")', "3/4 ply", "007", "1e5", "TRUE", "#N/A",
    "'=1", "_x0041_", "</t></is></c>", "]]>", "a & b", "&L&C&R&P", "&", "two\nlines", "½ × ⅜ ✎",
    "insert rows above this line",
)  # fmt: skip
LONG = "=" + "long " * 2_000
CONTROL = "bell \x07 null \x00 escape \x1b end \ufffe"
CELL_HOLDS = 32_767


def with_words(project: Project, words: Sequence[str]) -> Project:
    """The project with these words, in turn, in all fields of free text: as if nobody checked."""
    supply = cycle(words)
    tables: dict[str, Any] = {}
    for record in RECORDS:
        rows = [
            row.model_copy(update={name: next(supply) for name in text_fields(record)})
            for row in project.rows(record.table)
        ]
        tables[record.table] = rows[0] if record in FORMS else tuple(rows)
    return project.model_copy(update=tables)


def text_fields(record: type[Record]) -> list[str]:
    """The fields that hold free text: no key, no word out of a list."""
    free = Text.__metadata__
    return [
        name
        for name, info in record.model_fields.items()
        if info.annotation is str and any(each in info.metadata for each in flat(free))
    ]


def flat(metadata: tuple[Any, ...]) -> list[Any]:
    """What marks a field of free text: its greatest length."""
    return [each for info in metadata for each in info.metadata]


@pytest.fixture(scope="module")
def project() -> Project:
    """The smallest template."""
    return read_template("one-wall")


@pytest.fixture(scope="module")
def plain_formulas(project: Project, tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, str]:
    """The formulas when all the words are harmless."""
    path = tmp_path_factory.mktemp("plain") / "book.xlsx"
    return formulas_of(openpyxl.load_workbook(written(with_words(project, ["plain"]), path)))


def written(project: Project, path: Path) -> Path:
    """The project's workbook."""
    write_workbook(estimated(project), path)
    return path


def formulas_of(book: openpyxl.Workbook) -> dict[str, str]:
    """Every formula by its place."""
    return {each.place: each.text for each in every_formula(book)}


def test_free_text_stands_in_many_fields() -> None:
    fields = [f"{record.table}.{name}" for record in RECORDS for name in text_fields(record)]
    assert len(fields) > 25
    assert {"project.name", "types.name", "items.supplier", "clauses.text"} <= set(fields)


def turned(words: Sequence[str], by: int) -> list[str]:
    """The same words, beginning with another."""
    return [*words[by:], *words[:by]]


@settings(max_examples=8)
@given(st.lists(st.text(st.characters(codec="utf-8"), max_size=40), min_size=1, max_size=50))
@example([LONG])
@example([CONTROL])
@example(turned(HARMFUL, 0))
@example(turned(HARMFUL, 7))
@example(turned(HARMFUL, 16))
def test_any_words_stay_words(
    project: Project, plain_formulas: Mapping[str, str], words: Sequence[str]
) -> None:
    with TemporaryDirectory() as folder:
        path = written(with_words(project, words), Path(folder) / "book.xlsx")
        book = openpyxl.load_workbook(path)
        assert formulas_of(book) == plain_formulas, "words made a formula or pushed one away"
        audit = OpenXmlValidator(semantic_validation=False).validate(str(path))
        assert [str(each) for each in audit.errors] == []
        with zipfile.ZipFile(path) as package:
            for name in package.namelist():
                fromstring(package.read(name))


@pytest.mark.parametrize("words", ["=1+1", "+1", "-2*3", "@SUM(A1)", "\r=1", " =1+1", "_x0041_"])
def test_harmful_words_stand_in_cells_as_typed(
    project: Project, words: str, tmp_path: Path
) -> None:
    book = openpyxl.load_workbook(written(with_words(project, [words]), tmp_path / "book.xlsx"))
    cells = [cell for sheet in book.worksheets for row in sheet.iter_rows() for cell in row]
    same = [cell for cell in cells if as_typed(cell.value) in (words, as_typed(words))]
    assert len(same) > 100
    assert {cell.data_type for cell in same} == {"s"}


def as_typed(value: object) -> object:
    """The file spells a carriage return _x000D_, and openpyxl leaves it so."""
    return unescape(value) if isinstance(value, str) else value


def test_a_sign_that_no_sheet_can_show_is_marked(project: Project, tmp_path: Path) -> None:
    path = written(with_words(project, [CONTROL]), tmp_path / "book.xlsx")
    assert "bell � null � escape � end �" in values(path).values()


def test_a_long_text_is_cut_to_what_a_cell_holds(project: Project, tmp_path: Path) -> None:
    path = written(with_words(project, ["x" * 40_000]), tmp_path / "book.xlsx")
    longest = max((len(v) for v in values(path).values() if isinstance(v, str)), default=0)
    assert longest == CELL_HOLDS


def test_calc_shows_the_words_as_typed(project: Project, tmp_path: Path) -> None:
    """All harmful words at once, each as the name of a payment stage, read by a real program."""
    stage = project.stages[0]
    words = [each for each in HARMFUL if each.strip() == each or each == " =1+1"]
    stages = [stage.model_copy(update={"number": n, "name": w}) for n, w in enumerate(words, 1)]
    job = project.model_copy(update={"stages": tuple(stages)})
    path = written(job, tmp_path / "book.xlsx")
    before, after = values(path), values(calc.recalculate([path], tmp_path / "calc")[path])
    named = {place: value for place, value in before.items() if value in words}
    assert len(named) >= len(words)
    assert {place: after.get(place) for place in named} == named


# --- Head and foot of a page ----------------------------------------------------------------------


NAMES = st.text(st.sampled_from('ab&LCRPA1 ="'), max_size=300).map(str.strip).filter(bool)


@given(NAMES)
@example("x" * 119 + "& Co")
@example("&" * 300)
@example("12 Oak Street")
def test_a_name_in_the_foot_is_no_code(project: Project, name: str) -> None:
    facts = project.project.model_copy(update={"name": name})
    sheet = Workbook(BytesIO()).add_worksheet()
    set_up_page(sheet, [], facts)
    left, middle, right = parts_of(sheet.footer)
    shown, _, revision = left.rpartition(" · ")
    assert revision == "revision A"
    assert name.startswith(shown)
    assert len(shown) >= min(len(name), 50), "a good part of what the foot holds"
    assert (middle, right) == ("<sheet>", "page <page> of <pages>")


def test_an_ampersand_is_printed_in_the_foot(project: Project, tmp_path: Path) -> None:
    path = written(with_words(project, ["Oak & Ash &P"]), tmp_path / "book.xlsx")
    assert in_parts(path, 1)[0] == "Oak & Ash &P · revision A"
