"""The foot of a printed page, its codes read as ECMA-376 part 1, 18.3.1.46, spells them."""

from __future__ import annotations

import zipfile
from pathlib import Path

from defusedxml.ElementTree import fromstring

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
LONGEST = 255
STANDS_FOR = {"A": "<sheet>", "P": "<page>", "N": "<pages>", "&": "&"}


def in_parts(path: Path, number: int) -> tuple[str, str, str]:
    """What stands at the left, in the middle and at the right of the foot of a sheet's pages.

    number: of the sheet, counted from 1.
    """
    with zipfile.ZipFile(path) as package:
        sheet = fromstring(package.read(f"xl/worksheets/sheet{number}.xml"))
    footer = sheet.findtext(f"{MAIN}headerFooter/{MAIN}oddFooter") or ""
    assert len(footer) <= LONGEST
    return parts_of(footer)


def parts_of(footer: str) -> tuple[str, str, str]:
    """The three parts as they print, blanks around them aside; an unknown code is a KeyError."""
    parts = {"L": "", "C": "", "R": ""}
    at, rest = "C", footer
    while rest:
        sign, rest = rest[0], rest[1:]
        if sign != "&":
            parts[at] += sign
            continue
        code, rest = rest[0], rest[1:]
        if code in parts:
            at = code
        elif code.isdigit():
            rest = rest.lstrip("0123456789")
        else:
            parts[at] += STANDS_FOR[code]
    left, middle, right = (part.strip() for part in parts.values())
    return left, middle, right
