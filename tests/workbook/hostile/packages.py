"""Ways to spoil a workbook: its archive, its parts, its cells. Each makes one file."""

from __future__ import annotations

import re
import shutil
import struct
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

from openpyxl.utils import column_index_from_string, get_column_letter

from tests.engines.cells import set_inputs

Spoil = Callable[[Path, Path], None]
"""From a good workbook to the path where the spoilt one is to stand."""
Change = Callable[[bytes], bytes | None]
"""From a part to what shall stand in its place; None drops the part."""

BOOK, STYLES, STRINGS = "xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml"
TYPES = "[Content_Types].xml"


def holding(content: bytes) -> Spoil:
    """A file of these bytes."""
    return lambda _, spoilt: _ignore(spoilt.write_bytes(content))


def as_bytes(change: Callable[[bytes], bytes]) -> Spoil:
    """The file's bytes changed."""
    return lambda good, spoilt: _ignore(spoilt.write_bytes(change(good.read_bytes())))


def parts(changes: Mapping[str, Change], added: Mapping[str, bytes] | None = None) -> Spoil:
    """Some parts changed or dropped, others added."""

    def spoil(good: Path, spoilt: Path) -> None:
        with (
            zipfile.ZipFile(good) as old,
            zipfile.ZipFile(spoilt, "w", zipfile.ZIP_DEFLATED) as new,
        ):
            missing = changes.keys() - set(old.namelist())
            assert not missing, f"no such parts: {missing}"
            for name in old.namelist():
                content = changes.get(name, _same)(old.read(name))
                if content is not None:
                    new.writestr(name, content)
            for name, content in (added or {}).items():
                new.writestr(name, content)

    return spoil


def dropped(name: str) -> Spoil:
    """A part left out."""
    return parts({name: lambda _: None})


def replaced(name: str, old: str, new: str) -> Spoil:
    """A pattern replaced in a part, once; it must be there."""

    def change(content: bytes) -> bytes:
        text, times = re.subn(old, lambda _: new, content.decode(), count=1, flags=re.DOTALL)
        assert times == 1, f"{old!r} is not in {name}"
        return text.encode()

    return parts({name: change})


def name_to(name: str, reference: str) -> Spoil:
    """A defined name that points elsewhere."""
    return replaced(BOOK, rf'(?<=name="{name}">)[^<]*', reference)


def where(good: Path, name: str, down: int = 0, right: int = 0) -> tuple[str, str]:
    """Sheet and cell, so many below and right of the first that a defined name points to."""
    with zipfile.ZipFile(good) as package:
        book = package.read(BOOK).decode()
    sheet, column, row = re.findall(rf'name="{name}">\'([^\']+)\'!\$([A-Z]+)\$(\d+)', book)[0]
    at = column_index_from_string(column) + right
    return sheet, f"{get_column_letter(at)}{int(row) + down}"


def typed(values: Mapping[str | tuple[str, int] | tuple[str, int, int], float | str]) -> Spoil:
    """Other numbers and words in cells, by a defined name or by name, rows down, columns right."""

    def spoil(good: Path, spoilt: Path) -> None:
        places = {where(good, *((each,) if isinstance(each, str) else each)): value
                  for each, value in values.items()}  # fmt: skip
        set_inputs(good, places, spoilt)

    return spoil


def cell_xml(name: str, inside: str, kind: str = "n", attributes: str = "") -> Spoil:
    """The first cell of a name with this XML inside; kind: its type, such as b or e."""

    def spoil(good: Path, spoilt: Path) -> None:
        sheet, cell = where(good, name)
        pattern = rf'<c r="{cell}"[^>]*?(?:/>|>.*?</c>)'
        new = f'<c r="{cell}" t="{kind}"{attributes}>{inside}</c>'
        replaced(sheet_part(good, sheet), pattern, new)(good, spoilt)

    return spoil


def in_sheet(sheet: str, old: str, new: str) -> Spoil:
    """A pattern replaced in a sheet's part, once."""
    return lambda good, spoilt: replaced(sheet_part(good, sheet), old, new)(good, spoilt)


def sheet_part(good: Path, sheet: str) -> str:
    """The part of a sheet; our writer numbers them in their order."""
    with zipfile.ZipFile(good) as package:
        book = package.read(BOOK).decode()
    names = re.findall(r'<sheet name="([^"]+)', book)
    return f"xl/worksheets/sheet{names.index(sheet) + 1}.xml"


def with_flag(flag_bits: int, method: int = zipfile.ZIP_DEFLATED) -> Spoil:
    """The first entry's flags and compression method changed where the archive lists it."""

    def change(content: bytes) -> bytes:
        at = content.index(b"PK\x01\x02")
        return content[: at + 8] + struct.pack("<HH", flag_bits, method) + content[at + 12 :]

    return as_bytes(change)


def folder(_: Path, spoilt: Path) -> None:
    """A folder of that name."""
    spoilt.mkdir()


def nothing(_: Path, spoilt: Path) -> None:
    """No file at all."""


def untouched(good: Path, spoilt: Path) -> None:
    """The good workbook."""
    shutil.copyfile(good, spoilt)


def zeros(name: str, size: int) -> Spoil:
    """A part of so many blanks, packed to a thousandth; written in pieces, which costs little."""

    def spoil(good: Path, spoilt: Path) -> None:
        shutil.copyfile(good, spoilt)
        with (
            zipfile.ZipFile(spoilt, "a", zipfile.ZIP_DEFLATED, compresslevel=1) as package,
            package.open(name, "w", force_zip64=True) as part,
        ):
            for _ in range(size // 2**20):
                part.write(b" " * 2**20)

    return spoil


def _same(content: bytes) -> bytes:
    return content


def _ignore(_: object) -> None:
    """For a call whose result is not wanted."""
