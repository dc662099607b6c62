"""The rules that formulas keep, tested over the cells of every template's workbook.

They follow common spreadsheet practice: no number hidden in a formula, one formula for a column,
plain functions, short formulas (FAST 02a: 2.01-03, 3.03-01, 3.03-04; ICAEW, Twenty principles for
good spreadsheet practice, 12 to 14 and 16, the latter read in a reprint). The limits are our own.
"""

from __future__ import annotations

import re
import zipfile
from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

import pytest
from defusedxml.ElementTree import fromstring
from openxml_audit import OpenXmlValidator

from estimator.expressions.nodes import Conversion, Expression, children
from estimator.expressions.tables import Definition, Model
from estimator.units import factor
from tests.workbook.conftest import Book
from tests.workbook.formulas import Formula, address, cells_of_name, every_formula

LONGEST = 250
ASKED_AGAIN = re.compile(r"(?<=\+)IF\(_xlfn\.ISFORMULA\([^()]*\),0,1\)")
DEEPEST = 6
VOLATILE = {
    "NOW", "TODAY", "RAND", "RANDBETWEEN", "RANDARRAY", "OFFSET", "INDIRECT", "INFO", "CELL",
}  # fmt: skip
PLAIN = {
    "ABS", "AND", "COS", "COUNT", "COUNTA", "IF", "IFERROR", "INDEX", "LN", "MATCH", "MAX", "MIN",
    "OR", "POWER", "RADIANS", "ROUND", "ROUNDDOWN", "ROUNDUP", "SQRT", "SUM", "SUMIFS",
    "SUMPRODUCT", "TAN", "CONCATENATE", "_xlfn.ISFORMULA", "_xlfn.MAXIFS", "_xlfn.MINIFS",
}  # fmt: skip
"""Functions that three engines were seen to calculate alike (tests/engines/test_forms.py).

ISFORMULA is known to two of them; the third is told the answer (tests/engines/others.py).
"""
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


@pytest.fixture(scope="module")
def formulas(book: Book) -> list[Formula]:
    """Every formula of the workbook."""
    found = list(every_formula(book.read))
    assert len(found) > 500
    return found


# --- What stands in a formula ---------------------------------------------------------------------


def test_no_formula_hides_a_number(book: Book, formulas: list[Formula]) -> None:
    allowed = {Fraction(0), Fraction(1)} | unit_factors(book.estimate.model)
    typed: dict[str, list[str]] = defaultdict(list)
    for formula in formulas:
        for number in formula.operands("NUMBER"):
            typed[number].append(formula.place)
    strange = {n: at[:3] for n, at in typed.items() if not is_one_of(Fraction(n), allowed)}
    assert strange == {}
    assert {"0", "1", "60"} <= set(typed), "minutes to hours among others"


def unit_factors(model: Model) -> set[Fraction]:
    """What the unit library gives for every pair of units between which a formula converts."""
    expressions = (each.expression for each in model.order if each.expression is not None)
    changes = (change for expression in expressions for change in conversions(expression))
    found = {factor(change.inner.unit, change.unit) for change in changes}
    return found | {1 / each for each in found}


def conversions(node: Expression) -> Iterator[Conversion]:
    """Every change of unit; a number that is only said of something else changes by 1."""
    if isinstance(node, Conversion) and node.by != 1:
        yield node
    for child in children(node):
        yield from conversions(child)


def is_one_of(number: Fraction, allowed: set[Fraction]) -> bool:
    """Whether it is one of them, or the float nearest to one."""
    return any(float(number) == float(each) for each in allowed)


def test_only_plain_functions(formulas: list[Formula]) -> None:
    used = {function for formula in formulas for function in formula.functions()}
    assert used - PLAIN == set()
    assert not PLAIN & VOLATILE
    assert {"SUMIFS", "IF", "ROUND"} <= used


def test_no_cell_of_another_file_and_none_of_another_row(formulas: list[Formula]) -> None:
    """Cells of the same row are addressed; all else goes by names, so that it can be read."""
    elsewhere = [
        f"{formula.place}: {operand}"
        for formula in formulas
        for operand in formula.addresses()
        if not re.fullmatch(rf"[A-Z]{{1,3}}{formula.cell.row}", operand)
    ]
    assert elsewhere == []


def test_formulas_are_short(formulas: list[Formula]) -> None:
    """A sum that asks the same of each cell of a row reads as if it asked it once."""
    shortened = [(f.place, ASKED_AGAIN.sub("", f.text)) for f in formulas]
    assert [each for each in shortened if len(each[1]) > LONGEST] == []


