"""The open workbook: where its names point, what is selected, a copy of it as it stands."""

from pathlib import Path
from typing import Any, Iterator, List, Optional, Tuple

import uno
from com.sun.star.beans import PropertyValue

XLSX = "Calc MS Excel 2007 XML"
KNOWN_BY = "counts_rooms"
"""A name that every workbook of the estimator has."""

HEADER_ROWS, FORM_COLUMNS = 2, 5


def is_ours(document: Any) -> bool:
    """Whether the document is a workbook of the estimator."""
    return hasattr(document, "NamedRanges") and document.NamedRanges.hasByName(KNOWN_BY)


def file_name(document: Any) -> str:
    """The path of the document's file; empty while it was never saved."""
    url = document.getURL()
    return str(uno.fileUrlToSystemPath(url)) if url.startswith("file:") else ""


def as_file(document: Any, folder: str) -> str:
    """The path of a workbook that holds what the document holds.

    Its own file if it is saved and a workbook; else a copy, unsaved changes too, in the folder.
    """
    own = file_name(document)
    if own.lower().endswith(".xlsx") and not document.isModified():
        return own
    name = Path(file_name(document) or "workbook").stem + ".xlsx"
    path = Path(folder) / name
    document.storeToURL(uno.systemPathToFileUrl(str(path)), (option("FilterName", XLSX),))
    return str(path)


def option(name: str, value: Any) -> Any:
    """A named value, as UNO's calls take them."""
    made = PropertyValue()
    made.Name, made.Value = name, value
    return made


def names_at_selection(document: Any) -> List[str]:
    """The defined names whose cells, headers or form row hold the selected cell, nearest first."""
    cell = _first_cell(document.CurrentSelection)
    if cell is None:
        return []
    found = [(_nearness(area, cell), name) for name, area in _areas(document)]
    return [name for nearness, name in sorted(found) if nearness < _FAR]


def _first_cell(selection: Any) -> Optional[Any]:
    """The address of the upper left cell of what is selected; None for a drawing."""
    if hasattr(selection, "getRangeAddresses"):
        addresses = selection.getRangeAddresses()
        return addresses[0] if addresses else None
    return selection.getRangeAddress() if hasattr(selection, "getRangeAddress") else None


def _areas(document: Any) -> Iterator[Tuple[str, Any]]:
    for each in document.NamedRanges.createEnumeration():
        cells = each.getReferredCells()
        if cells is not None:
            yield each.Name, cells.getRangeAddress()


_INSIDE, _IN_HEADER, _IN_FORM_ROW, _FAR = range(4)


def _nearness(area: Any, cell: Any) -> int:
    row, column = cell.StartRow, cell.StartColumn
    if area.Sheet != cell.Sheet:
        return _FAR
    level = area.StartRow <= row <= area.EndRow
    if area.StartColumn <= column <= area.EndColumn:
        if level:
            return _INSIDE
        if area.StartRow - HEADER_ROWS <= row < area.StartRow and area.StartRow < area.EndRow:
            return _IN_HEADER
    is_form_value = area.StartRow == area.EndRow and area.StartColumn == area.EndColumn == 1
    return _IN_FORM_ROW if is_form_value and level and column < FORM_COLUMNS else _FAR


def words_at(document: Any, name: str) -> str:
    """What stands in the cell that a name points to; nothing if it points nowhere."""
    ranges = document.NamedRanges
    cells = ranges.getByName(name).getReferredCells() if ranges.hasByName(name) else None
    return str(cells.getCellByPosition(0, 0).getString()) if cells is not None else ""


def go_to(document: Any, sheet: str, row: int, column: int) -> None:
    """Select a cell and bring it into sight."""
    if document.Sheets.hasByName(sheet):
        of_sheet = document.Sheets.getByName(sheet)
        document.CurrentController.setActiveSheet(of_sheet)
        document.CurrentController.select(of_sheet.getCellByPosition(column, row))
