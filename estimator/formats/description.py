"""What a workbook is made of, as it was written: tables with their columns, and the tool's words.

Every workbook carries its own description. A later version reads it by that instead of by what its
own tables have become, and knows which words on the sheets are the tool's and which a person's.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Literal

from pydantic import TypeAdapter

from estimator.expressions.formula import formula
from estimator.expressions.tables import Definition, Kind, Model, Role

Holds = Literal["text", "length", "number"]
Name = tuple[str, str]
"""A table and a column of it."""
OF_ROW = re.compile(r"\[(\w+)\]")
"""In a formula: a column of the same row."""


@dataclass(frozen=True)
class ColumnAbout:
    """A column of a table, or a field of a form.

    formulas: how it may be calculated, columns of the same row as [name].
    """

    role: Role
    label: str
    holds: Holds
    formulas: tuple[str, ...] = ()


@dataclass(frozen=True)
class TableAbout:
    """A table, and the sheet that it stands on."""

    sheet: str
    kind: Kind
    columns: Mapping[str, ColumnAbout]

    def of_role(self, *roles: Role) -> list[str]:
        """The names of its columns of these roles, in their order."""
        return [name for name, column in self.columns.items() if column.role in roles]


@dataclass(frozen=True)
class Description:
    """Of a whole workbook. words: by sheet, what the tool says beside the cells of its tables."""

    tables: Mapping[str, TableAbout]
    words: Mapping[str, tuple[str, ...]]

    def names(self) -> frozenset[str]:
        """Every defined name of its tables."""
        return frozenset(
            f"{table}_{name}"
            for table, about in self.tables.items()
            for name in (*about.columns, *_OF_KIND[about.kind])
        )

    def says(self, sheet: str, words: str) -> bool:
        """Whether these are words of the tool on a sheet."""
        return words in self.words.get(sheet, ())

    def as_model(self) -> Model:
        """Its tables, without what is calculated in them."""
        model = Model()
        for name, about in self.tables.items():
            table = model.table(name, name, about.sheet, "", kind=about.kind)
            for column, of in about.columns.items():
                unit = "text" if of.holds == "text" else "1"
                table.definitions[column] = Definition(name, column, of.label, unit, of.role, "")
        return model

    def renamed(self, columns: Mapping[Name, str]) -> Description:
        """With some columns under other names."""
        tables = {name: _renamed(name, about, columns) for name, about in self.tables.items()}
        return replace(self, tables=tables)


_OF_KIND: Mapping[Kind, Collection[str]] = {"rows": (), "form": ("value", "key"), "grid": ("axis",)}
_JSON: TypeAdapter[Description] = TypeAdapter(Description)


def _renamed(table: str, about: TableAbout, columns: Mapping[Name, str]) -> TableAbout:
    def now(name: str) -> str:
        return columns.get((table, name), name)

    def of_row(text: str) -> str:
        return OF_ROW.sub(lambda found: f"[{now(found[1])}]", text)

    renamed = {
        now(name): replace(column, formulas=tuple(map(of_row, column.formulas)))
        for name, column in about.columns.items()
    }
    return replace(about, columns=renamed)


def described(model: Model, words: Mapping[str, Collection[str]]) -> Description:
    """A workbook of these tables. words: by sheet, what stands beside the cells of the tables."""
    tables = {
        table.name: TableAbout(
            table.sheet,
            table.kind,
            {name: _column(each) for name, each in table.definitions.items()},
        )
        for table in model
    }
    return Description(tables, {sheet: tuple(sorted(set(said))) for sheet, said in words.items()})


def _column(definition: Definition) -> ColumnAbout:
    is_length = definition.role == "input" and definition.show == "length"
    holds: Holds = "text" if definition.is_text else "length" if is_length else "number"
    formulas: tuple[str, ...] = ()
    if definition.expression is not None:
        formulas = (formula(definition.expression, lambda column: f"[{column.name}]"),)
    return ColumnAbout(definition.role, definition.label, holds, formulas)


def written(description: Description) -> str:
    """The description as text."""
    return _JSON.dump_json(description).decode()


def read_description(text: str) -> Description:
    """The description that a text holds; raises ValueError when it holds none."""
    return _JSON.validate_json(text)


@cache
def shipped(number: int) -> Description:
    """The description of a format whose workbooks carry none."""
    path = files("estimator.formats") / f"format_{number}.json"
    return read_description(path.read_text(encoding="utf-8"))
