"""What a person typed into a cell, as a field's value: what is taken with a word, and what is not.

A cell of a spreadsheet holds what the program made of the typing: digits in a text cell become
text, a fraction may become a date, a sum stays a formula. What can be read in one way is read, and
said; the rest is a fault.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from estimator.formats.description import ColumnAbout
from estimator.problems import Problem
from estimator.project.lengths import LengthError, LengthUnit, format_length, parse_length
from estimator.workbook.stored import Cell

DIGITS = re.compile(
    r"(?P<digits>[0-9]{1,3}(?:[, \u00a0\u2009\u202f'][0-9]{3})+|[0-9]+)?"
    r"(?P<decimals>\.[0-9]*)?(?P<percent> ?%)?"
)
ELSEWHERE = re.compile(r"\[[^\]]+\][^!]*!|file:", re.IGNORECASE)
"""A reference to another workbook: [2]Counts!C9, '[Old.xlsx]Counts'!C9, 'file:///…'#Counts.C9."""


@dataclass(frozen=True)
class Remark:
    """Something to be said of what was read that is no fault."""

    place: str
    words: str

    def __str__(self) -> str:
        return f"{self.place} {self.words}"


@dataclass
class Said:
    """What reading has to say so far: remarks, and the problems that stop it."""

    remarks: list[Remark] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def remark(self, place: str, words: str) -> None:
        """Note a remark."""
        self.remarks.append(Remark(place, words))

    def problem(self, place: str, value: str, expected: str, fix: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(place, value, expected, fix))


def typed_value(cell: Cell, column: ColumnAbout, unit: LengthUnit, place: str, said: Said) -> Any:
    """The cell's value as the records read it; what is odd about it is said."""
    if cell.formula and not _formula_stands(cell, column, place, said):
        return None
    if cell.is_error:
        fix = "Fix what the formula refers to, or type the value itself."
        said.problem(place, str(cell.value), f"a value for {column.label}", fix)
        return None
    match column.holds:
        case "text":
            return _words(cell.value, column, place, said)
        case "number":
            return _number(cell.value, place, said)
        case "length":
            return _length(cell.value, unit, place, said)


def _formula_stands(cell: Cell, column: ColumnAbout, place: str, said: Said) -> bool:
    """Whether the value of a formula in an input cell can be used."""
    if ELSEWHERE.search(cell.formula):
        fix = "Type its value: a workbook goes to others without the one that it refers to."
        said.problem(place, cell.formula, f"a value for {column.label} in this workbook", fix)
        return False
    if cell.value is None:
        fix = "Save the workbook in a spreadsheet program, which calculates it, or type the value."
        said.problem(place, cell.formula, "a formula that has been calculated", fix)
        return False
    if not cell.is_error:
        said.remark(place, f"holds a formula, {cell.formula}; its value {cell.value} is used")
    return True


def _words(value: Any, column: ColumnAbout, place: str, said: Said) -> Any:
    """Words; a number in their place is taken as its digits."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    words = str(_plain(value))
    said.remark(place, f"holds the number {words}; it is read as text for {column.label}")
    return words


def _number(value: Any, place: str, said: Said) -> Any:
    """A number; digits typed as text are taken, with their thousands parted or with a % behind."""
    if not isinstance(value, str):
        return _plain(value)
    number = digits_read(value)
    if number is None:
        return value
    said.remark(place, f"holds the text “{value}”; it is read as {number}")
    return number


def digits_read(text: str) -> int | Decimal | None:
    """The number that a text spells, such as "24 ", "1,200" or "12 %"; None if it spells none."""
    found = DIGITS.fullmatch(text.strip())
    if found is None or not (found["digits"] or (found["decimals"] or "").strip(".")):
        return None
    digits = re.sub(r"[^0-9]", "", found["digits"] or "0")
    number = Decimal(digits + (found["decimals"] or ""))
    if found["percent"]:
        return number.scaleb(-2)
    return int(number) if number == number.to_integral_value() else number


def _plain(value: Any) -> Any:
    """A whole number as one, however the file spells it."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value


def _length(value: Any, unit: LengthUnit, place: str, said: Said) -> Any:
    """A length; one typed as text, such as 7' 6 1/4", is taken."""
    if not isinstance(value, str):
        return value
    try:
        read = format_length(parse_length(value, unit), unit)
    except LengthError:
        return value  # the record says what is wrong with it
    said.remark(place, f"holds the text “{value}”; it is read as {read} {unit}")
    return value


def is_blank(cell: Cell) -> bool:
    """Whether nothing, or white space only, stands in a cell."""
    return not cell.formula and (cell.value is None or not str(cell.value).strip())
