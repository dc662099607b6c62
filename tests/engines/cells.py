"""Cells of an xlsx file on disk: read formulas and cached values, change inputs in place.

Nothing here recalculates. A changed input leaves every cached value as stale as an edit by a
program that does not recalculate would leave it. Files are read as ECMA-376 part 1, 18.3 and 18.4,
has them, by the parser of the standard library: a library that makes an object of each cell takes
five times as long, and the tests look at millions.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element
from xml.sax.saxutils import escape

FALSE_VALUE = -987654321
"""Written as a cached value to prove that an engine recalculates: no formula gives it."""
Place = tuple[str, str]
"""Sheet name and cell, such as ("Room counts", "C7")."""
Value = float | int | str | bool | None
"""What a cell shows; an error is its text, such as "#N/A"; a date is its day number."""

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
TEXTS = "xl/sharedStrings.xml"
ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")
"""A character that a text of a file may not hold as it is."""


def values(path: Path) -> dict[Place, Value]:
    """Cached value of every cell that is not empty, typed inputs included."""
    return {place: value for place, _, value in _cells(path) if value is not None}


def formulas(path: Path) -> dict[Place, str]:
    """Formula of every formula cell, with its leading equals sign."""
    return {place: formula for place, formula, _ in _cells(path) if formula is not None}


def formula_values(path: Path) -> dict[Place, Value]:
    """Cached value of every formula cell; None where none is cached."""
    return {place: value for place, formula, value in _cells(path) if formula is not None}


def set_inputs(path: Path, inputs: Mapping[Place, float | str], changed: Path) -> Path:
    """Write a copy `changed` in which the given cells hold the given numbers or texts.

    Everything else, cached values included, stays byte for byte. The cells must stand in the file
    already (a blank cell with a format does) and must not hold formulas: ValueError otherwise.
    """
    by_sheet: dict[str, dict[str, float | str]] = {}
    for (sheet, cell), value in inputs.items():
        by_sheet.setdefault(sheet, {})[cell] = value
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(changed, "w", zipfile.ZIP_DEFLATED) as new:
        parts = _sheet_parts(old)
        edits = {parts[sheet]: cells for sheet, cells in by_sheet.items()}
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


def _cells(path: Path) -> Iterator[tuple[Place, str | None, Value]]:
    """Each cell's place, its formula with the equals sign if it has one, and its value."""
    with zipfile.ZipFile(path) as package:
        texts = _shared_texts(package)
        for sheet, part in _sheet_parts(package).items():
            for cell in ElementTree.fromstring(package.read(part)).iter(f"{MAIN}c"):
                yield (sheet, cell.attrib["r"]), _formula(cell), _value(cell, texts)


def _sheet_parts(package: zipfile.ZipFile) -> dict[str, str]:
    """Part of the package that holds each sheet of cells, by sheet name, in order."""
    links = ElementTree.fromstring(package.read("xl/_rels/workbook.xml.rels"))
    parts = {
        link.attrib["Id"]: posixpath.join("/xl", link.attrib["Target"])[1:]
        for link in links
        if link.attrib["Type"].endswith("/worksheet")
    }
    sheets = ElementTree.fromstring(package.read("xl/workbook.xml")).iter(f"{MAIN}sheet")
    return {
        sheet.attrib["name"]: parts[sheet.attrib[LINK]]
        for sheet in sheets
        if sheet.attrib[LINK] in parts
    }


def _shared_texts(package: zipfile.ZipFile) -> list[str]:
    if TEXTS not in package.namelist():
        return []
    return [_text(item) for item in ElementTree.fromstring(package.read(TEXTS))]


def _text(item: Element) -> str:
    """A text, plain or in runs of several looks; what is said of its sound is left out."""
    runs = [item, *item.findall(f"{MAIN}r")]
    words = "".join(run.findtext(f"{MAIN}t", "") for run in runs)
    return ESCAPED.sub(lambda found: chr(int(found[1], 16)), words)


def _formula(cell: Element) -> str | None:
    formula = cell.find(f"{MAIN}f")
    if formula is None:
        return None
    kind = formula.get("t", "normal")
    assert kind in ("normal", "array"), f"{cell.attrib['r']}: nothing here reads a {kind} formula"
    return f"={formula.text}"


def _value(cell: Element, texts: list[str]) -> Value:
    """The value as the file holds it: a date is a number."""
    kind, written = cell.get("t", "n"), cell.findtext(f"{MAIN}v")
    match kind:
        case "inlineStr":
            return _text(cell[0])
        case _ if not written:
            return None
        case "s":
            return texts[int(written)]
        case "b":
            return written == "1"
        case "str" | "e":
            return written
        case "n":
            return float(written) if re.search("[.eE]", written) else int(written)
    raise ValueError(f"{cell.attrib['r']}: nothing here reads a cell of kind {kind}")
