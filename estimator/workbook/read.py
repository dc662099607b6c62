"""The workbook read back: the project as typed, and what the planner wrote, from its defined names.

Columns are found by their names, which the spreadsheet program keeps pointing to the right cells
when rows and columns are moved. Blank rows are passed over; whatever a person typed that cannot be
read in one way is a fault, and all of them are reported together.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd

from estimator.expressions.tables import Definition, Model, Table
from estimator.problems import Problem, ProblemsFound, raise_if_any
from estimator.project.checks import check_project
from estimator.project.frames import frames
from estimator.project.lengths import LengthUnit
from estimator.project.records import FORMS, RECORDS, ColumnOf, Project, Record, RoomCount
from estimator.project.rows import Entry, Found, is_blank, project_from_rows
from estimator.quantities import define_model
from estimator.workbook.areas import BlockRows, TableRows, block_rows, form_cells, table_rows
from estimator.workbook.stored import Stored, place, read_stored
from estimator.workbook.typed import Remark, Said, typed_value


@dataclass(frozen=True)
class ReadBook:
    """A workbook as a person left it.

    typed: its input and planned columns by table, as an Estimate holds them, so that all figures
    can be reckoned without planning. remarks: what was taken in another way than it stands.
    """

    project: Project
    typed: dict[str, pd.DataFrame]
    remarks: tuple[Remark, ...]


def read_workbook(path: Path) -> ReadBook:
    """Everything typed into the workbook; raises ProblemsFound with every fault at once."""
    stored = read_stored(path)
    said = Said()
    for part in stored.archive.beside:
        said.remark(path.name, f"holds {part}, which is neither run nor followed")
    found = _read_tables(path, stored, said)
    project = _project(found, said)
    return ReadBook(project, _typed(project, stored, said), tuple(said.remarks))


def _read_tables(path: Path, stored: Stored, said: Said) -> Found:
    names = [f"{each.table}_{name}" for each in RECORDS for name in each.columns()]
    if not any(name in stored.names for name in names):
        mend = "Open a workbook that was started with this tool, or start one."
        value = "none of the names that mark the tables"
        raise ProblemsFound([Problem(path.name, value, "a workbook of this tool", mend)])
    unit = _unit(stored)
    return Found({each.table: _entries(each, stored, unit, said) for each in RECORDS})


def _unit(stored: Stored) -> LengthUnit:
    """The project's unit of length; inches while its cell is lost or wrong, which is said later."""
    area = stored.areas.get("project_unit")
    typed = stored.cell(area.sheet, area.top, area.left).value if area else None
    return "mm" if typed == "mm" else "in"


def _entries(record: type[Record], stored: Stored, unit: LengthUnit, said: Said) -> list[Entry]:
    columns = {name: about for name, (about, _) in record.columns().items()}
    if record is RoomCount:
        return _counts(columns, block_rows(stored, said), unit, stored, said)
    rows = (form_cells if record in FORMS else table_rows)(stored, record.table, list(columns), said)
    return [_entry(rows, number, columns, unit, stored, said) for number in rows.numbers]


def _entry(
    rows: TableRows, number: int, columns: Mapping[str, ColumnOf], unit: LengthUnit,
    stored: Stored, said: Said,
) -> Entry:  # fmt: skip
    """One row of a table; of a form, its one record."""
    where = {name: rows.position(name, number) for name in columns}
    places = {name: place(*position) for name, position in where.items()}
    fields = {
        name: typed_value(stored.cell(*where[name]), about, unit, places[name], said)
        for name, about in columns.items()
    }
    return Entry(next(iter(places.values())), fields, places)


def _counts(
    columns: Mapping[str, ColumnOf], block: BlockRows, unit: LengthUnit, stored: Stored, said: Said
) -> list[Entry]:
    """A record for each filled cell of the grid of room counts, row by row."""
    found = []
    for row, column in block.filled(stored):
        where = {
            "room_type": (block.sheet, row, block.key_column),
            "floor": (block.sheet, block.axis_row, column),
            "rooms": (block.sheet, row, column),
        }
        places = {name: place(*position) for name, position in where.items()}
        fields = {
            name: typed_value(stored.cell(*where[name]), about, unit, places[name], said)
            for name, about in columns.items()
        }
        found.append(Entry(places["rooms"], fields, places))
    return found


# --- From rows to the project --------------------------------------------------------------------


def _project(found: Found, said: Said) -> Project:
    """The project; what reading a cell already found wrong is not said twice."""
    try:
        project = project_from_rows(found.raw(), found.place)
        later = check_project(project, found.place) if not said.problems else []
    except ProblemsFound as faults:
        later = list(faults.problems)
    known = {each.place for each in said.problems}
    raise_if_any(dict.fromkeys([*said.problems, *(p for p in later if p.place not in known)]))
    return project


# --- What the planner wrote ----------------------------------------------------------------------


def _typed(project: Project, stored: Stored, said: Said) -> dict[str, pd.DataFrame]:
    model, _ = define_model(project.project.unit, [floor.key for floor in project.floors])
    typed = frames(project)
    return {table.name: _frame(table, typed.get(table.name), stored, said) for table in model}


def _frame(
    table: Table, inputs: pd.DataFrame | None, stored: Stored, said: Said
) -> pd.DataFrame:
    """A table's input columns, from the project, beside its planned ones, from the sheet."""
    laid_out = [each for each in table.definitions.values() if each.role in ("label", "planned")]
    if not laid_out:
        return pd.DataFrame(index=range(1)) if inputs is None else inputs
    kept = _inputs_or_labels(table)
    rows = table_rows(stored, table.name, kept, Said())
    planned = {each.name: _planned(each, rows, stored, said) for each in laid_out}
    if inputs is None:
        return pd.DataFrame(planned, dtype=object)
    return inputs.assign(**{n: pd.Series(v, inputs.index, object) for n, v in planned.items()})


def _inputs_or_labels(table: Table) -> list[str]:
    """The columns by which a row is told from a blank one."""
    inputs = [each.name for each in table.definitions.values() if each.role == "input"]
    laid_out = ("label", "planned")
    return inputs or [d.name for d in table.definitions.values() if d.role in laid_out]


def _planned(definition: Definition, rows: TableRows, stored: Stored, said: Said) -> list[Any]:
    """A planned column; what is no number there counts as none, which is said."""
    name = f"{definition.table}_{definition.name}"
    area = stored.areas.get(name)
    if area is None or area.columns != range(area.left, area.left + 1):
        said.remark(f"The name {name}", "points nowhere; that column has to be planned again")
        return [None] * len(rows.numbers)
    return [
        _planned_value(definition, stored, (area.sheet, row, area.left), said)
        for row in rows.numbers
    ]
