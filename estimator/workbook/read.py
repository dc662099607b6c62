"""The workbook read back: the project as typed, and what the planner wrote, from its defined names.

Columns are found by their names, which the spreadsheet program keeps pointing to the right cells
when rows and columns are moved. Blank rows are passed over; whatever a person typed that cannot be
read in one way is a fault, and all of them are reported together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd

from estimator.expressions.tables import Definition, Table
from estimator.problems import Problem, ProblemsFound, raise_if_any
from estimator.project.checks import check_project
from estimator.project.frames import frames
from estimator.project.lengths import LengthUnit
from estimator.project.lookup import spellings
from estimator.project.records import FORMS, RECORDS, FieldAbout, Project, Record, RoomCount
from estimator.project.rows import Entry, Found, Places, project_from_rows
from estimator.structure import model_of
from estimator.workbook.positions import (
    Positions,
    count_positions,
    form_positions,
    row_positions,
)
from estimator.workbook.stored import Position, Stored, place, read_stored
from estimator.workbook.typed import Remark, Said, typed_value

LARGEST = 10**12
"""Of what the planner wrote; what is typed is held to its own bounds."""


@dataclass(frozen=True)
class ReadBook:
    """A workbook as a person left it.

    typed: its input and planned columns by table, as an Estimate holds them, so that all figures
    can be calculated without planning. remarks: what was read in another way than it stands.
    """

    project: Project
    typed: dict[str, pd.DataFrame]
    remarks: tuple[Remark, ...]


def read_workbook(path: Path) -> ReadBook:
    """Everything typed into the workbook; raises ProblemsFound with every fault at once."""
    return read_book(read_stored(path))


def read_book(stored: Stored) -> ReadBook:
    """Everything typed into a workbook that was opened; raises ProblemsFound as `read_workbook`."""
    said = Said()
    for part in stored.archive.beside:
        said.remark(stored.archive.name, f"holds {part}, which is neither run nor followed")
    _refuse_stranger(stored)
    positions = {each.table: _positions(each, stored, said) for each in RECORDS}
    project = _project(_found(positions, stored, said), said)
    return ReadBook(project, _typed(project, positions, stored, said), tuple(said.remarks))


def _refuse_stranger(stored: Stored) -> None:
    """A workbook without any of the names is another's; a list of 200 lost names would not help."""
    if not any(
        f"{each.table}_{name}" in stored.names for each in RECORDS for name in each.columns()
    ):
        found = "no table of this tool"
        fix = "Give the path of a workbook that was started with this tool."
        raise ProblemsFound([Problem(stored.archive.name, found, "a workbook of this tool", fix)])


# --- What was typed ------------------------------------------------------------------------------


def _positions(record: type[Record], stored: Stored, said: Said) -> Positions:
    if record is RoomCount:
        return count_positions(stored, said)
    find = form_positions if record in FORMS else row_positions
    return find(stored, record.table, list(record.columns()), said)


def _found(positions: Mapping[str, Positions], stored: Stored, said: Said) -> Found:
    """The rows of all tables, with their places."""
    unit = _unit(positions["project"], stored)
    tables = {}
    for record in RECORDS:
        columns = {name: about for name, (about, _) in record.columns().items()}
        rows = positions[record.table]
        tables[record.table] = [_entry(row, columns, unit, stored, said) for row in rows]
    return Found(tables)


def _unit(facts: Positions, stored: Stored) -> LengthUnit:
    """The project's unit of length; inches while its cell is lost or wrong, which is said later."""
    return "mm" if facts and stored.cell(*facts[0]["unit"]).value == "mm" else "in"


def _entry(
    row: Mapping[str, Position],
    columns: Mapping[str, FieldAbout],
    unit: LengthUnit,
    stored: Stored,
    said: Said,
) -> Entry:
    places = {name: place(*position) for name, position in row.items()}
    fields = {
        name: typed_value(stored.cell(*row[name]), about, unit, places[name], said)
        for name, about in columns.items()
    }
    return Entry(next(iter(places.values())), fields, places)


