"""Insert rows in the real Calc, as a person would: `inserting.py JSON`, run by Calc's own Python.

The JSON holds the command that starts Calc, the pipe it listens on, and jobs: source, target, and
rows, each a sheet, the row (from 1) above which it is inserted, whether the formulas of the row
above are copied down, and cells by column letter. Calc ends with this process.
"""

import json
import subprocess
import sys
import time

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException

PATIENCE = 120
XLSX = "Calc MS Excel 2007 XML"


def option(name, value):
    """A property as UNO wants it."""
    made = PropertyValue()
    made.Name, made.Value = name, value
    return made


def desktop(pipe):
    """The desktop of the Calc that listens on the pipe."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext(
        "com.sun.star.bridge.UnoUrlResolver", local
    )
    until = time.monotonic() + PATIENCE
    while True:
        try:
            far = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
            return far.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", far)
        except NoConnectException:
            if time.monotonic() > until:
                raise
            time.sleep(0.2)


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


def main():
    """Do all jobs in one Calc."""
    given = json.loads(sys.argv[1])
    calc = subprocess.Popen(given["command"], stdin=subprocess.DEVNULL)
    try:
        shown = desktop(given["pipe"])
        for job in given["jobs"]:
            book = shown.loadComponentFromURL(job["source"], "_blank", 0, (option("Hidden", True),))
            for row in job["rows"]:
                insert(book, **row)
            book.calculateAll()
            book.storeToURL(job["target"], (option("FilterName", XLSX),))
            book.close(True)
    finally:
        calc.terminate()


main()
