"""The six kinds of expression a quantity is built from, and the unit rules for joining them.

Operators only build: `rooms * feet_per_room` is a node that knows its unit, nothing more. What a
node is worth, how it reads in a cell and how it reads aloud is told by value.py, formula.py and
words.py, one function each. Each ends in `assert_never`, so that the type checker names a kind that
it forgot. A mixed unit raises UnitFault on the line that mixes it.

A row of a table is the scope of most expressions; the two words for reaching further are `total`
(and its kin) over the rows of another table, and a form, whose single record is in sight anywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal, TypeAlias, assert_never

import pint

from estimator.units import UnitFault, factor, name_of, product, quotient, unit

Sign = Literal["+", "-", "*", "/", "=", "<>", "<", "<=", ">", ">="]
How = Literal["sum", "largest", "smallest", "find", "first", "cross", "rows", "filled"]
Operand: TypeAlias = "Node | int | str"


@dataclass(frozen=True, eq=False)
class Node:
    """What all kinds share: a unit, the tables whose current row they read, and the operators."""

    unit: pint.Unit
    scope: frozenset[str]

    def __add__(self, other: Operand) -> Expression:
        return alike("+", self, other, "add")

    def __sub__(self, other: Operand) -> Expression:
        return alike("-", self, other, "subtract")

    def __rsub__(self, other: Operand) -> Expression:
        return alike("-", constant(other, self.unit), self, "subtract")

    def __mul__(self, other: Operand) -> Expression:
        right = constant(other, unit("1"))
        return joined("*", self, right, product(self.unit, right.unit))

    def __truediv__(self, other: Operand) -> Expression:
        right = constant(other, unit("1"))
        return joined("/", self, right, quotient(self.unit, right.unit))

    def __rtruediv__(self, other: Operand) -> Expression:
        return constant(other, unit("1")) / self

    def __eq__(self, other: Operand) -> Expression:  # type: ignore[override]
        return comparison("=", self, other)

    def __ne__(self, other: Operand) -> Expression:  # type: ignore[override]
        return comparison("<>", self, other)

    def __lt__(self, other: Operand) -> Expression:
        return comparison("<", self, other)

    def __le__(self, other: Operand) -> Expression:
        return comparison("<=", self, other)

    def __gt__(self, other: Operand) -> Expression:
        return comparison(">", self, other)

    def __ge__(self, other: Operand) -> Expression:
        return comparison(">=", self, other)

    __hash__ = object.__hash__

    def __bool__(self) -> bool:
        raise TypeError("an expression is neither true nor false; write choose(condition, a, b)")

    def to(self, target: str) -> Expression:
        """The same quantity in another unit of its dimension."""
        wanted = unit(target)
        if wanted == self.unit:
            return one_of_six(self)
        return converted(self, wanted, factor(self.unit, wanted))

    def number_of(self, counted: str) -> Expression:
        """The same number counting something else: one piece for each room, a ratio as sheets."""
        return converted(self, unit(counted), Fraction(1))

    def measured(self) -> Expression:
        """The bare number, for a table whose rows count unlike things, each in its own unit."""
        return self.number_of("measure")

    def per(self, counted: str) -> Expression:
        """The same number, said of each one of something: a length, in each room."""
        return converted(self, quotient(self.unit, unit(counted)), Fraction(1))


@dataclass(frozen=True, eq=False)
class Constant(Node):
    """A word, or one of the two numbers that may stand in a formula: 0 and 1."""

    value: int | str


@dataclass(frozen=True, eq=False)
class Column(Node):
    """A column of a table: its value in the current row, or of the one record of a form."""

    table: str
    name: str
    may_be_blank: bool = False


@dataclass(frozen=True, eq=False)
class Operation(Node):
    """Two expressions joined by a sign; words are only equal or not, and truths only chosen by."""

    sign: Sign
    left: Expression
    right: Expression

    def __post_init__(self) -> None:
        sides = (self.left.unit, self.right.unit)
        words_fit = self.sign in ("=", "<>") or unit("text") not in sides
        if unit("truth") in sides or not words_fit:
            shown = " and ".join(name_of(side) for side in sides)
            raise UnitFault(f"cannot join {shown} by {self.sign}; write choose(condition, 1, 0)")


@dataclass(frozen=True, eq=False)
class Conversion(Node):
    """An expression times an exact unit factor."""

    inner: Expression
    by: Fraction


@dataclass(frozen=True, eq=False)
class Call(Node):
    """A function of the table in functions.py, applied."""

    function: Function
    arguments: tuple[Expression, ...]


@dataclass(frozen=True, eq=False)
class Across(Node):
    """A figure drawn from the rows of another table that satisfy every condition.

    how: sum; largest; smallest; find (the first such row, which exists); first (words of the first
    such row, none if there is none); cross (of a grid, by row and by column); rows (how many have a
    key) and filled (how many have a number).
    of: an expression in that table's columns.
    """

    how: How
    of: Expression
    where: tuple[Condition, ...]


Expression: TypeAlias = Constant | Column | Operation | Conversion | Call | Across


@dataclass(frozen=True)
class Condition:
    """A column of the other table compared with a value of this one."""

    column: Column
    sign: Sign
    value: Expression


@dataclass(frozen=True)
class Function:
    """A spreadsheet function: the unit it gives, its value and its formula, side by side.

    result: from the arguments' units to the unit of the outcome; raises UnitFault.
    value: from arrays or numbers to the same.
    formula: a template with {0}, {1} for the arguments, or {all} for any number of them.
    words: the same template, to be read aloud.
    """

    name: str
    result: Callable[[Sequence[pint.Unit]], pint.Unit]
    value: Callable[..., Any]
    formula: str
    words: str


def one_of_six(node: Node) -> Expression:
    """A node as the kind that it is; there are no others."""
    if isinstance(node, Expression):
        return node
    raise TypeError(f"{type(node).__name__} is none of the six kinds of node")


def constant(value: Operand, wanted: pint.Unit) -> Expression:
    """A plain 0, 1 or word as an expression in the wanted unit; an expression as it is."""
    if isinstance(value, Node):
        return one_of_six(value)
    if isinstance(value, str):
        return Constant(unit("text"), frozenset(), value)
    if value not in (0, 1) or isinstance(value, bool):
        raise UnitFault(f"the number {value} may change: give it a row among the terms")
    if wanted == unit("text"):
        raise UnitFault(f"the number {value} stands where words belong")
    return Constant(wanted, frozenset(), int(value))


def converted(inner: Node, wanted: pint.Unit, by: Fraction) -> Expression:
    """A quantity times a factor that takes it to another unit."""
    return Conversion(wanted, inner.scope, one_of_six(inner), by)


def joined(sign: Sign, left: Node, right: Node, outcome: pint.Unit) -> Operation:
    """Two quantities with a sign between them, and the unit that it gives."""
    return Operation(outcome, left.scope | right.scope, sign, one_of_six(left), one_of_six(right))


def alike(sign: Sign, left: Node, right: Operand, verb: str) -> Operation:
    """Two quantities of one unit joined; anything else is a fault that shows both sides."""
    other = constant(right, left.unit)
    if left.unit != other.unit:
        sides = f"left is {name_of(left.unit)}, right is {name_of(other.unit)}"
        raise UnitFault(f"cannot {verb}: {sides}")
    return joined(sign, left, other, left.unit)


def comparison(sign: Sign, left: Node, right: Operand) -> Expression:
    """Two quantities of one unit compared: true or false."""
    same = alike(sign, left, right, "compare")
    return joined(sign, same.left, same.right, unit("truth"))


def total(of: Expression, *where: Expression) -> Expression:
    """The sum of a column over the rows of its table that satisfy the conditions; 0 if none do."""
    return across("sum", of, where)


def largest(of: Expression, *where: Expression) -> Expression:
    """The largest value among the rows that satisfy the conditions; 0 if none do."""
    return across("largest", of, where)


def smallest(of: Expression, *where: Expression) -> Expression:
    """The smallest value among the rows that satisfy the conditions; 0 if none do."""
    return across("smallest", of, where)


def find(of: Expression, where: Expression) -> Expression:
    """The value in the first row that satisfies the condition, which must exist."""
    return across("find", of, (where,))


def first(of: Expression, where: Expression) -> Expression:
    """The words in the first row that satisfies the condition; no words if none does."""
    if of.unit != unit("text"):
        raise UnitFault(f"the first of what is no words: {name_of(of.unit)}; write a find or total")
    return across("first", of, (where,))


def cross(of: Expression, row: Expression, column: Expression) -> Expression:
    """The value of a grid in the row and the column that satisfy one condition each."""
    return across("cross", of, (row, column))


def row_count(key: Expression) -> Expression:
    """How many rows of another table have a key."""
    return Across(unit("1"), frozenset(), "rows", key, ())


def filled_in(column: Expression) -> Expression:
    """How many rows of another table have a number in a column."""
    return Across(unit("1"), frozenset(), "filled", column, ())


def across(how: How, of: Expression, where: Sequence[Expression]) -> Expression:
    """An Across node; its conditions are comparisons, the other table's column on the left."""
    if not isinstance(of, Column) and not (how == "sum" and _is_product(of)):
        raise UnitFault("draws from a column, or a sum from some joined; make it a column first")
    conditions = tuple(_condition(each, of.scope) for each in where)
    if how in ("find", "first", "cross") and any(each.sign != "=" for each in conditions):
        raise UnitFault("a row is looked up by what a column is equal to, and by nothing else")
    scope = frozenset().union(*(condition.value.scope for condition in conditions))
    return Across(of.unit, scope, how, of, conditions)


