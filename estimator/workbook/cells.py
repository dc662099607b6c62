"""One door to the file writer: writes are checked, and a person's words never become a formula."""

from __future__ import annotations

import re
from typing import Any

from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

LONGEST_CELL = 32_767
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")


class WriteRefused(RuntimeError):
    """The file writer turned a cell away (it says so only by a number); a fault of ours."""


class _NoWords(str):
    """No words as the value of a formula; a bare "" means to the file writer that it has none."""

    __slots__ = ()
    __hash__ = str.__hash__

    def __eq__(self, other: object) -> bool:
        return False


def write_words(sheet: Worksheet, row: int, column: int, words: str, style: Format | None) -> None:
    """Text as text, whatever it begins with; an empty text as a blank cell."""
    clean = _UNPRINTABLE.sub("�", words)[:LONGEST_CELL]
    if clean:
        _check(sheet.write_string(row, column, clean, style), sheet, row, column)
    else:
        write_blank(sheet, row, column, style)


def write_number(
    sheet: Worksheet, row: int, column: int, number: float, style: Format | None
) -> None:
    """A number."""
    _check(sheet.write_number(row, column, number, style), sheet, row, column)


def write_truth(sheet: Worksheet, row: int, column: int, truth: bool, style: Format | None) -> None:
    """True or false."""
    _check(sheet.write_boolean(row, column, truth, style), sheet, row, column)


def write_blank(sheet: Worksheet, row: int, column: int, style: Format | None) -> None:
    """A formatted empty cell."""
    _check(sheet.write_blank(row, column, None, style), sheet, row, column)


def write_formula(
    sheet: Worksheet, row: int, column: int, formula: str, style: Format | None, value: Any
) -> None:
    """A formula with its value, which other programs show without calculation.

    value: None when it has to be calculated anew.
    """
    shown = "" if value is None else _NoWords() if value == "" else value
    _check(sheet.write_formula(row, column, formula, style, shown), sheet, row, column)


def write_link(
    sheet: Worksheet, row: int, column: int, cell: str, style: Format | None, words: str
) -> None:
    """Words that lead to a cell of the workbook."""
    _check(sheet.write_url(row, column, f"internal:{cell}", style, words), sheet, row, column)


def write_value(sheet: Worksheet, row: int, column: int, value: Any, style: Format | None) -> None:
    """A typed or planned value: nothing, words, or a number."""
    if value is None:
        write_blank(sheet, row, column, style)
    elif isinstance(value, str):
        write_words(sheet, row, column, value, style)
    else:
        write_number(sheet, row, column, float(value), style)


def _check(code: int | None, sheet: Worksheet, row: int, column: int) -> None:
    if code:
        check(code, f"{sheet.get_name()} row {row + 1} column {column + 1}")


def check(code: int | None, what: str) -> None:
    """Raise WriteRefused when the file writer did not write something, which it says by a number;
    0 or nothing is all well."""
    if code:
        raise WriteRefused(f"{what}: code {code}")
