"""The sheet Cut plan as plain data, read from a workbook that is written for the purpose.

So the add-in shows what a new workbook shows, and the sheet is composed in one place only.
"""

from __future__ import annotations

import base64
import tempfile
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.cell import Cell
from openpyxl.utils.cell import column_index_from_string

from estimator.estimate import Estimate
from estimator.workbook.book import CUT_PLAN
from estimator.workbook.write import write_workbook


def cut_plan_sheet(made: Estimate) -> dict[str, Any]:
    """name; cells (row, column, value, number of its look); looks; widths by column; drawings."""
    with tempfile.TemporaryDirectory(prefix="estimator-") as folder:
        path = Path(folder) / "plan.xlsx"
        write_workbook(made, path)
        sheet: Any = load_workbook(path)[CUT_PLAN]  # the library has no public list of pictures
        looks: list[dict[str, Any]] = []
        cells = [
            (each.row - 1, each.column - 1, each.value, _number(looks, _look(each)))
            for row in sheet.iter_rows()
            for each in row
            if isinstance(each, Cell) and each.value is not None
        ]
        drawings = [_drawing(each) for each in sheet._images]
        return {"name": CUT_PLAN, "cells": cells, "looks": looks, "widths": _widths(sheet),
                "drawings": drawings}  # fmt: skip


def _number(looks: list[dict[str, Any]], look: dict[str, Any]) -> int:
    if look not in looks:
        looks.append(look)
    return looks.index(look)


def _look(cell: Cell) -> dict[str, Any]:
    """What a reader sees of a format. Colours are red, green and blue as in #RRGGBB."""
    font, alignment = cell.font, cell.alignment
    return {
        "size": float(font.sz or 10),
        "bold": bool(font.b),
        "italic": bool(font.i),
        "ink": _colour(font.color.rgb if font.color else None),
        "fill": _colour(cell.fill.fgColor.rgb if cell.fill.fill_type == "solid" else None),
        "line": _colour(cell.border.left.color.rgb if cell.border.left.color else None),
        "indent": int(alignment.indent or 0),
        "wrap": bool(alignment.wrap_text),
        "left": alignment.horizontal == "left",
    }


def _colour(argb: Any) -> str | None:
    return f"#{argb[-6:]}" if isinstance(argb, str) else None


def _widths(sheet: Any) -> dict[int, float]:
    """Column widths in characters, by column from 0."""
    return {
        column_index_from_string(name) - 1: float(each.width)
        for name, each in sheet.column_dimensions.items()
    }


def _drawing(image: Any) -> dict[str, Any]:
    """A PNG picture, and its corners: column, row, and how far into that cell in 1/100 mm."""
    corners = [image.anchor._from, image.anchor.to]
    return {
        "png": base64.b64encode(image._data()).decode(),
        "corners": [(at.col, at.row, at.colOff // 360, at.rowOff // 360) for at in corners],
    }
