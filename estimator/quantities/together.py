"""What is wrong in several tables, counted together, and the first of it by name.

A formula that went through all tables at once could not be read, so that each step stands in a
field of its own, in a form on the sheet Findings.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import reduce
from operator import add

from estimator.expressions.functions import and_more, choose
from estimator.expressions.nodes import Column, Expression, constant
from estimator.expressions.tables import Table
from estimator.units import unit

AT_ONCE = 6
"""Fields that one formula adds up."""


@dataclass(frozen=True)
class Found:
    """What is wrong in one place: the place's title, how much, and the first of it by name."""

    title: str
    count: Expression
    name: Expression


def define_together(
    form: Table, found: Mapping[str, Found], note: str
) -> tuple[Column, Expression]:
    """Fields for each place and for all of them.

    Gives how many there are, and the words for the first of them and how many more there are.
    """
    for key, each in found.items():
        form.quantity(key, each.title, "1", each.count, note, show="whole")
    count = _sum(form, list(found))
    last = len(found) - 1
    name = constant("", unit("text"))
    for at, (key, each) in reversed(list(enumerate(found.items()))):
        label = f"Name, from {each.title.lower()} on"
        below = "The first of these." if at == last else "The first of these and of what is below."
        chosen = choose(form[key] > 0, each.name, name)
        name = form.quantity(f"name_of_{key}", label, "text", chosen, below)
    return count, and_more(name, count)


def _sum(form: Table, fields: list[str]) -> Column:
    """Of all these fields, by partial sums of a few, which can be read."""
    some = [fields[at : at + AT_ONCE] for at in range(0, len(fields), AT_ONCE)]
    partial = [
        form.quantity(
            f"count_{number}", f"Together, part {number}", "1",
            reduce(add, (form[each] for each in names)), "Some of them.", show="whole",
        )
        for number, names in enumerate(some, 1)
    ]  # fmt: skip
    return form.quantity("count", "Together", "1", reduce(add, partial), "All of them.",
                         show="whole")  # fmt: skip
