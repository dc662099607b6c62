"""Formulas taken apart: their tokens, their names, their text relative to their own cell."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token
from openpyxl.utils.cell import column_index_from_string, range_boundaries

ADDRESS = re.compile(r"(?P<fixed_column>\$?)(?P<column>[A-Z]{1,3})(?P<fixed_row>\$?)(?P<row>\d+)")


@dataclass(frozen=True)
class Formula:
    """A formula with its cell."""

    cell: Cell
    text: str

    @property
    def place(self) -> str:
        """Sheet and cell."""
        return address(self.cell)

    @property
    def tokens(self) -> list[Token]:
        """As a spreadsheet program reads it."""
        return Tokenizer(self.text).items

    def functions(self) -> list[str]:
        """The functions called, in order."""
        opened = [each for each in self.tokens if each.type == "FUNC" and each.subtype == "OPEN"]
        return [each.value.rstrip("(") for each in opened]

    def operands(self, subtype: str) -> list[str]:
        """The operands of a kind: NUMBER, TEXT, RANGE, LOGICAL, ERROR."""
        tokens = self.tokens
        return [t.value for t in tokens if t.type == "OPERAND" and t.subtype == subtype]

    def names(self) -> set[str]:
        """The defined names it reads."""
        return {each for each in self.operands("RANGE") if not is_address(each)}

    def addresses(self) -> list[str]:
        """The cells it names by their place."""
        return [each for each in self.operands("RANGE") if is_address(each)]

    def relative(self) -> str:
        """In R1C1 terms: one text for all cells of a column that calculate alike."""
        parts = (self._relative(each) for each in self.tokens)
        return "=" + "".join(parts)

    def _relative(self, token: Token) -> str:
        if token.type != "OPERAND" or token.subtype != "RANGE" or not is_address(token.value):
            return str(token.value)
        return ADDRESS.sub(self._from_here, token.value)

    def _from_here(self, found: re.Match[str]) -> str:
        row, column = int(found["row"]), column_index_from_string(found["column"])
        down = f"R{row}" if found["fixed_row"] else f"R[{row - self.cell.row}]"
        across = f"C{column}" if found["fixed_column"] else f"C[{column - self.cell.column}]"
        return down + across

    def depth(self) -> int:
        """How many calls and brackets stand inside one another."""
        deepest = now = 0
        for token in self.tokens:
            now += {"OPEN": 1, "CLOSE": -1}.get(token.subtype, 0)
            deepest = max(deepest, now)
        return deepest


def address(cell: Cell) -> str:
    """Sheet and cell, such as Counts!B5."""
    return f"{cell.parent.title}!{cell.coordinate}"


def is_address(operand: str) -> bool:
    """Whether it names cells by their place, with or without a sheet."""
    place = operand.rpartition("!")[2]
    return all(ADDRESS.fullmatch(each) for each in place.split(":"))


def every_formula(book: Workbook) -> Iterator[Formula]:
    """All formula cells of all sheets."""
    for sheet in book.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell, Cell) and cell.data_type == "f":
                    yield Formula(cell, str(cell.value))


def cells_of_name(book: Workbook, name: str) -> list[Cell]:
    """The cells that a defined name points to, row by row."""
    found: list[Any] = []
    for title, area in book.defined_names[name].destinations:
        left, top, right, bottom = range_boundaries(area)
        assert None not in (left, top, right, bottom), f"{name} points to {area}"
        rows = book[title].iter_rows(top, bottom, left, right)
        found += [cell for row in rows for cell in row]
    return found
