"""Writing tables: headers, units, notes, typed and planned values, formulas with their values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from estimator.expressions.formula import ROW, formula
from estimator.expressions.tables import Definition, Model, Table
from estimator.expressions.value import Values
from estimator.workbook import END
from estimator.workbook.cells import write_formula, write_value, write_words
from estimator.workbook.layout import FORM_COLUMNS, Placed, form_rows
from estimator.workbook.styles import SIGNS, Styles

_COMMENT = {"x_scale": 1.6, "y_scale": 0.7, "color": "#F7F7F2", "author": ""}


@dataclass(frozen=True)
class Contents:
    """What is written: definitions, typed and planned columns (blanks as None), all values."""

    model: Model
    typed: Mapping[str, pd.DataFrame]
    values: Values


def write_table(sheet: Worksheet, placed: Placed, contents: Contents, styles: Styles) -> None:
    """A table in its place."""
    table = placed.table
    write_words(sheet, placed.top, placed.left, table.title, styles.title)
    write_words(sheet, placed.top + 1, placed.left, table.about, styles.remark)
    if table.kind == "form":
        _write_form(sheet, placed, contents, styles)
    else:
        _write_rows(sheet, placed, contents, styles)


def _write_form(sheet: Worksheet, placed: Placed, contents: Contents, styles: Styles) -> None:
    typed, values = contents.typed[placed.table.name], contents.values[placed.table.name]
    for column, words in enumerate(("What", "Value", "Unit", "Name", "Note")):
        write_words(sheet, placed.first - 1, column, words, styles.header)
    for name, row in form_rows(placed).items():
        definition = placed.table.definitions[name]
        write_words(sheet, row, 0, SIGNS[definition.role] + definition.label, styles.label)
        if definition.expression is None:
            write_value(sheet, row, 1, typed[name].iloc[0], styles.cell(definition))
        else:
            text = formula(definition.expression, placed.cell_of_row)
            write_formula(sheet, row, 1, text, styles.cell(definition), values[name].iloc[0])
        write_words(sheet, row, 2, styles.unit_shown(definition), styles.small)
        write_words(sheet, row, FORM_COLUMNS.index("key"), name, styles.small)
        write_words(sheet, row, FORM_COLUMNS.index("note"), definition.note, styles.note)


def _write_rows(sheet: Worksheet, placed: Placed, contents: Contents, styles: Styles) -> None:
    for definition in placed.table.definitions.values():
        if definition.role == "block":
            _write_block(sheet, placed, definition, contents.typed[placed.table.name], styles)
        else:
            _write_header(sheet, placed, placed.columns[definition.name], definition, styles)
            _write_column(sheet, placed, definition, contents, styles)
    write_words(sheet, placed.last, placed.left, END, styles.end)


def _write_header(
    sheet: Worksheet, placed: Placed, column: int, definition: Definition, styles: Styles
) -> None:
    label = SIGNS[definition.role] + definition.label
    write_words(sheet, placed.header, column, label, styles.header)
    write_words(sheet, placed.header + 1, column, styles.unit_shown(definition), styles.small)
    sheet.write_comment(placed.header, column, definition.note, _COMMENT)


def _write_column(
    sheet: Worksheet, placed: Placed, definition: Definition, contents: Contents, styles: Styles
) -> None:
    name = placed.table.name
    column, rows = (
        placed.columns[definition.name],
        _styles(placed.table, definition, contents, styles),
    )
    if definition.expression is None:
        listed = _listed(contents.typed[name], definition.name)
        for row, (value, style) in enumerate(zip(listed, rows, strict=True), start=placed.first):
            write_value(sheet, row, column, value, style)
        return
    text = formula(definition.expression, placed.cell_of_row)
    values = contents.values[name][definition.name].tolist()
    for row, (value, style) in enumerate(zip(values, rows, strict=True), start=placed.first):
        write_formula(sheet, row, column, text.replace(ROW, str(row + 1)), style, value)


def _styles(
    table: Table, definition: Definition, contents: Contents, styles: Styles
) -> list[Format]:
    """A style for each row: the column's, or the like field's where rows are unlike things."""
    rows = len(contents.typed[table.name])
    if not table.rows_like or definition.is_text:
        return [styles.cell(definition)] * rows
    fields = contents.model[table.rows_like].definitions
    keys = contents.typed[table.name]["key"]
    return [styles.cell(definition, like=fields[key]) for key in keys]


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
    shown = SIGNS[definition.role] + styles.unit_shown(definition)
    write_words(sheet, placed.header + 1, column, shown, styles.small)
    sheet.write_comment(placed.header, column, f"{definition.note} Floor {key}.", _COMMENT)


def _listed(frame: pd.DataFrame, name: str) -> list[Any]:
    return frame[name].tolist() if name in frame else [None] * len(frame)


def row_count(table: Table, typed: pd.DataFrame) -> int:
    """How many rows of data a table has."""
    return 1 if table.kind == "form" else len(typed)
