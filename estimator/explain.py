"""What a quantity is: its definition in words, unit, formula, what feeds it and what it feeds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from estimator.expressions.formula import ROW, formula, range_name
from estimator.expressions.nodes import Column, columns_in
from estimator.expressions.tables import Definition, Model
from estimator.expressions.words import label, words
from estimator.problems import Problem, ProblemsFound
from estimator.project.records import RECORDS
from estimator.units import name_of, unit

NEAREST, LIKENESS = 3, 0.5
"""How many names are suggested at most, and how alike they have to be (see difflib)."""
ROLES = {
    "input": "typed in",
    "block": "typed in",
    "label": "laid out by the tool",
    "planned": "written by the planner",
    "quantity": "a formula",
}


@dataclass(frozen=True)
class Explanation:
    """A definition made readable. formula: columns of the same row stand in [brackets]."""

    name: str
    title: str
    sheet: str
    role: str
    unit: str
    note: str
    in_words: str
    formula: str
    inputs: tuple[str, ...]
    feeds: tuple[str, ...]
    defined_at: str


def explain(model: Model, wanted: str) -> list[Explanation]:
    """The quantities that `wanted` may mean, by name, label or part of either.

    Raises ProblemsFound with the nearest names if there is none.
    """
    found = model.find(wanted) if wanted.strip() else {}
    if not found:
        raise ProblemsFound([_unknown(model, wanted)])
    return [_explained(model, name, definition) for name, definition in found.items()]


def _unknown(model: Model, wanted: str) -> Problem:
    names = {each.label.casefold(): each.label for each in model.order}
    names |= {f"{each.table}.{each.name}": f"{each.table}.{each.name}" for each in model.order}
    near = [names[each] for each in get_close_matches(wanted.casefold(), names, NEAREST, LIKENESS)]
    fix = f"Did you mean {', '.join(near)}?" if near else "Try a word such as rail, price or hours."
    return Problem("explain", wanted, "the name or label of a quantity", fix)


def _explained(model: Model, name: str, definition: Definition) -> Explanation:
    table, node = model[definition.table], definition.expression
    inputs = columns_in(node) if node is not None else ()
    return Explanation(
        name,
        f"{table.title}: {definition.label}",
        table.sheet,
        ROLES[definition.role],
        "words" if definition.is_text else name_of(unit(definition.unit)),
        definition.note,
        words(node, model) if node is not None else "",
        _formula_shown(definition) if node is not None else "",
        tuple(dict.fromkeys(label(each, model) for each in inputs)),
        tuple(label(each, model) for each in _feeds(model, definition)),
        _defined_at(definition),
    )


def _defined_at(definition: Definition) -> str:
    """Where the definition stands in the source; of an input, the record that describes it."""
    record = next((each for each in RECORDS if each.table == definition.table), None)
    if record is None or definition.name not in record.columns():
        return definition.defined_at
    return f"{record.__module__.replace('.', '/')}.py: {record.__name__}.{definition.name}"


def _formula_shown(definition: Definition) -> str:
    assert definition.expression is not None
    return formula(definition.expression, lambda column: f"[{column.name}]").replace(ROW, "")


def _feeds(model: Model, definition: Definition) -> list[Column]:
    users: Mapping[tuple[str, str], Definition] = {
        (each.table, each.name): each
        for each in model.order
        if each.expression is not None
        and any(
            (column.table, column.name) == (definition.table, definition.name)
            for column in columns_in(each.expression)
        )
    }
    return [model[table][name] for table, name in users]


def names(model: Model) -> list[str]:
    """The full names of all definitions, for completion and for tests."""
    return [range_name(model[each.table][each.name]) for each in model.order]
