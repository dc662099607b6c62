"""What a sheet holds that the cell reader passes over: widths, notes, drawings, rules."""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring, iterparse
from openpyxl.utils.cell import column_index_from_string, coordinate_to_tuple
from xlsxwriter.utility import xl_range

from estimator.workbook.archive import Archive
from estimator.workbook.page import Note, Page
from estimator.workbook.stored import MOST_COLUMNS, MOST_ROWS

CHART = "a chart"
SHAPES = {"pic": "a picture", "graphicFrame": CHART, "sp": "a shape", "cxnSp": "a line"}
RULES = {
    "conditionalFormatting": "conditional formats",
    "dataValidation": "rules for what may be typed",
    "autoFilter": "a filter",
    "hyperlink": "links",
    "sparklineGroup": "charts in cells",
    "legacyDrawingHF": "pictures in header or footer",
    "picture": "a background picture",
    "oleObject": "objects of other programs",
}
"""What a sheet may hold, by the name of its element."""
FOLLOWED = {"comments", "drawing", "vmlDrawing", "printerSettings", "hyperlink", "threadedComment",
            "image", "oleObject"}  # fmt: skip
"""Linked parts that are read here, that say nothing, or whose element is in RULES."""


@dataclass(frozen=True)
class Shape:
    """Something drawn on a sheet."""

    kind: str
    name: str
    description: str


@dataclass(frozen=True)
class SheetParts:
    """Beyond its cells. Rows and columns count from 0.

    widths: of columns that were set, in characters, 0 when hidden. heights: of rows, in points.
    rules: by kind the areas. linked: other parts, kind and name. beyond: cells outside of the
    bounds of what is read.
    """

    widths: dict[int, float] = field(default_factory=dict)
    heights: dict[int, float] = field(default_factory=dict)
    notes: list[Note] = field(default_factory=list)
    shapes: list[Shape] = field(default_factory=list)
    rules: dict[str, list[str]] = field(default_factory=dict)
    linked: list[tuple[str, str]] = field(default_factory=list)
    beyond: list[str] = field(default_factory=list)


def sheet_parts(archive: Archive) -> dict[str, SheetParts]:
    """Of every sheet by its name."""
    with zipfile.ZipFile(BytesIO(archive.content)) as package:
        return {name: _of_sheet(package, part) for name, part in archive.sheets.items()}


def parts_of_page(page: Page) -> SheetParts:
    """What a page of the tool has on its sheet: drawings and rules."""
    pictures = [Shape("a picture", each.name, each.description) for each in page.pictures]
    charts = [Shape(CHART, f"Chart {n}", each.description) for n, each in enumerate(page.charts, 1)]
    highlighted = {xl_range(*each.area) for each in page.highlights}
    rules = {
        RULES["conditionalFormatting"]: sorted(highlighted),
        RULES["dataValidation"]: [xl_range(*each.area) for each in page.validations],
        RULES["hyperlink"]: [
            xl_range(c.row, c.column, c.row, c.column) for c in page.cells if c.link
        ],
    }
    return SheetParts(shapes=[*charts, *pictures], rules=rules)


def _of_sheet(package: zipfile.ZipFile, part: str) -> SheetParts:
    found = SheetParts()
    with package.open(part) as stream:
        for _, element in iterparse(stream, forbid_dtd=True):
            name = element.tag.rpartition("}")[2]
            if name == "col":
                found.widths.update(_widths(element.attrib))
            elif name == "row":
                found.heights.update(_height(element.attrib))
                element.clear()
            elif name == "c" and _is_beyond(element):
                found.beyond.append(element.get("r", ""))
            elif name in RULES:
                where = element.get("sqref") or element.get("ref") or ""
                found.rules.setdefault(RULES[name], []).append(where)
    for kind, target in _links(package, part):
        if kind == "comments":
            found.notes.extend(_notes(fromstring(package.read(target))))
        elif kind == "drawing":
            found.shapes.extend(_shapes(fromstring(package.read(target))))
        elif kind not in FOLLOWED:
            found.linked.append((kind, posixpath.basename(target)))
    return found


def _widths(col: Mapping[str, str]) -> Iterator[tuple[int, float]]:
    first, last = int(col.get("min", 1)), int(col.get("max", 1))
    width = 0.0 if _true(col.get("hidden")) else chars(float(col.get("width", 0)))
    if _true(col.get("customWidth")) or not width:
        for column in range(max(first, 1), min(last, MOST_COLUMNS) + 1):
            yield column - 1, width


def _height(row: Mapping[str, str]) -> Iterator[tuple[int, float]]:
    number = int(row.get("r", 0))
    if 1 <= number <= MOST_ROWS and (_true(row.get("customHeight")) or _true(row.get("hidden"))):
        yield number - 1, 0.0 if _true(row.get("hidden")) else float(row.get("ht", 0))


def _is_beyond(cell: Any) -> bool:
    """Whether a cell that holds something lies outside of the bounds."""
    found = re.fullmatch(r"([A-Z]{1,3})([0-9]{1,7})", cell.get("r", ""))
    if found is None or not len(cell):
        return False
    return int(found[2]) > MOST_ROWS or column_index_from_string(found[1]) > MOST_COLUMNS


def _true(text: str | None) -> bool:
    return text in ("1", "true")


def chars(width: float) -> float:
    """A column's width in characters from what the file holds: seven dots each and five around."""
    return round(max(0.0, width - 5 / 7 if width >= 12 / 7 else width * 7 / 12), 4)


def _links(package: zipfile.ZipFile, part: str) -> Iterator[tuple[str, str]]:
    """Kind and target of each part that a sheet's part links to."""
    folder, name = posixpath.split(part)
    links = f"{folder}/_rels/{name}.rels"
    for each in fromstring(package.read(links)) if links in package.namelist() else ():
        target = posixpath.normpath(posixpath.join("/", folder, each.get("Target", ""))).lstrip("/")
        if target in package.namelist():
            yield each.get("Type", "").rpartition("/")[2], target


def _notes(comments: Any) -> Iterator[Note]:
    for element in comments.iter():
        if element.tag.endswith("}comment"):
            row, column = coordinate_to_tuple(element.get("ref", "A1"))
            yield Note(row - 1, column - 1, _words(element))


def _words(element: Element) -> str:
    return "".join(each.text or "" for each in element.iter() if each.tag.endswith("}t"))


def _shapes(drawing: Any) -> Iterator[Shape]:
    for element in drawing.iter():
        kind = SHAPES.get(element.tag.rpartition("}")[2])
        if kind:
            about = next((e for e in element.iter() if e.tag.endswith("}cNvPr")), element)
            yield Shape(kind, about.get("name", ""), about.get("descr", ""))
