"""A sheet as a page: widths, frozen headers, what may be typed, protection, printing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

import pandas as pd
from xlsxwriter import Workbook
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from estimator.expressions.tables import Definition
from estimator.expressions.value import Values
from estimator.project.records import PALLET, Facts
from estimator.quantities.check import FAIL, REVIEW
from estimator.workbook.layout import Placed, form_rows
from estimator.workbook.styles import SIGNS

ROLE_COLOURS = {
    "read": "#4F7A5B",
    "typed": "#D9A94A",
    "calculated": "#8A948E",
    "planned": "#7FB08A",
}
_ALLOWED = {
    "insert_rows": True, "delete_rows": True, "format_columns": True, "format_rows": True,
    "format_cells": True, "sort": True, "autofilter": True, "objects": True,
}  # fmt: skip
NARROW, WIDE, WIDEST = 7.0, 40.0, 60.0
LINE_HEIGHT, PAGE_WIDTH, GAP_WIDTH = 13.0, 190.0, 3.0


def set_up_page(sheet: Worksheet, placed: Sequence[Placed], facts: Facts) -> None:
    """Paper, header and footer, repeated header rows, one page wide."""
    sheet.set_paper(1 if facts.paper == "letter" else 9)
    sheet.set_margins(left=0.5, right=0.5, top=0.7, bottom=0.7)
    if not placed or max(each.width() for each in placed) > 5:
        sheet.set_landscape()
    title = f"{header_text(facts.name)} · revision {facts.revision}"
    # The blank after a size keeps a name that begins with a digit from being read as part of it.
    sheet.set_footer(f"&L&8 {title}&C&8 &A&R&8 page &P of &N")
    only = placed[0] if len(placed) == 1 else None
    if only and only.table.kind != "form":
        sheet.repeat_rows(only.header, only.header + 1)


def header_text(words: str, longest: int = 80) -> str:
    """Words safe in a header or footer, where & begins a code."""
    return words[:longest].replace("&", "&&")


def freeze(sheet: Worksheet, placed: Sequence[Placed]) -> None:
    """Headers and the first column stay in sight where there is one table."""
    only = placed[0]
    if only.table.kind == "form":
        sheet.freeze_panes(only.first, 0)
    elif len(placed) == 1 or only.table.name == "counts":
        sheet.freeze_panes(only.first, 1)
    else:
        sheet.freeze_panes(0, 1)


def protect(sheet: Worksheet) -> None:
    """Formulas are locked, without a password: a guard against slips, not a lock."""
    sheet.protect("", _ALLOWED)


def set_widths(
    sheet: Worksheet,
    placed: Sequence[Placed],
    values: Values,
    wanted: Mapping[int, float] = MappingProxyType({}),
) -> None:
    """Columns as wide as what stands in them, within reason, or as wanted; helpers folded away."""
    widths: dict[int, float] = {}
    folded: set[int] = set()
    sheet.hide_gridlines(2)
    alone = len(placed) == 1
    widths |= {each.left - 1: GAP_WIDTH for each in placed if each.table.beside}
    for each in placed:
        for column, width in _widths(each, values[each.table.name], alone):
            widths[column] = max(widths.get(column, 0), width)
        folded |= {
            at for name, at in each.columns.items() if is_helper(each.table.definitions[name])
        }
    widths |= wanted
    sheet.fit_to_pages(max(1, round(sum(widths.values()) / PAGE_WIDTH)), 0)
    if sum(widths.values()) > PAGE_WIDTH:
        sheet.repeat_columns(0)
    for row, height in _heights(placed, values, widths).items():
        sheet.set_row(row, height)
    for column, width in widths.items():
        options = {"level": 1, "hidden": True} if column in folded else {}
        sheet.set_column(column, column, width, None, options)
    if folded:
        sheet.set_column(max(folded) + 1, max(folded) + 1, widths.get(max(folded) + 1, 9), None,
                         {"collapsed": True})  # fmt: skip


def _heights(
    placed: Sequence[Placed], values: Values, widths: dict[int, float]
) -> dict[int, float]:
    """Room for words that wrap; headers of rows get two lines."""
    lines: dict[int, int] = {}
    for each in placed:
        if each.table.kind != "form":
            lines[each.header] = 2
        for name, definition in each.table.definitions.items():
            if not definition.is_text or each.table.kind == "form":
                continue
            for row, words in enumerate(values[each.table.name][name], start=each.first):
                needed = -(-len(str(words)) // int(widths[each.columns[name]]))
                lines[row] = max(lines.get(row, 1), needed)
    return {row: LINE_HEIGHT * count + 2 for row, count in lines.items() if count > 1}


def is_helper(definition: Definition) -> bool:
    """The price vectors and their bounds: needed by the live count, seldom read."""
    stem, _, number = definition.name.rpartition("_")
    return stem in ("price", "bound") and number.isdigit()


def _widths(placed: Placed, values: pd.DataFrame, alone: bool) -> list[tuple[int, float]]:
    if placed.table.kind == "form":
        words = [name for name, each in placed.table.definitions.items() if each.is_text]
        longest = max((len(str(values[name].iloc[0])) for name in words), default=0)
        widths = [(0, 30.0), (1, min(max(18.0, longest + 3.0), WIDE)), (2, 12.0), (3, 14.0)]
        return [*widths, (4, WIDEST)] if alone else widths
    found = []
    for name, definition in placed.table.definitions.items():
        column = placed.columns[name]
        if definition.role == "block":
            found += [(column + at, NARROW) for at in range(len(placed.table.axis))]
        else:
            found.append((column, _width(definition, values[name])))
    return found


def _width(definition: Definition, values: pd.Series) -> float:
    header = max(
        (len(word) for word in (SIGNS[definition.role] + definition.label).split()), default=0
    )
    if definition.is_text:
        longest = max((len(str(value)) for value in values), default=0)
        widest = WIDE + 12 if longest > 2 * WIDE else WIDE
        return float(min(max(header + 3, longest + 4, NARROW), widest))
    largest = max((abs(float(value)) for value in values), default=0)
    digits = len(f"{largest:,.2f}") + 2
    return float(max(header + 3, digits, NARROW))


def validate(sheet: Worksheet, placed: Placed) -> None:
    """What a cell accepts, with a message that says how to type it."""
    for definition in placed.table.definitions.values():
        rule = _rule(definition, placed)
        if rule is None:
            continue
        first, last, left, right = _cells_of(placed, definition)
        sheet.data_validation(first, left, last, right, rule)


def _cells_of(placed: Placed, definition: Definition) -> tuple[int, int, int, int]:
    if placed.table.kind == "form":
        row = form_rows(placed)[definition.name]
        return row, row, 1, 1
    left = placed.columns[definition.name]
    right = left + (len(placed.table.axis) - 1 if definition.role == "block" else 0)
    return placed.first, placed.last, left, right


def _rule(definition: Definition, placed: Placed) -> dict[str, object] | None:
    if definition.role not in ("input", "block"):
        return None
    hint = {"input_title": definition.label[:32], "input_message": definition.note[:255]}
    if definition.choices and definition.is_text:
        return hint | {
            "validate": "list",
            "source": list(definition.choices),
            "error_title": "Not one of the words",
            "error_message": "Choose from the list: " + ", ".join(definition.choices)[:200],
        }
    if definition.refers_to:
        return hint | _reference(definition, placed)
    if definition.is_text:
        return None
    return hint | _number_rule(definition)


def _reference(definition: Definition, placed: Placed) -> dict[str, object]:
    names = [f"{table}_key" for table in definition.refers_to if table != "freight"]
    message = f"Type a short name from: {', '.join(definition.refers_to)}."
    if len(names) == 1:
        return {
            "validate": "list",
            "source": f"={names[0]}",
            "error_type": "warning",
            "error_title": "Not known",
            "error_message": message,
        }
    cell = xl_rowcol_to_cell(placed.first, placed.columns[definition.name])
    found = "+".join(f"COUNTIF({name},{cell})" for name in names)
    if "freight" in definition.refers_to:
        found += f'+({cell}="{PALLET}")'
    return {
        "validate": "custom",
        "value": f"={found}>0",
        "error_type": "warning",
        "error_title": "Not known",
        "error_message": message,
    }


def _number_rule(definition: Definition) -> dict[str, object]:
    if definition.show == "length":
        return {
            "validate": "decimal",
            "criteria": ">=",
            "value": 0,
            "error_title": "A length, as a number",
            "error_message": "Type a number in the project's unit, such as 30 3/4 or 0 3/4; add up "
            "feet and inches: 7' 6 1/4\" is 90 1/4.",
        }
    if definition.role == "block" or (definition.show == "whole" and definition.unit != "1"):
        return {
            "validate": "integer",
            "criteria": "between",
            "minimum": 0,
            "maximum": 10_000_000,
            "error_title": "A whole number",
            "error_message": "Type a whole number, 0 or more.",
        }
    return {
        "validate": "decimal",
        "criteria": "between",
        "minimum": 0,
        "maximum": 1 if definition.show == "percent" and definition.name != "burden" else 10**12,
        "error_title": "A number",
        "error_message": "Type a number, 0 or more; a share as a percentage such as 12%.",
    }


def mark_states(book: Workbook, sheet: Worksheet, placed: Placed) -> None:
    """The states of the checks, in words and in weight."""
    column = placed.columns["state"]
    where = (placed.first, column, placed.last, column)
    for word, ink, ground in ((FAIL, "#8C1D18", "#F7DAD7"), (REVIEW, "#6B4E00", "#FBF0D0")):
        look = book.add_format({"bold": True, "font_color": ink, "bg_color": ground})
        sheet.conditional_format(
            *where, {"type": "cell", "criteria": "==", "value": f'"{word}"', "format": look}
        )
