"""What expressions are worth: the tables calculated with pandas, as a spreadsheet does.

Within a table of n rows a value is an array of n; a field of a form is a single value. Blank
numbers count as 0 and blank words match nothing; words are compared without case.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, assert_never

import numpy as np
import pandas as pd

from estimator.expressions.nodes import (
    Across,
    Call,
    Column,
    Condition,
    Constant,
    Conversion,
    Expression,
    Operation,
)
from estimator.expressions.tables import Definition, Model, Table
from estimator.units import unit

Frames = dict[str, pd.DataFrame]
"""A frame for each table, with its input and planned columns, or with all of them."""
Values = Frames

_ARITHMETIC = {
    "+": np.add,
    "-": np.subtract,
    "*": np.multiply,
    "/": np.divide,
    "=": np.equal,
    "<>": np.not_equal,
    "<": np.less,
    "<=": np.less_equal,
    ">": np.greater,
    ">=": np.greater_equal,
}


def calculate(
    model: Model, typed: Mapping[str, pd.DataFrame], wanted: Sequence[Column] = ()
) -> Values:
    """Every quantity of the model; or only the wanted columns and what they rest on.

    typed: per table a frame of its input and planned columns (a grid's block has one column per
    key of its axis). Returns new frames with all columns, blanks filled with 0 or ""; only of the
    tables that something is wanted of, if anything is named, since frames take long to make.
    """
    calculation = Calculation(model, typed)
    for definition in model.resting_on(wanted) if wanted else model.order:
        if definition.role != "block":
            calculation.add(definition)
    tables = dict.fromkeys(column.table for column in wanted) or calculation.columns
    return {name: pd.DataFrame(calculation.columns[name]) for name in tables}


class Calculation:
    """The values so far, by table and column, with the word codes that make matching fast."""

    def __init__(self, model: Model, typed: Mapping[str, pd.DataFrame]) -> None:
        self.model = model
        self.typed = typed
        self.columns: dict[str, dict[str, Any]] = {table.name: {} for table in model}
        self.codes: dict[str, int] = {"": -1}
        self.coded: dict[tuple[str, str], Any] = {}
        self.held: dict[tuple[str, str], Any] = {}
        self.matched: dict[int, tuple[Any, Any, Any]] = {}
        for table in model:
            if table.kind == "grid":
                block = typed[table.name][list(table.axis)].fillna(0).astype(float)
                self.columns[table.name] |= {key: block[key].to_numpy() for key in table.axis}

    def add(self, definition: Definition) -> None:
        """Calculate one column from those before it."""
        frame = self.typed[definition.table]
        if definition.expression is None:
            found = frame[definition.name] if definition.name in frame else [None] * len(frame)
            value = filled(found, definition.is_text)
        else:
            value = self.value(definition.expression)
            if np.shape(value) != (len(frame),):
                value = np.broadcast_to(value, (len(frame),))
        self.columns[definition.table][definition.name] = value

    def value(self, node: Expression) -> Any:
        """The value of a node in the rows of the table it stands in."""
        match node:
            case Constant(value=value):
                return value
            case Column():
                values = self.columns[node.table][node.name]
                return values if node.scope else values[0]
            case Operation(sign=sign, left=left, right=right):
                return self._operation(sign, left, right)
            case Conversion(inner=inner, by=by) if by.numerator == 1:
                return self.value(inner) / by.denominator
            case Conversion(inner=inner, by=by):
                return self.value(inner) * float(by)
            case Call(function=function, arguments=arguments):
                return function.value(*(self.value(each) for each in arguments))
            case Across(how="cross"):
                return self._cross(node)
            case Across():
                return self._across(node)
        assert_never(node)

    def _operation(self, sign: str, left: Expression, right: Expression) -> Any:
        sides = (self.value(left), self.value(right))
        if left.unit == unit("text"):
            sides = (self._coded(sides[0]), self._coded(sides[1]))
        with np.errstate(divide="raise", invalid="raise"):
            return _ARITHMETIC[sign](*sides)

    def _coded(self, words: Any) -> Any:
        """Words as numbers that are equal when the words are, whatever their case."""
        if isinstance(words, str):
            return self.codes.setdefault(words.casefold(), len(self.codes))
        return np.array([self._coded(str(word)) for word in words], dtype=np.int64)

    def _across(self, node: Across) -> Any:
        of = self._over(node.of)
        if node.how in ("rows", "filled"):
            return float(len(of))
        chosen = np.ones((1, len(of)), dtype=bool)
        if node.how in ("largest", "smallest"):
            chosen = chosen & self._holds(node.of)
        for condition in node.where:
            chosen = chosen & self._chosen(condition)
        alone = all(np.ndim(self.value(condition.value)) == 0 for condition in node.where)
        result = _HOW[node.how](of, chosen)
        return result[0] if alone else result

    def _over(self, node: Expression) -> Any:
        """A node's value in the rows of the other table, or along the top of a grid."""
        if isinstance(node, Column) and self.model[node.table].kind == "grid":
            grid = self.model[node.table]
            if node.name == "axis":
                return np.array(grid.axis, dtype=object)
            if grid.definitions[node.name].role == "block":
                return np.concatenate([self.columns[grid.name][key] for key in grid.axis])
        if isinstance(node, Column) and self.model[node.table].kind == "form":
            return self._form_range(self.model[node.table], node)
        return np.asarray(self.value(node))

    def _form_range(self, form: Table, column: Column) -> Any:
        """The names of a form's fields, or what they hold: numbers, or words, the others blank."""
        fields = list(form.definitions.values())
        if column.name == "key":
            return np.array([each.name for each in fields], dtype=object)
        wants_text = column.unit == unit("text")
        held = [
            self.columns[form.name][each.name][0] if each.is_text == wants_text else None
            for each in fields
        ]
        return filled(held, wants_text)

    def _chosen(self, condition: Condition) -> Any:
        """Which rows of the other table (across) each row of this one (down) accepts."""
        column, value = self._over(condition.column), self.value(condition.value)
        if condition.column.unit == unit("text"):
            return self._matching(condition, column, value)
        met = _ARITHMETIC[condition.sign](column[None, :], np.atleast_1d(value)[:, None])
        return met & self._holds(condition.column)

    def _matching(self, condition: Condition, column: Any, value: Any) -> Any:
        """Which words are the same; kept while both stand, since words seldom rest on counts."""
        known = self.matched.get(id(condition))
        if known is not None and known[0] is column and known[1] is value:
            return known[2]
        key = (condition.column.table, condition.column.name)
        if key not in self.coded:
            self.coded[key] = self._coded(column)
        coded, sought = self.coded[key], np.atleast_1d(self._coded(value))[:, None]
        met = (coded[None, :] == sought) & (coded >= 0)[None, :]
        self.matched[id(condition)] = (column, value, met)
        return met

    def _holds(self, column: Expression) -> Any:
        """Which cells of a column hold something: blank ones meet no condition, are no extreme."""
        assert isinstance(column, Column)
        key = (column.table, column.name)
        if key not in self.held:
            frame = self.typed[column.table]
            self.held[key] = frame[column.name].notna().to_numpy() if column.name in frame else True
        return self.held[key]

    def _cross(self, node: Across) -> Any:
        assert isinstance(node.of, Column)
        grid = self.model[node.of.table]
        block = np.column_stack([self.columns[grid.name][key] for key in grid.axis])
        rows = self._chosen(node.where[0]).argmax(axis=1)
        return block[rows, self._chosen(node.where[1]).argmax(axis=1)]