def _is_product(node: Expression) -> bool:
    """Whether a spreadsheet can calculate it over whole ranges: columns, joined by signs."""
    match node:
        case Constant() | Column():
            return True
        case Operation() | Conversion():
            return all(map(_is_product, children(node)))
        case Call() | Across():
            return False
    assert_never(node)


def _condition(node: Expression, other: frozenset[str]) -> Condition:
    """A blank cell satisfies no condition, which holds in a spreadsheet for all signs but <>."""
    if not isinstance(node, Operation) or not isinstance(node.left, Column) or node.sign == "<>":
        raise UnitFault("a condition compares a column of the other table with a value of this one")
    if isinstance(node.right, Constant) and node.right.value == "":
        raise UnitFault('blank words match no row, though a spreadsheet would let "" match some')
    if node.left.scope != other:
        tables = ", ".join(sorted(other)) or "no table of rows"
        raise UnitFault(f"a condition on {node.left.table}, but what is drawn is of {tables}")
    return Condition(node.left, node.sign, node.right)


def children(node: Expression) -> tuple[Expression, ...]:
    """The expressions directly inside a node."""
    match node:
        case Constant() | Column():
            return ()
        case Operation(left=left, right=right):
            return (left, right)
        case Conversion(inner=inner):
            return (inner,)
        case Call(arguments=arguments):
            return arguments
        case Across(of=of, where=where):
            sides = ((each.column, each.value) for each in where)
            return (of, *(side for pair in sides for side in pair))
    assert_never(node)


def columns_in(node: Expression) -> tuple[Column, ...]:
    """Every column that a node reads, once each, in order of appearance."""
    found = {(node.table, node.name): node} if isinstance(node, Column) else {}
    for child in children(node):
        found |= {(column.table, column.name): column for column in columns_in(child)}
    return tuple(found.values())
