"""A person spoils one cell of the demo in Calc; the workbook alone says so, and names the row.

What is spoiled is found from the list of tables: every column that holds a name, every table with
values that cannot be, every table and form with formulas. Each cell is put right again before the
next is spoiled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from openpyxl.utils import coordinate_to_tuple, get_column_letter

from estimator.expressions.tables import Definition, Model, Table
from estimator.project.templates import read_template
from estimator.quantities import define_model
from estimator.quantities.completeness import limited_columns
from estimator.quantities.formulas_kept import forms_with_formulas
from estimator.quantities.names import OF_ONE, OF_TWO, tables_with_names
from estimator.workbook.stored import Stored, read_stored
from estimator.workbook.write import write_workbook
from tests.copies.in_calc import typed_in_calc
from tests.engines.cells import Place, Value
from tests.workbook.estimates import estimated

pytestmark = pytest.mark.slow

SAID = ("found", "state", "which")


@dataclass(frozen=True)
class Spoil:
    """What is typed where, which check has to answer, and what it has to name."""

    what: str
    typed: dict[Place, float | str]
    check: str
    names: str


def model_of_demo() -> Model:
    project = read_template("merrowby-lodge")
    return define_model("in", tuple(each.key for each in project.floors))[0]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("spoiled") / "demo.xlsx"
    write_workbook(estimated(read_template("merrowby-lodge")), path)
    return path


def place(stored: Stored, name: str, below: int = 0) -> Place:
    """A cell of a column: its first, or one below it."""
    area = stored.areas[name]
    return area.sheet, f"{get_column_letter(area.left)}{area.top + below}"


def value_at(stored: Stored, name: str) -> float | str:
    area = stored.areas[name]
    value = stored.cell(area.sheet, area.top, area.left).value
    return "" if value is None else str(value) if isinstance(value, str) else float(str(value))


def row_name(stored: Stored, table: Table) -> str:
    """What the first row of a table is called; its title where rows have no name."""
    for column in ("called", "key", "item"):
        if column in table.definitions:
            return str(value_at(stored, f"{table.name}_{column}"))
    return table.title


def lost_names(stored: Stored, model: Model) -> Iterator[Spoil]:
    """A row that is called by the name itself is called nobody then; a key is missed elsewhere."""
    for table, columns in tables_with_names(model):
        for column in columns:
            name = f"{table.name}_{column.name}"
            is_called_by_it = column.name in (*OF_TWO.get(table.name, ()), OF_ONE.get(table.name))
            called = "nobody" if is_called_by_it else row_name(stored, table)
            called = "" if column.name == "key" else called
            yield Spoil(name, {place(stored, name): "nobody"}, "names_lead", called)


def impossible_values(stored: Stored, model: Model) -> Iterator[Spoil]:
    for table, column in limited_columns(model):
        name = f"{table.name}_{column}"
        yield Spoil(name, {place(stored, name): -1}, "values_possible", row_name(stored, table))


def things_left_out(stored: Stored) -> Iterator[Spoil]:
    """The trials that made the demo cheaper without a word."""
    yield Spoil(
        "an operation is for another module",
        {place(stored, "operations_per", made_row(stored)): "hat-shelf"},
        "modules_made_by",
        "shelf-24",
    )
    yield Spoil("a price of 0", {place(stored, "prices_price"): 0}, "prices_not_free",
                str(value_at(stored, "prices_item")))  # fmt: skip
    yield Spoil("an item nobody uses", {place(stored, "items_key"): "wall-screws"}, "items_used",
                "wall-screws")  # fmt: skip
    yield Spoil("a module renamed", {place(stored, "modules_key"): "shelf-25"}, "names_lead",
                "shelf-24 in ")  # fmt: skip
    yield Spoil("a rail renamed", {place(stored, "runs_key"): "rail-x"}, "rails_used", "rail-x")


def made_row(stored: Stored) -> int:
    area = stored.areas["operations_key"]
    keys = [stored.cell(area.sheet, row, area.left).value for row in area.rows]
    return keys.index("make-shelf-24")


def formulas_gone(stored: Stored, model: Model) -> Iterator[Spoil]:
    for table in model:
        if table.kind == "rows" and "typed_over" in table.definitions:
            name = f"{table.name}_{first_number(table).name}"
            yield Spoil(name, {place(stored, name): 1}, "formulas_kept", row_name(stored, table))
    asked = model["all_typed_over"].definitions
    for form in (each for each in forms_with_formulas(model) if each.name in asked):
        name = f"{form.name}_{first_number(form).name}"
        yield Spoil(name, {place(stored, name): 1}, "formulas_kept", form.title)


def first_number(table: Table) -> Definition:
    quantities = (each for each in table.definitions.values() if each.role == "quantity")
    return next(each for each in quantities if not each.is_text)


def said(stored: Stored, check: str) -> list[Place]:
    """Where a check says how many, its state and which."""
    keys = stored.areas["checks_key"]
    at = next(
        row
        for row in range(keys.top, keys.bottom + 1)
        if stored.cell(keys.sheet, row, keys.left).value == check
    )
    return [place(stored, f"checks_{name}", at - keys.top) for name in SAID]


def test_each_spoiled_cell_is_named_by_a_check(demo: Path) -> None:
    stored, model = read_stored(demo), model_of_demo()
    spoils = [*lost_names(stored, model), *impossible_values(stored, model),
              *things_left_out(stored), *formulas_gone(stored, model)]  # fmt: skip
    checks = list(dict.fromkeys(each.check for each in spoils))
    read = [at for check in checks for at in said(stored, check)]
    turns: list[dict[Place, float | str]] = []
    for each in spoils:
        turns += [each.typed, {at: standing(stored, at) for at in each.typed}]
    answers = typed_in_calc(demo, turns, read)
    faults = [
        fault
        for each, answer in zip(spoils, answers[::2], strict=True)
        if (fault := unnamed(each, answer, checks.index(each.check)))
    ]
    assert not faults, "\n".join(faults)
    for spoil, put_right in zip(spoils, answers[1::2], strict=True):
        assert [put_right[at] for at in range(1, len(read), 3)] == ["OK"] * len(checks), spoil.what
    assert len(spoils) > 80


def standing(stored: Stored, at: Place) -> float | str:
    """What stands in a cell, as a person would type it into Calc."""
    sheet, address = at
    cell = stored.cell(sheet, *coordinate_to_tuple(address))
    if cell.formula:
        text = cell.formula.replace("_xlfn.", "").split('"')
        return '"'.join(part if at % 2 else part.replace(",", ";") for at, part in enumerate(text))
    value = cell.value
    return "" if value is None else value if isinstance(value, str) else float(str(value))


def float_of(value: Value) -> float:
    return float(str(value))


def unnamed(spoil: Spoil, answer: list[Value], at: int) -> str:
    """What is wrong with a check's answer; nothing if it is right."""
    found, state, which = answer[3 * at : 3 * at + 3]
    named = spoil.names in str(which)
    if state in ("Fail", "Review") and float_of(found) > 0 and named:
        return ""
    return f"{spoil.what}: {spoil.check} says {found}, {state}, {which}; names {spoil.names}"
