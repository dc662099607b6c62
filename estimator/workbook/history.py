"""The sheet Changes below the register: the price walk with its chart, what changed, what was left.

The amounts are values, as the revision was issued; the totals are formulas over them, and the last
lines hold them against the workbook's own total as it moves.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import pandas as pd
from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from estimator.documents.figures import rows
from estimator.expressions.formula import formula
from estimator.expressions.value import calculate
from estimator.project.frames import plain
from estimator.quantities.small_models.price_walk import walk_model
from estimator.workbook.additions import History
from estimator.workbook.cells import write_formula, write_number, write_words
from estimator.workbook.charts import Drawn, price_walk
from estimator.workbook.layout import Placed, area, quoted
from estimator.workbook.styles import HEAD, LINE, Styles

CHANGES = "Changes"
WIDTHS = {0: 20.0, 1: 26.0, 2: 20.0, 3: 20.0, 4: 42.0, 5: 42.0}
"""Of the page's columns, in characters."""
LAST_COLUMN = 11
"""Of the page; what a person writes to the right of it is theirs."""
DRAWN = Drawn(base=7, level=8, up=9, down=10)
"""The columns that the chart is drawn from, folded away."""
CHART_ROWS = 21
MOST_LINES = 1_000

TITLE = "What this revision changes"
FIRST = "This is the first revision: there is nothing before it to compare with."
ABOUT_WALK = (
    "Inputs are changed group by group in this order, from what stood before to what stands now; "
    "after each the whole price is calculated anew."
)
NOW = "The total of this workbook as it stands, from the sheet Price."
SINCE = "How far it has moved from the last line of the walk: 0 until something is typed."

NAMES = ("changes_head", "walk_number", "walk_amount", "walk_after", "walk_table",
         "changes_inputs", "changes_left")  # fmt: skip
"""All defined names of the page."""
Names = dict[str, str]
"""Defined names with the area that each points to."""


@dataclass(frozen=True)
class Line:
    """A line of the walk. amount: None where only a total stands. figures: by column, as
    `walk_model` defines them."""

    name: str
    words: str
    amount: Decimal | None
    total: float
    is_step: bool
    figures: Mapping[str, float]


def write_history(
    book: Workbook, sheet: Worksheet, register: Placed, history: History | None, styles: Styles
) -> Names:
    """Write it below the register of issued copies; returns its defined names."""
    top = register.last + 3
    about = _about(history, styles.currency) if history else FIRST
    _write_head(sheet, top, TITLE, about, styles)
    names = {"changes_head": _area(top, 0, top + 1, 0)}
    if history is None:
        return names
    lines = list(_lines(history))
    row, walk = _write_walk(sheet, top + 3, lines, styles)
    totals = [each.total for each in lines]
    price_walk(book, CHANGES, (top + 6, row - 3), DRAWN, f"A{row + 2}", totals)
    row, inputs = _write_inputs(sheet, row + CHART_ROWS, history, styles)
    return names | walk | inputs | _write_said(sheet, row + 2, history, styles)


def _about(history: History, currency: str) -> str:
    """Which workbooks, and from which state of the older one."""
    state = "as it was written" if history.is_as_written else "as it was found"
    return f"From {history.before}, {state}, to {history.after}. Amounts with tax, in {currency}."


def _write_head(sheet: Worksheet, row: int, title: str, about: str, styles: Styles) -> None:
    write_words(sheet, row, 0, title, styles.title)
    write_words(sheet, row + 1, 0, about, styles.remark)


def _write_headers(sheet: Worksheet, row: int, headers: Sequence[str], styles: Styles) -> None:
    for column, words in enumerate(headers):
        write_words(sheet, row, column, words, styles.header)


def _write_wide(sheet: Worksheet, row: int, column: int, words: str, style: Format) -> None:
    """Words over the rest of the page's columns."""
    sheet.merge_range(row, column, row, max(WIDTHS), "", style)
    write_words(sheet, row, column, words, style)


