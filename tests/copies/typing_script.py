"""Cells typed and read in Calc, the book saved at the end: see in_calc.py, engines/serving.py."""

from __future__ import annotations

from typing import Any

import uno
from over_uno import option

FILTER = "Calc MS Excel 2007 XML"


def do(desktop: Any, book: str, turns: Any, read: Any, saved: str) -> Any:
    """What the cells `read` show after each turn of typing."""
    document = desktop.loadComponentFromURL(url(book), "_blank", 0, (option("Hidden", True),))
    cells, answer = [cell_of(document, *place) for place in read], []
    for turn in turns:
        for sheet, cell, value in turn:
            type_in(cell_of(document, sheet, cell), value)
        answer.append([shown(cell) for cell in cells])
    if saved:
        document.storeToURL(url(saved), (option("FilterName", FILTER),))
    return answer


def type_in(cell: Any, value: float | str) -> None:
    """A number as a number; text as typed into the cell."""
    if isinstance(value, str):
        cell.setFormula(value)
    else:
        cell.setValue(value)


def shown(cell: Any) -> float | str | None:
    """The value of a cell as the file would hold it."""
    kind = cell.Type.value
    if kind == "FORMULA":
        kind = {1: "VALUE", 2: "TEXT"}.get(cell.FormulaResultType2, "TEXT")
    if kind == "EMPTY":
        return None
    return cell.getValue() if kind == "VALUE" else cell.getString()


def cell_of(book: Any, sheet: str, cell: str) -> Any:
    return book.Sheets.getByName(sheet).getCellRangeByName(cell)


def url(path: str) -> str:
    return uno.systemPathToFileUrl(path)
