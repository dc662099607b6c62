"""The sheet Cut plan: for each material its patterns in shop order, drawn and cut by cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO

import pandas as pd
from xlsxwriter.worksheet import Worksheet

from estimator.cut_plans import CutPlan
from estimator.documents.cut_sheets import (
    CutSheet,
    by_floor,
    cut_sheets,
    in_short,
    piece_labels,
)
from estimator.drawing.pattern_png import pattern_png
from estimator.drawing.pattern_shapes import PieceLabel
from estimator.project.records import Project
from estimator.units import LengthUnit
from estimator.workbook.cells import write_number, write_words
from estimator.workbook.styles import Styles

HEADERS = ("Cut", "Size", "Piece", "What it is", "For")
WIDTHS = (40, 20, 22, 30, 22, 3, 60)
PICTURE_COLUMN, PICTURE_WIDTH, ROW_PIXELS = 6, 440, 17


@dataclass(frozen=True)
class Shop:
    """What the shop calls things: per piece what it is, and the module it is for."""

    unit: LengthUnit
    pieces: Mapping[str, str]
    modules: Mapping[str, str]


def write_cut_plan(
    sheet: Worksheet,
    project: Project,
    pieces: pd.DataFrame,
    plans: Sequence[CutPlan],
    styles: Styles,
) -> None:
    """All materials below one another. pieces: the planned rows of the table Pieces."""
    sheet.hide_gridlines(2)
    sheet.fit_to_pages(1, 0)
    for column, width in enumerate(WIDTHS):
        sheet.set_column(column, column, width)
    write_words(sheet, 0, 0, "Cut plan", styles.title)
    about = (
        "Planned for the counts as issued; most repeated pattern first. Check sizes before cutting."
    )
    write_words(sheet, 1, 0, about, styles.remark)
    shop, row = _shop(project, pieces), 3
    for plan in plans:
        row = _write_material(sheet, row, plan, shop, styles)


def _shop(project: Project, pieces: pd.DataFrame) -> Shop:
    modules = {each.key: each.name for each in project.modules}
    return Shop(
        project.project.unit,
        dict(zip(pieces["key"], pieces["name"], strict=True)),
        {each.key: modules.get(each.module, "") for each in project.parts},
    )


def _write_material(sheet: Worksheet, row: int, plan: CutPlan, shop: Shop, styles: Styles) -> int:
    write_words(sheet, row, 0, plan.material.name, styles.title)
    write_words(sheet, row + 1, 0, in_short(plan), styles.remark)
    write_words(sheet, row + 2, 0, by_floor(plan), styles.remark)
    row += 4
    labels = piece_labels(plan, shop.pieces, shop.unit)
    for each in cut_sheets(plan, shop.unit):
        row = _write_pattern(sheet, row, each, labels, shop, styles)
    return row + 1


def _write_pattern(
    sheet: Worksheet,
    row: int,
    pattern: CutSheet,
    labels: Mapping[str, PieceLabel],
    shop: Shop,
    styles: Styles,
) -> int:
    first = row
    head = (
        f"Pattern {pattern.number}: cut {pattern.times} of {pattern.stock}, {pattern.used:.0%} used"
    )
    write_words(sheet, row, 0, head, styles.of(bold=True, font_size=11))
    for column, words in enumerate(HEADERS):
        write_words(sheet, row + 1, column, words, styles.header)
    row += 2
    for step in pattern.steps:
        indent = styles.of(indent=min(step.level, 8), border=1, border_color="#C9CFC6")
        write_words(sheet, row, 0, step.words, indent)
        told = (
            step.size,
            step.piece,
            shop.pieces.get(step.piece, ""),
            shop.modules.get(step.piece, ""),
        )
        for column, words in enumerate(told, start=1):
            write_words(sheet, row, column, words, styles.label)
        row += 1
    row = _write_foot(sheet, row, pattern, styles)
    height = _insert_drawing(sheet, first, pattern, pattern_png(pattern.pattern, labels, shop.unit))
    return max(row, first + height) + 1


def _write_foot(sheet: Worksheet, row: int, pattern: CutSheet, styles: Styles) -> int:
    write_words(sheet, row, 0, "Pieces from one", styles.remark)
    write_number(sheet, row, 1, pattern.count, styles.of(align="left"))
    if pattern.offcuts:
        write_words(sheet, row + 1, 0, "Offcuts worth keeping", styles.remark)
        write_words(sheet, row + 1, 1, "; ".join(pattern.offcuts), styles.of())
        return row + 2
    return row + 1


def _insert_drawing(sheet: Worksheet, row: int, pattern: CutSheet, picture: bytes) -> int:
    """The drawing beside its cuts; returns the rows it covers. A PNG states its size up front."""
    width, height = (int.from_bytes(picture[at : at + 4], "big") for at in (16, 20))
    scale = PICTURE_WIDTH / width
    sheet.insert_image(
        row,
        PICTURE_COLUMN,
        f"pattern-{pattern.number}.png",
        {
            "image_data": BytesIO(picture),
            "x_scale": scale,
            "y_scale": scale,
            "object_position": 2,
            "description": f"Cut pattern {pattern.number}, to scale",
        },
    )
    return int(height * scale / ROW_PIXELS) + 2