def test_formulas_are_not_nested_deeply(formulas: list[Formula]) -> None:
    assert [(f.place, f.text) for f in formulas if f.depth() > DEEPEST] == []


def test_formulas_are_of_one_line(formulas: list[Formula]) -> None:
    assert [f.place for f in formulas if re.search(r"[\r\n\t]", f.text)] == []


def test_one_formula_in_a_column(book: Book, formulas: list[Formula]) -> None:
    left = {formula.place: formula for formula in formulas}
    columns = calculated(book.estimate.model, form=False)
    assert len(columns) > 80
    for name in columns:
        *cells, end = cells_of_name(book.read, name)
        assert end.data_type != "f", f"{name}: a formula in the end row"
        alike = {left.pop(address(cell)).relative() for cell in cells}
        assert len(alike) <= 1, f"{name} has {alike}"
    fields = calculated(book.estimate.model, form=True)
    of_forms = {address(cell) for name in fields for cell in cells_of_name(book.read, name)}
    assert set(left) == of_forms, "a formula outside the tables"


def calculated(model: Model, form: bool) -> dict[str, Definition]:
    """The defined names of what is calculated: columns of rows, or fields of forms."""
    return {
        f"{table.name}_{each.name}": each
        for table in model
        for each in table.definitions.values()
        if each.expression is not None and (table.kind == "form") == form
    }


# --- Names ----------------------------------------------------------------------------------------


def test_every_name_points_to_cells(book: Book) -> None:
    assert len(book.read.defined_names) > 200
    for name in book.read.defined_names:
        assert cells_of_name(book.read, name), name


def test_every_name_used_is_defined(book: Book, formulas: list[Formula]) -> None:
    rules = [
        Formula(book.read[sheet.title]["A1"], f"={text.lstrip('=')}")
        for sheet in book.read.worksheets
        for rule in sheet.data_validations.dataValidation
        for text in (rule.formula1, rule.formula2)
        if text and not text.startswith('"')
    ]
    assert rules
    used = {name for formula in [*formulas, *rules] for name in formula.names()}
    assert used - set(book.read.defined_names) == set()
    assert len(used) > 100


# --- The file -------------------------------------------------------------------------------------


def test_no_macro_no_link_no_array(book: Book) -> None:
    with zipfile.ZipFile(book.path) as package:
        names = package.namelist()
        sheets = [fromstring(package.read(n)) for n in names if n.startswith("xl/worksheets/sheet")]
        links = b"".join(package.read(name) for name in names if name.endswith(".rels"))
    known = (
        r"\[Content_Types\].xml|_rels/.rels|docProps/(app|core|custom).xml"
        r"|xl/(workbook|styles|sharedStrings).xml|xl/_rels/workbook.xml.rels|xl/theme/theme1.xml"
        r"|xl/comments\d+.xml|xl/worksheets/(sheet\d+.xml|_rels/sheet\d+.xml.rels)"
        r"|xl/(charts/chart\d+.xml|drawings/(vmlD|d)rawing\d+.(vml|xml)|drawings/_rels/.+.rels)"
    )
    assert [name for name in names if not re.fullmatch(known, name)] == []
    assert b'TargetMode="External"' not in links
    kinds = {each.get("t") for sheet in sheets for each in sheet.iter(f"{MAIN}f")}
    assert kinds == {None}, "plain formulas only: no array, shared or table formula"


def test_every_formula_carries_its_value(book: Book, formulas: list[Formula]) -> None:
    with zipfile.ZipFile(book.path) as package:
        sheets = [n for n in package.namelist() if n.startswith("xl/worksheets/sheet")]
        cells = [c for n in sheets for c in fromstring(package.read(n)).iter(f"{MAIN}c")]
    live = [cell for cell in cells if cell.find(f"{MAIN}f") is not None]
    assert len(live) == len(formulas)
    without = [cell.get("r") for cell in live if not has_value(cell)]
    assert without == []
    assert [cell.get("r") for cell in live if cell.get("t") == "e"] == [], "an error is shown"


def has_value(cell: object) -> bool:
    """A number or words; only a formula of words may come to none."""
    value = cell.find(f"{MAIN}v")  # type: ignore[attr-defined]
    return value is not None and (value.text is not None or cell.get("t") == "str")  # type: ignore[attr-defined]


def test_the_audit_finds_nothing(book: Book) -> None:
    audit = OpenXmlValidator().validate(str(book.path))
    assert [str(each) for each in audit.errors] == []
