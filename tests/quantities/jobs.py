"""Small invented jobs in which only what a test is about costs or counts anything.

A bare job is one room with one module of one part from one sheet, and every rate at nothing. A test
changes the rows it needs: `job(rooms=120, modules=[…], terms={"margin": "0.2"})`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

import pandas as pd

from estimator.estimate import Estimate
from estimator.expressions.value import calculate
from estimator.project.records import FORMS, RECORDS, Project
from estimator.project.rows import project_from_rows
from estimator.project.templates import read_limits, read_template
from tests.workbook.estimates import estimated

Row = dict[str, Any]

FACTS: Row = {"name": "Invented", "unit": "in", "issued": "2026-03-02"}
TERMS: Row = {
    "kerf": "1/8", "trim": 0, "bevel_angle": 45, "end_distance": 0, "waste_yield": "0.85",
    "overhead": 0, "contingency": 0, "margin": 0, "purchase_tax": 0, "sale_tax": 0,
    "taxed_sale": 0, "price_step": "0.01", "add_uplift": 0, "deduct_share": 1,
    "hours_per_day": 8, "site_crew": 1, "trips_per_floor": 0, "distance": 0, "vehicle_rate": 0,
    "lodging": 0, "packing_share": 0, "packed_density": 10, "pallet_load": 100_000,
    "pallet_space": 100_000, "freight_base": 0, "spread_least": 1, "spread_most": 10_000,
    "lift_limit": 51,
}  # fmt: skip
SHEET: Row = {
    "key": "sheet", "name": "Sheet", "form": "sheet", "length": 96, "width": 48,
    "thickness": "3/4", "density": 40,
}  # fmt: skip
MODULE: Row = {"key": "box", "name": "Box", "width": 10, "height": 10, "depth": 10, "load": 0}
PART: Row = {
    "key": "board", "module": "box", "name": "Board", "material": "sheet", "length": 10,
    "width": 10, "each": 1,
}  # fmt: skip
PROFILE: Row = {
    "key": "rail", "name": "Rail", "material": "sheet", "width": "5 1/2", "screws_per_stud": 2,
    "upper_screws": 1, "screw_line": "4 1/4", "screw": "item",
}  # fmt: skip
RUN: Row = {
    "key": "wall", "room_type": "room", "profile": "rail", "length": 48, "bottom": 60,
    "spacing": 16, "wall": "wood",
}  # fmt: skip
WORK: Row = {
    "key": "work", "name": "Work", "where": "shop", "per": "rooms", "minutes": 60, "setup": 0,
    "setup_per": "job", "crew": 1, "repetition": 1, "grade": "maker",
}  # fmt: skip
GRADE: Row = {"key": "maker", "name": "Maker", "wage": 1, "burden": 0}
ITEM: Row = {"key": "item", "name": "Item", "kind": "hardware", "pack": 1, "loss": 0}
FINISH: Row = {"key": "oil", "name": "Oil", "coats": 1, "spread": 400, "loss": 0}
CAN: Row = {"key": "can", "finish": "oil", "name": "Can", "size": "large", "holds": 1, "price": 0}


def job(rooms: int = 1, **tables: Any) -> Project:
    """A bare job of so many rooms of one type, with these tables instead of the bare ones.

    A form (project, terms) is given as the fields that differ, any other table as all its rows.
    """
    rows: dict[str, list[Row]] = {
        **{name: list(map(dict, found)) for name, found in read_limits("in").raw().items()},
        "project": [FACTS | tables.pop("project", {})],
        "terms": [TERMS | tables.pop("terms", {})],
        "floors": [{"key": "F1", "name": "First"}],
        "types": [{"key": "room", "name": "Room"}],
        "counts": [{"room_type": "room", "floor": "F1", "rooms": rooms}],
        "contents": [{"room_type": "room", "module": "box", "each": 1}],
        "modules": [MODULE],
        "parts": [PART],
        "materials": [SHEET],
        "grades": [GRADE],
        "stages": [{"number": 1, "name": "All", "share": 1}],
    }
    return project_from_rows(rows | tables, lambda table, row, name: f"{table} {row} {name}")


@cache
def _limits(unit: str) -> dict[str, list[Row]]:
    """The other forms, whose limits no bare job is about, as a template has them."""
    template = read_template({"in": "one-wall", "mm": "one-wall-metric"}[unit])
    return {each.table: [dict(getattr(template, each.table))] for each in FORMS}


def figures(project: Project, table: str, row: int = 0) -> Mapping[str, Any]:
    """One row of a table of the estimate, by column."""
    return {str(name): each for name, each in values(project)[table].iloc[row].items()}


def values(project: Project) -> dict[str, pd.DataFrame]:
    """All figures of the estimate, under a stand-in for the cut plan."""
    return estimated(project).values


def at_rooms(estimate: Estimate, rooms: float, table: str, *names: str) -> list[list[Any]]:
    """Columns of a bare job's table when so many rooms are counted, and nothing else calculated."""
    model = estimate.model
    typed = {**estimate.typed, "counts": estimate.typed["counts"].assign(F1=rooms)}
    found = calculate(model, typed, [model[table][name] for name in names])[table]
    return [found[name].tolist() for name in names]


def raw_rows(project: Project) -> dict[str, list[Row]]:
    """The project's rows by table, to be changed and read again."""
    tables: dict[str, Sequence[Any]] = {
        each.table: [getattr(project, each.table)]
        if each in FORMS
        else getattr(project, each.table)
        for each in RECORDS
    }
    return {table: [dict(row) for row in rows] for table, rows in tables.items()}
