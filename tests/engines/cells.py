"""Cells of an xlsx file on disk: read formulas and cached values, change inputs in place.

Nothing here recalculates. A changed input leaves every cached value as stale as an edit by a
program that does not recalculate would leave it.
"""

from __future__ import annotations

import datetime
import re
import zipfile
from collections.abc import Mapping
from pathlib import Path
from xml.sax.saxutils import escape, unescape

import openpyxl
from openpyxl.utils.datetime import to_excel
from openpyxl.worksheet.formula import ArrayFormula

FALSE_VALUE = -987654321
"""Written as a cached value to prove that an engine recalculates: no formula gives it."""
Place = tuple[str, str]
"""Sheet name and cell, such as ("Room counts", "C7")."""
Value = float | int | str | bool | None
"""What a cell shows; an error is its text, such as "#N/A"; a date is its day number."""


def values(path: Path) -> dict[Place, Value]:
    """Cached value of every cell that is not empty, typed inputs included."""
    return {place: _plain(value) for place, value in _contents(path, cached=True).items()}


def formulas(path: Path) -> dict[Place, str]:
    """Formula of every formula cell, with its leading equals sign."""
    texts = {place: _formula(v) for place, v in _contents(path, cached=False).items()}
    return {place: text for place, text in texts.items() if text is not None}


def formula_values(path: Path) -> dict[Place, Value]:
    """Cached value of every formula cell; None where none is cached."""
    cached = values(path)
    return {place: cached.get(place) for place in formulas(path)}


def set_inputs(path: Path, inputs: Mapping[Place, float | str], changed: Path) -> Path:
    """Write a copy `changed` in which the given cells hold the given numbers or texts.

    Everything else, cached values included, stays byte for byte. The cells must stand in the file
    already (a blank cell with a format does) and must not hold formulas: ValueError otherwise.
    """
    by_sheet: dict[str, dict[str, float | str]] = {}
    for (sheet, cell), value in inputs.items():
        by_sheet.setdefault(sheet, {})[cell] = value
    parts = _sheet_parts(path)
    edits = {parts[sheet]: cells for sheet, cells in by_sheet.items()}
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(changed, "w", zipfile.ZIP_DEFLATED) as new:
        for item in old.infolist():
            text = old.read(item)
            for cell, value in edits.get(item.filename, {}).items():
                text = _with_cell(text, cell, value)
            new.writestr(item, text)
    return changed


def _with_cell(sheet_xml: bytes, cell: str, value: float | str) -> bytes:
    pattern = rf'<c r="{cell}"(?P<rest>[^>]*?)(?:/>|>(?P<inside>.*?)</c>)'.encode()
    found = list(re.finditer(pattern, sheet_xml, re.DOTALL))
    if len(found) != 1 or b"<f" in (found[0]["inside"] or b""):
        raise ValueError(f"{cell}: expected one cell without a formula, found {found}")
    style = re.sub(rb'\s+t="[^"]*"', b"", found[0]["rest"]).decode()
    if isinstance(value, str):
        written = f'<c r="{cell}"{style} t="inlineStr"><is><t>{escape(value)}</t></is></c>'
    else:
        written = f'<c r="{cell}"{style}><v>{value!r}</v></c>'
    start, end = found[0].span()
    return sheet_xml[:start] + written.encode() + sheet_xml[end:]


def _sheet_parts(path: Path) -> dict[str, str]:
    """Part of the package that holds each sheet, by sheet name."""
    with zipfile.ZipFile(path) as package:
        book = package.read("xl/workbook.xml").decode()
        links = package.read("xl/_rels/workbook.xml.rels").decode()
    targets = {_attribute(t, "Id"): _attribute(t, "Target") for t in _tags("Relationship", links)}
    return {
        unescape(_attribute(tag, "name"), {"&quot;": '"'}): "xl/" + targets[_attribute(tag, "r:id")]
        for tag in _tags("sheet", book)
    }


def _tags(name: str, xml: str) -> list[str]:
    return re.findall(rf"<{name}\s[^>]*>", xml)


def _attribute(tag: str, name: str) -> str:
    found = re.search(rf'\s{name}="([^"]*)"', tag)
    if found is None:
        raise ValueError(f"no {name} in {tag}")
    return found[1]


def _contents(path: Path, *, cached: bool) -> dict[Place, object]:
    book = openpyxl.load_workbook(path, read_only=True, data_only=cached)
    try:
        return {
            (sheet.title, cell.coordinate): cell.value
            for sheet in book.worksheets
            for row in sheet.iter_rows()
            for cell in row
            if cell.value is not None
        }
    finally:
        book.close()


def _formula(content: object) -> str | None:
    text = content.text if isinstance(content, ArrayFormula) else content
    return text if isinstance(text, str) and text.startswith("=") else None


def _plain(value: object) -> Value:
    """A cell's value as the file holds it: openpyxl's dates and times go back to day numbers."""
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return float(to_excel(value))  # type: ignore[no-untyped-call]
    assert isinstance(value, float | int | str | bool)
    return value
