"""Tables of columns, and the model that holds them: where a quantity is defined, once.

A table stands in the workbook as it stands here. Its columns are typed in (input, and the block of
a grid), laid out by the tool (label), written by the planner (planned) or calculated (quantity). A
quantity can only refer to what is defined above it, so the order of definition is an order of
calculation and a circle cannot be written.

    >>> model = Model()
    >>> rails = model.table("rails", "Rails", "Rails", "The rails of a room.")
    >>> length = rails.input("length", "Length", "in", "As it hangs.")
    >>> spacing = rails.input("spacing", "Stud spacing", "in/stud", "From middle to middle.")
    >>> studs = rails.quantity("studs", "Studs", "stud", length / spacing, "What it crosses.")
    >>> rails.quantity("both", "Both", "in", length + spacing, "Of no use.")
    Traceback (most recent call last):
    estimator.units.UnitFault: cannot add: left is in, right is in/stud
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from estimator.expressions.nodes import Column, Expression, columns_in, total
from estimator.units import UnitFault, name_of, unit

Kind = Literal["rows", "form", "grid"]
Role = Literal["input", "block", "label", "planned", "quantity"]
Show = Literal["", "percent", "whole", "cents", "length", "decimal", "date"]


@dataclass(frozen=True)
class Definition:
    """One column of a table, or one field of a form.

    unit: as text, such as "ft**2/gal". show: how a cell displays it, if its unit does not say.
    note: one sentence for the header's note and for `explain`.
    expression: for a quantity. optional: a blank input is allowed and counts as 0 or no text.
    choices: words an input may hold. refers_to: the tables whose keys it may hold.
    aside: stands last and small, since it is for formulas and not for the reader.
    defined_at: file and line of the definition, for whoever wants to change it.
    """

    table: str
    name: str
    label: str
    unit: str
    role: Role
    note: str
    expression: Expression | None = None
    show: Show = ""
    optional: bool = False
    choices: tuple[str, ...] = ()
    refers_to: tuple[str, ...] = ()
    aside: bool = False
    defined_at: str = ""

    @property
    def is_text(self) -> bool:
        """Whether the column holds words."""
        return self.unit == "text"


@dataclass
class Table:
    """Columns in order; a form has one record laid out downwards, a grid a block of input cells.

    axis: for a grid, the keys along its top. beside: it stands to the right of the table before it.
    rows_like: a form whose fields its rows repeat, each shown as that field is.
    """

    name: str
    title: str
    sheet: str
    kind: Kind
    about: str
    order: list[Definition] = field(repr=False)
    axis: tuple[str, ...] = ()
    beside: bool = False
    rows_like: str = ""
    definitions: dict[str, Definition] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Column:
        """The column of that name, as an expression; only what is already defined."""
        if name not in self.definitions:
            known = ", ".join(self.definitions)
            raise UnitFault(f"{self.title} has no column {name!r} yet; so far: {known}")
        scope = frozenset() if self.kind == "form" else frozenset({self.name})
        found = self.definitions[name]
        return Column(unit(found.unit), scope, self.name, name, found.optional)

    @property
    def keys(self) -> Column:
        """Of a form: the names of its fields, to look one up by name."""
        return Column(unit("text"), frozenset({self.name}), self.name, "key")

    @property
    def values(self) -> Column:
        """Of a form: the values of its fields, each in the unit of its own row."""
        return Column(unit("measure"), frozenset({self.name}), self.name, "value")

    @property
    def texts(self) -> Column:
        """Of a form: the words of its fields, to look them up by name."""
        return Column(unit("text"), frozenset({self.name}), self.name, "value")

    @property
    def along(self) -> Column:
        """Of a grid: the keys along its top."""
        return Column(unit("text"), frozenset({self.name}), self.name, "axis")

    def via(self, name: str, wanted: Column) -> Expression:
        """The wanted column in the row that the column `name` of this table refers to.

        Nothing, or 0, where it names no row there. Raises UnitFault where it cannot refer there.
        """
        known = self.definitions[name].refers_to
        if wanted.table not in known:
            raise UnitFault(f"{self.title} refers by {name!r} to {known}, not to {wanted.table}")
        key = Column(unit("text"), frozenset({wanted.table}), wanted.table, "key")
        return total(wanted, key == self[name])

    def block(self, name: str, label: str, unit_text: str, note: str) -> Column:
        """Of a grid: its cells, a column for each key of the axis, all typed by a person."""
        return self._add(Definition(self.name, name, label, unit_text, "block", note))

    def input(
        self,
        name: str,
        label: str,
        unit_text: str,
        note: str,
        *,
        show: Show = "",
        optional: bool = False,
        choices: Sequence[str] = (),
        refers_to: Sequence[str] = (),
    ) -> Column:
        """A column that a person types."""
        definition = Definition(
            self.name, name, label, unit_text, "input", note, None, show, optional,
            tuple(choices), tuple(refers_to),
        )  # fmt: skip
        return self._add(definition)

    def label(
        self,
        name: str,
        label: str,
        note: str,
        *,
        aside: bool = False,
        refers_to: Sequence[str] = (),
    ) -> Column:
        """A column of words that the tool lays out, such as the keys of a list to be read."""
        definition = Definition(
            self.name, name, label, "text", "label", note,
            aside=aside, refers_to=tuple(refers_to),
        )  # fmt: skip
        return self._add(definition)

    def planned(
        self, name: str, label: str, unit_text: str, note: str, *, show: Show = ""
    ) -> Column:
        """A column that the planner writes."""
        return self._add(Definition(self.name, name, label, unit_text, "planned", note, None, show))

    def quantity(
        self,
        name: str,
        label: str,
        unit_text: str,
        expression: Expression,
        note: str,
        *,
        show: Show = "",
    ) -> Column:
        """A column calculated from others; its unit and its reach are checked here."""
        where = f"{self.title}, {label}"
        if expression.unit != unit(unit_text):
            raise UnitFault(f"{where}: stated {unit_text}, comes to {name_of(expression.unit)}")
        strange = expression.scope - {self.name}
        if strange:
            raise UnitFault(f"{where}: reads a row of {', '.join(sorted(strange))} without a total")
        if self.kind == "form" and any(self.name in each.scope for each in columns_in(expression)):
            raise UnitFault(f"{where}: adds up the form that it stands in")
        return self._add(
            Definition(self.name, name, label, unit_text, "quantity", note, expression, show)
        )

    def _add(self, definition: Definition) -> Column:
        if definition.name in self.definitions:
            raise UnitFault(f"{self.title} has two columns named {definition.name!r}")
        unit(definition.unit)
        definition = replace(definition, defined_at=_caller())
        self.definitions[definition.name] = definition
        self.order.append(definition)
        return self[definition.name]


def _caller() -> str:
    """File and line of the call that defines a column, from the folder of the package."""
    frame = sys._getframe(1)
    while frame.f_code.co_filename == __file__ and frame.f_back is not None:
        frame = frame.f_back
    path = Path(frame.f_code.co_filename)
    return f"{'/'.join(path.parts[-3:])}:{frame.f_lineno}"


@dataclass
class Model:
    """All tables of a project, and all definitions in the order in which they can be calculated."""

    tables: dict[str, Table] = field(default_factory=dict)
    order: list[Definition] = field(default_factory=list)

    def table(
        self,
        name: str,
        title: str,
        sheet: str,
        about: str,
        *,
        kind: Kind = "rows",
        axis: Sequence[str] = (),
        beside: bool = False,
        rows_like: str = "",
    ) -> Table:
        """A new table on a sheet."""
        if name in self.tables:
            raise UnitFault(f"there are two tables named {name!r}")
        self.tables[name] = Table(
            name, title, sheet, kind, about, self.order, tuple(axis), beside, rows_like
        )
        return self.tables[name]

    def __getitem__(self, name: str) -> Table:
        return self.tables[name]

    def __iter__(self) -> Iterator[Table]:
        return iter(self.tables.values())

    def resting_on(self, wanted: Sequence[Column]) -> list[Definition]:
        """The definitions that the wanted columns need, themselves included, in order."""
        needed: set[tuple[str, str]] = set()
        waiting = [(column.table, column.name) for column in wanted]
        while waiting:
            place = waiting.pop()
            if place not in needed:
                needed.add(place)
                waiting += self._inputs(*place)
        return [each for each in self.order if (each.table, each.name) in needed]

    def _inputs(self, table: str, name: str) -> list[tuple[str, str]]:
        owner = self.tables[table]
        if owner.kind == "form" and name in ("key", "value"):
            return [(table, each) for each in owner.definitions]
        node = owner.definitions[name].expression if name in owner.definitions else None
        return [(each.table, each.name) for each in columns_in(node)] if node is not None else []

    def find(self, words: str) -> Mapping[str, Definition]:
        """The definitions that a person may mean: by full name, else by label or part of one."""
        everything = {f"{each.table}.{each.name}": each for each in self.order}
        wanted = words.strip().casefold()
        if wanted in everything:
            return {wanted: everything[wanted]}
        exact = {k: d for k, d in everything.items() if wanted in (d.name, d.label.casefold())}
        return exact or {k: d for k, d in everything.items() if self._mentions(d, wanted.split())}

    def _mentions(self, definition: Definition, wanted: Sequence[str]) -> bool:
        table = self.tables[definition.table]
        said = f"{table.name}.{definition.name} {table.title} {definition.label}".casefold()
        return all(word in said for word in wanted)
