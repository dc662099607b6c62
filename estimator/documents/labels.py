"""The cut list as CSV for other programs, and a sticker for every piece."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from estimator.documents.cut_list import Bundle, CutLine, cut_list
from estimator.documents.figures import Figures, figures_of, numbers
from estimator.documents.pages import page
from estimator.drawing.stickers import GRIDS, on_sheets
from estimator.estimate import Estimate
from estimator.project.lengths import LengthUnit, format_length, format_sides

HEADERS = (
    "Floor", "Room type", "Rooms", "For", "Piece", "Name", "Material", "Length ({unit})",
    "Width ({unit})", "Count", "Bevelled", "Finish",
)  # fmt: skip
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins with one of these is taken for a formula by spreadsheet programs (OWASP, CSV
injection: from memory)."""


def cut_list_csv(estimate: Estimate) -> str:
    """The cut list as CSV (RFC 4180), a line for each kind of piece in each bundle."""
    unit = estimate.project.project.unit
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow([header.format(unit=unit) for header in HEADERS])
    writer.writerows(_cells(line, unit) for line in cut_list(estimate))
    return file.getvalue()


def _cells(line: CutLine, unit: LengthUnit) -> list[str | int]:
    bundle = line.bundle
    return [
        harmless(bundle.floor), harmless(bundle.room_type), bundle.rooms, harmless(line.what_for),
        harmless(line.key), harmless(line.name), harmless(line.material),
        _no_date(line.length, unit), _no_date(line.width, unit), line.count,
        "yes" if line.bevelled else "no", harmless(line.finish),
    ]  # fmt: skip


def harmless(text: str) -> str:
    """The text, behind an apostrophe if a spreadsheet program would take it for a formula."""
    return f"'{text}" if text.startswith(FORMULA_SIGNS) else text


def _no_date(length: Fraction, unit: LengthUnit) -> str:
    """A length in which a bare 3/4, which spreadsheet programs take for a day, reads 0 3/4."""
    text = format_length(length, unit)
    return f"0 {text}" if "/" in text and " " not in text else text


# --- Stickers ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Sticker:
    """What stands on a sticker. A heading begins a bundle; small: where it belongs."""

    heading: bool
    title: str
    lines: tuple[str, ...]
    small: str


def labels_html(estimate: Estimate) -> str:
    """Stickers for all pieces of the job, bundle after bundle, on sheets of the project's paper."""
    facts = estimate.project.project
    grid = GRIDS[facts.paper]
    stickers = list(_stickers(estimate, figures_of(facts)))
    sheets = on_sheets(stickers, grid)
    return page("labels.html.j2", facts=facts, grid=grid, sheets=sheets)


def _stickers(estimate: Estimate, show: Figures) -> Iterator[Sticker]:
    for bundle, lines in groupby(cut_list(estimate), key=lambda line: line.bundle):
        yield _heading(bundle, show)
        for line in lines:
            yield from _of_line(line, show)


def _heading(bundle: Bundle, show: Figures) -> Sticker:
    pieces = show.count(bundle.pieces)
    rooms = f"{show.count(bundle.rooms)} {'room' if bundle.rooms == 1 else 'rooms'}, "
    words = f"{rooms if bundle.rooms else ''}{pieces} pieces follow"
    return Sticker(True, bundle.floor, (bundle.room_type, words), "")


def _of_line(line: CutLine, show: Figures) -> Iterator[Sticker]:
    bevel = " · bevelled edge" if line.bevelled else ""
    size = f"{format_sides(line.length, line.width, show.unit)} {show.unit}{bevel}"
    where = " · ".join(filter(None, (line.bundle.floor, line.bundle.room_type)))
    for number in numbers(line.count):
        small = f"{where} · {line.key} · {number}/{line.count}"
        yield Sticker(False, line.name, (size, line.what_for, line.finish), small)
