"""Formulas that are no longer there: typed over, deleted, or never copied down into a new row.

A cell of a quantity that is not a formula does not follow what is typed, and shows no sign of it.
"""

from __future__ import annotations

from functools import reduce
from operator import add

from estimator.expressions.functions import choose, typed_over
from estimator.expressions.nodes import Expression
from estimator.expressions.tables import Model, Table


def define_formulas_kept(model: Model) -> None:
    """Whether formulas are gone in each row that a person types."""
    for table in model:
        typed = any(each.role == "input" for each in table.definitions.values())
        if table.kind == "rows" and typed and _quantities(table):
            table.quantity(
                "typed_over",
                "Typed over",
                "1",
                choose(formulas_gone(table) > 0, 1, 0),
                "1 if a cell in this row no longer holds the formula of its column.",
            )


def forms_with_formulas(model: Model) -> list[Table]:
    """The forms whose fields are calculated, those of Findings left out: a reader sees them not."""
    return [
        each
        for each in model
        if each.kind == "form" and each.sheet != "Findings" and _quantities(each)
    ]


def formulas_gone(table: Table) -> Expression:
    """How many formulas of a row, or of a form, are no longer there."""
    return reduce(add, (typed_over(table[name]) for name in _quantities(table)))


def _quantities(table: Table) -> list[str]:
    return [name for name, each in table.definitions.items() if each.role == "quantity"]
