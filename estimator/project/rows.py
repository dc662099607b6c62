"""Rows as they were read, from whatever file, become a Project, or the list of their faults."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError
from pydantic.fields import FieldInfo

from estimator.problems import Problem, raise_if_any
from estimator.project.faults import blank_problem, problem_of
from estimator.project.lengths import LengthUnit
from estimator.project.lookup import with_names_as_spelt
from estimator.project.records import FORMS, RECORDS, Project, Record

Row = Mapping[str, Any]
Places = Callable[[str, int, str], str]
"""From a table, a row counted from 0 and a field ("" for the whole row) to where it was read."""


@dataclass(frozen=True)
class Entry:
    """A row as read, with where it stands, and where those fields stand that stand elsewhere."""

    place: str
    fields: Row
    elsewhere: Mapping[str, str] = field(default_factory=dict)

    def place_of(self, name: str) -> str:
        """Where a field stands; the row's place for the name ""."""
        return self.elsewhere.get(name, f"{self.place}, {name}" if name else self.place)


@dataclass(frozen=True)
class Found:
    """What was read: entries by table, in order, and what went wrong in reading."""

    tables: Mapping[str, Sequence[Entry]] = field(default_factory=dict)
    problems: Sequence[Problem] = ()

    def entries(self, table: str) -> Sequence[Entry]:
        """The table's entries; none if nothing was read for it."""
        return self.tables.get(table, ())

    def raw(self) -> dict[str, list[Row]]:
        """The rows by table, without their places."""
        return {table: [each.fields for each in entries] for table, entries in self.tables.items()}

    def place(self, table: str, row: int, name: str) -> str:
        """Where a field stands, or its row, or its table when there is no such row."""
        entries = self.entries(table)
        return entries[row].place_of(name) if row < len(entries) else table


def in_words(table: str, row: int, name: str) -> str:
    """A place by its titles: Containers, row 2, Price. row: counted from 0."""
    record = next(each for each in RECORDS if each.table == table)
    label = f", {record.columns()[name][0].label}" if name else ""
    return f"{record.title}, row {row + 1}{label}"


def merged(parts: Iterable[Found]) -> Found:
    """All entries and problems of the parts, in their order."""
    tables: dict[str, list[Entry]] = {}
    problems: list[Problem] = []
    for part in parts:
        problems.extend(part.problems)
        for table, entries in part.tables.items():
            tables.setdefault(table, []).extend(entries)
    return Found(tables, problems)


# --- From rows to a project ---------------------------------------------------------------------


def project_from_rows(
    raw: Mapping[str, Sequence[Row]], places: Places, reading: Sequence[Problem] = ()
) -> Project:
    """The project whose input tables hold these rows.

    raw: rows by table, named as in RECORDS, each from field to value as typed; None and blank text
    are blank cells. reading: what already went wrong in reading them.
    Raises ProblemsFound with that and every fault of every row.
    """
    unit = unit_of(raw)
    tables: dict[str, list[Record]] = {}
    problems = list(reading)
    for record in RECORDS:
        rows = raw.get(record.table, ())
        read = [_read(record, row, unit, places, number) for number, row in enumerate(rows)]
        tables[record.table] = [made for made, _ in read if made]
        problems += [problem for _, faults in read for problem in faults]
        problems += _not_once(record, len(rows), places)
    raise_if_any(problems)
    forms = {record.table: tables.pop(record.table)[0] for record in FORMS}
    return with_names_as_spelt(Project.model_validate({**forms, **tables}))


def unit_of(raw: Mapping[str, Sequence[Row]]) -> LengthUnit:
    """The project's unit of length as typed; inches while it is missing or wrong."""
    facts = raw.get("project", ())
    return "mm" if facts and facts[0].get("unit") == "mm" else "in"


def _not_once(record: type[Record], count: int, places: Places) -> list[Problem]:
    if record not in FORMS or count == 1:
        return []
    fix = "Keep one of them." if count else f"Add it. {record.about}"
    place = places(record.table, 0, "")
    return [Problem(place, f"{count} of them", f"{record.title} once", fix)]


def _read(
    record: type[Record], row: Row, unit: LengthUnit, places: Places, number: int
) -> tuple[Record | None, list[Problem]]:
    """The row's record, or None with all its problems."""

    def place(name: str) -> str:
        return places(record.table, number, name)

    columns = record.columns()
    wanting = [name for name, (_, info) in columns.items() if _left_blank(row, name, info)]
    problems = [blank_problem(place(name), columns[name][0]) for name in wanting]
    filled = {name: value for name, value in row.items() if not is_blank(value)}
    try:
        made = record.model_validate(filled, context={"unit": unit})
    except ValidationError as error:
        faults = [each for each in error.errors() if each["loc"][0] not in wanting]
        return None, problems + [problem_of(each, record, place) for each in faults]
    return (None, problems) if problems else (made, [])


def _left_blank(row: Row, name: str, info: FieldInfo) -> bool:
    """Whether a cell that has to hold something is there and holds nothing.

    A blank cell counts as 0 or as no text in a formula, so only a default of that kind may stand
    for it; another default, such as yes, stands for a field that is left out of a template.
    """
    blank_means_default = not info.is_required() and not info.default
    return name in row and is_blank(row[name]) and not blank_means_default


def is_blank(value: object) -> bool:
    """Whether a cell or a template holds nothing."""
    return value is None or (isinstance(value, str) and not value.strip())
