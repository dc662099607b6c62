"""What was changed between two projects, input by input, and to which part of the price it goes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal

from estimator.project.lengths import LengthUnit, format_length
from estimator.project.records import FORMS, RECORDS, Project, Record

Group = Literal["counts", "scope", "rates", "plan", "terms"]

_OWN: Mapping[Group, tuple[str, ...]] = {
    "counts": ("floors", "counts"),
    "scope": ("types", "contents", "runs", "profiles", "modules", "parts", "uses", "clauses"),
    "rates": (
        "materials", "items", "prices", "finishes", "containers", "operations", "grades",
        "freight_classes",
    ),
    "plan": (),
}  # fmt: skip
_GROUPED = {table for tables in _OWN.values() for table in tables}

TABLES_OF: Mapping[Group, tuple[str, ...]] = {
    **_OWN,
    "terms": tuple(each.table for each in RECORDS if each.table not in _GROUPED),
}
"""The input tables by the part of the price they belong to, in the order in which it is walked."""

WITHOUT_KEY = {
    "counts": ("room_type", "floor"),
    "contents": ("room_type", "module", "run"),
    "uses": ("per", "item"),
    "prices": ("item", "from_quantity"),
    "freight_classes": ("from_density",),
    "stages": ("number",),
    "clauses": ("kind", "text"),
}
"""By which fields a row of a table without a key is known to be the same one; else by all."""

Identity = tuple[str, ...]


@dataclass(frozen=True)
class Change:
    """A field that holds something else, or a row that came or went (then without a field).

    before, after: as typed; "" for what was not there.
    """

    group: Group
    table: str
    row: str
    field: str
    before: str
    after: str

    def __str__(self) -> str:
        where = " ".join(part for part in (self.table, self.row, self.field) if part)
        return f"{where}: {self.before or 'nothing'} → {self.after or 'nothing'}"


def changes_between(old: Project, new: Project) -> tuple[Change, ...]:
    """Every change, in the order of the groups and of their tables."""
    record_of = {each.table: each for each in RECORDS}
    return tuple(
        change
        for group, tables in TABLES_OF.items()
        for table in tables
        for change in _changes_of(group, record_of[table], old, new)
    )


def identified(project: Project, record: type[Record]) -> dict[Identity, Record]:
    """The rows of a table by what they are known by, without case; a repeated one gets its number
    besides."""
    seen: Counter[Identity] = Counter()
    found: dict[Identity, Record] = {}
    for row in project.rows(record.table):
        identity = tuple(map(str.casefold, _known_by(record, row)))
        seen[identity] += 1
        again = (f"({seen[identity]})",) if seen[identity] > 1 else ()
        found[identity + again] = row
    return found


def _known_by(record: type[Record], row: Record) -> Identity:
    if record in FORMS:
        return ()
    keyed = ("key",) if "key" in record.model_fields else tuple(record.model_fields)
    fields = WITHOUT_KEY.get(record.table, keyed)
    return tuple(_spelt(getattr(row, name)) for name in fields)


def _spelt(value: Any) -> str:
    """A number the same however many decimals it is spelt with."""
    return f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)


def _changes_of(group: Group, record: type[Record], old: Project, new: Project) -> Iterator[Change]:
    before, after = identified(old, record), identified(new, record)
    for identity in {**before, **after}:
        pair = before.get(identity), after.get(identity)
        known_by = _known_by(record, after[identity] if pair[1] else before[identity])
        name = ", ".join((*known_by, *identity[len(known_by) :]))
        if pair[0] and pair[1]:
            units = old.project.unit, new.project.unit
            for label, *shown in _differences(record, pair[0], pair[1], units):
                yield Change(group, record.title, name, label, *shown)
        else:
            yield Change(group, record.title, name, "", *("row" if each else "" for each in pair))


def _differences(
    record: type[Record], old: Record, new: Record, units: tuple[LengthUnit, LengthUnit]
) -> Iterator[tuple[str, str, str]]:
    for name, (about, _) in record.columns().items():
        before, after = getattr(old, name), getattr(new, name)
        if before != after:
            yield about.label, _shown(before, units[0]), _shown(after, units[1])


def _shown(value: Any, unit: LengthUnit) -> str:
    return format_length(value, unit) if isinstance(value, Fraction) else str(value)
