"""How cells look: pale straw for what is typed, pale green for what is planned, plain for formulas.

Colour never speaks alone: headers carry a sign (typed ✎, planned ◆) and the words beside it.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.format import Format

from estimator.expressions.tables import Definition
from estimator.project.lengths import number_format
from estimator.units import LengthUnit, shown_unit

STRAW, GREEN, INK, LINE, HEAD = "#FBF3DC", "#E6F2E3", "#22302B", "#C9CFC6", "#EEF0EA"
SIGNS = {"input": "✎ ", "block": "✎ ", "planned": "◆ ", "label": "", "quantity": ""}
_FILLS = {"input": STRAW, "block": STRAW, "planned": GREEN}
_NUMBERS = {
    "percent": "0.0%",
    "whole": "#,##0",
    "cents": "#,##0.00",
    "decimal": "#,##0.00",
    "date": "yyyy-mm-dd",
}
FONT = {"font_name": "Calibri", "font_size": 10, "font_color": INK}


class Styles:
    """The formats of one workbook, each made once."""

    def __init__(self, book: Workbook, length_unit: LengthUnit, currency: str) -> None:
        self.length_unit = length_unit
        self.currency = currency
        self.make = lru_cache(maxsize=None)(lambda look: book.add_format(FONT | dict(look)))

    def of(self, **look: Any) -> Format:
        """A format by its properties."""
        return self.make(tuple(sorted(look.items())))

    def cell(self, definition: Definition, like: Definition | None = None) -> Format:
        """Of a data cell of a column or a form's value; its number shown as that of `like`."""
        look: dict[str, Any] = {"border": 1, "border_color": LINE, "valign": "top"}
        look |= {"num_format": self._number(like or definition)}
        if definition.role in _FILLS:
            look |= {"bg_color": _FILLS[definition.role]}
        if definition.role in ("input", "block"):
            look |= {"locked": False}
        if definition.is_text:
            look |= {"align": "left", "indent": 1, "text_wrap": True}
        if definition.aside:
            look |= {"font_size": 8, "font_color": "#5A6660"}
        return self.of(**look)

    def _number(self, definition: Definition) -> str:
        if definition.is_text:
            return "General"
        if definition.show == "length":
            return number_format(self.length_unit)
        if definition.show:
            return _NUMBERS[definition.show]
        return "#,##0.00" if "money" in definition.unit else "General"

    def unit_shown(self, definition: Definition) -> str:
        """The unit as the sheet shows it, money as its currency; nothing for words."""
        if definition.show == "percent":
            return "%"
        return shown_unit(definition.unit, self.currency)

    @property
    def title(self) -> Format:
        """Of a table's title."""
        return self.of(bold=True, font_size=14)

    @property
    def remark(self) -> Format:
        """Of the line below a title."""
        return self.of(italic=True, font_color="#5A6660")

    @property
    def header(self) -> Format:
        """Of a column's header."""
        return self.of(
            bold=True, bg_color=HEAD, text_wrap=True, valign="top", border=1, border_color=LINE
        )

    @property
    def small(self) -> Format:
        """Of units and names."""
        return self.of(
            font_color="#5A6660", bg_color=HEAD, font_size=8, border=1, border_color=LINE
        )

    @property
    def end(self) -> Format:
        """Of the row that ends a table."""
        return self.of(font_size=7, font_color="#8A948E", italic=True, top=1, top_color=LINE)

    @property
    def label(self) -> Format:
        """Of a form's labels."""
        return self.of(border=1, border_color=LINE, text_wrap=True, valign="top")

    @property
    def note(self) -> Format:
        """Of a form's notes, which may run on over empty cells."""
        return self.of(font_color="#5A6660", indent=1)

    @property
    def text(self) -> Format:
        """Of running text."""
        return self.of(text_wrap=True, valign="top")
