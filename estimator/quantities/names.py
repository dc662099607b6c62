"""Names that lead nowhere: a row that names a module, a rail, an item that there is none of.

Such a row counts for nothing, so that a slip of the hand makes a price smaller without a word.
Which columns hold names, and of what, is known from the records.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from estimator.expressions.functions import both, choose, either, joined_words
from estimator.expressions.nodes import Column, Expression, constant, first
from estimator.expressions.tables import Definition, Model, Table
from estimator.project.records import PALLET
from estimator.units import unit

OF_TWO = {"contents": ("module", "in", "room_type"), "uses": ("item", "for", "per")}
"""What a row is called that has no name of its own: one column, a word, another."""
OF_ONE = {"prices": "item"}
AT_ONCE = 3
"""Tables that one formula looks a name up in: with more it could not be read."""


def define_names(model: Model) -> None:
    """What rows are called, and whether a name in them leads nowhere."""
    for name, (one, word, other) in OF_TWO.items():
        table = model[name]
        called = joined_words(table[one], constant(f" {word} ", unit("text")), table[other])
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


def first_called(table: Table, flag: Column) -> Expression:
    """What the first flagged row is called: its own name, or the table's where rows have none."""
    name = OF_ONE.get(table.name, "called" if table.name in OF_TWO else "key")
    if name in table.definitions:
        return first(table[name], flag == 1)
    return constant(table.title, unit("text"))


def _leads_nowhere(model: Model, table: Table, column: Definition) -> Expression:
    """Whether a row's name is that of nothing; blank leads nowhere unless it may be left out."""
    name = table[column.name]
    words = [_row_of_that_name(model, name, each) for each in column.refers_to]
    while len(words) > 1:
        some = table.quantity(
            f"{column.name}_found_{len(words)}",
            f"{column.label}: found",
            "text",
            joined_words(*words[:AT_ONCE]),
            "What it names, if there is one.",
        )
        words = [some, *words[AT_ONCE:]]
    nowhere = words[0] == ""
    return both(name != "", nowhere) if column.optional else nowhere


def _row_of_that_name(model: Model, name: Column, target: str) -> Expression:
    """The name if a table has such a row, else no words."""
    if target == "freight":
        return choose(name == PALLET, PALLET, "")
    table = model[target]
    keys = table.keys if table.kind == "form" else table["key"]
    return first(keys, keys == name)
