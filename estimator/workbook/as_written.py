"""The inputs and the plan as a workbook was written, kept in it on a hidden sheet.

A person types over inputs; without these the next revision could not tell what was changed since,
nor walk from the price that was issued. They are kept as text (JSON) in cells, which every
spreadsheet program saves again as they are, and they are read by the next revision only.
"""

from __future__ import annotations

import json
from typing import Any

import pandas as pd

from estimator.estimate import Estimate
from estimator.expressions.tables import Table
from estimator.problems import ProblemsFound, raise_if_any
from estimator.project.checks import check_project
from estimator.project.frames import counts_grid, frames, plain
from estimator.project.records import RECORDS, Project, RoomCount
from estimator.project.rows import project_from_rows
from estimator.structure import model_of
from estimator.workbook.layout import area, quoted
from estimator.workbook.page import Cell, Page
from estimator.workbook.read import ReadBook, is_planned
from estimator.workbook.sheets import ALLOWED, print_setup
from estimator.workbook.stored import Stored
from estimator.workbook.styles import REMARK, SMALL, TITLE

AS_WRITTEN, NAME = "As written", "as_written"
ABOUT = (
    "The inputs and the plan as this workbook was written. The next revision begins its list of "
    "changes and its price walk here; nothing else reads it."
)
PIECE = 30_000
"""Characters of a cell; it can hold 32,767."""
FIRST_ROW = 3


def as_written_page(estimate: Estimate) -> tuple[Page, dict[str, str]]:
    """Them on a hidden page, and its defined name."""
    text = json.dumps(_held(estimate), separators=(",", ":"))
    pieces = [text[at : at + PIECE] for at in range(0, len(text), PIECE)]
    page = Page(
        AS_WRITTEN,
        (
            Cell(0, 0, AS_WRITTEN, look=TITLE),
            Cell(1, 0, ABOUT, look=REMARK),
            *(Cell(row, 0, piece, look=SMALL) for row, piece in enumerate(pieces, FIRST_ROW)),
        ),
        widths={0: 100.0},
        printed=print_setup(estimate.project.project, (1, 0)),
        allowed=ALLOWED,
        hidden=True,
    )
    where = area(FIRST_ROW, 0, FIRST_ROW + len(pieces) - 1, 0)
    return page, {NAME: f"={quoted(AS_WRITTEN)}!{where}"}


def _held(estimate: Estimate) -> dict[str, Any]:
    project = estimate.project
    inputs = {
        record.table: [
            {name: _typed(plain(getattr(row, name))) for name in record.model_fields}
            for row in project.rows(record.table)
        ]
        for record in RECORDS
    }
    inputs[RoomCount.table] = _counts(project)
    planned = {
        table.name: {
            name: [_value(value) for value in estimate.typed[table.name][name]]
            for name in _laid_out(table)
        }
        for table in estimate.model
    }
    return {"inputs": inputs, "planned": planned}


def _laid_out(table: Table) -> list[str]:
    """The columns that the tool itself fills."""
    return [each.name for each in table.definitions.values() if each.role in ("label", "planned")]


def _counts(project: Project) -> list[dict[str, Any]]:
    """Every cell of the grid, as it is read back from the sheet Counts."""
    grid = counts_grid(project)
    return [
        {"room_type": row["room_type"], "floor": floor.key, "rooms": row[floor.key]}
        for row in grid.to_dict("records")
        for floor in project.floors
    ]


def _typed(value: Any) -> Any:
    """As a person types it: 36, not 36.0."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _value(value: Any) -> Any:
    return value if value is None or isinstance(value, str) else float(value)


def read_as_written(stored: Stored) -> ReadBook | None:
    """The workbook as it was written; None when that was lost or cannot be read any more."""
    where = stored.areas.get(NAME)
    if where is None:
        return None
    pieces = (stored.cell(where.sheet, row, where.left).value for row in where.rows)
    try:
        held = json.loads("".join(map(str, pieces)))
        project = project_from_rows(held["inputs"], lambda table, row, name: table)
        raise_if_any(check_project(project, lambda table, row, name: table))
        model, _ = model_of(project)
        typed = frames(project)
        for table in model:
            columns = {name: _planned(table, name, held["planned"]) for name in _laid_out(table)}
            typed[table.name] = _with(typed.get(table.name), columns, table.kind == "form")
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, ProblemsFound):
        return None
    return ReadBook(project, typed, ())


def _planned(table: Table, name: str, planned: Any) -> list[Any]:
    """What is kept of a column; raises ValueError when it cannot have stood there."""
    cells = list(planned[table.name][name])
    if not all(is_planned(table.definitions[name], each) for each in cells):
        raise ValueError(f"{table.name}.{name}")
    return cells


def _with(frame: pd.DataFrame | None, columns: dict[str, list[Any]], is_form: bool) -> pd.DataFrame:
    """The input columns of a table, if any, with the planned ones beside them."""
    if frame is None:
        return pd.DataFrame(columns, index=range(1) if is_form else None, dtype=object)
    more = {name: pd.Series(cells, frame.index, dtype=object) for name, cells in columns.items()}
    return frame.assign(**more)