def _area(top: int, left: int, bottom: int, right: int) -> str:
    return f"={quoted(CHANGES)}!{area(top, left, bottom, right)}"


# --- The walk ------------------------------------------------------------------------------------


def _lines(history: History) -> Iterator[Line]:
    steps = [(name, words, amount, True) for name, words, amount in history.steps]
    before = ("before", history.before, history.start, False)
    after = ("after", history.after, None, False)
    lines = [before, *steps, after]
    amounts = [amount for _, _, amount, _ in lines]
    for line, figures in zip(lines, _figures(amounts), strict=True):
        name, words, amount, is_step = line
        yield Line(name, words, amount, figures["after"], is_step, figures)


def _figures(amounts: Sequence[Decimal | None]) -> list[dict[str, Any]]:
    numbered = [(number, plain(amount)) for number, amount in enumerate(amounts)]
    typed = pd.DataFrame(numbered, columns=["number", "amount"], dtype=object)
    return rows(calculate(walk_model(), {"walk": typed})["walk"])


def _write_walk(
    sheet: Worksheet, top: int, lines: Sequence[Line], styles: Styles
) -> tuple[int, Names]:
    """Returns the row below it, and its names."""
    _write_head(sheet, top, "Price walk", ABOUT_WALK, styles)
    _write_headers(sheet, top + 2, ("No.", "Step", "Amount", "Total then"), styles)
    _write_wide(sheet, top + 2, 4, "What moved it", styles.header)
    for column in DRAWN:
        write_words(sheet, top + 2, column, "for the chart", styles.small)
    first, last = top + 3, top + 2 + len(lines)
    for row, line in enumerate(lines, start=first):
        _write_line(sheet, row, row - first, line, styles)
    _write_live(sheet, last + 1, lines[-1].total, styles)
    sheet.set_column(min(DRAWN), max(DRAWN), 10, None, {"level": 1, "hidden": True})
    sheet.set_column(LAST_COLUMN, LAST_COLUMN, 9, None, {"collapsed": True})
    return last + 3, {
        "walk_number": _area(first, 0, last, 0),
        "walk_amount": _area(first, 2, last, 2),
        "walk_after": _area(last, 3, last, 3),
        "walk_table": _area(top, 0, last + 2, LAST_COLUMN),
    }


def _write_line(sheet: Worksheet, row: int, number: int, line: Line, styles: Styles) -> None:
    words, signed, money = _looks(line, styles)
    cell = {name: xl_rowcol_to_cell(row, at) for name, at in (("no", 0), ("by", 2), ("total", 3))}
    write_number(sheet, row, 0, number, words)
    write_words(sheet, row, 1, line.name, words)
    if line.amount is None:
        write_words(sheet, row, 2, "", signed)
    else:
        write_number(sheet, row, 2, float(line.amount), signed)
    running = _formula("after", {"number": cell["no"]})
    write_formula(sheet, row, 3, running, money, line.total)
    _write_wide(sheet, row, 4, line.words, words)
    for column, (text, value) in _drawn(line, cell["by"], cell["total"]).items():
        write_formula(sheet, row, column, text, styles.small, value)


def _looks(line: Line, styles: Styles) -> tuple[Format, Format, Format]:
    """Of words, of an amount, of a total."""
    frame = {"border": 1, "border_color": LINE, "valign": "top", "bold": not line.is_step}
    if not line.is_step:
        frame["bg_color"] = HEAD
    signed = "+#,##0.00;-#,##0.00;0.00" if line.is_step else "#,##0.00"
    return (
        styles.of(**frame, align="left", indent=1),
        styles.of(**frame, num_format=signed),
        styles.of(**frame, num_format="#,##0.00"),
    )


