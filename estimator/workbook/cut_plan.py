"""The sheet Cut plan: for each material its patterns in shop order, drawn and cut by cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

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
from estimator.workbook.lines import BLANK, Line, cells_of, line
from estimator.workbook.page import Page, Picture, look
from estimator.workbook.sheets import ALLOWED, print_setup
from estimator.workbook.styles import BORDER, HEADER, LABEL, REMARK, TITLE

HEADERS = ("Cut", "Size", "Piece", "What it is", "For")
WIDTHS = (40, 20, 22, 30, 22, 3, 60)
PICTURE_COLUMN, PICTURE_WIDTH, ROW_PIXELS = 6, 440, 17
HEAD = (
    line(("Cut plan", TITLE)),
    line(("Planned for the counts as issued; most repeated pattern first. Check sizes before "
          "cutting.", REMARK)),
    BLANK,
)  # fmt: skip


@dataclass(frozen=True)
class Shop:
    """What the shop calls things: per piece what it is, and the module it is for."""

    unit: LengthUnit
    pieces: Mapping[str, str]
    modules: Mapping[str, str]


def cut_plan_page(
    name: str, project: Project, pieces: pd.DataFrame, plans: Sequence[CutPlan]
) -> Page:
    """All materials below one another. pieces: the planned rows of the table Pieces."""
    shop, lines, pictures = _shop(project, pieces), [*HEAD], list[Picture]()
    for plan in plans:
        lines += _head_of_material(plan)
        labels = piece_labels(plan, shop.pieces, shop.unit)
        for pattern in cut_sheets(plan, shop.unit):
            picture = _picture(len(lines), pattern, labels, shop.unit)
            pictures.append(picture)
            lines += _beside(picture, list(_pattern(pattern, shop)))
        lines.append(BLANK)
    return Page(
        name,
        cells_of(lines),
        widths=dict(enumerate(WIDTHS)),
        pictures=tuple(pictures),
        printed=print_setup(project.project, (1, 0)),
        allowed=ALLOWED,
        has_gridlines=False,
    )


def _shop(project: Project, pieces: pd.DataFrame) -> Shop:
    modules = {each.key: each.name for each in project.modules}
    return Shop(
        project.project.unit,
        dict(zip(pieces["key"], pieces["name"], strict=True)),
        {each.key: modules.get(each.module, "") for each in project.parts},
    )


def _head_of_material(plan: CutPlan) -> Iterator[Line]:
    yield line((plan.material.name, TITLE))
    yield line((in_short(plan), REMARK))
    yield line((by_floor(plan), REMARK))
    yield BLANK


def _pattern(pattern: CutSheet, shop: Shop) -> Iterator[Line]:
    """Its cuts in order, what they yield and what is left."""
    head = (
        f"Pattern {pattern.number}: cut {pattern.times} of {pattern.stock}, {pattern.used:.0%} used"
    )
    yield line((head, look(bold=True, font_size=11)))
    yield line(*((words, HEADER) for words in HEADERS))
    for step in pattern.steps:
        indent = look(indent=min(step.level, 8), border=1, border_color=BORDER)
        what, module = shop.pieces.get(step.piece, ""), shop.modules.get(step.piece, "")
        told = ((words, LABEL) for words in (step.size, step.piece, what, module))
        yield line((step.words, indent), *told)
    yield line(("Pieces from one", REMARK), (pattern.count, look(align="left")))
    if pattern.offcuts:
        yield line(("Offcuts worth keeping", REMARK), ("; ".join(pattern.offcuts), look()))


def _picture(
    row: int, pattern: CutSheet, labels: Mapping[str, PieceLabel], unit: LengthUnit
) -> Picture:
    png = pattern_png(pattern.pattern, labels, unit)
    about = f"Cut pattern {pattern.number}, to scale"
    name = f"pattern-{pattern.number}.png"
    return Picture(row, PICTURE_COLUMN, png, PICTURE_WIDTH, name, about)


def _beside(picture: Picture, lines: Sequence[Line]) -> list[Line]:
    """The lines, with blank ones down to below the picture that stands beside them."""
    rows = int(picture.height / ROW_PIXELS) + 2
    return [*lines, *[BLANK] * (max(len(lines), rows) + 1 - len(lines))]
