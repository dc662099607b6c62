"""How cells look: pale straw for what is typed, pale green for what is planned, plain for formulas.

Colour never speaks alone: headers carry a sign (typed ✎, planned ◆) and the words beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from estimator.expressions.tables import Definition
from estimator.project.lengths import number_format
from estimator.units import LengthUnit, shown_unit
from estimator.workbook.page import Look, look

STRAW, GREEN, INK, BORDER, HEAD = "#FBF3DC", "#E6F2E3", "#22302B", "#C9CFC6", "#EEF0EA"
SIGNS = {"input": "✎ ", "block": "✎ ", "planned": "◆ ", "label": "", "quantity": ""}
_FILLS = {"input": STRAW, "block": STRAW, "planned": GREEN}
_NUMBERS = {
    "percent": "0.0%",
    "whole": "#,##0",
    "cents": "#,##0.00",
    "decimal": "#,##0.00",
    "date": "yyyy-mm-dd",
}
FONT: dict[str, Any] = {"font_name": "Calibri", "font_size": 10, "font_color": INK}
"""Of every cell, but for what its own look says."""

GREY = "#5A6660"
TITLE = look(bold=True, font_size=14)
"""Of a table's title."""
REMARK = look(italic=True, font_color=GREY)
"""Of the line below a title."""
HEADER = look(bold=True, bg_color=HEAD, text_wrap=True, valign="top", border=1, border_color=BORDER)
"""Of a column's header."""
SMALL = look(font_color=GREY, bg_color=HEAD, font_size=8, border=1, border_color=BORDER)
"""Of units and names."""
END_OF_TABLE = look(font_size=7, font_color="#8A948E", italic=True, top=1, top_color=BORDER)
"""Of the row that ends a table."""
LABEL = look(border=1, border_color=BORDER, text_wrap=True, valign="top")
"""Of a form's labels."""
NOTE = look(font_color=GREY, indent=1)
"""Of a form's notes, which may run on over empty cells."""
TEXT = look(text_wrap=True, valign="top")
"""Of running text."""


@dataclass(frozen=True)
class Styles:
    """How values look in a workbook of one unit and one currency."""

    length_unit: LengthUnit
    currency: str

    def cell(self, definition: Definition, like: Definition | None = None) -> Look:
        """Of a data cell of a column or a form's value; its number shown as that of `like`."""
        found: dict[str, Any] = {"border": 1, "border_color": BORDER, "valign": "top"}
        found |= {"num_format": self._number(like or definition)}
        if definition.role in _FILLS:
            found |= {"bg_color": _FILLS[definition.role]}
        if definition.role in ("input", "block"):
            found |= {"locked": False}
        if definition.is_text:
            found |= {"align": "left", "indent": 1, "text_wrap": True}
        if definition.aside:
            found |= {"font_size": 8, "font_color": GREY}
        return look(**found)

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
