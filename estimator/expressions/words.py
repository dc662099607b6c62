"""How an expression reads aloud, for `explain` and for notes."""

from __future__ import annotations

from collections.abc import Callable
from typing import assert_never

from estimator.expressions.nodes import (
    Across,
    Call,
    Column,
    Constant,
    Conversion,
    Expression,
    Operation,
)
from estimator.expressions.tables import Model
from estimator.units import name_of

_SIGNS = {"*": "×", "/": "÷", "-": "−", "=": "is", "<>": "is not", "<=": "≤", ">=": "≥"}
_OF_TABLE = {"key": "key in", "value": "value in", "axis": "the top of"}
_HOW = {
    "sum": "the sum of",
    "largest": "the largest",
    "smallest": "the smallest",
    "find": "the",
    "first": "the first",
}


def words(node: Expression, model: Model) -> str:
    """The expression in words, columns by their labels."""

    def say(part: Expression) -> str:
        return _words(part, lambda column: label(column, model))

    return say(node)


def label(column: Column, model: Model) -> str:
    """A column's label with its table, as a person would point to it."""
    table = model[column.table]
    if column.name not in table.definitions:
        return f"{_OF_TABLE[column.name]} {table.title}"
    return f"[{table.title}: {table.definitions[column.name].label}]"


def _words(node: Expression, name: Callable[[Column], str]) -> str:
    def say(part: Expression) -> str:
        text = _words(part, name)
        return f"({text})" if isinstance(part, Operation) else text

    match node:
        case Constant(value=str() as text):
            return f"“{text}”"
        case Constant(value=number):
            return str(number)
        case Column():
            return name(node)
        case Operation(sign=sign, left=left, right=right):
            return f"{say(left)} {_SIGNS.get(sign, sign)} {say(right)}"
        case Conversion(inner=inner, unit=target, by=by):
            return say(inner) if by == 1 else f"{say(inner)} in {name_of(target)}"
        case Call(function=function, arguments=arguments):
            texts = [say(each) for each in arguments]
            return function.words.format(*texts, all=", ".join(texts))
        case Across(how="rows" | "filled", of=of):
            return f"the number of rows with {say(of)}"
        case Across(how=how, of=of, where=where):
            tests = " and ".join(
                f"{name(each.column)} {_SIGNS.get(each.sign, each.sign)} {say(each.value)}"
                for each in where
            )
            start = f"{_HOW.get(how, 'the')} {say(of)}"
            return f"{start} where {tests}" if tests else start
    assert_never(node)
