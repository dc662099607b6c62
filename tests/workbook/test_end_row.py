"""A row inserted above a table's end row, in the real Calc, is calculated with like any other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from estimator.estimate import Estimate, calculate_book
from estimator.project.templates import read_template
from estimator.workbook import END
from tests.engines import calc
from tests.engines.cells import formula_values, values
from tests.engines.compare import disagreements
from tests.workbook.conftest import Book, write_book
from tests.workbook.estimates import estimated
from tests.workbook.formulas import address, cells_of_name

INSERTING = Path(__file__).with_name("inserting.py")
SECONDS = 240
NEW_ROWS: dict[str, dict[str, Any]] = {
    "contents": {"room_type": "home-wall", "module": "small-ledge", "each": 3, "run": ""},
    "uses": {"per": "rooms", "item": "wall-screw", "amount": 250},
    "prices": {"item": "birch-ply", "from_quantity": 2, "price": 71.25, "source": "typed"},
}


@dataclass(frozen=True)
class Edited:
    """A workbook as it was written, and as Calc saved it with rows inserted."""

    book: Book
    with_formulas: Path
    without_formulas: Path


@pytest.fixture(scope="module")
def edited(tmp_path_factory: pytest.TempPathFactory) -> Edited:
    folder = tmp_path_factory.mktemp("rows")
    book = write_book(estimated(read_template("one-wall")), folder / "book.xlsx")
    made = Edited(book, folder / "with.xlsx", folder / "without.xlsx")
    copied = [inserted(book, table, row, copied=True) for table, row in NEW_ROWS.items()]
    bare = [inserted(book, "contents", NEW_ROWS["contents"], copied=False)]
    jobs = [(made.with_formulas, copied), (made.without_formulas, bare)]
    insert_in_calc(book.path, jobs)
    return made


def inserted(book: Book, table: str, row: Mapping[str, Any], *, copied: bool) -> dict[str, Any]:
    """A row to insert: its sheet, where, and its cells by column letter."""
    ends = {name: cells_of_name(book.read, f"{table}_{name}")[-1] for name in row}
    end = next(iter(ends.values()))
    cells = {get_column_letter(ends[name].column): value for name, value in row.items()}
    return {"sheet": end.parent.title, "above": end.row, "copied": copied, "cells": cells}


def insert_in_calc(source: Path, jobs: Sequence[tuple[Path, Sequence[Mapping[str, Any]]]]) -> None:
    """Save each target as the source with rows inserted."""
    given = [
        {"source": source.as_uri(), "target": target.as_uri(), "rows": rows}
        for target, rows in jobs
    ]
    calc.do(INSERTING, SECONDS, jobs=given)


def with_rows(estimate: Estimate, rows: Mapping[str, Mapping[str, Any]]) -> Estimate:
    """The package's own figures with the rows at the ends of their tables, under the same plan."""
    more = {
        table: pd.concat([estimate.typed[table], pd.DataFrame([row])], ignore_index=True)
        for table, row in rows.items()
    }
    return calculate_book(estimate.project, {**estimate.typed, **more})


@pytest.mark.slow
def test_inserted_rows_are_counted(edited: Edited, tmp_path: Path) -> None:
    """Every cell is what the package writes when the rows were there from the start."""
    expected = write_book(with_rows(edited.book.estimate, NEW_ROWS), tmp_path / "book.xlsx")
    fresh = formula_values(edited.with_formulas)
    assert disagreements(formula_values(expected.path), fresh, at_least=500) == []
    before, after = (
        each.values["price"]["total"][0] for each in (edited.book.estimate, expected.estimate)
    )
    assert after > before, "the rows were to make a difference"


@pytest.mark.slow
def test_a_row_without_formulas_is_told(edited: Edited) -> None:
    """A person who forgets to copy the formulas down reads it on the sheet Checks."""
    states = {name: cells_of_name(edited.book.read, f"checks_{name}") for name in ("key", "state")}
    (place,) = [
        ("Checks", state.coordinate)
        for key, state in zip(states["key"], states["state"], strict=True)
        if key.value == "rows_calculated"
    ]
    assert values(edited.book.path)[place] == "OK"
    assert values(edited.without_formulas)[place] == "Fail"


def test_every_range_takes_in_its_end_row(book: Book) -> None:
    """So that a spreadsheet program widens it when a row is inserted above."""
    for table in book.estimate.model:
        for name in table.definitions if table.kind != "form" else ():
            end = cells_of_name(book.read, f"{table.name}_{name}")[-1]
            assert isinstance(end.parent, Worksheet)
            words = [cell.value for cell in end.parent[end.row]]
            assert END in words, f"{table.name}_{name} ends at {address(end)}"
