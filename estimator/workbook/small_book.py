"""A small workbook for somebody else: a model of its own, live, with a cover.

What stands in it is what its model defines. There is no hidden sheet, and the properties hold only
the title.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import pandas as pd
from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from estimator.expressions.tables import Model
from estimator.expressions.value import calculate
from estimator.project.records import Facts
from estimator.workbook.cells import write_words
from estimator.workbook.layout import FORM_COLUMNS, Layout, Placed, form_rows, lay_out
from estimator.workbook.sheets import ROLE_COLOURS, freeze, set_up_page, set_widths, validate
from estimator.workbook.styles import GREEN, STRAW, Styles
from estimator.workbook.tables import Contents, row_count, write_table

COVER = "Cover"
GUARD = {"format_columns": True, "format_rows": True, "autofilter": True, "sort": True}
"""What a reader may do on a protected sheet beside typing into the straw cells."""

NAMES = FORM_COLUMNS.index("key")

Finish = Callable[[Workbook, Mapping[str, Worksheet], Layout], None]


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
    bounded: Sequence[str] = (),
    first: Sequence[str] = (),
) -> bytes:
    """The workbook as a file's bytes, every formula with its value.

    facts: gives paper, unit, currency, name and revision. finish: adds what is particular to this
    kind of copy, such as marks. bounded: tables whose cells `finish` gives bounds of their own.
    first: sheets to stand first, in order.
    """
    whole = BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = Workbook(whole, options)
    book.set_properties({"title": cover.title, "comments": f"Revision {facts.revision}"})
    styles = Styles(book, facts.unit, facts.currency)
    layout = lay_out(model, {each.name: row_count(each, typed[each.name]) for each in model})
    order = dict.fromkeys([COVER, *first, *layout.sheets()])
    sheets = {name: book.add_worksheet(name) for name in order}
    _write_cover(sheets[COVER], cover, styles)
    set_up_page(sheets[COVER], [], facts)
    contents = Contents(model, typed, calculate(model, typed))
    for name, placed in layout.sheets().items():
        _write_sheet(sheets[name], placed, contents, facts, styles)
        for each in placed:
            if each.table.name not in bounded:
                validate(sheets[name], each)
    for name, where in layout.names().items():
        book.define_name(name, where)
    if finish:
        finish(book, sheets, layout)
    book.close()
    return whole.getvalue()


def _write_sheet(
    sheet: Worksheet, placed: list[Placed], contents: Contents, facts: Facts, styles: Styles
) -> None:
    for each in placed:
        write_table(sheet, each, contents, styles)
        if each.table.kind == "form":
            _leave_out_names(sheet, each, styles)
        else:  # rows are not to be inserted here
            write_words(sheet, each.last, each.left, "", styles.end)
    set_widths(sheet, placed, contents.values)
    set_up_page(sheet, placed, facts)
    if all(each.table.kind == "form" for each in placed):
        _spread_out(sheet, placed)
    freeze(sheet, placed)
    typing = any(definition.role in ("input", "block") for each in placed
                 for definition in each.table.definitions.values())  # fmt: skip
    sheet.set_tab_color(ROLE_COLOURS["typed" if typing else "read"])
    sheet.protect("", GUARD)


def _leave_out_names(sheet: Worksheet, form: Placed, styles: Styles) -> None:
    """No formula of a copy looks a field up by its name, and a reader has no use for it."""
    plain = styles.of()
    for row in (form.first - 1, *form_rows(form).values()):
        write_words(sheet, row, NAMES, "", plain)


def _spread_out(sheet: Worksheet, forms: Sequence[Placed]) -> None:
    """A sheet of forms alone: room for words, also by hand on a print."""
    for column, width in ((1, 44), (NAMES, 1), (NAMES + 1, 62)):
        sheet.set_column(column, column, width)
    for form in forms:
        for row in form_rows(form).values():
            sheet.set_row(row, 20)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)


def frame(model: Model, name: str, rows: Sequence[Mapping[str, Any]]) -> pd.DataFrame:
    """The columns of a table that are not calculated, from its rows; what is left out is blank."""
    wanted = [each.name for each in model[name].definitions.values() if each.expression is None]
    data = [{column: row.get(column) for column in wanted} for row in rows]
    return pd.DataFrame(data, columns=wanted, dtype=object)


# --- The cover -----------------------------------------------------------------------------------


def _write_cover(sheet: Worksheet, cover: Cover, styles: Styles) -> None:
    sheet.hide_gridlines(2)
    sheet.fit_to_pages(1, 1)
    sheet.set_column(0, 0, 20)
    sheet.set_column(1, 1, 92)
    sheet.set_tab_color(ROLE_COLOURS["read"])
    write_words(sheet, 0, 0, cover.title, styles.of(bold=True, font_size=20))
    write_words(sheet, 1, 0, cover.about, styles.remark)
    row = _pairs(sheet, 3, cover.facts, styles)
    row = _section(sheet, row, "How to use it", cover.steps, styles)
    row = _key(sheet, row, cover.key, styles)
    _section(sheet, row, "Cautions", cover.cautions, styles)
    sheet.protect("", GUARD)


def _pairs(sheet: Worksheet, row: int, pairs: Sequence[tuple[str, str]], styles: Styles) -> int:
    for label, words in pairs:
        if words:
            write_words(sheet, row, 0, label, styles.label)
            write_words(sheet, row, 1, words, styles.text)
            row += 1
    return row + 1


def _section(
    sheet: Worksheet, row: int, title: str, sentences: Sequence[str], styles: Styles
) -> int:
    if not sentences:
        return row
    write_words(sheet, row, 0, title, styles.title)
    for number, words in enumerate(sentences, start=1):
        write_words(sheet, row + number, 0, str(number), styles.of(valign="top", align="right"))
        write_words(sheet, row + number, 1, words, styles.text)
        sheet.set_row(row + number, 15.0 * -(-len(words) // 95))
    return row + len(sentences) + 2


def _key(sheet: Worksheet, row: int, pairs: Sequence[tuple[str, str]], styles: Styles) -> int:
    write_words(sheet, row, 0, "Signs and colours", styles.title)
    fills = (STRAW, GREEN, "#FFFFFF")
    for (sign, words), fill in zip(pairs, fills, strict=True):
        row += 1
        write_words(sheet, row, 0, sign, styles.of(bg_color=fill, border=1, border_color="#C9CFC6"))
        write_words(sheet, row, 1, words, styles.text)
    return row + 2
