"""The workbook read back: the project as typed, and what the planner wrote, from its defined names.

Columns are found by their names, which the spreadsheet program keeps pointing to the right cells
when rows and columns are moved. Blank rows are passed over; whatever a person typed that cannot be
read in one way is a fault, and all of them are reported together. A workbook of an older format is
read by its own description, and its rows are taken on to the present format.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from estimator.formats.migrations import FORMAT, rows_of_today
from estimator.formats.steps import Tables
from estimator.problems import Problem, ProblemsFound, raise_if_any
from estimator.project.checks import check_project
from estimator.project.records import FORMS, RECORDS, Project
from estimator.project.rows import Found, Places, project_from_rows
from estimator.workbook.from_rows import frames_of, inputs_of, with_defaults
from estimator.workbook.origin import Origin, origin_of
from estimator.workbook.stored import Stored, read_stored
from estimator.workbook.table_rows import rows_as_stored
from estimator.workbook.typed import Remark, Said


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
    origin = origin_of(stored)
    _refuse_stranger(stored, origin)
    _say_what_is_older(stored, origin, said)
    tables = rows_of_today(rows_as_stored(stored, origin, said), origin.number)
    tables = with_defaults(tables, said)
    project = _project(tables, said)
    return ReadBook(project, frames_of(project, tables), tuple(said.remarks))


def _refuse_stranger(stored: Stored, origin: Origin) -> None:
    """A workbook without any of the names is another's; a list of 200 lost names would not help."""
    if not any(
        f"{table}_{name}" in stored.names
        for table, about in origin.description.tables.items()
        for name in about.of_role("input", "block")
    ):
        found = "no table of this tool"
        fix = "Give the path of a workbook that was started with this tool."
        raise ProblemsFound([Problem(stored.archive.name, found, "a workbook of this tool", fix)])


def _say_what_is_older(stored: Stored, origin: Origin, said: Said) -> None:
    if origin.is_older:
        words = f"is of format {origin.number} and read as format {FORMAT}, which its next revision"
        said.remark(stored.archive.name, f"{words} will be of")


def _project(tables: Tables, said: Said) -> Project:
    """The project; what is already known to be wrong with a cell or a table is not said twice."""
    found = Found(inputs_of(tables))
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
