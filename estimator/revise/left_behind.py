"""What a person added to a workbook beyond its inputs, by name, so that none of it is lost unsaid.

The workbook is held against the one that the tool itself would write for the same inputs: what
stands only in the former is the person's own.
"""

from __future__ import annotations

import posixpath
import tempfile
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring

from estimator.estimate import reckon_book
from estimator.workbook.archive import Archive
from estimator.workbook.read import ReadBook
from estimator.workbook.stored import Stored, opened, place, read_stored
from estimator.workbook.write import CUT_PLAN, SHEETS, write_workbook

OURS = frozenset(name for name, *_ in SHEETS)


@dataclass(frozen=True)
class LeftBehind:
    """A thing of the old workbook that its next revision does not have.

    place: sheet, or sheet and cell. kind: what it is. words: its name, or what it says.
    """

    place: str
    kind: str
    words: str

    def __str__(self) -> str:
        return f"{self.place}: {self.kind} “{self.words}”"


Found = dict[tuple[str, str, str], LeftBehind]
"""Things by sheet, kind and words: a row inserted above moves a thing and does not change it."""


def left_behind(path: Path, book: ReadBook) -> tuple[LeftBehind, ...]:
    """The person's own sheets, words, notes, pictures and names in a workbook that was read."""
    with tempfile.TemporaryDirectory() as folder:
        plain = Path(folder) / "plain.xlsx"
        write_workbook(reckon_book(book.project, book.typed), plain)
        ours, theirs = _things(plain), _things(path)
    return tuple(thing for key, thing in theirs.items() if key not in ours)


def _things(path: Path) -> Found:
    stored = read_stored(path)
    archive = stored.archive
    everything = [
        *(("", "a name", name, "workbook") for name in stored.names if name[:1] != "_"),
        *(("", "a part", part, "workbook") for part in archive.beside),
        *_sheets_and_words(stored),
        *_notes_and_drawings(archive),
    ]
    return {
        (sheet, kind, words): LeftBehind(where, kind, words)
        for sheet, kind, words, where in everything
    }


Thing = tuple[str, str, str, str]
"""Sheet, kind, words, place."""


def _sheets_and_words(stored: Stored) -> Iterator[Thing]:
    """A sheet of the person's own as a whole; of ours the cells outside its tables.

    The sheet of the cut plan is drawn anew with every plan, and only its notes are looked at.
    """
    covered = {
        (area.sheet, row, column)
        for area in stored.areas.values()
        for row in area.rows
        for column in area.columns
    }
    with opened(stored.archive, shown=False) as book:
        for sheet in book.worksheets:
            if sheet.title not in OURS:
                yield sheet.title, "a sheet", sheet.title, sheet.title
            elif sheet.title != CUT_PLAN:
                for cell in (cell for row in sheet.iter_rows() for cell in row):
                    if (
                        cell.value is not None
                        and (sheet.title, cell.row, cell.column) not in covered
                    ):
                        where = place(sheet.title, cell.row, cell.column)
                        yield sheet.title, "a cell", str(cell.value), where


def _notes_and_drawings(archive: Archive) -> Iterator[Thing]:
    """Notes by their words, pictures and charts by their names, of every sheet."""
    with zipfile.ZipFile(BytesIO(archive.content)) as package:
        for sheet, part in archive.sheets.items():
            for linked in _linked(package, part):
                for element in fromstring(package.read(linked)).iter():
                    match element.tag.rpartition("}")[2]:
                        case "comment":
                            where = f"{sheet}!{element.get('ref')}"
                            yield sheet, "a note", _words(element), where
                        case "cNvPr":
                            yield sheet, "a picture or chart", element.get("name", ""), sheet


def _linked(package: zipfile.ZipFile, part: str) -> Iterator[str]:
    """The parts with the notes and the drawing of a sheet's part."""
    folder, name = posixpath.split(part)
    links = f"{folder}/_rels/{name}.rels"
    for each in fromstring(package.read(links)) if links in package.namelist() else ():
        target = posixpath.normpath(posixpath.join("/", folder, each.get("Target", ""))).lstrip("/")
        kind = each.get("Type", "").rpartition("/")[2]
        if kind in ("comments", "drawing") and target in package.namelist():
            yield target


def _words(element: Element) -> str:
    return "".join(each.text or "" for each in element.iter() if each.tag.endswith("}t"))
