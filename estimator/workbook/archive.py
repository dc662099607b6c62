"""Is this file a workbook that is safe to open? Asked of the archive before anything reads it.

A workbook is a zip archive of XML parts. Whatever would cost more memory or time than a workbook of
this tool can need, or could make a reader follow entities, is turned away here with words.
"""

from __future__ import annotations

import posixpath
import zipfile
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from xml.sax import SAXException, SAXParseException
from xml.sax.handler import ContentHandler
from xml.sax.xmlreader import AttributesImpl

from defusedxml.common import DefusedXmlException
from defusedxml.sax import parse

from estimator.problems import Problem, ProblemsFound, raise_if_any

MEGABYTE = 2**20
LARGEST_FILE = 32 * MEGABYTE
MOST_PARTS = 2_000
DEEPEST = 100
"""Elements inside one another; a workbook needs about ten."""
MOST_MERGED = 5_000
"""Merged areas of a sheet; a workbook of this tool has none among its inputs."""

LARGEST_PARTS = (
    ("xl/workbook.xml", 2 * MEGABYTE),
    ("xl/styles.xml", 2 * MEGABYTE),
    ("xl/sharedStrings.xml", 4 * MEGABYTE),
    ("[Content_Types].xml", MEGABYTE),
    (".rels", MEGABYTE),
    (".xml", 8 * MEGABYTE),
    ("", LARGEST_FILE),
)
"""The most bytes of a part when unpacked, by how its name ends, the first that fits."""
MOST_XML = 12 * MEGABYTE
"""All XML parts together; a workbook of this tool has about one megabyte for sixty rooms."""

NEEDED = ("[Content_Types].xml", "_rels/.rels", "xl/workbook.xml", "xl/_rels/workbook.xml.rels")
A_WORKBOOK = "a workbook (.xlsx) that this tool wrote"
SAVE_AGAIN = "Open it in a spreadsheet program and save it as an Excel workbook (.xlsx)."
FETCH_AGAIN = "Fetch the file again, or open the revision before it."

ZIP_BEGINS, OLE_BEGINS = b"PK", bytes.fromhex("D0CF11E0A1B11AE1")


@dataclass(frozen=True)
class Archive:
    """A file that may be opened, held as it was checked, whatever is saved over it meanwhile.

    sheets: the part of each sheet. merged: its merged areas, such as "A1:B2". beside: parts that
    hold macros or links to other workbooks, which are never run or followed.
    """

    name: str
    content: bytes
    sheets: dict[str, str]
    merged: dict[str, tuple[str, ...]]
    beside: tuple[str, ...]


def check_archive(path: Path) -> Archive:
    """The file, if it is safe to open; raises ProblemsFound with everything that is not."""
    content = _content(path)
    try:
        with zipfile.ZipFile(BytesIO(content)) as package:
            raise_if_any(_faults_of_list(path, package.infolist()))
            scans, faults = _scan(path, package)
            raise_if_any(faults)
            sheets = _sheets(scans)
            merged = {name: tuple(scans[part].merged) for name, part in sheets.items()}
            beside = tuple(filter(_is_beside, package.namelist()))
            return Archive(path.name, content, sheets, merged, beside)
    except (zipfile.BadZipFile, EOFError, ValueError) as error:
        words = f"a damaged or cut archive ({error})"
        raise ProblemsFound([Problem(path.name, words, A_WORKBOOK, FETCH_AGAIN)]) from None


def _is_beside(name: str) -> bool:
    return name.endswith("vbaProject.bin") or name.startswith("xl/externalLinks/externalLink")


# --- The file ------------------------------------------------------------------------------------


def _content(path: Path) -> bytes:
    """The file's bytes, when it is an archive at all, of a size that can be a workbook's."""
    found, fix = "a folder" if path.is_dir() else "no such file", "Give the path of the workbook."
    try:
        if path.is_file():
            found, fix = f"{path.stat().st_size:,} bytes", "Take large pictures out."
            if path.stat().st_size <= LARGEST_FILE:
                content = path.read_bytes()
                raise_if_any(_faults_of_beginning(path, content[:8]))
                return content
    except OSError as error:
        found = error.strerror or "cannot be read"
        fix = "See to it that the file can be read, then try again."
    raise ProblemsFound([Problem(path.name, found, A_WORKBOOK, fix)])


def _faults_of_beginning(path: Path, beginning: bytes) -> Iterator[Problem]:
    if not beginning:
        yield Problem(path.name, "an empty file", A_WORKBOOK, FETCH_AGAIN)
    elif beginning == OLE_BEGINS:
        found, expected = "a workbook with a password, or an old .xls", "one without a password"
        fix = f"Take the password off, or, if it is an old .xls: {SAVE_AGAIN}"
        yield Problem(path.name, found, expected, fix)
    elif not beginning.startswith(ZIP_BEGINS):
        yield Problem(path.name, "a file of another kind", A_WORKBOOK, SAVE_AGAIN)


