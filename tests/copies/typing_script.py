"""Run by Debian's own Python, beside a Calc that it starts: type, read, save. See in_calc.py."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import uno  # type: ignore[import-not-found]
from com.sun.star.beans import PropertyValue  # type: ignore[import-not-found]

FILTER = "Calc MS Excel 2007 XML"


def main(work_file: str) -> None:
    """Do the work described in the file, and write the answer where it says."""
    work = json.loads(Path(work_file).read_text())
    office = subprocess.Popen(work["office"])
    try:
        pipe = work["office"][-1].removeprefix("--accept=")
        desktop = connected(f"uno:{pipe}StarOffice.ComponentContext")
        book = desktop.loadComponentFromURL(
            url(work["book"]), "_blank", 0, (setting("Hidden", True),)
        )
        answer = []
        for turn in work["turns"]:
            for sheet, cell, value in turn:
                type_in(cell_of(book, sheet, cell), value)
            answer.append([shown(cell_of(book, *place)) for place in work["read"]])
        if work["saved"]:
            book.storeToURL(url(work["saved"]), (setting("FilterName", FILTER),))
        Path(work["answer"]).write_text(json.dumps(answer))
        book.close(True)
    finally:
        office.terminate()
        office.wait(20)


def connected(address: str) -> object:
    """The desktop of the office that listens there, once it does."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext(
        "com.sun.star.bridge.UnoUrlResolver", local
    )
    for _ in range(240):
        try:
            context = resolver.resolve(address)
            return context.ServiceManager.createInstanceWithContext(
                "com.sun.star.frame.Desktop", context
            )
        except Exception:  # of the bridge, until the office listens
            time.sleep(0.25)
    raise SystemExit("the office did not listen")


def type_in(cell: object, value: float | str) -> None:
    """A number as a number; text as typed into the cell."""
    if isinstance(value, str):
        cell.setFormula(value)
    else:
        cell.setValue(value)


def shown(cell: object) -> float | str | None:
    """The value of a cell as the file would hold it."""
    kind = cell.Type.value
    if kind == "FORMULA":
        kind = {1: "VALUE", 2: "TEXT"}.get(cell.FormulaResultType2, "TEXT")
    if kind == "EMPTY":
        return None
    return cell.getValue() if kind == "VALUE" else cell.getString()


def cell_of(book: object, sheet: str, cell: str) -> object:
    return book.Sheets.getByName(sheet).getCellRangeByName(cell)


def url(path: str) -> str:
    return uno.systemPathToFileUrl(path)


def setting(name: str, value: object) -> object:
    found = PropertyValue()
    found.Name, found.Value = name, value
    return found


if __name__ == "__main__":
    main(sys.argv[1])
