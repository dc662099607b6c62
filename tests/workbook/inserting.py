"""Insert rows in the real Calc, as a person would: see engines/serving.py."""

from over_uno import option

XLSX = "Calc MS Excel 2007 XML"


def insert(book, sheet, above, copied, cells):
    """Insert one row and fill it in."""
    page = book.Sheets.getByName(sheet)
    page.unprotect("")
    page.Rows.insertByIndex(above - 1, 1)
    if copied:
        source = page.Rows.getByIndex(above - 2).RangeAddress
        page.copyRange(page.getCellByPosition(0, above - 1).CellAddress, source)
    for column, value in cells.items():
        cell = page.getCellRangeByName(f"{column}{above}")
        if isinstance(value, str):
            cell.String = value
        else:
            cell.Value = value


def do(desktop, jobs):
    """Save each job's source as its target with rows inserted.

    Each row is of a sheet: above which row (from 1) it is inserted, whether the formulas of the
    row above are copied down, and its cells by column letter.
    """
    for job in jobs:
        book = desktop.loadComponentFromURL(job["source"], "_blank", 0, (option("Hidden", True),))
        for row in job["rows"]:
            insert(book, **row)
        book.calculateAll()
        book.storeToURL(job["target"], (option("FilterName", XLSX),))
        book.close(True)
