"""The cells of a table: headers, units, notes, typed and planned values, formulas with values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from estimator.expressions.formula import ROW, formula
from estimator.expressions.tables import Definition, Model, Table
from estimator.expressions.value import Values
from estimator.workbook import END
from estimator.workbook.layout import FORM_COLUMNS, Placed, form_rows
from estimator.workbook.page import Cell, Look, Note
from estimator.workbook.styles import (
    END_OF_TABLE,
    HEADER,
    LABEL,
    NOTE,
    REMARK,
    SIGNS,
    SMALL,
    TITLE,
    Styles,
)

FORM_HEADERS = ("What", "Value", "Unit", "Name", "Note")
NOTE_HEIGHT, NOTE_GROUND = 0.7, "#F7F7F2"


@dataclass(frozen=True)
class Contents:
    """What is written: definitions, typed and planned columns (blanks as None), all values."""

    model: Model
    typed: Mapping[str, pd.DataFrame]
    values: Values
    styles: Styles


def table_cells(placed: Placed, contents: Contents) -> Iterator[Cell]:
    """A table in its place."""
    yield Cell(placed.top, placed.left, placed.table.title, look=TITLE)
    yield Cell(placed.top + 1, placed.left, placed.table.about, look=REMARK)
    if placed.table.kind == "form":
        yield from _form(placed, contents)
        return
    for definition in placed.table.definitions.values():
        if definition.role == "block":
            yield from _block(placed, definition, contents)
        else:
            yield from _header(placed, definition, contents.styles)
            yield from _column(placed, definition, contents)
    yield Cell(placed.last, placed.left, END, look=END_OF_TABLE)


def table_notes(placed: Placed) -> Iterator[Note]:
    """The notes on the headers; a form's stand in cells."""
    if placed.table.kind == "form":
        return
    for definition in placed.table.definitions.values():
        column = placed.columns[definition.name]
        if definition.role == "block":
            for at, key in enumerate(placed.table.axis):
                words = f"{definition.note} Floor {key}."
                yield Note(placed.header, column + at, words, NOTE_HEIGHT, NOTE_GROUND)
        else:
            yield Note(placed.header, column, definition.note, NOTE_HEIGHT, NOTE_GROUND)


def _form(placed: Placed, contents: Contents) -> Iterator[Cell]:
    for column, words in enumerate(FORM_HEADERS):
        yield Cell(placed.first - 1, column, words, look=HEADER)
    for name, row in form_rows(placed).items():
        definition = placed.table.definitions[name]
        yield Cell(row, 0, SIGNS[definition.role] + definition.label, look=LABEL)
        yield _value_of_form(placed, definition, row, contents)
        yield Cell(row, 2, contents.styles.unit_shown(definition), look=SMALL)
        yield Cell(row, FORM_COLUMNS.index("key"), name, look=SMALL)
        yield Cell(row, FORM_COLUMNS.index("note"), definition.note, look=NOTE)


def _value_of_form(placed: Placed, definition: Definition, row: int, contents: Contents) -> Cell:
    look, name = contents.styles.cell(definition), placed.table.name
    if definition.expression is None:
        return Cell(row, 1, contents.typed[name][definition.name].iloc[0], look=look)
    text = formula(definition.expression, placed.cell_of_row)
    return Cell(row, 1, contents.values[name][definition.name].iloc[0], text, look)


def _header(placed: Placed, definition: Definition, styles: Styles) -> Iterator[Cell]:
    column, label = placed.columns[definition.name], SIGNS[definition.role] + definition.label
    yield Cell(placed.header, column, label, look=HEADER)
    yield Cell(placed.header + 1, column, styles.unit_shown(definition), look=SMALL)


def _column(placed: Placed, definition: Definition, contents: Contents) -> Iterator[Cell]:
    name, column = placed.table.name, placed.columns[definition.name]
    looks = _looks(placed.table, definition, contents)
    if definition.expression is None:
        listed = _listed(contents.typed[name], definition.name)
        for row, (value, look) in enumerate(zip(listed, looks, strict=True), start=placed.first):
            yield Cell(row, column, value, "", look)
        return
    text = formula(definition.expression, placed.cell_of_row)
    values = contents.values[name][definition.name].tolist()
    for row, (value, look) in enumerate(zip(values, looks, strict=True), start=placed.first):
        yield Cell(row, column, value, text.replace(ROW, str(row + 1)), look)


def _looks(table: Table, definition: Definition, contents: Contents) -> list[Look]:
    """A look for each row: the column's, or the like field's where rows are unlike things."""
    rows, styles = len(contents.typed[table.name]), contents.styles
    if not table.rows_like or definition.is_text:
        return [styles.cell(definition)] * rows
    fields = contents.model[table.rows_like].definitions
    keys = contents.typed[table.name]["key"]
    return [styles.cell(definition, like=fields[key]) for key in keys]


def _block(placed: Placed, definition: Definition, contents: Contents) -> Iterator[Cell]:
    """A key along the top is a name that formulas look up, so it carries no sign."""
    typed, styles = contents.typed[placed.table.name], contents.styles
    shown = SIGNS[definition.role] + styles.unit_shown(definition)
    look = styles.cell(definition)
    for column, key in enumerate(placed.table.axis, start=placed.columns[definition.name]):
        yield Cell(placed.header, column, key, look=HEADER)
        yield Cell(placed.header + 1, column, shown, look=SMALL)
        for row, value in enumerate(typed[key].tolist(), start=placed.first):
            yield Cell(row, column, value, "", look)


def _listed(frame: pd.DataFrame, name: str) -> list[Any]:
    return frame[name].tolist() if name in frame else [None] * len(frame)


def row_count(table: Table, typed: pd.DataFrame) -> int:
    """How many rows of data a table has."""
    return 1 if table.kind == "form" else len(typed)
