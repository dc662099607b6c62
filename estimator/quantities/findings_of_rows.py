"""Checks of what is typed: names, things left out, things left over, values and formulas."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import reduce
from operator import add

from estimator.expressions.functions import CHOOSE, and_more, choose
from estimator.expressions.nodes import (
    Across,
    Call,
    Column,
    Constant,
    Expression,
    Operation,
    constant,
    filled_in,
    row_count,
    total,
)
from estimator.expressions.tables import Model
from estimator.quantities.check import FAIL, REVIEW, Check
from estimator.quantities.names import first_called
from estimator.units import unit


def row_findings(model: Model) -> list[Check]:
    """All of them; each names the first row that it is about."""
    return [*_of_names(model), *_of_modules(model), *_of_unused(model), *_of_cells(model)]


def rows_without_formulas(model: Model) -> dict[str, Expression]:
    """By table, how many rows have no formulas at all: they were inserted by hand."""
    gaps = {}
    for flag in _flagged(model, "typed_over"):
        table = model[flag.table]
        at_left = table[next(iter(table.definitions))]
        gaps[table.name] = row_count(at_left) - filled_in(flag)
    return gaps


def first_named(counts: Mapping[str, Expression]) -> Expression:
    """The first of several names whose count is not 0."""
    named = constant("", unit("text"))
    for name, count in reversed(list(counts.items())):
        named = choose(count > 0, name, named)
    return named


def which_rows(model: Model, count: Expression) -> Expression | None:
    """The first row that a count is about, by name, and how many more; None if it counts no flags.

    A count that adds up flags of rows, each 1 where there is something to say, and nothing else.
    """
    flags = _flags_in(model, count)
    return _which(model, flags) if flags else None


def _flags_in(model: Model, count: Expression) -> list[Column]:
    match count:
        case Across(how="sum", of=Column() as flag, where=()) if _is_flag(model, flag):
            return [flag]
        case Operation(sign="+", left=left, right=right):
            sides = _flags_in(model, left), _flags_in(model, right)
            return [*sides[0], *sides[1]] if all(sides) else []
    return []


def _is_flag(model: Model, column: Column) -> bool:
    """Whether a column is 0 or 1 in every row, as its definition shows."""
    expression = model[column.table].definitions[column.name].expression
    return expression is not None and _is_0_or_1(expression)


def _is_0_or_1(node: Expression) -> bool:
    match node:
        case Constant(value=value):
            return value in (0, 1)
        case Call(function=function, arguments=arguments) if function is CHOOSE:
            return all(map(_is_0_or_1, arguments[1:]))
    return False


def _flagged(model: Model, name: str) -> list[Column]:
    """The columns of that name, in every table that has one."""
    return [table[name] for table in model if table.kind == "rows" and name in table.definitions]


def _counted(flags: Sequence[Column]) -> Expression:
    """What flags of rows come to together."""
    return reduce(add, map(total, flags))


def _which(model: Model, flags: Sequence[Column]) -> Expression:
    """The first row that is flagged, by name, and how many more there are."""
    named = constant("", unit("text"))
    for flag in reversed(flags):
        named = choose(total(flag) > 0, first_called(model[flag.table], flag), named)
    return and_more(named, _counted(flags))


def _of_names(model: Model) -> list[Check]:
    lost = _flagged(model, "lost")
    return [
        Check(
            "names_lead",
            "Every name leads to a row",
            _counted(lost),
            FAIL,
            "A row names something that there is none of, so that it counts for nothing.",
            "Correct the name, or add what it names; the column “Leads nowhere” of that "
            "table shows the row.",
        ),
    ]


def _of_modules(model: Model) -> list[Check]:
    bare, unmade = [model["modules"]["bare"]], [model["modules"]["unmade"]]
    return [
        Check(
            "modules_made_of",
            "Modules: each is made of something",
            _counted(bare),
            FAIL,
            "A module is wanted that has no parts and no hardware: nothing is bought for it.",
            "Enter its parts on the sheet Parts, or its hardware on the sheet Hardware.",
        ),
        Check(
            "modules_made_by",
            "Modules: each is made by somebody",
            _counted(unmade),
            FAIL,
            "A module has parts and no operation in the shop of its own, so that nobody is paid to "
            "put it together.",
            "Enter an operation for each of it on the sheet Operations.",
        ),
    ]


def _of_unused(model: Model) -> list[Check]:
    items, runs = [model["items"]["unused"]], [model["runs"]["empty"]]
    return [
        Check(
            "items_used",
            "Items: each is used for something",
            _counted(items),
            REVIEW,
            "An item is listed that no row of Hardware uses.",
            "Enter what it is used for on the sheet Hardware, or delete its row.",
        ),
        Check(
            "rails_used",
            "Rails: something hangs on each",
            _counted(runs),
            REVIEW,
            "A rail is made and fixed, and no row of Contents names it.",
            "Enter it in the column On rail run on the sheet Contents, or delete its row.",
        ),
    ]


def _of_cells(model: Model) -> list[Check]:
    beyond, free = _flagged(model, "beyond"), [model["prices"]["free"]]
    over, kept = _flagged(model, "typed_over"), model["kept"]
    forms = {each.label: kept[name] for name, each in kept.definitions.items()}
    return [
        Check(
            "values_possible",
            "Values are possible ones",
            _counted(beyond),
            FAIL,
            "A value is below 0, is 0 where there must be something, or is a share over 100 %.",
            "Correct it; the column “Cannot be” of that table shows the row.",
        ),
        Check(
            "prices_not_free",
            "Prices are not 0",
            _counted(free),
            REVIEW,
            "A price of 0 buys for nothing.",
            "Enter the price on the sheet Prices, or delete the row.",
        ),
        Check(
            "formulas_kept",
            "Formulas are not typed over",
            _counted(over) + reduce(add, forms.values()),
            FAIL,
            "A figure was typed, or nothing stands, where a formula was: it no longer follows what "
            "is typed.",
            "Copy the formula from a row beside it, or make the next revision, which has it again.",
            choose(_counted(over) > 0, _which(model, over), first_named(forms)),
        ),
    ]
