"""The sheet Cut plan: for each material its patterns in shop order, drawn and cut by cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from io import BytesIO

from xlsxwriter.worksheet import Worksheet

from estimator.cut_plans import CutPlan
from estimator.documents.cut_sheets import CutSheet, above_least, cut_sheets
from estimator.documents.pattern_png import pattern_png
from estimator.project.records import Project
from estimator.workbook.cells import write_number, write_words
from estimator.workbook.styles import Styles

HEADERS = ("Cut", "Size", "Piece", "What it is", "For")
WIDTHS = (44, 22, 24, 30, 24, 3, 60)
PICTURE_COLUMN, PICTURE_WIDTH, ROW_HEIGHT = 6, 400, 18


def write_cut_plan(
    sheet: Worksheet, project: Project, plans: Sequence[CutPlan], styles: Styles
) -> None:
    """All materials below one another."""
    for column, width in enumerate(WIDTHS):
        sheet.set_column(column, column, width)
    names = piece_names(project)
    write_words(sheet, 0, 0, "Cut plan", styles.title)
    about = "Planned for the counts as issued; most repeated pattern first. Check sizes before cutting."
    write_words(sheet, 1, 0, about, styles.remark)
    row = 3
    for plan in plans:
        row = _write_material(sheet, row, project, plan, names, styles)


def piece_names(project: Project) -> Mapping[str, tuple[str, str]]:
    """For each part: what it is and the module it is for."""
    modules = {each.key: each.name for each in project.modules}
    return {each.key: (each.name, modules.get(each.module, "")) for each in project.parts}


def _write_material(
    sheet: Worksheet,
    row: int,
    project: Project,
    plan: CutPlan,
    names: Mapping[str, tuple[str, str]],
    styles: Styles,
) -> int:
    write_words(sheet, row, 0, plan.material.name, styles.title)
    write_words(sheet, row + 1, 0, in_short(plan), styles.remark)
    row += 3
    for each in cut_sheets(plan, project.project.unit):
        row = _write_pattern(sheet, row, each, plan, names, styles)
    return row + 1


def in_short(plan: CutPlan) -> str:
    """The plan in a line: how many, the proven least, and what that means."""
    found, counted = plan.plan, "sheets" if plan.material.form == "sheet" else "lengths"
    gap = above_least(plan)
    proof = "none can use fewer" if gap == 0 else f"at most {gap} above the least possible"
    early = " Stopped early." if found.stopped_early else ""
    return (
        f"{found.sheets} {counted} in {len(found.patterns)} patterns; proven least "
        f"{found.bound:.2f}: {proof}.{early}"
    )


def _write_pattern(
    sheet: Worksheet,
    row: int,
    pattern: CutSheet,
    plan: CutPlan,
    names: Mapping[str, tuple[str, str]],
    styles: Styles,
) -> int:
    first = row
    head = f"Pattern {pattern.number}: cut {pattern.times} of {pattern.stock}, {pattern.used:.0%} used"
    write_words(sheet, row, 0, head, styles.of(bold=True, font_size=11))
    for column, words in enumerate(HEADERS):
        write_words(sheet, row + 1, column, words, styles.header)
    row += 2
    for step in pattern.steps:
        name, module = names.get(step.piece, ("", ""))
        indent = styles.of(indent=min(step.level, 8), border=1, border_color="#C9CFC6")
        write_words(sheet, row, 0, step.words, indent)
        for column, words in enumerate((step.size, step.piece, name, module), start=1):
            write_words(sheet, row, column, words, styles.label)
        row += 1
    row = _write_foot(sheet, row, pattern, styles)
    height = _insert_drawing(sheet, first, pattern, plan)
    return max(row, first + 2 + height) + 1


def _write_foot(sheet: Worksheet, row: int, pattern: CutSheet, styles: Styles) -> int:
    write_words(sheet, row, 0, "Pieces from one", styles.remark)
    write_number(sheet, row, 1, sum(pattern.pieces.values()), styles.of(align="left", indent=1))
    if pattern.offcuts:
        write_words(sheet, row + 1, 0, "Offcuts worth keeping", styles.remark)
        write_words(sheet, row + 1, 1, "; ".join(pattern.offcuts), styles.of(indent=1))
        return row + 2
    return row + 1


def _insert_drawing(sheet: Worksheet, row: int, pattern: CutSheet, plan: CutPlan) -> int:
    """The drawing beside its cuts; returns the rows it covers."""
    length, width = float(pattern.pattern.length), float(pattern.pattern.width)
    picture = pattern_png(pattern.pattern, plan)
    height = PICTURE_WIDTH * width / length
    sheet.insert_image(
        row,
        PICTURE_COLUMN,
        f"pattern-{pattern.number}.png",
        {"image_data": BytesIO(picture), "object_position": 1, "description": "Cut pattern to scale"},
    )
    return int(height / ROW_HEIGHT) + 1