# --- The list of its parts -----------------------------------------------------------------------


def _faults_of_list(path: Path, parts: Sequence[zipfile.ZipInfo]) -> list[Problem]:
    faults = [
        Problem(f"{path.name}, {part.filename}", *fault)
        for part in parts
        for fault in _faults_of_part(part)
    ]
    return [Problem(path.name, *fault) for fault in _faults_in_all(parts)] + faults


def _faults_in_all(parts: Sequence[zipfile.ZipInfo]) -> Iterator[tuple[str, str, str]]:
    names = {part.filename for part in parts}
    if "mimetype" in names:
        yield "an OpenDocument file", A_WORKBOOK, SAVE_AGAIN
    elif "xl/workbook.bin" in names:
        yield "a binary workbook (.xlsb)", A_WORKBOOK, SAVE_AGAIN
    else:
        for name in NEEDED:
            if name not in names:
                yield f"an archive without the part {name}", A_WORKBOOK, SAVE_AGAIN
    if len(parts) > MOST_PARTS:
        yield f"{len(parts):,} parts", f"at most {MOST_PARTS:,} parts", SAVE_AGAIN
    xml = sum(part.file_size for part in parts if _is_xml(part.filename))
    if xml > MOST_XML:
        yield f"{xml:,} bytes of XML", f"at most {MOST_XML:,} when unpacked", SAVE_AGAIN


def _faults_of_part(part: zipfile.ZipInfo) -> Iterator[tuple[str, str, str]]:
    largest = next(size for ending, size in LARGEST_PARTS if part.filename.endswith(ending))
    if part.file_size > largest:
        yield f"{part.file_size:,} bytes", f"at most {largest:,} when unpacked", SAVE_AGAIN
    if part.flag_bits & 1:
        yield "a locked part", "an archive without a password", "Take the password off."
    if part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        yield "a compression of another kind", "a part that is deflated or stored", SAVE_AGAIN


def _is_xml(name: str) -> bool:
    return name.endswith((".xml", ".rels"))


# --- What its parts hold -------------------------------------------------------------------------


class _Scan(ContentHandler):
    """Notes sheets, links and merged areas, and stops at what is beyond all use."""

    def __init__(self) -> None:
        super().__init__()
        self.depth = 0
        self.merged: list[str] = []
        self.sheets: dict[str, str] = {}
        self.links: dict[str, str] = {}

    def startElement(self, name: str, attrs: AttributesImpl) -> None:  # noqa: N802 - given
        self.depth += 1
        if self.depth > DEEPEST:
            raise SAXException(f"elements more than {DEEPEST} deep")
        match name.rpartition(":")[2]:
            case "mergeCell" if len(self.merged) == MOST_MERGED:
                raise SAXException(f"more than {MOST_MERGED:,} merged areas")
            case "mergeCell":
                self.merged.append(attrs.get("ref", ""))
            case "sheet":
                link = next((value for key, value in attrs.items() if key.endswith(":id")), "")
                self.sheets[attrs.get("name", "")] = link
            case "Relationship":
                self.links[attrs.get("Id", "")] = attrs.get("Target", "")

    def endElement(self, name: str) -> None:  # noqa: N802 - given
        self.depth -= 1


def _scan(path: Path, package: zipfile.ZipFile) -> tuple[dict[str, _Scan], list[Problem]]:
    """What stands in the XML parts, and those that cannot be read or must not be."""
    scans: dict[str, _Scan] = {}
    faults: list[Problem] = []
    for name in filter(_is_xml, package.namelist()):
        scans[name], place = _Scan(), f"{path.name}, {name}"
        try:
            with package.open(name) as part:
                parse(part, scans[name], forbid_dtd=True)
        except DefusedXmlException:
            found = "a document type or entities"
            faults.append(Problem(place, found, "plain XML without them", SAVE_AGAIN))
        except (SAXException, zipfile.BadZipFile, zlib.error, EOFError) as error:
            found = f"a part that cannot be read ({_reason(error)})"
            faults.append(Problem(place, found, "a whole XML part of a workbook", FETCH_AGAIN))
    return scans, faults


def _reason(error: Exception) -> str:
    if isinstance(error, SAXParseException):
        return f"line {error.getLineNumber()}: {error.getMessage()}"
    return str(error) or "cut off"


def _sheets(scans: Mapping[str, _Scan]) -> dict[str, str]:
    """The part of each sheet, which the workbook names by a link."""
    links = scans["xl/_rels/workbook.xml.rels"].links
    named = scans["xl/workbook.xml"].sheets.items()
    parts = {name: posixpath.join("/xl", links.get(link, "")).lstrip("/") for name, link in named}
    return {name: part for name, part in parts.items() if part in scans}
