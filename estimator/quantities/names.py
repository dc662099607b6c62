"""Names that lead nowhere: a row that names a module, a rail, an item that there is none of.

Such a row counts for nothing, so that a slip of the hand makes a price smaller without a word.
Which columns hold names, and of what, is known from the records.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from estimator.expressions.functions import both, choose, either, joined_words
from estimator.expressions.nodes import Column, Expression, first
from estimator.expressions.tables import Definition, Model, Table
from estimator.project.records import PALLET

OF_TWO = {"contents": ("module", "in", "room_type"), "uses": ("item", "for", "per")}
"""What a row is called that has no name of its own: one column, a word, another."""
OF_ONE = {"prices": "item"}


def define_names(model: Model) -> None:
    """What rows are called, and whether a name in them leads nowhere."""
    for name, (one, word, other) in OF_TWO.items():
        table = model[name]
        called = joined_words(table[one], f" {word} ", table[other])
        table.quantity("called", "Called", "text", called, "What checks call this row.")
    for table, columns in tables_with_names(model):
        lost = reduce(either, (_leads_nowhere(model, table, each) for each in columns))
        table.quantity(
            "lost",
            "Leads nowhere",
            "1",
            choose(lost, 1, 0),
            "1 if the row names something that there is none of.",
        )


def tables_with_names(model: Model) -> Iterator[tuple[Table, list[Definition]]]:
    """The tables of rows that a person types, with their columns that hold names."""
    for table in model:
        inputs = (each for each in table.definitions.values() if each.role == "input")
        columns = [each for each in inputs if each.refers_to]
        if table.kind == "rows" and columns:
            yield table, columns


def first_called(table: Table, flag: Column) -> Expression | str:
    """What the first flagged row is called: its own name, or the table's where rows have none."""
    name = OF_ONE.get(table.name, "called" if table.name in OF_TWO else "key")
    return first(table[name], flag == 1) if name in table.definitions else table.title


def _leads_nowhere(model: Model, table: Table, column: Definition) -> Expression:
    """Whether a row's name is that of nothing; blank leads nowhere unless it may be left out."""
    name = table[column.name]
    nowhere = reduce(both, (_is_none_of(model, name, each) for each in column.refers_to))
    return both(name != "", nowhere) if column.optional else nowhere


def _is_none_of(model: Model, name: Column, target: str) -> Expression:
    """Whether a table has no row of that name."""
    if target == "freight":
        return name != PALLET
    table = model[target]
    keys = table.keys if table.kind == "form" else table["key"]
    return first(keys, keys == name) == ""
