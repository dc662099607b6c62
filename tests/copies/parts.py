"""Everything that stands in a workbook's file, read without any of the package's readers."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from io import BytesIO

NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?(?![\w.])")


def parts_of(file: bytes) -> dict[str, str]:
    """Every part of the package by name, as text."""
    with zipfile.ZipFile(BytesIO(file)) as package:
        return {each: package.read(each).decode("utf-8", "replace") for each in package.namelist()}


def numbers_in(file: bytes) -> Iterator[tuple[str, float]]:
    """Every number in the values of the sheets and charts, and in formulas, with its part."""
    for part, text in parts_of(file).items():
        if part.startswith(
            ("xl/worksheets/sheet", "xl/charts/", "xl/sharedStrings", "xl/workbook")
        ):
            for inside in re.findall(r"<(?:v|f|t|c:v|definedName)[^>]*>([^<]*)</", text):
                for digits in NUMBER.findall(inside):
                    yield part, float(digits)


def hidden_in(file: bytes) -> list[str]:
    """Sheets that are hidden, and parts that a copy has no use for."""
    parts = parts_of(file)
    found = re.findall(r'<sheet [^>]*state="[^"]*[hH]idden"[^>]*>', parts["xl/workbook.xml"])
    strange = (
        "customXml",
        "externalLinks",
        "vbaProject",
        "connections",
        "embeddings",
        "docProps/custom",
    )
    return found + [part for part in parts if any(each in part for each in strange)]
