"""The inputs and the plan as a workbook was written, kept in it on a hidden sheet.

A person types over inputs; without these the next revision could not tell what was changed since,
nor walk from the price that was issued. They are kept as text (JSON) in cells, which every
spreadsheet program saves again as they are, and they are read by the next revision only.
"""

from __future__ import annotations

import json
from typing import Any

from estimator import __version__
from estimator.estimate import Estimate
from estimator.expressions.tables import Table
from estimator.formats.description import Description, written
from estimator.formats.migrations import FORMAT, rows_of_today
from estimator.problems import ProblemsFound, raise_if_any
from estimator.project.checks import check_project
from estimator.project.frames import counts_grid, plain
from estimator.project.records import RECORDS, Project, RoomCount
from estimator.project.rows import Entry, Found, project_from_rows
from estimator.workbook.from_rows import frames_of, inputs_of, with_defaults
from estimator.workbook.layout import area, quoted
from estimator.workbook.origin import DESCRIPTION_NAME, FORMAT_NAME, VERSION_NAME, Origin, origin_of
from estimator.workbook.page import Cell, Page
from estimator.workbook.read import ReadBook
from estimator.workbook.sheets import ALLOWED, print_setup
from estimator.workbook.stored import Stored
from estimator.workbook.styles import REMARK, SMALL, TITLE
from estimator.workbook.table_rows import can_stand
from estimator.workbook.typed import Said

AS_WRITTEN, NAME = "As written", "as_written"
ABOUT = (
    "The inputs and the plan as this workbook was written, and what it is made of. The next "
    "revision begins its list of changes and its price walk here."
)
PIECE = 30_000
"""Characters of a cell; it can hold 32,767."""
FIRST_ROW = 6


def as_written_page(estimate: Estimate, description: Description) -> tuple[Page, dict[str, str]]:
    """Them on a hidden page with the number of the format, and its defined names."""
    columns = {
        NAME: _pieces(json.dumps(_held(estimate), separators=(",", ":"))),
        DESCRIPTION_NAME: _pieces(written(description)),
    }
    page = Page(
        AS_WRITTEN,
        (
            Cell(0, 0, AS_WRITTEN, look=TITLE),
            Cell(1, 0, ABOUT, look=REMARK),
            Cell(3, 0, "Format of this workbook, and the version that wrote it", look=SMALL),
            Cell(3, 1, FORMAT, look=SMALL),
            Cell(4, 1, __version__, look=SMALL),
            *(
                Cell(row, column, piece, look=SMALL)
                for column, pieces in enumerate(columns.values())
                for row, piece in enumerate(pieces, FIRST_ROW)
            ),
        ),
        widths={0: 100.0, 1: 100.0},
        printed=print_setup(estimate.project.project, (1, 0)),
        allowed=ALLOWED,
        hidden=True,
    )
    areas = {FORMAT_NAME: area(3, 1, 3, 1), VERSION_NAME: area(4, 1, 4, 1)} | {
        name: area(FIRST_ROW, column, FIRST_ROW + len(pieces) - 1, column)
        for column, (name, pieces) in enumerate(columns.items())
    }
    return page, {name: f"={quoted(AS_WRITTEN)}!{where}" for name, where in areas.items()}


def _pieces(text: str) -> list[str]:
    """A long text for the cells of a column."""
    return [text[at : at + PIECE] for at in range(0, len(text), PIECE)]


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
    origin = origin_of(stored)
    try:
        held = json.loads("".join(map(str, pieces)))
        tables = rows_of_today(_rows(held, origin), origin.number)
        tables = with_defaults(tables, Said())
        project = project_from_rows(Found(inputs_of(tables)).raw(), lambda table, row, name: table)
        raise_if_any(check_project(project, lambda table, row, name: table))
        return ReadBook(project, frames_of(project, tables), ())
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, ProblemsFound):
        return None


def _rows(held: Any, origin: Origin) -> dict[str, list[Entry]]:
    """The rows that are kept; raises ValueError when one cannot have stood there."""
    found = {}
    for table, about in origin.description.tables.items():
        planned = {name: list(cells) for name, cells in held["planned"].get(table, {}).items()}
        if not all(can_stand(about.columns[name], c) for name, cs in planned.items() for c in cs):
            raise ValueError(table)
        count = len(next(iter(planned.values()), ()))
        typed = held["inputs"].get(table) or [{} for _ in range(count)]
        found[table] = [
            Entry(table, {**row, **{name: cells[at] for name, cells in planned.items()}})
            for at, row in enumerate(typed)
        ]
    return found
