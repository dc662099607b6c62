"""A small workbook for somebody else: a model of its own, live, with a cover.

What stands in it is what its model defines. There is no hidden sheet, and the properties hold only
the title.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from estimator.expressions.tables import Model
from estimator.expressions.value import calculate
from estimator.project.records import Facts
from estimator.workbook.layout import FORM_COLUMNS, Layout, Placed, form_rows, lay_out
from estimator.workbook.lines import BLANK, Line, cells_of, heights_of, line
from estimator.workbook.page import Book, Cell, Page, look
from estimator.workbook.sheets import ROLE_COLOURS, print_setup, table_page
from estimator.workbook.styles import (
    BORDER,
    END_OF_TABLE,
    GREEN,
    LABEL,
    REMARK,
    STRAW,
    TEXT,
    TITLE,
    Styles,
)
from estimator.workbook.tables import Contents, row_count
from estimator.workbook.write import file_of

COVER = "Cover"
GUARD = {"format_columns": True, "format_rows": True, "autofilter": True, "sort": True}
"""What a reader may do on a protected sheet beside typing into the straw cells."""

NAMES = FORM_COLUMNS.index("key")
NUMBER = look(valign="top", align="right")
LONGEST_LINE, LINE_HEIGHT = 95, 15.0
"""Of the cover: characters on a line, and its height in points."""

Pages = dict[str, Page]
"""By their names, in order."""
Finish = Callable[[Pages, Layout], Pages]


@dataclass(frozen=True)
class Cover:
    """The first sheet. facts: label and words. steps: how to use it. cautions: short sentences."""

    title: str
    about: str
    facts: Sequence[tuple[str, str]]
    steps: Sequence[str]
    key: Sequence[tuple[str, str]]
    cautions: Sequence[str] = ()


KEY = (
    ("✎ typed", "Yours to fill in or to change."),
    ("◆ fixed", "As issued; it stays."),
    ("plain", "A formula or words of the sheet."),
)


def book_bytes(
    model: Model,
    typed: Mapping[str, pd.DataFrame],
    facts: Facts,
    cover: Cover,
    finish: Finish | None = None,
    first: Sequence[str] = (),
    on_top: str = COVER,
) -> bytes:
    """The workbook as a file's bytes, every formula with its value.

    facts: gives paper, unit, currency, name and revision. finish: what makes the pages those of
    this kind of copy, such as bounds and marks. first: sheets to stand first, in order. on_top: the
    sheet that is shown when it is opened.
    """
    layout = lay_out(model, {each.name: row_count(each, typed[each.name]) for each in model})
    styles = Styles(facts.unit, facts.currency)
    contents = Contents(model, typed, calculate(model, typed), styles)
    placed = layout.sheets()
    pages = {COVER: _cover_page(cover, facts)}
    for name in dict.fromkeys([*first, *placed]):
        pages[name] = _page(name, placed[name], contents, facts)
    if finish:
        pages = finish(pages, layout)
    about = f"Revision {facts.revision}"
    return file_of(Book(tuple(pages.values()), layout.names(), cover.title, about, on_top))


def _page(name: str, placed: Sequence[Placed], contents: Contents, facts: Facts) -> Page:
    page = table_page(name, placed, contents, facts)
    typing = any(definition.role in ("input", "block") for each in placed
                 for definition in each.table.definitions.values())  # fmt: skip
    page = replace(
        page,
        cells=(*page.cells, *(cell for each in placed for cell in _left_out(each))),
        tab_colour=ROLE_COLOURS["typed" if typing else "read"],
        allowed=GUARD,
    )
    are_forms = all(each.table.kind == "form" for each in placed)
    return _spread_out(page, placed, facts) if are_forms else page


def _left_out(placed: Placed) -> Iterator[Cell]:
    """Blank cells over what a copy has no use for: no formula of it looks a field of a form up by
    its name, and no rows are to be inserted."""
    if placed.table.kind == "form":
        for row in (placed.first - 1, *form_rows(placed).values()):
            yield Cell(row, NAMES)
    else:
        yield Cell(placed.last, placed.left, look=END_OF_TABLE)


def _spread_out(page: Page, forms: Sequence[Placed], facts: Facts) -> Page:
    """A sheet of forms alone: room for words, also by hand on a print."""
    return replace(
        page,
        widths={**page.widths, 1: 44.0, NAMES: 1.0, NAMES + 1: 62.0},
        heights={**page.heights, **{row: 20.0 for e in forms for row in form_rows(e).values()}},
        printed=print_setup(facts, (1, 0)),
    )


def frame(model: Model, name: str, rows: Sequence[Mapping[str, Any]]) -> pd.DataFrame:
    """The columns of a table that are not calculated, from its rows; what is left out is blank."""
    wanted = [each.name for each in model[name].definitions.values() if each.expression is None]
    data = [{column: row.get(column) for column in wanted} for row in rows]
    return pd.DataFrame(data, columns=wanted, dtype=object)


# --- The cover -----------------------------------------------------------------------------------


def _cover_page(cover: Cover, facts: Facts) -> Page:
    lines = [
        line((cover.title, look(bold=True, font_size=20))),
        line((cover.about, REMARK)),
        BLANK,
        *(line((label, LABEL), (words, TEXT)) for label, words in cover.facts if words),
        BLANK,
        *_section("How to use it", cover.steps),
        *_key(cover.key),
        *_section("Cautions", cover.cautions),
    ]
    return Page(
        COVER,
        cells_of(lines),
        widths={0: 20.0, 1: 92.0},
        heights=heights_of(lines),
        printed=print_setup(facts, (1, 1)),
        allowed=GUARD,
        tab_colour=ROLE_COLOURS["read"],
        has_gridlines=False,
    )


def _section(title: str, sentences: Sequence[str]) -> Iterator[Line]:
    if sentences:
        yield line((title, TITLE))
        for number, words in enumerate(sentences, start=1):
            height = LINE_HEIGHT * -(-len(words) // LONGEST_LINE)
            yield line((str(number), NUMBER), (words, TEXT), height=height)
        yield BLANK


def _key(pairs: Sequence[tuple[str, str]]) -> Iterator[Line]:
    yield line(("Signs and colours", TITLE))
    for (sign, words), fill in zip(pairs, (STRAW, GREEN, "#FFFFFF"), strict=True):
        yield line((sign, look(bg_color=fill, border=1, border_color=BORDER)), (words, TEXT))
    yield BLANK
