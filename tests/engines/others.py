"""Recalculate a workbook with two engines that are independent of LibreOffice and of the package.

Both compute every formula of a file afresh: the tests of this folder prove it with a false cached
value in every formula cell.
"""

from __future__ import annotations

import re
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import formualizer
import ironcalc
from openpyxl.utils.cell import coordinate_to_tuple

from tests.engines.cells import Place, Value, formulas

IS_FORMULA = re.compile(rb"_xlfn\.ISFORMULA\([^()]*\)")
ERRORS = {
    "Circ": "#CIRC!",
    "Div": "#DIV/0!",
    "Na": "#N/A",
    "Name": "#NAME?",
    "NImpl": "#N/IMPL!",
    "Null": "#NULL!",
    "Num": "#NUM!",
    "Ref": "#REF!",
    "Spill": "#SPILL!",
    "Value": "#VALUE!",
}


def by_formualizer(path: Path) -> dict[Place, Value]:
    """Fresh value of every formula cell, computed by formualizer."""
    book = formualizer.load_workbook(str(_with_all_formulas(path)))
    book.set_temporal_egress("serial")  # dates as day numbers
    book.evaluate_all()
    return {
        (sheet, cell): _plain(book.get_value(sheet, *coordinate_to_tuple(cell)))
        for sheet, cell in formulas(path)
    }


def _with_all_formulas(path: Path) -> Path:
    """A copy for an engine that calls nothing a formula: it is told that every formula is one.

    The tool asks only of cells that it wrote as formulas, so nothing else is asked of the file.
    """
    copy = path.with_name(f"{path.stem}-for-formualizer{path.suffix}")
    with ZipFile(path) as old, ZipFile(copy, "w", ZIP_DEFLATED) as new:
        for each in old.infolist():
            content = old.read(each)
            is_sheet = each.filename.startswith("xl/worksheets/sheet")
            new.writestr(each, IS_FORMULA.sub(b"TRUE", content) if is_sheet else content)
    return copy


def by_ironcalc(path: Path) -> dict[Place, Value]:
    """Fresh value of every formula cell, computed by ironcalc."""
    book = ironcalc.load_from_xlsx(str(path))
    book.evaluate()
    numbers = {sheet["name"]: n for n, sheet in enumerate(book.get_worksheets_properties())}
    return {
        (sheet, cell): book.get_cell_value(numbers[sheet], *coordinate_to_tuple(cell))
        for sheet, cell in formulas(path)
    }


def _plain(value: object) -> Value:
    """A formualizer value; its errors come as a dictionary with a kind."""
    if isinstance(value, dict):
        return ERRORS.get(value["kind"], str(value))
    assert value is None or isinstance(value, float | int | str | bool), value
    return value
