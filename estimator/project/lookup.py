"""Rows of a project by table, and by key."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Protocol, TypeVar

from estimator.project.records import MEASURES, PALLET, RECORDS, Project, Record


class Keyed(Protocol):
    """A row that has a key."""

    @property
    def key(self) -> str:
        """Its code."""


Row = TypeVar("Row", bound=Keyed)


def every_row(project: Project) -> Iterator[tuple[str, int, Record]]:
    """Table, number counted from 0, and row, of all tables."""
    for record in RECORDS:
        for number, row in enumerate(project.rows(record.table)):
            yield record.table, number, row


def by_key(rows: Iterable[Row]) -> dict[str, Row]:
    """The rows by their keys."""
    return {row.key: row for row in rows}


def names_in(project: Project, table: str) -> Iterable[str]:
    """The names that a column may refer to in a table, or in the lists that are no tables."""
    if table == "measures":
        return MEASURES
    return (PALLET,) if table == "freight" else project.keys(table)


def spellings(project: Project, tables: Iterable[str]) -> dict[str, str]:
    """Names that may be referred to, as they are spelt, by the name without regard to case."""
    return {name.casefold(): name for table in tables for name in names_in(project, table)}


def with_names_as_spelt(project: Project) -> Project:
    """The project with every reference spelt as the key that it refers to.

    A spreadsheet compares words without regard to case, so `King` finds the key `king` there; here
    the two are made one when they are read, and nothing further down has to fold case.
    """
    # A key that is itself a reference, as that of a screw to its item, is spelt before it is used.
    for record in sorted(RECORDS, key=lambda each: not _key_refers(each)):
        known = _spellings_of_fields(record, project)
        if known:
            rows = tuple(_as_spelt(row, known) for row in project.rows(record.table))
            project = project.model_copy(update={record.table: rows})
    return project


def _key_refers(record: type[Record]) -> bool:
    columns = record.columns()
    return "key" in columns and bool(columns["key"][0].refers_to)


def _spellings_of_fields(record: type[Record], project: Project) -> dict[str, dict[str, str]]:
    """For each field that refers to something, what it may refer to."""
    return {
        name: spellings(project, about.refers_to)
        for name, (about, _) in record.columns().items()
        if about.refers_to
    }


def _as_spelt(row: Record, known: Mapping[str, Mapping[str, str]]) -> Record:
    values = {name: getattr(row, name) for name in known}
    spelt = {name: known[name].get(each.casefold(), each) for name, each in values.items()}
    return row if spelt == values else row.model_copy(update=spelt)
