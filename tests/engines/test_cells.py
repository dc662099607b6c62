"""Reading cells of a file and changing inputs in place."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
import xlsxwriter

from tests.engines.cells import formula_values, formulas, set_inputs, values

SHEET = "Counts & rates"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as made:
        sheet = made.add_worksheet(SHEET)
        percent = made.add_format({"num_format": "0%"})
        day = made.add_format({"num_format": "yyyy-mm-dd"})
        sheet.write_string("A1", "King")
        sheet.write_blank("B1", None, percent)
        sheet.write_number("C1", 45000, day)
        sheet.write_formula("D1", "=B1+1", None, 1)
        sheet.write_formula("E1", '=A1=""', None, False)
        sheet.write_formula("F1", '=""', None, "")
        sheet.write_formula("G1", "=C1+0.5", day, 45000.5)
    return path


def test_values_are_plain_and_dates_are_day_numbers(book: Path) -> None:
    held = {cell: value for (_, cell), value in values(book).items()}
    assert held == {"A1": "King", "C1": 45000, "D1": 1, "E1": False, "G1": 45000.5}
    assert held["E1"] is False


def test_formulas_and_their_values(book: Path) -> None:
    assert {cell: text for (_, cell), text in formulas(book).items()} == {
        "D1": "=B1+1",
        "E1": '=A1=""',
        "F1": '=""',
        "G1": "=C1+0.5",
    }
    assert formula_values(book)[SHEET, "F1"] is None
    assert formulas(book).keys() == formula_values(book).keys()


def test_texts_are_what_a_person_reads(tmp_path: Path) -> None:
    """One that looks like a formula is none; looks and escapes of the file are no part of it."""
    path = tmp_path / "texts.xlsx"
    texts = {"A1": "=1+1", "A2": "_x0041_", "A3": "tab\vstop", "A4": " \n", "A5": "<&> 日本"}
    with xlsxwriter.Workbook(path) as made:
        sheet = made.add_worksheet(SHEET)
        for cell, text in texts.items():
            sheet.write_string(cell, text)
        sheet.write_rich_string("A6", "one ", made.add_format({"bold": True}), "two", " three")
        sheet.write_formula("A7", "=A1", None, "=1+1")
        sheet.write_formula("A8", "=NA()", None, "#N/A")
        sheet.write_array_formula("A9", "{=SUM(A1:A2)}", None, 0.5)
    assert {cell: value for (_, cell), value in values(path).items()} == {
        **texts, "A6": "one two three", "A7": "=1+1", "A8": "#N/A", "A9": 0.5,
    }  # fmt: skip
    assert {cell for _, cell in formulas(path)} == {"A7", "A8", "A9"}


def test_changed_inputs_stand_and_cached_values_stay(book: Path) -> None:
    inputs: dict[tuple[str, str], float | str] = {(SHEET, "A1"): "Twin <&> new", (SHEET, "B1"): 0.5}
    changed = set_inputs(book, inputs, book.with_name("changed.xlsx"))
    assert values(changed) == values(book) | inputs


def test_only_the_changed_sheet_differs(book: Path) -> None:
    changed = set_inputs(book, {(SHEET, "B1"): 3}, book.with_name("changed.xlsx"))
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(changed) as new:
        assert old.namelist() == new.namelist()
        differ = [name for name in old.namelist() if old.read(name) != new.read(name)]
        style = b'<c r="B1" s="1"/>'
        sheet = old.read(differ[0])
        assert sheet.count(style) == 1
        assert new.read(differ[0]) == sheet.replace(style, b'<c r="B1" s="1"><v>3</v></c>')
    assert differ == ["xl/worksheets/sheet1.xml"]


@pytest.mark.parametrize("cell", ["D1", "Z9"])
def test_a_formula_or_an_absent_cell_is_refused(book: Path, cell: str) -> None:
    with pytest.raises(ValueError, match=f"{cell}: expected one cell without a formula"):
        set_inputs(book, {(SHEET, cell): 1}, book.with_name("changed.xlsx"))
