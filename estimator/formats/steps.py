"""What a way from one format to the next is built of: columns renamed, rows changed.

Rows are as they were read, from the sheets or from what the workbook keeps of itself: each with its
inputs, and with what the tool laid out and planned in it. They keep saying where they stand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from estimator.formats.description import Description, Name
from estimator.project.rows import Entry

Tables = Mapping[str, Sequence[Entry]]
"""The rows of every table, in their order."""
Step = Callable[[Tables], Tables]


@dataclass(frozen=True)
class Migration:
    """From the workbooks of one format to those of the next.

    renamed: columns that go on under another name; a person's formulas follow them. gone: columns
    that do not go on. steps: pure functions from rows to rows, one after another; they find the
    columns under their new names.
    """

    renamed: Mapping[Name, str]
    gone: frozenset[Name]
    steps: tuple[Step, ...]

    def rows(self, tables: Tables) -> Tables:
        """The rows as the next format has them."""
        tables = {
            name: [_renamed(name, row, self) for row in rows] for name, rows in tables.items()
        }
        for step in self.steps:
            tables = step(tables)
        return tables

    def description(self, description: Description) -> Description:
        """The same workbook with its columns under their new names."""
        return description.renamed(self.renamed)

    def name(self, name: str) -> str:
        """A defined name under which the next format has it."""
        names = {f"{table}_{old}": f"{table}_{new}" for (table, old), new in self.renamed.items()}
        return names.get(name, name)


def _renamed(table: str, row: Entry, migration: Migration) -> Entry:
    def now(fields: Mapping[str, Any]) -> dict[str, Any]:
        return {migration.renamed.get((table, name), name): each for name, each in fields.items()}

    return replace(row, fields=now(row.fields), elsewhere=now(row.elsewhere))


def in_each_row(table: str, change: Callable[[Mapping[str, Any]], Mapping[str, Any]]) -> Step:
    """A step that changes the fields of each row of a table."""

    def step(tables: Tables) -> Tables:
        rows = [replace(row, fields=change(row.fields)) for row in tables.get(table, ())]
        return {**tables, table: rows}

    return step
