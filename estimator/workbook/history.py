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
from xlsxwriter.utility import xl_rowcol_to_cell

from estimator.documents.figures import rows
from estimator.expressions.formula import formula
from estimator.expressions.value import calculate
from estimator.project.frames import plain
from estimator.quantities.small_models.price_walk import walk_model
from estimator.workbook.additions import History
from estimator.workbook.charts import Drawn, price_walk
from estimator.workbook.layout import Placed, area, quoted
from estimator.workbook.page import Cell, Corners, Look, Page, look
from estimator.workbook.styles import BORDER, HEAD, HEADER, REMARK, SMALL, TITLE

CHANGES = "Changes"
WIDTHS = {0: 20.0, 1: 26.0, 2: 20.0, 3: 20.0, 4: 42.0, 5: 42.0}
"""Of the page's columns, in characters."""
COLUMN_CHARACTERS = tuple(int(width - 2) for width in WIDTHS.values())
"""How many of each go on a line."""
LAST_COLUMN = 11
"""Of the page; what a person writes to the right of it is theirs."""
DRAWN = Drawn(base=7, level=8, up=9, down=10)
"""The columns that the chart is drawn from, folded away."""
CHART_ROWS = 21
MOST_LINES = 1_000
LINE_HEIGHT = 13.0
FRAME = {"border": 1, "border_color": BORDER, "valign": "top"}
WRAPPED = look(**FRAME, text_wrap=True, align="left")
PLAIN = look(**FRAME, align="left", indent=1)
MONEY = look(**FRAME, num_format="#,##0.00")

ABOUT_PAGE = "What this revision changes"
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
class Section:
    """A part of the page, with its names. end: the row below it."""

    page: Page
    names: Names
    end: int


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


def history_page(register: Placed, history: History | None, currency: str) -> Section:
    """What stands below the register of issued copies."""
    top = register.last + 3
    about = _about(history, currency) if history else FIRST
    head = Page(CHANGES, tuple(_head(top, ABOUT_PAGE, about)))
    names = {"changes_head": _area(top, 0, top + 1, 0)}
    if history is None:
        return Section(head, names, top + 2)
    walk = _walk(top + 3, list(_lines(history)))
    inputs = _inputs(walk.end + CHART_ROWS, history)
    said = _said(inputs.end + 2, history)
    page = head.under(walk.page).under(inputs.page).under(said.page)
    return Section(page, names | walk.names | inputs.names | said.names, said.end)


def _about(history: History, currency: str) -> str:
    """Which workbooks, and from which state of the older one."""
    state = "as it was written" if history.is_as_written else "as it was found"
    return f"From {history.before}, {state}, to {history.after}. Amounts with tax, in {currency}."


def _head(row: int, title: str, about: str) -> Iterator[Cell]:
    yield Cell(row, 0, title, look=TITLE)
    yield Cell(row + 1, 0, about, look=REMARK)


def _row(row: int, words: Sequence[str], look: Look) -> Iterator[Cell]:
    for column, each in enumerate(words):
        yield Cell(row, column, each, look=look)


def _wide(row: int, column: int, words: str, look: Look) -> Iterator[Cell]:
    """Words over the rest of the page's columns, which are merged."""
    yield Cell(row, column, words, look=look)
    for beside in range(column + 1, max(WIDTHS) + 1):
        yield Cell(row, beside, look=look)


def _merged(rows: range, column: int) -> tuple[Corners, ...]:
    """The rest of the page's columns in each of the rows."""
    return tuple((row, column, row, max(WIDTHS)) for row in rows)


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


def _walk(top: int, lines: Sequence[Line]) -> Section:
    first, last = top + 3, top + 2 + len(lines)
    totals = [each.total for each in lines]
    cells = [
        *_head(top, "Price walk", ABOUT_WALK),
        *_row(top + 2, ("No.", "Step", "Amount", "Total then"), HEADER),
        *_wide(top + 2, 4, "What moved it", HEADER),
        *(Cell(top + 2, column, "for the chart", look=SMALL) for column in DRAWN),
        *(cell for row, each in enumerate(lines, first) for cell in _line(row, row - first, each)),
        *_live(last + 1, lines[-1].total),
    ]
    page = Page(
        CHANGES,
        tuple(cells),
        widths={**dict.fromkeys(DRAWN, 10.0), LAST_COLUMN: 9.0},
        folded=frozenset(DRAWN),
        merged=_merged(range(top + 2, last + 3), 4),
        charts=(price_walk(CHANGES, (first, last), DRAWN, last + 4, totals),),
    )
    names = {
        "walk_number": _area(first, 0, last, 0),
        "walk_amount": _area(first, 2, last, 2),
        "walk_after": _area(last, 3, last, 3),
        "walk_table": _area(top, 0, last + 2, LAST_COLUMN),
    }
    return Section(page, names, last + 3)


