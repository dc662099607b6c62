"""From the rows of a workbook, in the present format, to what is calculated from.

Lists that are there to be read are laid out from the code, whatever the workbook has: a check that
is added tomorrow is answered for a workbook of today.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import pandas as pd

from estimator.expressions.tables import Table
from estimator.formats.steps import Tables
from estimator.project.frames import frames
from estimator.project.lookup import spellings
from estimator.project.records import FORMS, RECORDS, Project, Record
from estimator.project.rows import Entry
from estimator.structure import model_of, reading_lists
from estimator.workbook.typed import Said


def inputs_of(tables: Tables) -> dict[str, list[Entry]]:
    """What is typed in the rows, without what the tool laid out and planned in them."""
    return {
        record.table: [
            Entry(row.place, _only(row.fields, record.columns()), row.elsewhere)
            for row in tables.get(record.table, ())
        ]
        for record in RECORDS
    }


def _only(fields: Any, names: Iterable[str]) -> dict[str, Any]:
    return {name: fields[name] for name in names if name in fields}


def with_defaults(tables: Tables, said: Said) -> Tables:
    """With a row for each form that the workbook does not have yet; what it lacks is said.

    A column that the workbook does not have is left out of the rows, so that its default stands.
    """
    made = dict(tables)
    for record in RECORDS:
        if record in FORMS and record.table not in tables and _can_be_blank(record):
            made[record.table] = [Entry(f"sheet {record.sheet}", {})]
        for name in _wanting(record, made.get(record.table, ())):
            about, info = record.columns()[name]
            words = f"is no column of this workbook; it is taken as {_shown(info.default)}"
            said.remark(f"{record.title}, {about.label}", words)
    return made


def _can_be_blank(record: type[Record]) -> bool:
    return not any(info.is_required() for _, info in record.columns().values())


def _wanting(record: type[Record], rows: Sequence[Entry]) -> list[str]:
    """The columns with a default that no row has."""
    if not rows:
        return []
    return [
        name
        for name, (_, info) in record.columns().items()
        if not info.is_required() and not any(name in row.fields for row in rows)
    ]


def _shown(default: Any) -> str:
    return f"“{default}”" if default or default == 0 else "blank"


def frames_of(project: Project, tables: Tables) -> dict[str, pd.DataFrame]:
    """Per table its input columns, from the project, beside what the tool laid out and planned."""
    model, checks = model_of(project)
    typed = frames(project)
    lists = reading_lists(project, model, checks)
    for table in model:
        rows = tables.get(table.name, ())
        if table.name in lists:
            typed[table.name] = _with_planned(lists[table.name], table, rows)
        elif table.name in typed:
            typed[table.name] = _beside(typed[table.name], table, rows, project)
        else:
            columns = _laid_out(table, rows, project)
            index = range(1) if table.kind == "form" else None
            typed[table.name] = pd.DataFrame(columns, index=index, dtype=object)
    return typed


def _beside(
    frame: pd.DataFrame, table: Table, rows: Sequence[Entry], project: Project
) -> pd.DataFrame:
    columns = _laid_out(table, rows, project)
    as_objects = {name: pd.Series(c, frame.index, dtype=object) for name, c in columns.items()}
    return frame.assign(**as_objects)  # as objects, so that blanks stay None


def _laid_out(table: Table, rows: Sequence[Entry], project: Project) -> dict[str, list[Any]]:
    """The columns that the tool laid out or planned, names of rows spelt as their keys are now."""
    if table.kind == "form" and not rows:
        rows = [Entry("", {})]
    found = {}
    for each in table.definitions.values():
        if each.role in ("label", "planned"):
            known = spellings(project, each.refers_to)
            cells = (row.fields.get(each.name) for row in rows)
            found[each.name] = [
                known.get(cell.casefold(), cell) if isinstance(cell, str) else cell
                for cell in cells
            ]
    return found


def _with_planned(frame: pd.DataFrame, table: Table, rows: Sequence[Entry]) -> pd.DataFrame:
    """A list with what the planner wrote beside rows of the same key."""
    by_key = {row.fields.get("key"): row.fields for row in rows}
    planned = [each.name for each in table.definitions.values() if each.role == "planned"]
    columns = {
        name: pd.Series([by_key.get(k, {}).get(name) for k in frame["key"]], dtype=object)
        for name in planned
    }
    return frame.assign(**columns)
