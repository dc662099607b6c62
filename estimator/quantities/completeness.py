"""What is left out, and what is left over: modules without parts or work, things that nobody uses.

Leaving something out makes a price smaller without a word; leaving something over is most often the
other half of the same slip.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import reduce
from typing import Literal

from annotated_types import Ge, Gt, Le, Lt

from estimator.expressions.functions import both, choose, either, larger, smaller
from estimator.expressions.nodes import Expression, first, total
from estimator.expressions.tables import Model, Table
from estimator.project.records import RECORDS

Limit = Literal["above 0", "from 0", "up to 1"]


def define_completeness(model: Model) -> None:
    """A flag for each row that lacks something, that nobody uses, or whose values cannot be."""
    _define_modules(model)
    _define_unused(model)
    _define_beyond(model)


def _define_modules(model: Model) -> None:
    modules, parts, uses = model["modules"], model["parts"], model["uses"]
    operations = model["operations"]
    key = modules["key"]
    cut = total(parts["each"], parts["module"] == key) > 0
    bought = total(uses["amount"], uses["per"] == key) > 0
    wanted = modules["made"] > 0
    modules.quantity(
        "bare",
        "Made of nothing",
        "1",
        choose(either(cut, bought), 0, choose(wanted, 1, 0)),
        "1 if it is wanted and has neither parts nor hardware of its own.",
    )
    made = total(operations["minutes"], operations["per"] == key, operations["where"] == "shop")
    modules.quantity(
        "unmade",
        "Made by nobody",
        "1",
        choose(both(both(cut, wanted), made == 0), 1, 0),
        "1 if it has parts and no minutes in the shop that are for each of it.",
    )


def _define_unused(model: Model) -> None:
    items, uses, runs = model["items"], model["uses"], model["runs"]
    contents, prices = model["contents"], model["prices"]
    items.quantity(
        "unused",
        "Used by nobody",
        "1",
        choose(first(uses["item"], uses["item"] == items["key"]) == "", 1, 0),
        "1 if no row of Hardware uses it.",
    )
    runs.quantity(
        "empty",
        "Nothing hangs on it",
        "1",
        choose(first(contents["run"], contents["run"] == runs["key"]) == "", 1, 0),
        "1 if no row of Contents names it.",
    )
    prices.quantity(
        "free", "Costs nothing", "1", choose(prices["price"] == 0, 1, 0), "1 if the price is 0."
    )


def _define_beyond(model: Model) -> None:
    """Values that a cell takes although they cannot be: pasted in, or typed without a warning."""
    columns: dict[str, list[str]] = {}
    for table, name in limited_columns(model):
        columns.setdefault(table.name, []).append(name)
    for table_name, names in columns.items():
        table = model[table_name]
        table.quantity(
            "beyond",
            "Cannot be",
            "1",
            choose(reduce(either, _beyond(table, names)), 1, 0),
            "1 if a value is below 0, is 0 where there must be something, or is over 100 %.",
        )


def limited_columns(model: Model) -> Iterator[tuple[Table, str]]:
    """The columns of rows that a person types whose least or greatest value is 0 or 1."""
    for record in RECORDS:
        table = model[record.table]
        if table.kind == "rows":
            yield from ((table, name) for name in record.columns() if _limits(table, name))


def _beyond(table: Table, names: Sequence[str]) -> Iterator[Expression]:
    """Whether a value of a row is beyond a limit: a test for each kind of limit."""

    def limited(limit: Limit) -> list[Expression]:
        return [table[each].number_of("1") for each in names if limit in _limits(table, each)]

    if of_some := limited("above 0"):
        yield smaller(*of_some) <= 0
    if not_less := limited("from 0"):
        yield smaller(*not_less) < 0
    if shares := limited("up to 1"):
        yield larger(*shares) > 1


def _limits(table: Table, name: str) -> list[Limit]:
    """The limits of a field that are 0 or 1; others are for whoever reads the file."""
    (record,) = (each for each in RECORDS if each.table == table.name)
    found = (_limit(each) for each in record.model_fields[name].metadata)
    return [each for each in found if each is not None]


def _limit(bound: object) -> Limit | None:
    match bound:
        case Ge(ge=0):
            return "from 0"
        case Gt(gt=0):
            return "above 0"
        case Le(le=1) | Lt(lt=1):
            return "up to 1"
    return None
