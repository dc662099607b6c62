"""Rows of a project by table, and by key."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol, TypeVar

from estimator.project.records import RECORDS, Project, Record


class Keyed(Protocol):
    """A row that has a key."""

    @property
    def key(self) -> str:
        """Its short name."""


Row = TypeVar("Row", bound=Keyed)


def rows_of(project: Project, table: str) -> tuple[Record, ...]:
    """The rows of a table; of a form, its one record."""
    value = getattr(project, table)
    return value if isinstance(value, tuple) else (value,)


def every_row(project: Project) -> Iterator[tuple[str, int, Record]]:
    """Table, number counted from 0, and row, of all tables."""
    for record in RECORDS:
        for number, row in enumerate(rows_of(project, record.table)):
            yield record.table, number, row


def keys_of(project: Project, table: str) -> list[str]:
    """The keys of a table; none if its rows have no key."""
    return [row.key for row in rows_of(project, table) if hasattr(row, "key")]


def by_key(rows: Iterable[Row]) -> dict[str, Row]:
    """The rows by their keys."""
    return {row.key: row for row in rows}
