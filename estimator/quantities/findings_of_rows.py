"""Checks of what is typed: names, things left out, things left over, values and formulas."""

from __future__ import annotations

from estimator.expressions.functions import CHOOSE, and_more, choose
from estimator.expressions.nodes import (
    Across,
    Call,
    Column,
    Constant,
    Expression,
    Operation,
    children,
    constant,
    filled_in,
    row_count,
    total,
)
from estimator.expressions.tables import Model
from estimator.quantities.check import FAIL, REVIEW, Check
from estimator.quantities.formulas_kept import forms_with_formulas, formulas_gone
from estimator.quantities.names import first_called
from estimator.quantities.together import Found, define_together
from estimator.units import unit


def row_findings(model: Model) -> list[Check]:
    """All of them; each names the first row that it is about."""
    together = _define_forms(model)
    return [
        _of_names(*together["lost"]),
        *_of_modules(model),
        *_of_unused(model),
        _of_values(*together["beyond"]),
        _of_prices(model),
        _of_formulas(*together["typed_over"]),
        _of_inserted(*together["bare_rows"]),
    ]


def which_rows(model: Model, count: Expression, counted: Column) -> Expression | None:
    """The first row that a count is about, by name, and how many more; None if it counts no flags.

    A count that adds up flags of rows, each 1 where there is something to say, and nothing else.
    counted: where the count stands.
    """
    flags = _flags_in(model, count)
    named = constant("", unit("text"))
    for flag in reversed(flags):
        named = choose(total(flag) > 0, first_called(model[flag.table], flag), named)
    return and_more(named, counted) if flags else None


def _flags_in(model: Model, count: Expression) -> list[Column]:
    if isinstance(count, Across) and count.how == "sum" and not count.where:
        return [count.of] if isinstance(count.of, Column) and _is_flag(model, count.of) else []
    if isinstance(count, Operation) and count.sign == "+":
        sides = _flags_in(model, count.left), _flags_in(model, count.right)
        return [*sides[0], *sides[1]] if all(sides) else []
    return []


def _is_flag(model: Model, column: Column) -> bool:
    """Whether a column is 0 or 1 in every row, as its definition shows."""
    expression = model[column.table].definitions[column.name].expression
    return expression is not None and _is_0_or_1(expression)


def _is_0_or_1(node: Expression) -> bool:
    if isinstance(node, Constant):
        return node.value in (0, 1)
    chosen = isinstance(node, Call) and node.function is CHOOSE
    return chosen and all(map(_is_0_or_1, children(node)[1:]))


def _flagged(model: Model, name: str) -> list[Column]:
    """The columns of that name, in every table that has one."""
    return [table[name] for table in model if table.kind == "rows" and name in table.definitions]


def _define_forms(model: Model) -> dict[str, tuple[Column, Expression]]:
    """What is wrong in any table: by kind, how much, and the first of it by name."""
    gone = {
        form.name: Found(form.title, formulas_gone(form), constant(form.title, unit("text")))
        for form in forms_with_formulas(model)
    }
    kinds = {
        "lost": ("Names that lead nowhere", _in_rows(model, "lost")),
        "beyond": ("Values that cannot be", _in_rows(model, "beyond")),
        "typed_over": ("Formulas typed over", {**_in_rows(model, "typed_over"), **gone}),
        "bare_rows": ("Rows without formulas", _without_formulas(model)),
    }
    together = {}
    for name, (title, found) in kinds.items():
        about = "By table; read by the sheet Checks."
        form = model.table(f"all_{name}", title, "Findings", about, kind="form")
        together[name] = define_together(form, found, "How many there are.")
    return together


def _in_rows(model: Model, flag: str) -> dict[str, Found]:
    """Rows with a flag, in each table that has it."""
    columns = _flagged(model, flag)
    return {
        each.table: Found(
            model[each.table].title, total(each), first_called(model[each.table], each)
        )
        for each in columns
    }


def _without_formulas(model: Model) -> dict[str, Found]:
    """Rows that were inserted by hand and have no formulas at all; their table is named."""
    found = {}
    for flag in _flagged(model, "typed_over"):
        table = model[flag.table]
        at_left = table[next(iter(table.definitions))]
        gap = row_count(at_left) - filled_in(flag)
        found[table.name] = Found(table.title, gap, constant(table.title, unit("text")))
    return found


def _of_names(count: Expression, which: Expression) -> Check:
    return Check(
        "names_lead",
        "Every name leads to a row",
        count,
        FAIL,
        "A row names something that there is none of, so that it counts for nothing.",
        "Correct the name, or add what it names; the column “Leads nowhere” of that table shows "
        "the row.",
        which,
    )


def _of_modules(model: Model) -> list[Check]:
    modules = model["modules"]
    return [
        Check(
            "modules_made_of",
            "Modules: each is made of something",
            total(modules["bare"]),
            FAIL,
            "A module is wanted that has no parts and no hardware: nothing is bought for it.",
            "Enter its parts on the sheet Parts, or its hardware on the sheet Hardware.",
        ),
        Check(
            "modules_made_by",
            "Modules: each is made by somebody",
            total(modules["unmade"]),
            FAIL,
            "A module has parts and no operation in the shop of its own, so that nobody is paid to "
            "put it together.",
            "Enter an operation for each of it on the sheet Operations.",
        ),
    ]


def _of_unused(model: Model) -> list[Check]:
    return [
        Check(
            "items_used",
            "Items: each is used for something",
            total(model["items"]["unused"]),
            REVIEW,
            "An item is listed that no row of Hardware uses.",
            "Enter what it is used for on the sheet Hardware, or delete its row.",
        ),
        Check(
            "rails_used",
            "Rails: something hangs on each",
            total(model["runs"]["empty"]),
            REVIEW,
            "A rail is made and fixed, and no row of Contents names it.",
            "Enter it in the column On rail run on the sheet Contents, or delete its row.",
        ),
    ]


def _of_values(count: Expression, which: Expression) -> Check:
    return Check(
        "values_possible",
        "Values are possible ones",
        count,
        FAIL,
        "A value is below 0, is 0 where there must be something, or is a share over 100 %.",
        "Correct it; the column “Cannot be” of that table shows the row.",
        which,
    )


def _of_prices(model: Model) -> Check:
    return Check(
        "prices_not_free",
        "Prices are not 0",
        total(model["prices"]["free"]),
        REVIEW,
        "A price of 0 buys for nothing.",
        "Enter the price on the sheet Prices, or delete the row.",
    )


def _of_formulas(count: Expression, which: Expression) -> Check:
    return Check(
        "formulas_kept",
        "Formulas are not typed over",
        count,
        FAIL,
        "A figure was typed, or nothing stands, where a formula was: it no longer follows what is "
        "typed.",
        "Copy the formula from a row beside it, or make the next revision, which has it again.",
        which,
    )


def _of_inserted(count: Expression, which: Expression) -> Check:
    return Check(
        "rows_calculated",
        "Every row has its formulas",
        count,
        FAIL,
        "A row was inserted and its formulas were not filled in, so it is not counted.",
        "Copy the formulas down from the row above, or make the next revision.",
        which,
    )
