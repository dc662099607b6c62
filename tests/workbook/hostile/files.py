"""Damaged and hostile workbooks: for each, how it is made and words that must be said of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from openpyxl.utils import get_column_letter

from tests.workbook.hostile.packages import (
    BOOK,
    STRINGS,
    STYLES,
    TYPES,
    Spoil,
    as_bytes,
    cell_xml,
    dropped,
    folder,
    holding,
    in_sheet,
    name_to,
    nothing,
    parts,
    replaced,
    sheet_part,
    typed,
    with_flag,
    zeros,
)

OK = "read"
"""What is said of a file that is odd, and can be read all the same."""


@dataclass(frozen=True)
class Hostile:
    """A file: how it is made, and what is said, each in order."""

    spoil: Spoil
    words: tuple[str, ...]


def said(spoil: Spoil, *words: str) -> Hostile:
    """Shorter to write in a table."""
    return Hostile(spoil, words)


LAUGHS = """<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;">]>"""
OUTSIDE = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
AFTER_DECLARATION = r"(?<=\?>)\s*(?=<)"
LONG = "n" * 10_000


def nested(content: bytes) -> bytes:
    """The strings, inside 100,000 elements."""
    return b"<x>" * 100_000 + b"</x>" * 100_000


def much(good: Path, spoilt: Path) -> None:
    """Seven megabytes of cells inside a table's rows, four of strings: just within the bounds."""
    sheet = sheet_part(good, "Parts")
    row = "".join(f'<c r="{get_column_letter(n)}#"><v>{n}</v></c>' for n in range(60, 16_000))
    strings = b"<si><t>a</t></si>" * 212_000

    def fill(content: bytes) -> bytes:
        rows = re.compile(r'(<row r="([7-9]|1[0-9]|20)" .*?)</row>', re.DOTALL)
        filled = rows.sub(
            lambda each: f"{each[1]}{row.replace('#', each[2])}</row>", content.decode()
        )
        return filled.encode()

    parts({sheet: fill, STRINGS: lambda c: c.replace(b"</sst>", strings + b"</sst>")})(good, spoilt)


