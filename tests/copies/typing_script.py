"""Run by Debian's own Python, beside a Calc that it starts: type, read, save. See in_calc.py."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import uno

sys.path.append(str(Path(__file__).parents[1] / "engines"))
from over_uno import desktop, listening, option

FILTER = "Calc MS Excel 2007 XML"


def main(work_file: str) -> None:
    """Do the work described in the file, and write the answer where it says."""
    work = json.loads(Path(work_file).read_text())
    office = subprocess.Popen(work["office"])
    try:
        pipe = work["office"][-1].removeprefix("--accept=pipe,name=").partition(";")[0]
        book = desktop(listening(pipe)).loadComponentFromURL(
            url(work["book"]), "_blank", 0, (option("Hidden", True),)
        )
        answer = []
        for turn in work["turns"]:
            for sheet, cell, value in turn:
                type_in(cell_of(book, sheet, cell), value)
            answer.append([shown(cell_of(book, *place)) for place in work["read"]])
        if work["saved"]:
            book.storeToURL(url(work["saved"]), (option("FilterName", FILTER),))
        Path(work["answer"]).write_text(json.dumps(answer))
        book.close(True)
    finally:
        office.terminate()
        office.wait(20)


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


if __name__ == "__main__":
    main(sys.argv[1])
