"""Writing tables: headers, units and notes, typed and planned values, formulas with their values."""

from __future__ import annotations

from typing import Any

import pandas as pd
from xlsxwriter.worksheet import Worksheet

from estimator.expressions.formula import ROW, formula
from estimator.expressions.tables import Definition, Table
from estimator.expressions.value import Values
from estimator.units import name_of, unit
from estimator.workbook.cells import write_formula, write_value, write_words
from estimator.workbook.layout import FORM_COLUMNS, Placed, form_rows
from estimator.workbook.styles import SIGNS, Styles

END = "insert rows above this line"


def write_table(
    sheet: Worksheet, placed: Placed, typed: pd.DataFrame, values: Values, styles: Styles
) -> None:
    """A table in its place. typed: its input and planned columns, blanks kept as None."""
    table = placed.table
    write_words(sheet, placed.top, 0, table.title, styles.title)
    write_words(sheet, placed.top + 1, 0, table.about, styles.remark)
    if table.kind == "form":
        _write_form(sheet, placed, typed, values[table.name], styles)
    else:
        _write_rows(sheet, placed, typed, values[table.name], styles)


def unit_shown(definition: Definition) -> str:
    """The unit as the sheet shows it; nothing for words."""
    hidden = definition.is_text or definition.unit in ("1", "measure")
    shown = "" if hidden else name_of(unit(definition.unit))
    return "%" if definition.show == "percent" else shown


def _write_form(
    sheet: Worksheet, placed: Placed, typed: pd.DataFrame, values: pd.DataFrame, styles: Styles
) -> None:
    header = placed.first - 1
    for column, words in enumerate(("What", "Value", "Unit", "Note", "Name")):
        write_words(sheet, header, column, words, styles.header)
    for name, row in form_rows(placed).items():
        definition = placed.table.definitions[name]
        write_words(sheet, row, 0, SIGNS[definition.role] + definition.label, styles.label)
        if definition.expression is None:
            write_value(sheet, row, 1, typed[name].iloc[0], styles.cell(definition))
        else:
            text = formula(definition.expression, placed.cell_of_row)
            write_formula(sheet, row, 1, text, styles.cell(definition), values[name].iloc[0])
        write_words(sheet, row, 2, unit_shown(definition), styles.unit)
        write_words(sheet, row, 3, definition.note, styles.label)
        write_words(sheet, row, FORM_COLUMNS.index("key"), name, styles.unit)


def _write_rows(
    sheet: Worksheet, placed: Placed, typed: pd.DataFrame, values: pd.DataFrame, styles: Styles
) -> None:
    for definition in placed.table.definitions.values():
        if definition.role == "block":
            _write_block(sheet, placed, definition, typed, styles)
        else:
            _write_header(sheet, placed, placed.columns[definition.name], definition, styles)
            _write_column(sheet, placed, definition, typed, values, styles)
    write_words(sheet, placed.last, 0, END, styles.end)


def _write_header(
    sheet: Worksheet, placed: Placed, column: int, definition: Definition, styles: Styles
) -> None:
    label = SIGNS[definition.role] + definition.label
    write_words(sheet, placed.header, column, label, styles.header)
    write_words(sheet, placed.header + 1, column, unit_shown(definition), styles.unit)
    sheet.write_comment(placed.header, column, definition.note, _COMMENT)


_COMMENT = {"x_scale": 1.6, "y_scale": 0.7, "color": "#F7F7F2", "author": ""}


def _write_column(
    sheet: Worksheet,
    placed: Placed,
    definition: Definition,
    typed: pd.DataFrame,
    values: pd.DataFrame,
    styles: Styles,
) -> None:
    column, style = placed.columns[definition.name], styles.cell(definition)
    if definition.expression is None:
        for row, value in enumerate(_listed(typed, definition.name), start=placed.first):
            write_value(sheet, row, column, value, style)
        return
    text = formula(definition.expression, placed.cell_of_row)
    for row, value in enumerate(values[definition.name].tolist(), start=placed.first):
        write_formula(sheet, row, column, text.replace(ROW, str(row + 1)), style, value)


def _write_block(
    sheet: Worksheet, placed: Placed, definition: Definition, typed: pd.DataFrame, styles: Styles
) -> None:
    for offset, key in enumerate(placed.table.axis):
        column = placed.columns[definition.name] + offset
        _write_axis(sheet, placed, column, key, definition, styles)
        for row, value in enumerate(typed[key].tolist(), start=placed.first):
            write_value(sheet, row, column, value, styles.cell(definition))


def _write_axis(
    sheet: Worksheet,
    placed: Placed,
    column: int,
    key: str,
    definition: Definition,
    styles: Styles,
) -> None:
    """A key along the top is a name that formulas look up, so it carries no sign."""
    write_words(sheet, placed.header, column, key, styles.header)
    shown = SIGNS[definition.role] + unit_shown(definition)
    write_words(sheet, placed.header + 1, column, shown, styles.unit)
    sheet.write_comment(placed.header, column, f"{definition.note} Floor {key}.", _COMMENT)


def _listed(frame: pd.DataFrame, name: str) -> list[Any]:
    return frame[name].tolist() if name in frame else [None] * len(frame)


def row_count(table: Table, typed: pd.DataFrame) -> int:
    """How many rows of data a table has."""
    return 1 if table.kind == "form" else len(typed)
