"""The page of a sheet that holds tables: cells, widths, frozen headers, protection, printing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from estimator.project.records import Facts
from estimator.quantities.check import FAIL, REVIEW
from estimator.workbook.layout import Placed
from estimator.workbook.page import Highlight, Page, PrintSetup, look
from estimator.workbook.tables import Contents, table_cells, table_notes
from estimator.workbook.validation import table_validations
from estimator.workbook.widths import USUAL_WIDTH, column_widths, folded_columns, row_heights

ROLE_COLOURS = {
    "read": "#4F7A5B",
    "typed": "#D9A94A",
    "calculated": "#8A948E",
    "planned": "#7FB08A",
}
ALLOWED = MappingProxyType({
    "insert_rows": True, "delete_rows": True, "format_columns": True, "format_rows": True,
    "format_cells": True, "sort": True, "autofilter": True, "objects": True,
})  # fmt: skip
"""Formulas are locked, without a password: a guard against slips, not a lock."""
PAPERS = {"letter": 1, "A4": 9}
PAGE_WIDTH, MOST_UPRIGHT = 190.0, 5
"""Characters on a landscape page; columns on an upright one."""


def table_page(
    name: str,
    placed: Sequence[Placed],
    contents: Contents,
    facts: Facts,
    wanted: Mapping[int, float] = MappingProxyType({}),
    *,
    goes_on: bool = False,
) -> Page:
    """The sheet with its tables.

    wanted: widths of columns that differ from what fits. goes_on: more stands below the tables, so
    that no headers are repeated, and the paper lies across.
    """
    widths = column_widths(placed, contents.values) | dict(wanted)
    heights = row_heights(placed, contents.values, widths)
    folded = folded_columns(placed)
    return Page(
        name,
        cells=tuple(cell for each in placed for cell in table_cells(each, contents)),
        notes=tuple(note for each in placed for note in table_notes(each)),
        widths=with_ends(widths, folded),
        heights=heights,
        folded=folded,
        validations=tuple(rule for each in placed for rule in table_validations(each)),
        highlights=tuple(mark for each in placed for mark in _states(each)),
        tables=tuple(placed),
        frozen=(0, 1) if goes_on else _frozen(placed),
        printed=_printed([] if goes_on else placed, widths, facts),
        allowed=ALLOWED,
        has_gridlines=False,
    )


def with_ends(widths: Mapping[int, float], folded: frozenset[int]) -> dict[int, float]:
    """The widths, with one for each column behind folded ones, which carries the sign to unfold."""
    behind = {column + 1 for column in folded} - folded
    return {**dict.fromkeys(behind, USUAL_WIDTH), **widths}


def print_setup(facts: Facts, pages: tuple[int, int]) -> PrintSetup:
    """Paper and footer as on every sheet. pages: how many wide and high, 0 for what it takes."""
    title = f"{footer_text(facts.name)} · revision {facts.revision}"
    # The blank after a size keeps a name that begins with a digit from being read as part of it.
    footer = f"&L&8 {title}&C&8 &A&R&8 page &P of &N"
    return PrintSetup(PAPERS[facts.paper], footer, pages, is_landscape=True)


def footer_text(words: str, longest: int = 80) -> str:
    """Words safe in a header or footer, where & begins a code."""
    return words[:longest].replace("&", "&&")


def _printed(placed: Sequence[Placed], widths: Mapping[int, float], facts: Facts) -> PrintSetup:
    """As many pages wide as the columns take, headers and names repeated."""
    wide, only = sum(widths.values()), placed[0] if len(placed) == 1 else None
    has_headers = only is not None and only.table.kind != "form"
    return replace(
        print_setup(facts, (max(1, round(wide / PAGE_WIDTH)), 0)),
        is_landscape=not placed or max(each.width() for each in placed) > MOST_UPRIGHT,
        repeated=(only.header, only.header + 1) if only and has_headers else None,
        repeats_first_column=wide > PAGE_WIDTH,
    )


def _frozen(placed: Sequence[Placed]) -> tuple[int, int]:
    """Headers and the first column stay in sight where there is one table."""
    only = placed[0]
    if only.table.kind == "form":
        return only.first, 0
    if len(placed) == 1 or only.table.name == "counts":
        return only.first, 1
    return 0, 1


def _states(placed: Placed) -> Iterator[Highlight]:
    """The states of the checks, in words and in weight."""
    if placed.table.name != "checks":
        return
    column = placed.columns["state"]
    area = (placed.first, column, placed.last, column)
    for word, ink, ground in ((FAIL, "#8C1D18", "#F7DAD7"), (REVIEW, "#6B4E00", "#FBF0D0")):
        yield Highlight(area, word, look(bold=True, font_color=ink, bg_color=ground))
