"""The sheet Cut plan as the add-in enters it into an open workbook: as a new workbook has it."""

from __future__ import annotations

import base64
from typing import Any

from estimator.estimate import Estimate
from estimator.workbook.book import plan_page
from estimator.workbook.page import Look, Page, Picture
from estimator.workbook.styles import FONT

DOTS_PER_CHARACTER, DOTS_AROUND, UNSET_WIDTH = 7, 5, 8.43
"""Of a column: seven dots for each character of its width and five around them; the width in
characters of one that was not set."""
AROUND = DOTS_AROUND / DOTS_PER_CHARACTER
HUNDREDTHS_PER_DOT = 2540 / 96
"""Hundredths of a millimetre, at 96 dots to the inch."""


def cut_plan_sheet(made: Estimate) -> dict[str, Any]:
    """name; cells (row, column, value, number of its look); looks; widths by column; drawings.

    Widths are in characters with what is around them, as a file holds them.
    """
    page = plan_page(made)
    cells = [each for each in page.cells if not each.is_empty]
    numbers = {look: n for n, look in enumerate(dict.fromkeys(each.look for each in cells))}
    return {
        "name": page.name,
        "cells": [(each.row, each.column, each.value, numbers[each.look]) for each in cells],
        "looks": [_look(each) for each in numbers],
        "widths": {at: width + AROUND for at, width in page.widths.items()},
        "drawings": [_drawing(page, each) for each in page.pictures],
    }


def _look(look: Look) -> dict[str, Any]:
    """What a reader sees of a format. Colours are red, green and blue as in #RRGGBB."""
    found = FONT | dict(look)
    return {
        "size": float(found["font_size"]),
        "bold": found.get("bold", False),
        "italic": found.get("italic", False),
        "ink": found["font_color"],
        "fill": found.get("bg_color"),
        "line": found.get("border_color"),
        "indent": found.get("indent", 0),
        "wrap": found.get("text_wrap", False),
        "left": found.get("align") == "left",
    }


def _drawing(page: Page, picture: Picture) -> dict[str, Any]:
    """A PNG picture, its words for those who cannot see it, the cell of its upper left corner, and
    where it ends: in which column, and how far into it in 1/100 mm."""
    column, left = picture.column, picture.width
    while left > (dots := _dots(page.widths.get(column, UNSET_WIDTH))):
        column, left = column + 1, left - dots
    return {
        "png": base64.b64encode(picture.png).decode(),
        "about": picture.description,
        "row": picture.row,
        "column": picture.column,
        "ends": (column, int(left * HUNDREDTHS_PER_DOT)),
    }


def _dots(width: float) -> int:
    return int(width * DOTS_PER_CHARACTER + DOTS_AROUND)
