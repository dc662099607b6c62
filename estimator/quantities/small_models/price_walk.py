"""The price walk on the sheet Changes: totals over its amounts, and what its chart draws."""

from __future__ import annotations

from functools import cache

from estimator.expressions.functions import larger, smaller
from estimator.expressions.nodes import Constant, total
from estimator.expressions.tables import Model
from estimator.units import unit

NOTHING = Constant(unit("money"), frozenset(), 0)


@cache
def walk_model() -> Model:
    """A line for each step, with the total then; amounts stay as the revision was issued."""
    model = Model()
    walk = model.table("walk", "Price walk", "Changes", "From total to total.")
    number = walk.planned("number", "No.", "1", "In order.", show="whole")
    amount = walk.planned("amount", "Amount", "money", "That the step adds.")
    after = walk.quantity(
        "after", "Total then", "money", total(amount, walk["number"] <= number), "With all before."
    )
    for name, label, expression, note in (
        ("level", "Level", after, "Where a total stands."),
        ("base", "Base", smaller(after, after - amount), "What carries the step, unseen."),
        ("up", "Adds", larger(NOTHING, amount), "0 where it takes off."),
        ("down", "Takes off", larger(NOTHING, NOTHING - amount), "0 where it adds."),
    ):
        walk.quantity(name, label, "money", expression, note)
    return model