def filled(column: Any, is_text: bool) -> Any:
    """A typed column with its blanks as a formula sees them: 0, or no words."""
    blank = "" if is_text else 0.0
    known = [blank if each is None or each != each else each for each in column]
    return np.array(known, dtype=object if is_text else float)


def _sum(of: Any, chosen: Any) -> Any:
    return chosen.astype(float) @ of


def _extreme(pick: Any, of: Any, chosen: Any, never: float) -> Any:
    best = pick(np.where(chosen, of[None, :], never), axis=1, initial=never)
    return np.where(chosen.any(axis=1), best, 0.0)


def _find(of: Any, chosen: Any) -> Any:
    if not chosen.any(axis=1).all():
        raise LookupError("a look-up finds no row; the input check should have said so")
    return of[chosen.argmax(axis=1)]


def _first(of: Any, chosen: Any) -> Any:
    if not len(of):
        return np.full(len(chosen), "", dtype=object)
    return np.where(chosen.any(axis=1), of[chosen.argmax(axis=1)], "")


_HOW = {
    "sum": _sum,
    "largest": lambda of, chosen: _extreme(np.max, of, chosen, -np.inf),
    "smallest": lambda of, chosen: _extreme(np.min, of, chosen, np.inf),
    "find": _find,
    "first": _first,
}
