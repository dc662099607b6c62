"""What of a person's own does not come along into the next revision, by name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from openpyxl.utils.cell import get_column_letter

from estimator.formats.description import OF_ROW, ColumnAbout, Description
from estimator.revise.parts import CHART, Shape, SheetParts, parts_of_page
from estimator.revise.places import Ground, Standing
from estimator.workbook.archive import Archive
from estimator.workbook.book import CUT_PLAN
from estimator.workbook.charts import WALK_CHART
from estimator.workbook.history import CHANGES
from estimator.workbook.page import Book
from estimator.workbook.stored import BLANK, MOST_COLUMNS, MOST_ROWS, Area, Stored, place

PATTERN = "Cut pattern"
"""How the descriptions of the drawings on the sheet Cut plan begin."""


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


def packaged(
    archive: Archive, theirs: Mapping[str, SheetParts], ours: Book, own: Sequence[str]
) -> Iterator[LeftBehind]:
    """Charts, pictures, rules, linked parts. own: the person's own sheets; ours: the workbook as
    the tool itself would write it."""
    for part in archive.beside:
        yield LeftBehind("workbook", "a part", part)
    for sheet, parts in theirs.items():
        is_ours = sheet in ours.by_name and sheet not in own
        usual = parts_of_page(ours[sheet]) if is_ours else SheetParts()
        for shape in _own_shapes(sheet, parts.shapes, usual.shapes):
            yield LeftBehind(sheet, shape.kind, shape.description or shape.name)
        for kind, where in parts.rules.items():
            if len(where) > len(usual.rules.get(kind, ())) and (sheet in own or kind not in TYPED):
                yield LeftBehind(sheet, kind, ", ".join(filter(None, where)) or sheet)
        for kind, name in parts.linked:
            yield LeftBehind(sheet, f"a linked part ({kind})", name)
        if parts.beyond:
            kind = f"cells beyond row {MOST_ROWS:,} or column {MOST_COLUMNS:,}"
            yield LeftBehind(sheet, kind, f"{parts.beyond[0]} and on")


TYPED = ("rules for what may be typed",)
"""Programs divide and join these as they save; those on the tool's sheets are the tool's."""


def _own_shapes(sheet: str, theirs: Sequence[Shape], ours: Sequence[Shape]) -> list[Shape]:
    """The person's drawings: those that the tool would not have drawn on the sheet."""
    left = [each for each in theirs if each not in ours]
    if sheet == CUT_PLAN:
        return [each for each in left if not each.description.startswith(PATTERN)]
    if sheet == CHANGES:
        return _without_walk(left)
    return left


def _without_walk(shapes: list[Shape]) -> list[Shape]:
    """All but the chart of the price walk: the one that says so, else, as Calc drops what is said
    of charts, the first."""
    charts = [each for each in shapes if each.kind == CHART]
    walk = [each for each in charts if each.description == WALK_CHART] or charts[:1]
    return [each for each in shapes if each not in walk[:1]]


def formulas_typed_over(
    stored: Stored, description: Description, ground: Ground
) -> Iterator[LeftBehind]:
    """Where something else stands than the tool calculated when it wrote the workbook: its formula
    stands again in the next revision."""
    for table, standing in ground.tables.items():
        for name in description.tables[table].of_role("quantity"):
            area = stored.areas.get(f"{table}_{name}")
            if area is not None:
                column = description.tables[table].columns[name]
                yield from _typed_over(stored, area, table, column, standing)


def _typed_over(
    stored: Stored, area: Area, table: str, column: ColumnAbout, standing: Standing
) -> Iterator[LeftBehind]:
    ours = {_skeleton(_placed(each, table, stored)) for each in column.formulas}
    for row in area.rows:
        cell = stored.typed.get((area.sheet, row, area.left), BLANK)
        if row in standing.names and cell != BLANK and _skeleton(cell.formula) not in ours:
            kind = f"typed over the formula of {column.label}"
            words = cell.formula or str(cell.value)
            yield LeftBehind(place(area.sheet, row, area.left), kind, words)


def _placed(formula: str, table: str, stored: Stored) -> str:
    """The formula with the columns of its own row where they stand now."""

    def letter(found: re.Match[str]) -> str:
        area = stored.areas.get(f"{table}_{found[1]}")
        return get_column_letter(area.left) if area else found[0]

    return OF_ROW.sub(letter, formula)


def _skeleton(formula: str) -> str:
    """A formula without what differs between rows and between programs."""
    return re.sub(r"[\s$0-9]|_xlfn\.", "", formula).casefold()