ARCHIVES = {
    "nothing": said(nothing, "found “no such file”; expected a workbook"),
    "a folder": said(folder, "found “a folder”"),
    "empty": said(holding(b""), "found “an empty file”"),
    "text": said(holding(b"room,count\nking,4\n"), "found “a file of another kind”"),
    "too large": said(holding(b"PK" * 2**24 + b" "), "33,554,433 bytes"),
    "picture": said(holding(b"\x89PNG\r\n\x1a\n" + b"\0" * 999), "found “a file of another kind”"),
    "only the mark of an archive": said(holding(b"PK\x03\x04"), "a damaged or cut archive"),
    "with a password": said(
        holding(bytes.fromhex("D0CF11E0A1B11AE1") + b"\0" * 4096),
        "a workbook with a password, or an old .xls",
    ),
    "cut in half": said(as_bytes(lambda c: c[: len(c) // 2]), "a damaged or cut archive"),
    "cut at the end": said(as_bytes(lambda c: c[:-30]), "a damaged or cut archive"),
    "cut at the beginning": said(as_bytes(lambda c: c[2000:]), "a file of another kind"),
    "bytes changed inside": said(
        as_bytes(lambda c: c[:9000] + b"\xff" * 3000 + c[12000:]),
        "a part that cannot be read",
    ),
    "locked parts": said(with_flag(1), "a locked part"),
    "another compression": said(with_flag(0, 12), "a compression of another kind"),
    "OpenDocument": said(
        parts({}, {"mimetype": b"application/vnd.oasis.opendocument.spreadsheet"}),
        "an OpenDocument file",
    ),
    "binary": said(parts({BOOK: lambda _: None}, {"xl/workbook.bin": b"\0"}), "(.xlsb)"),
    "5,000 parts": said(
        parts({}, {f"xl/media/{n}.png": b"" for n in range(5000)}), "5,1", "at most 2,000 parts"
    ),
    "zip bomb": said(zeros("xl/worksheets/sheet99.xml", 2**30), "1,073,741,824 bytes"),
    "zip bomb in a picture": said(zeros("xl/media/image.png", 2**28), "268,435,456 bytes"),
    "zip bomb in small parts": said(
        parts({}, {f"xl/x{n}.xml": b"<x>" + b" " * 2**20 + b"</x>" for n in range(30)}),
        "at most 12,582,912 when unpacked",
    ),
}

PARTS = {
    "no list of parts": said(dropped(TYPES), "without the part [Content_Types].xml"),
    "no workbook part": said(dropped(BOOK), "without the part xl/workbook.xml"),
    "no strings": said(dropped(STRINGS), "parts that do not fit together"),
    "a sheet's part missing": said(
        dropped("xl/worksheets/sheet2.xml"),
        "table counts: found",
        "names that point to cells: counts_room_type, counts_rooms, counts_axis",
    ),
    "wrong XML": said(
        in_sheet("Counts", "</row>", "</rwo>"), "that cannot be read (line 2: mismatched tag)"
    ),
    "as much as is let in": said(much, OK),
    "XML cut off": said(
        parts({BOOK: lambda content: content[:500]}), "xl/workbook.xml: found “a part that cannot"
    ),
    "no XML": said(
        parts({STYLES: lambda _: b"styles"}), "xl/styles.xml: found “a part that cannot be read"
    ),
    "other XML": said(parts({BOOK: lambda _: b"<html/>"}), "no table of this tool"),
    "entity bomb": said(
        replaced(STRINGS, AFTER_DECLARATION, LAUGHS), "“a document type or entities”"
    ),
    "entities from outside": said(
        replaced(BOOK, AFTER_DECLARATION, OUTSIDE), "“a document type or entities”"
    ),
    "nested without end": said(parts({STRINGS: nested}), "elements more than 100 deep"),
    "a string that is not there": said(
        cell_xml("project_name", "<v>999999</v>", "s"), "parts that do not fit together"
    ),
    "a style that is not there": said(
        cell_xml("project_name", "<v>1</v>", attributes=' s="99999"'),
        "holds the number 1; it is read as text for Project",
        OK,
    ),
    "a number that is none": said(
        cell_xml("terms_kerf", "<v>twelve</v>"), "parts that do not fit together"
    ),
    "a number without end": said(cell_xml("terms_kerf", "<v>1e999</v>"), "a finite number"),
    "declared without end": said(
        in_sheet("Counts", '<dimension ref="[^"]*"', '<dimension ref="A1:XFD1048576"'), OK
    ),
    "a last row without end": said(
        in_sheet("Counts", "</sheetData>", '<row r="1048576"><c r="A1048576"><v>1</v></c></row>'
                 "</sheetData>"), OK
    ),
    "100,000 merged areas": said(
        in_sheet("Counts", "</sheetData>", "</sheetData><mergeCells>" + "".join(
            f'<mergeCell ref="A{n}:B{n}"/>' for n in range(1, 100_001)) + "</mergeCells>"),
        "more than 5,000 merged areas",
    ),
    "macros": said(
        parts({}, {"xl/vbaProject.bin": b"\0"}),
        "holds xl/vbaProject.bin, which is neither run nor followed", OK,
    ),
    "links to other workbooks": said(
        parts({}, {"xl/externalLinks/externalLink1.xml": b"<externalLink/>"}),
        "neither run nor followed", OK,
    ),
}  # fmt: skip

NAMES = {
    "another workbook": said(replaced(BOOK, "<definedNames>.*</definedNames>", ""), "no table of"),
    "a name gone": said(
        replaced(BOOK, '<definedName name="parts_width">[^<]*</definedName>', ""),
        "table parts: found “parts_width missing”",
        "expected names that point to cells: parts_width",
    ),
    "a name that points nowhere": said(
        name_to("parts_width", "#REF!"), "table parts: found “parts_width #REF!”"
    ),
    "a name that points to no sheet": said(
        name_to("terms_kerf", "'Gone'!$B$4"), "table terms: found “terms_kerf 'Gone'!$B$4”"
    ),
    "a name that holds a formula": said(
        name_to("runs_length", "OFFSET(Rails!$D$5,0,0,9,1)"), "table runs: found “runs_length OFF"
    ),
    "a name over a whole sheet": said(
        name_to("parts_width", "'Parts'!$A$1:$XFD$1048576"),
        "the name parts_width: found “Parts!A1:XFD1048576”; expected at most 20,000 rows",
    ),
    "a name over a whole column": said(
        name_to("parts_width", "'Parts'!$F:$F"), "table parts: found “parts_width 'Parts'!$F:$F”"
    ),
    "columns of unequal rows": said(
        name_to("parts_width", "'Parts'!$F$5:$F$9"),
        "the names parts_…: found", "Insert and delete whole rows only.",
    ),
    "a sheet renamed": said(
        replaced(BOOK, '<sheet name="Parts"', '<sheet name="Other"'),
        "table parts: found “parts_key 'Parts'!",
    ),
    "merged over inputs": said(
        in_sheet("Counts", "</sheetData>", '</sheetData><mergeCells count="1"><mergeCell '
                 'ref="A5:D6"/></mergeCells>'),
        "Counts!A5:D6: found “merged cells”; expected a cell for each value.",
    ),
}  # fmt: skip

CELLS = {
    "text for a number": said(
        typed({"counts_rooms": "many"}), "found “many”; expected a whole number for Rooms"
    ),
    "a count below zero": said(typed({"counts_rooms": -3}), "found “-3”; expected at least 0"),
    "half a room": said(typed({"counts_rooms": 2.5}), "found “2.5”; expected a whole number"),
    "yes for a number": said(
        cell_xml("counts_rooms", "<v>1</v>", "b"), "found “True”; expected a whole number for Rooms"
    ),
    "an error for a number": said(
        cell_xml("counts_rooms", "<f>NA()</f><v>#N/A</v>", "e"),
        "found “#N/A”; expected a value for Rooms. Fix what the formula refers to",
    ),
    "a formula not calculated": said(
        cell_xml("counts_rooms", "<f>6*2</f>"), "found “=6*2”; expected a formula that has been"
    ),
    "a formula into another workbook": said(
        cell_xml("counts_rooms", "<f>[1]Counts!C9</f><v>12</v>"),
        "found “=[1]Counts!C9”; expected a value for Rooms in this workbook",
    ),
    "a renamed floor": said(
        typed({"counts_axis": "The first floor"}),
        "found “The first floor”; expected a short name",
    ),
    "a blank where something must stand": said(
        typed({("modules_depth", 1): ""}), "found nothing; expected a value for Depth"
    ),
    "a row begun": said(
        typed({("parts_key", 1): "", ("parts_name", 1): ""}),
        "expected a value for Part.", "expected a value for Name",
    ),
    "a key twice": said(typed({("modules_key", 1): "shelf", ("modules_key", 2): "shelf"}), "shelf"),
    "10,000 characters": said(typed({"project_name": LONG}), "(10,000 characters)", "at most 500"),
    "a length in two units": said(
        typed({"runs_length": "7' 140 mm"}), "expected one system of units"
    ),
    "everything at once": said(
        typed({"counts_rooms": -1, ("counts_rooms", 1, 1): "x", "runs_length": "long",
               "terms_kerf": "?", "project_unit": "cm"}),
        "Project!B", "found “cm”", "Terms!B", "Counts!B5", "Counts!C6", "Rails!D5",
    ),
}  # fmt: skip

HOSTILE = {**ARCHIVES, **PARTS, **NAMES, **CELLS}
