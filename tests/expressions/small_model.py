"""A small model with every kind of table, and a workbook of it in which no cached value is true.

Invented data, chosen for its corners: blanks, halves, negative numbers, keys that differ in case,
a key nobody has.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pandas as pd
from xlsxwriter import Workbook
from xlsxwriter.utility import xl_rowcol_to_cell

from estimator.expressions.formula import ROW, formula
from estimator.expressions.nodes import Column, Expression
from estimator.expressions.tables import Definition, Model, Table
from estimator.expressions.value import Values, calculate
from estimator.workbook.cells import write_formula, write_value, write_words
from estimator.workbook.layout import FORM_COLUMNS, Layout, Placed, form_rows, lay_out
from tests.engines.cells import FALSE_VALUE, Place, Value

FLOORS = ("F1", "F2", "F3")
END = "insert rows above this line"
Typed = Mapping[str, pd.DataFrame]


def small_model() -> Model:
    """A form of terms, rows of types and of runs, and a grid of counts."""
    model = Model()
    terms = model.table("terms", "Terms", "Terms", "A form.", kind="form")
    for name, label, unit in (
        ("cents", "Cents", "1"),
        ("guard", "Guard", "1"),
        ("rate", "Rate", "1"),
        ("slope", "Slope", "1"),
        ("end", "End", "in"),
        ("reach", "Reach", "ft"),
        ("angle", "Angle", "degree"),
        ("fee", "Fee", "money"),
        ("word", "Word", "text"),
        ("blank", "Blank", "1"),
        ("nothing", "Nothing", "text"),
    ):
        terms.input(name, label, unit, f"{label}.", optional=name in ("blank", "nothing"))
    types = model.table("types", "Types", "Rows", "Rows.")
    types.input("key", "Type", "text", "Key.")
    types.input("rooms", "Rooms", "room", "Rooms.")
    types.input("width", "Width", "in", "Width.")
    types.input("share", "Share", "1", "Share.")
    runs = model.table("runs", "Runs", "Rows", "More rows.")
    runs.input("key", "Run", "text", "Key.")
    runs.input("type", "Type", "text", "Which type.")
    runs.input("length", "Length", "in", "Length.")
    runs.input("height", "Height", "ft", "Height.", optional=True)
    runs.input("each", "Each", "1", "How many.")
    runs.input("price", "Price", "money", "Price.")
    runs.input("floor", "Floor", "text", "Floor.")
    runs.input("note", "Note", "text", "Note.", optional=True)
    runs.input("extra", "Extra", "1", "Extra.", optional=True)
    runs.input("sum", "Sum", "money", "Sum.", optional=True)
    counts = model.table("counts", "Counts", "Counts", "A grid.", kind="grid", axis=FLOORS)
    counts.input("type", "Type", "text", "Type.")
    counts.block("rooms", "Rooms", "room", "Rooms.")
    return model


def small_frames() -> dict[str, pd.DataFrame]:
    """What is typed into the small model; None where a cell is blank."""
    terms = {
        "cents": 2, "guard": 6, "rate": 0.0825, "slope": 0.85, "end": 2.5, "reach": 4, "angle": 45,
        "fee": 12.345, "word": "KING", "blank": None, "nothing": None,
    }  # fmt: skip
    types = {
        "key": ["King", "twin", "SUITE", "lobby"],
        "rooms": [7, 0, 3, 1],
        "width": [12.25, 40, 0.5, 33.335],
        "share": [0.5, 0.125, 0, 0.375],
    }
    runs = {
        "key": ["rail-a", "Rail-B", "rail-c", "rail-d", "rail-e", "rail-f"],
        "type": ["king", "KING", "Twin", "nobody", "suite", None],
        "length": [96, 23.90625, 1.1, 66.6, 110, 3],
        "height": [1.5, None, 2.25, 0, 7, 2.5],
        "each": [1, 2, 3, 0, -2, 2.5],
        "price": [2.675, 1.005, 33.335, 100.125, -4.5, 0],
        "floor": ["f1", "F2", "F3", "F1", "F2", "F3"],
        "note": ["east", "East", None, "west", "", "EAST"],
        "extra": [None, 0.5, None, -0.25, None, 3],
        "sum": [None, None, 7.77, 12, -3, None],
    }
    counts = {"type": ["king", "twin", "suite", "lobby"]} | {
        floor: [at + 1, None, 2 * at, at / 2] for at, floor in enumerate(FLOORS)
    }
    return {
        "terms": pd.DataFrame({name: [value] for name, value in terms.items()}, dtype=object),
        "types": pd.DataFrame(types),
        "runs": pd.DataFrame(runs, dtype=object),
        "counts": pd.DataFrame(counts),
    }


def placed_in_book(model: Model, typed: Typed) -> Layout:
    """Where the tables stand: as the product places them."""
    rows = {t.name: 1 if t.kind == "form" else len(typed[t.name]) for t in model}
    return lay_out(model, rows)


def write_book(path: Path, model: Model, typed: Typed) -> Layout:
    """All tables with their formulas; every cached value is the false one."""
    layout = placed_in_book(model, typed)
    with Workbook(path) as book:
        sheets = {name: book.add_worksheet(name) for name in layout.sheets()}
        for name, where in layout.names().items():
            assert book.define_name(name, where) == 0
        for placed in layout.placed.values():
            _write_table(sheets[placed.sheet], placed, typed[placed.table.name])
    return layout


def _write_table(sheet: Any, placed: Placed, frame: pd.DataFrame) -> None:
    for definition in placed.table.definitions.values():
        if definition.role == "block":
            _write_block(sheet, placed, definition, frame)
        elif placed.table.kind == "form":
            row = form_rows(placed)[definition.name]
            write_words(sheet, row, FORM_COLUMNS.index("key"), definition.name, None)
            _write_cells(sheet, placed, definition, frame, row, FORM_COLUMNS.index("value"))
        else:
            column = placed.columns[definition.name]
            _write_cells(sheet, placed, definition, frame, placed.first, column)
    if placed.table.kind != "form":
        write_words(sheet, placed.last, 0, END, None)


def _write_cells(
    sheet: Any, placed: Placed, definition: Definition, frame: pd.DataFrame, first: int, column: int
) -> None:
    if definition.expression is None:
        for row, value in enumerate(frame[definition.name], first):
            write_value(sheet, row, column, value, None)
        return
    text = formula(definition.expression, placed.cell_of_row)
    for row in range(first, first + len(frame)):
        write_formula(sheet, row, column, text.replace(ROW, str(row + 1)), None, FALSE_VALUE)


def _write_block(sheet: Any, placed: Placed, definition: Definition, frame: pd.DataFrame) -> None:
    for column, key in enumerate(placed.table.axis, placed.columns[definition.name]):
        write_words(sheet, placed.header, column, key, None)
        for row, value in enumerate(frame[key], placed.first):
            write_value(sheet, row, column, None if pd.isna(value) else value, None)


def calculated_cells(model: Model, layout: Layout, typed: Typed) -> dict[Place, Value]:
    """What value.py makes of every quantity, by the cell that its formula stands in."""
    values = calculate(model, typed)
    return {
        place: _plain(value)
        for definition in model.order
        if definition.expression is not None
        for place, value in _column(layout.placed[definition.table], definition, values)
    }


def _column(placed: Placed, definition: Definition, values: Values) -> list[tuple[Place, Any]]:
    first, column = placed.first, placed.columns.get(definition.name, FORM_COLUMNS.index("value"))
    if placed.table.kind == "form":
        first = form_rows(placed)[definition.name]
    return [
        ((placed.sheet, xl_rowcol_to_cell(row, column)), value)
        for row, value in enumerate(values[definition.table][definition.name], first)
    ]


def _plain(value: Any) -> Value:
    return value if isinstance(value, str) else value.item() if hasattr(value, "item") else value


def value_of(model: Model, expression: Expression, table: str = "runs") -> list[Any]:
    """The value of an expression of a small model in each row of a table (a form has one)."""
    add_quantity(model[table], expression)
    return list(calculate(model, small_frames())[table][model.order[-1].name])


def add_quantity(table: Table, expression: Expression) -> Column:
    """The expression as one more column, in the unit it comes to."""
    name = f"tried_{len(table.definitions)}"
    powers: Any = (
        expression.unit._units.items()
    )  # the text of a unit fails on powers that are Fractions
    unit_text = "*".join(f"{each}**{int(power)}" for each, power in powers).removesuffix("**1")
    return table.quantity(name, name, unit_text or "1", expression, "Tried.")
