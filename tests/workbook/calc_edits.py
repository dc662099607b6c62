"""What a person does to a workbook in Calc, done over UNO: see engines/serving.py."""

import uno
from com.sun.star.table import TableSortField
from over_uno import option


def column(document, name):
    """The cells that a defined name points to."""
    return document.NamedRanges.getByName(name).ReferredCells


def copy_last_row_of_parts(document):
    """A row inserted above the end row, filled like the one above it but for its key."""
    keys = column(document, "parts_key")
    sheet, end = keys.Spreadsheet, keys.RangeAddress.EndRow
    sheet.Rows.insertByIndex(end, 1)
    for at in range(13):
        above, new = sheet.getCellByPosition(at, end - 1), sheet.getCellByPosition(at, end)
        new.Formula = above.Formula
    sheet.getCellByPosition(keys.RangeAddress.StartColumn, end).String = "added-part"


def sort_by_key(document, table, columns):
    """The rows of a table, the end row left out, by their first column, the last first."""
    keys = column(document, f"{table}_key")
    address, sheet = keys.RangeAddress, keys.Spreadsheet
    rows = sheet.getCellRangeByPosition(
        address.StartColumn, address.StartRow, address.StartColumn + columns, address.EndRow - 1
    )
    field = TableSortField()
    field.Field, field.IsAscending = 0, False
    fields = uno.Any("[]com.sun.star.table.TableSortField", (field,))
    rows.sort((option("SortFields", fields), option("ContainsHeader", False)))


def edit(document):
    for sheet in document.Sheets:
        sheet.unprotect("")
    copy_last_row_of_parts(document)
    parts = column(document, "parts_key")
    parts.Spreadsheet.Rows.insertByIndex(parts.RangeAddress.StartRow + 3, 2)  # two blank rows
    sort_by_key(document, "items", 12)
    rooms = column(document, "counts_rooms")
    rooms.getCellByPosition(0, 0).Formula = "=6*2"
    rooms.getCellByPosition(1, 0).String = "24 "
    rooms.getCellByPosition(2, 1).CellBackColor = 0xFFCC00
    rooms.Columns.getByIndex(0).Width = 5000
    length = column(document, "runs_length").getCellByPosition(0, 0)
    length.Value = 90.25
    length.NumberFormat = document.NumberFormats.queryKey("0.00", document.CharLocale, False)
    clauses = column(document, "clauses_kind")
    clauses.Spreadsheet.Rows.removeByIndex(clauses.RangeAddress.StartRow, 1)
    modules = column(document, "modules_key")
    modules.Spreadsheet.Columns.insertByIndex(modules.RangeAddress.StartColumn + 1, 1)
    filtered = column(document, "materials_key")
    ranges = document.DatabaseRanges
    ranges.addNewByName("filtered", filtered.RangeAddress)
    ranges.getByName("filtered").AutoFilter = True


def do(desktop, book, edited):
    """Open the book, edit it, save it as another."""
    document = desktop.loadComponentFromURL(
        uno.systemPathToFileUrl(book), "_blank", 0, (option("Hidden", True),)
    )
    edit(document)
    document.calculateAll()
    target = option("FilterName", "Calc MS Excel 2007 XML")
    document.storeToURL(uno.systemPathToFileUrl(edited), (target,))