def _drawn(line: Line, amount: str, total: str) -> dict[int, tuple[str, float]]:
    """What the chart draws of a line, by column: formulas with their values."""
    cells = {"amount": amount, "after": total}
    names = ("base", "up", "down") if line.is_step else ("level",)
    return {getattr(DRAWN, n): (_formula(n, cells), line.figures[n]) for n in names}


def _formula(name: str, cells: Mapping[str, str]) -> str:
    """The formula of a column of the walk. cells: where the columns of its row stand."""
    expression = walk_model()["walk"].definitions[name].expression
    assert expression is not None
    return formula(expression, lambda column: cells[column.name])


def _write_live(sheet: Worksheet, top: int, total: float, styles: Styles) -> None:
    """The workbook's own total now, and how far it has moved since the revision was written."""
    frame = {"border": 1, "border_color": LINE, "valign": "top"}
    words = styles.of(**frame, align="left", indent=1)
    money = styles.of(**frame, num_format="#,##0.00")
    live = (
        ("now", "=price_total", total, NOW),
        ("since", "=ROUND(price_total-walk_after,terms_cents)", 0.0, SINCE),
    )
    for row, (name, text, value, about) in enumerate(live, start=top):
        for column, shown in ((0, ""), (1, name), (2, "")):
            write_words(sheet, row, column, shown, words)
        _write_wide(sheet, row, 4, about, words)
        write_formula(sheet, row, 3, text, money, value)


# --- What changed, and what was left -------------------------------------------------------------


def _write_inputs(
    sheet: Worksheet, top: int, history: History, styles: Styles
) -> tuple[int, Names]:
    """Every change of input; returns the row below, and its name."""
    about = "Every input that differs, by the part of the price that it belongs to."
    _write_head(sheet, top, "Changes of input", about, styles)
    headers = ("Part", "Table", "Row", "Field", "Before", "After")
    _write_headers(sheet, top + 2, headers, styles)
    row = top + 3
    for change in _at_most(history.changes, len(headers)):
        _write_words_row(sheet, row, change, styles)
        row += 1
    return row, {"changes_inputs": _area(top, 0, row - 1, len(headers) - 1)}


def _write_said(sheet: Worksheet, top: int, history: History, styles: Styles) -> Names:
    """What did not come along, with what was read in another way; returns its name."""
    about = "What stood in the workbook before and is not here, or is here in another way."
    _write_head(sheet, top, "Not carried over", about, styles)
    _write_headers(sheet, top + 2, ("Where", "What"), styles)
    _write_wide(sheet, top + 2, 2, "Its words", styles.header)
    row = top + 3
    for where, kind, words in _at_most(history.said, 3):
        _write_words_row(sheet, row, (where, kind), styles)
        _write_wide(sheet, row, 2, words, _words_look(styles))
        lines = max(-(-len(words) // 110), -(-len(kind) // 22), -(-len(where) // 18))
        if lines > 1:
            sheet.set_row(row, 13.0 * lines + 2)
        row += 1
    return {"changes_left": _area(top, 0, row - 1, 5)}


def _words_look(styles: Styles) -> Format:
    return styles.of(border=1, border_color=LINE, valign="top", text_wrap=True, align="left")


def _write_words_row(sheet: Worksheet, row: int, line: Sequence[str], styles: Styles) -> None:
    for column, words in enumerate(line):
        write_words(sheet, row, column, words, _words_look(styles))
    lines = max(-(-len(words) // int(WIDTHS[at] - 2)) for at, words in enumerate(line))
    if lines > 1:
        sheet.set_row(row, 13.0 * lines + 2)


def _at_most(lines: Sequence[tuple[str, ...]], width: int) -> Iterator[tuple[str, ...]]:
    """The lines, or so many with a word on how many more; a word where there are none."""
    yield from lines[:MOST_LINES]
    blank = ("",) * (width - 1)
    if not lines:
        yield ("none", *blank)
    elif len(lines) > MOST_LINES:
        yield (f"and {len(lines) - MOST_LINES:,} more", *blank)
