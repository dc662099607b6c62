"""Insert rows in the real Calc, as a person would: `inserting.py JSON`, run by Calc's own Python.

The JSON holds the command that starts Calc, the pipe it listens on, and jobs: source, target, and
rows, each a sheet, the row (from 1) above which it is inserted, whether the formulas of the row
above are copied down, and cells by column letter. Calc ends with this process.
"""

import json
import subprocess
import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1] / "engines"))
from over_uno import connect, desktop, option

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


def main():
    """Do all jobs in one Calc."""
    given = json.loads(sys.argv[1])
    calc = subprocess.Popen(given["command"], stdin=subprocess.DEVNULL)
    try:
        shown = desktop(connect(given["pipe"]))
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