def _line(row: int, number: int, line: Line) -> Iterator[Cell]:
    words, signed, money = _looks(line)
    cell = {name: xl_rowcol_to_cell(row, at) for name, at in (("no", 0), ("by", 2), ("total", 3))}
    yield Cell(row, 0, number, look=words)
    yield Cell(row, 1, line.name, look=words)
    yield Cell(row, 2, None if line.amount is None else float(line.amount), look=signed)
    yield Cell(row, 3, line.total, _formula("after", {"number": cell["no"]}), money)
    yield from _wide(row, 4, line.words, words)
    for column, (text, value) in _drawn(line, cell["by"], cell["total"]).items():
        yield Cell(row, column, value, text, SMALL)


def _looks(line: Line) -> tuple[Look, Look, Look]:
    """Of words, of an amount, of a total."""
    frame = {**FRAME, "bold": not line.is_step} | ({} if line.is_step else {"bg_color": HEAD})
    signed = "+#,##0.00;-#,##0.00;0.00" if line.is_step else "#,##0.00"
    return (
        look(**frame, align="left", indent=1),
        look(**frame, num_format=signed),
        look(**frame, num_format="#,##0.00"),
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


def _live(top: int, total: float) -> Iterator[Cell]:
    """The workbook's own total now, and how far it has moved since the revision was written."""
    live = (
        ("now", "=price_total", total, NOW),
        ("since", "=ROUND(price_total-walk_after,terms_cents)", 0.0, SINCE),
    )
    for row, (name, text, value, about) in enumerate(live, start=top):
        yield from _row(row, ("", name, ""), PLAIN)
        yield from _wide(row, 4, about, PLAIN)
        yield Cell(row, 3, value, text, MONEY)


# --- What changed, and what was left -------------------------------------------------------------


def _inputs(top: int, history: History) -> Section:
    """Every change of input."""
    about = "Every input that differs, by the part of the price that it belongs to."
    headers = ("Part", "Table", "Row", "Field", "Before", "After")
    lines = list(enumerate(_at_most(history.changes, len(headers)), start=top + 3))
    cells = [
        *_head(top, "Changes of input", about),
        *_row(top + 2, headers, HEADER),
        *(cell for row, change in lines for cell in _row(row, change, WRAPPED)),
    ]
    needed = {row: _lines_needed(change, COLUMN_CHARACTERS) for row, change in lines}
    page = Page(CHANGES, tuple(cells), heights=_tall(needed))
    end = top + 3 + len(lines)
    return Section(page, {"changes_inputs": _area(top, 0, end - 1, len(headers) - 1)}, end)


def _said(top: int, history: History) -> Section:
    """What did not come along, with what was read in another way."""
    about = "What stood in the workbook before and is not here, or is here in another way."
    lines = list(enumerate(_at_most(history.said, 3), start=top + 3))
    cells = [
        *_head(top, "Not carried over", about),
        *_row(top + 2, ("Where", "What"), HEADER),
        *_wide(top + 2, 2, "Its words", HEADER),
    ]
    for row, (where, kind, words) in lines:
        cells += [*_row(row, (where, kind), WRAPPED), *_wide(row, 2, words, WRAPPED)]
    end = top + 3 + len(lines)
    page = Page(
        CHANGES,
        tuple(cells),
        heights=_tall({row: _lines_needed(each, (18, 22, 110)) for row, each in lines}),
        merged=_merged(range(top + 2, end), 2),
    )
    return Section(page, {"changes_left": _area(top, 0, end - 1, 5)}, end)


def _lines_needed(words: Sequence[str], widths: Sequence[int]) -> int:
    """Of the tallest cell. widths: how many characters of each go on a line."""
    return max(-(-len(each) // width) for each, width in zip(words, widths, strict=True))


def _tall(lines: Mapping[int, int]) -> dict[int, float]:
    """The heights of the rows that need more than one line."""
    return {row: LINE_HEIGHT * needed + 2 for row, needed in lines.items() if needed > 1}


def _at_most(lines: Sequence[tuple[str, ...]], width: int) -> Iterator[tuple[str, ...]]:
    """The lines, or so many with a word on how many more; a word where there are none."""
    yield from lines[:MOST_LINES]
    blank = ("",) * (width - 1)
    if not lines:
        yield ("none", *blank)
    elif len(lines) > MOST_LINES:
        yield (f"and {len(lines) - MOST_LINES:,} more", *blank)