def _project(found: Found, said: Said) -> Project:
    """The project; what is already known to be wrong with a cell or a table is not said twice."""
    places = _places(found)
    try:
        project = project_from_rows(found.raw(), places)
        later = [] if said.problems else check_project(project, places)
    except ProblemsFound as faults:
        later = list(faults.problems)
    known = {each.place for each in said.problems}
    if said.problems:
        known |= {places(form.table, 1, "") for form in FORMS}
    raise_if_any(dict.fromkeys([*said.problems, *(p for p in later if p.place not in known)]))
    return project


def _places(found: Found) -> Places:
    sheets = {record.table: record.sheet for record in RECORDS}

    def where(table: str, row: int, name: str) -> str:
        if row < len(found.entries(table)):
            return found.place(table, row, name)
        return f"sheet {sheets[table]}"

    return where


# --- What the planner wrote ----------------------------------------------------------------------


def _typed(
    project: Project, positions: Mapping[str, Positions], stored: Stored, said: Said
) -> dict[str, pd.DataFrame]:
    """Per table its input columns, from the project, beside its planned ones, from the sheet."""
    model, _ = model_of(project)
    typed = frames(project)
    for table in model:
        planned = _as_spelt(
            _planned(table, positions.get(table.name), stored, said), table, project
        )
        if table.name not in typed:
            rows = range(1) if table.kind == "form" else None
            typed[table.name] = pd.DataFrame(planned, index=rows, dtype=object)
        elif planned:
            frame = typed[table.name]
            columns = {
                name: pd.Series(cells, frame.index, dtype=object) for name, cells in planned.items()
            }
            typed[table.name] = frame.assign(**columns)  # as objects, so that blanks stay None
    return typed


def _planned(
    table: Table, inputs: Positions | None, stored: Stored, said: Said
) -> dict[str, list[Any]]:
    """The columns that the tool laid out or planned, in the rows of the table's inputs if any."""
    laid_out = [each for each in table.definitions.values() if each.role in ("label", "planned")]
    names = [each.name for each in laid_out if f"{table.name}_{each.name}" in stored.areas]
    if table.kind == "form":
        return {each.name: _planned_field(each, stored, said) for each in laid_out}
    rows = row_positions(stored, table.name, names, Said()) if inputs is None else inputs
    return {each.name: _planned_column(each, rows, stored, said) for each in laid_out}


def _planned_field(definition: Definition, stored: Stored, said: Said) -> list[Any]:
    area = stored.areas.get(f"{definition.table}_{definition.name}")
    if area is None:
        return [None]
    return [_planned_value(definition, (area.sheet, area.top, area.left), stored, said)]


def _as_spelt(
    planned: dict[str, list[Any]], table: Table, project: Project
) -> dict[str, list[Any]]:
    """The columns with their names of rows spelt as the project's keys are now."""
    for name, cells in planned.items():
        known = spellings(project, table.definitions[name].refers_to)
        planned[name] = (
            [known.get(str(each).casefold(), each) for each in cells] if known else cells
        )
    return planned


def _planned_column(
    definition: Definition, rows: Sequence[Mapping[str, Position]], stored: Stored, said: Said
) -> list[Any]:
    name = f"{definition.table}_{definition.name}"
    area = stored.areas.get(name)
    if area is None:
        said.remark(f"The name {name}", "points nowhere; plan again to have its column back")
        return [None] * len(rows)
    cells = [(area.sheet, next(iter(row.values()))[1], area.left) for row in rows]
    return [_planned_value(definition, cell, stored, said) for cell in cells]


def _planned_value(definition: Definition, where: Position, stored: Stored, said: Said) -> Any:
    """What stands in a planned cell; what is not of its kind counts as nothing, and is said."""
    value = stored.cell(*where).value
    if is_planned(definition, value):
        return value
    said.remark(place(*where), f"holds {value!r} where a planned value stood; plan again")
    return None


def is_planned(definition: Definition, value: Any) -> bool:
    """Whether a planned cell can hold the value: nothing, or words or a number as its column is."""
    if value is None or definition.is_text:
        return value is None or isinstance(value, str)
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= LARGEST
