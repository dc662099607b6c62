"""The project as data frames: what the algebra calculates from."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pandas as pd

from estimator.project.records import RECORDS, Project, Record, RoomCount


def frames(project: Project) -> dict[str, pd.DataFrame]:
    """A frame for each input table, a column for each field; the room counts as a grid."""
    tables = {each.table: _frame(each, project.rows(each.table)) for each in RECORDS}
    tables["counts"] = counts_grid(project)
    return tables


def counts_grid(project: Project) -> pd.DataFrame:
    """Room types down, floors across, 0 where nothing was counted."""
    counted = {(each.room_type, each.floor): each.rooms for each in project.counts}
    columns: dict[str, list[Any]] = {"room_type": [each.key for each in project.types]}
    for floor in project.floors:
        columns[floor.key] = [counted.get((each.key, floor.key), 0) for each in project.types]
    return pd.DataFrame(columns)


def _frame(record: type[Record], rows: Sequence[Record]) -> pd.DataFrame:
    if record is RoomCount:
        return pd.DataFrame()
    return pd.DataFrame(
        {name: [plain(getattr(row, name)) for row in rows] for name in record.model_fields},
        dtype=object,
    )


def plain(value: Any) -> Any:
    """A value as a cell holds it: a number, or words."""
    if isinstance(value, (Fraction, Decimal)):
        return float(value)
    return value.isoformat() if isinstance(value, date) else value
