"""A new plan entered into the open workbook: all of it as one undo step, or none of it."""

from contextlib import contextmanager
from typing import Any, Dict, Iterator, List, Set

from com.sun.star.awt.FontSlant import ITALIC
from com.sun.star.awt.FontWeight import BOLD
from com.sun.star.table import BorderLine2, CellRangeAddress
from com.sun.star.table.CellHoriJustify import LEFT

from .drawings import replace_drawings

STEP = "Plan the sheets"
CONTENT = 1 | 2 | 4 | 16 | 32 | 256
"""Of com.sun.star.sheet.CellFlags: numbers, dates, words, formulas, formats; notes stay."""

FRESH_ROWS = 2
"""A sheet that uses no more rows than these was never filled: it gets its column widths."""

HUNDREDTHS_PER_CHARACTER = 203
"""Width of a character of the workbook's font in 1/100 mm, as Calc shows it (measured)."""


class NotEnteredError(Exception):
    """The workbook cannot take the plan; says why and what to do."""


def enter(context: Any, document: Any, answer: Dict[str, Any]) -> None:
    """Enter what the engine answered. Raises NotEnteredError, with the workbook as it was."""
    steps = document.UndoManager
    with _quiet(document):
        steps.enterUndoContext(STEP)
        try:
            with _unprotected(document, _sheets(answer)):
                _enter(context, document, answer)
        except Exception as error:
            steps.leaveUndoContext()
            if steps.isUndoPossible() and steps.getCurrentUndoActionTitle() == STEP:
                steps.undo()
                steps.clearRedo()
            raise NotEnteredError(_words(error)) from error
        steps.leaveUndoContext()


def _words(error: Exception) -> str:
    if isinstance(error, NotEnteredError):
        return str(error)
    return f"The plan could not be entered, and nothing was changed ({error})."


@contextmanager
def _quiet(document: Any) -> Iterator[None]:
    """Neither drawn nor calculated until all is entered."""
    automatic = document.isAutomaticCalculationEnabled()
    document.lockControllers()
    document.enableAutomaticCalculation(False)
    try:
        yield
    finally:
        document.enableAutomaticCalculation(automatic)
        document.unlockControllers()


def _sheets(answer: Dict[str, Any]) -> Set[str]:
    changes = [*answer["insert"], *answer["cells"], *answer["remove"]]
    return {answer["sheet"]["name"], *(change[0] for change in changes)}


@contextmanager
def _unprotected(document: Any, names: Set[str]) -> Iterator[None]:
    """The sheets without their guard against slips, which stands again afterwards as it was."""
    sheets = [
        document.Sheets.getByName(name) for name in sorted(names) if document.Sheets.hasByName(name)
    ]
    guarded = [sheet for sheet in sheets if sheet.isProtected()]
    for sheet in guarded:
        try:
            sheet.unprotect("")
        except Exception as error:  # of a kind that differs between versions
            raise NotEnteredError(_locked(sheet)) from error
        if sheet.isProtected():
            raise NotEnteredError(_locked(sheet))
    yield
    for sheet in guarded:
        sheet.protect("")


def _locked(sheet: Any) -> str:
    words = "The sheet {} is protected with a password; nothing was changed. {}"
    return words.format(sheet.Name, "Take the password off, then plan again.")


def _enter(context: Any, document: Any, answer: Dict[str, Any]) -> None:
    for sheet, before, count, like in answer["insert"]:
        _insert_rows(document.Sheets.getByName(sheet), before, count, like)
    for sheet, row, column, value in answer["cells"]:
        _set(document.Sheets.getByName(sheet).getCellByPosition(column, row), value)
    for sheet, row in answer["remove"]:
        document.Sheets.getByName(sheet).Rows.removeByIndex(row, 1)
    if document.Sheets.hasByName(answer["sheet"]["name"]):
        _enter_sheet(context, document, answer["sheet"])


def _insert_rows(sheet: Any, before: int, count: int, like: int) -> None:
    """New rows that hold the formulas of the row `like`."""
    sheet.Rows.insertByIndex(before, count)
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    for column in range(cursor.RangeAddress.EndColumn + 1):
        model = sheet.getCellByPosition(column, like)
        if model.getFormula().startswith("="):
            for row in range(before, before + count):
                sheet.getCellByPosition(column, row).setTokens(model.getTokens())


def _set(cell: Any, value: Any) -> None:
    """A number, words, or nothing. Cell by cell, since only so is it sure to be undone."""
    if value is None:
        cell.clearContents(1 | 2 | 4 | 16)
    elif isinstance(value, str):
        cell.setString(value)
    else:
        cell.setValue(float(value))


def _enter_sheet(context: Any, document: Any, content: Dict[str, Any]) -> None:
    """The planner's columns of the sheet anew; what stands beside them stays."""
    sheet = document.Sheets.getByName(content["name"])
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    last_used, last_column = cursor.RangeAddress.EndRow, max(cell[1] for cell in content["cells"])
    sheet.getCellRangeByPosition(0, 0, last_column, last_used).clearContents(CONTENT)
    if last_used <= FRESH_ROWS:
        for column, width in content["widths"].items():
            sheet.Columns.getByIndex(int(column)).Width = int(width * HUNDREDTHS_PER_CHARACTER)
    for row, column, value, _ in content["cells"]:
        _set(sheet.getCellByPosition(column, row), value)
    for number, look in enumerate(content["looks"]):
        places = [(row, column) for row, column, _, of in content["cells"] if of == number]
        _dress(_together(document, sheet, places), look)
    replace_drawings(context, document, sheet, content["drawings"])


def _together(document: Any, sheet: Any, places: List[Any]) -> Any:
    """Many cells as one object, so that they are dressed at once."""
    cells = document.createInstance("com.sun.star.sheet.SheetCellRanges")
    index = sheet.getRangeAddress().Sheet
    addresses = []
    for row, column in places:
        address = CellRangeAddress()
        address.Sheet, address.StartRow, address.EndRow = index, row, row
        address.StartColumn = address.EndColumn = column
        addresses.append(address)
    cells.addRangeAddresses(tuple(addresses), False)
    return cells


def _dress(cells: Any, look: Dict[str, Any]) -> None:
    cells.CharHeight = look["size"]
    if look["bold"]:
        cells.CharWeight = BOLD
    if look["italic"]:
        cells.CharPosture = ITALIC
    if look["ink"]:
        cells.CharColor = _colour(look["ink"])
    if look["fill"]:
        cells.CellBackColor = _colour(look["fill"])
    if look["wrap"]:
        cells.IsTextWrapped = True
    _align(cells, look)
    if look["line"]:
        _frame(cells, _colour(look["line"]))


def _align(cells: Any, look: Dict[str, Any]) -> None:
    """Indents are counted in steps of about 3.5 mm, as Calc reads them from such files."""
    if look["left"] or look["indent"]:
        cells.HoriJustify = LEFT
    if look["indent"]:
        cells.ParaIndent = look["indent"] * 353


def _frame(cells: Any, colour: int) -> None:
    for side in ("TopBorder2", "BottomBorder2", "LeftBorder2", "RightBorder2"):
        line = BorderLine2()
        line.Color, line.OuterLineWidth, line.LineWidth = colour, 18, 18
        setattr(cells, side, line)


def _colour(text: str) -> int:
    return int(text.lstrip("#"), 16)
