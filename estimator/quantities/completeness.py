"""What is left out, and what is left over: modules without parts or work, things that nobody uses.

Leaving something out makes a price smaller without a word; leaving something over is most often the
other half of the same slip.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from annotated_types import Ge, Gt, Le, Lt

from estimator.expressions.functions import both, choose, either
from estimator.expressions.nodes import Column, Expression, first, total
from estimator.expressions.tables import Model, Table
from estimator.project.records import RECORDS


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
    flags: dict[str, list[Expression]] = {}
    for table, name in limited_columns(model):
        flags.setdefault(table.name, []).extend(_flags(table, name))
    for table_name, truths in flags.items():
        model[table_name].quantity(
            "beyond",
            "Cannot be",
            "1",
            choose(reduce(either, truths), 1, 0),
            "1 if a value is below 0, is 0 where there must be something, or is over 100 %.",
        )


def limited_columns(model: Model) -> Iterator[tuple[Table, str]]:
    """The columns of rows that a person types whose least or greatest value is 0 or 1."""
    for record in RECORDS:
        table = model[record.table]
        if table.kind == "rows":
            yield from ((table, name) for name in record.columns() if _flags(table, name))


def _flags(table: Table, name: str) -> list[Expression]:
    """Whether a row's value is beyond a limit of its field, for each limit that is 0 or 1."""
    (record,) = (each for each in RECORDS if each.table == table.name)
    limits = (_beyond(table[name], each) for each in record.model_fields[name].metadata)
    return [each for each in limits if each is not None]


def _beyond(value: Column, limit: object) -> Expression | None:
    """Whether a value is beyond a limit of 0 or 1; other limits are for whoever reads the file."""
    match limit:
        case Ge(ge=0):
            return value < 0
        case Gt(gt=0):
            return value <= 0
        case Le(le=1):
            return value > 1
        case Lt(lt=1):
            return value >= 1
    return None
