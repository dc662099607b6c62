"""Everything that stands in a copy's file, read without any of the package's readers."""

from __future__ import annotations

import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from io import BytesIO

NUMBER = re.compile(r"(?<![\w.])-?\d[\d,]*(?:\.\d+)?(?:[eE][-+]?\d+)?(?![\w.])")
STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
PNG = b"\x89PNG\r\n\x1a\n"
PICTURE_ITSELF = {"IHDR", "PLTE", "IDAT", "IEND", "pHYs", "tRNS", "sRGB", "gAMA"}
"""Chunks of a PNG that hold how it looks, and nothing about who made it (PNG specification)."""


def parts_of(file: bytes) -> dict[str, str]:
    """Every part of a copy as text: of a package by name, of a PDF by stream, else the file."""
    if file.startswith(b"PK"):
        with zipfile.ZipFile(BytesIO(file)) as package:
            assert package.comment == b""
            return {each: as_text(package.read(each)) for each in package.namelist()}
    if file.startswith(b"%PDF"):
        return {"whole": as_text(file), **dict(_inflated(file))}
    return {"page": as_text(file)}


def as_text(part: bytes) -> str:
    """A part as text; one that is no text with whatever words stand in it, also in two bytes."""
    try:
        return part.decode("utf-8")
    except UnicodeDecodeError:
        return part.decode("latin-1") + part.decode("utf-16-le", "ignore")


def _inflated(file: bytes) -> Iterator[tuple[str, str]]:
    for number, packed in enumerate(STREAM.findall(file)):
        try:
            # Not zlib.decompress: a checksum that ends like a line is cut short by the pattern.
            yield f"stream {number}", as_text(zlib.decompressobj().decompress(packed))
        except zlib.error:
            yield f"stream {number}", as_text(packed)


def numbers_in(file: bytes) -> Iterator[tuple[str, float]]:
    """Every number between tags of every part, with its part: values, formulas, words, notes."""
    for part, text in parts_of(file).items():
        for inside in re.findall(r">([^<]+)<", re.sub(r"<style>.*?</style>", "", text, flags=re.S)):
            for digits in NUMBER.findall(inside):
                yield part, float(digits.replace(",", ""))


def told_beside_pictures(file: bytes) -> list[str]:
    """What pictures in a package say beyond how they look; a picture of another kind is told too.

    An enclosed PNG may also hold words after its end.
    """
    found = []
    with zipfile.ZipFile(BytesIO(file)) as package:
        for name in package.namelist():
            content = package.read(name)
            if content.startswith(PNG):
                found += [f"{name}: {each}" for each in _chunks(content) - PICTURE_ITSELF]
            elif re.search(r"\.(?:jpe?g|gif|emf|wmf|tiff?|bmp|svg|bin)$", name, re.IGNORECASE):
                found.append(name)
    return found


def _chunks(picture: bytes) -> set[str]:
    found, at = set(), len(PNG)
    while at + 8 <= len(picture):
        (length,) = struct.unpack(">I", picture[at : at + 4])
        found.add(picture[at + 4 : at + 8].decode("latin-1"))
        at += 12 + length
        if "IEND" in found:
            break
    return found | ({"after its end"} if at < len(picture) else set())


def hidden_in(file: bytes) -> list[str]:
    """Sheets that are hidden, parts a copy has no use for, and who made it."""
    parts = parts_of(file)
    found = re.findall(r'<sheet [^>]*state="[^"]*[hH]idden"[^>]*>', parts["xl/workbook.xml"])
    strange = (
        "customXml", "externalLinks", "vbaProject", "connections", "embeddings", "calcChain",
        "docProps/custom", "pivotCache", "queryTables",
    )  # fmt: skip
    found += [part for part in parts if any(each in part for each in strange)]
    found += re.findall(
        r"<(?:dc:creator|cp:lastModifiedBy|Manager|Company)>[^<]+<",
        parts["docProps/core.xml"] + parts["docProps/app.xml"],
    )
    return found + told_beside_pictures(file)
