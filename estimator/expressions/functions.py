"""The functions an expression may call, each with its value and its cell formula side by side.

Where Python and a spreadsheet differ, the value follows the spreadsheet: halves are rounded away
from zero, and a number is first taken to the fifteen digits that a cell keeps.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, assert_never

import numpy as np
import pint

from estimator.expressions.nodes import (
    Across,
    Call,
    Column,
    Constant,
    Conversion,
    Expression,
    Function,
    Node,
    Operand,
    Operation,
    constant,
)
from estimator.units import UnitFault, name_of, quotient, unit

# A cell keeps fifteen digits: a value nearer to a half than half of its fifteenth is that half.
_DIGITS_KEPT, _LEAST_SIZE, _MOST_NOISE = 15, 0.1, 0.1


def round_half_away(value: Any, digits: Any) -> Any:
    """ROUND: to so many decimals, halves away from zero."""
    scale = np.power(10.0, digits)
    size = np.abs(value) * scale
    digits_before = np.floor(np.log10(np.maximum(size, _LEAST_SIZE))) + 1
    last_digit = np.power(10.0, digits_before - _DIGITS_KEPT)
    noise = np.minimum(last_digit / 2, _MOST_NOISE)
    return np.sign(value) * np.floor(size + 0.5 + noise) / scale


def whole_up(value: Any, guard: Any) -> Any:
    """The next whole number, after noise beyond `guard` decimals is rounded away."""
    steady = round_half_away(value, guard)
    return np.sign(steady) * np.ceil(np.abs(steady))


def whole_down(value: Any, guard: Any) -> Any:
    """The whole number below, after noise beyond `guard` decimals is rounded away."""
    steady = round_half_away(value, guard)
    return np.sign(steady) * np.floor(np.abs(steady))


def share_or_zero(part: Any, whole: Any) -> Any:
    """part / whole, and 0 where the whole is 0."""
    whole = np.asarray(whole, dtype=float)
    return np.where(whole == 0, 0.0, part / np.where(whole == 0, 1.0, whole))


def and_how_many_more(name: Any, count: Any) -> Any:
    """The name of one, and how many there are besides."""
    pairs = zip(*np.broadcast_arrays(np.atleast_1d(name), np.atleast_1d(count)), strict=True)
    words = [f"{one} and {many - 1:.15g} more" if many > 1 else str(one) for one, many in pairs]
    return np.array(words, dtype=object) if np.ndim(name) or np.ndim(count) else words[0]


def side_by_side(*words: Any) -> Any:
    """Words put together, row by row."""
    rows = zip(*np.broadcast_arrays(*map(np.atleast_1d, words)), strict=True)
    put = ["".join(map(str, each)) for each in rows]
    return np.array(put, dtype=object) if any(map(np.ndim, words)) else put[0]


def _same(units: Sequence[pint.Unit]) -> pint.Unit:
    if len(set(units)) != 1:
        raise UnitFault(f"needs one unit, has {', '.join(name_of(each) for each in units)}")
    return units[0]


def _first(units: Sequence[pint.Unit]) -> pint.Unit:
    return units[0]


def _needs(wanted: str, gives: str) -> Any:
    def rule(units: Sequence[pint.Unit]) -> pint.Unit:
        if any(each != unit(wanted) for each in units):
            raise UnitFault(f"needs {wanted}, has {', '.join(name_of(each) for each in units)}")
        return unit(gives)

    return rule


def _named(units: Sequence[pint.Unit]) -> pint.Unit:
    _needs("1", "text")(units[1:])
    _needs("text", "text")(units[:1])
    return units[0]


def _choice(units: Sequence[pint.Unit]) -> pint.Unit:
    _needs("truth", "truth")(units[:1])
    return _same(units[1:])


def _either(*truths: Any) -> Any:
    return np.logical_or.reduce(np.broadcast_arrays(*truths))


def _both(*truths: Any) -> Any:
    return np.logical_and.reduce(np.broadcast_arrays(*truths))


def _least(*values: Any) -> Any:
    return np.minimum.reduce(np.broadcast_arrays(*values))


def _most(*values: Any) -> Any:
    return np.maximum.reduce(np.broadcast_arrays(*values))


ROUND = Function("round", _first, round_half_away, "ROUND({0},{1})", "{0} rounded to {1} decimals")
ROUND_UP = Function(
    "round up", _first, whole_up, "ROUNDUP(ROUND({0},{1}),0)", "{0} rounded up to a whole number"
)
ROUND_DOWN = Function(
    "round down",
    _first,
    whole_down,
    "ROUNDDOWN(ROUND({0},{1}),0)",
    "{0} rounded down to a whole number",
)
CHOOSE = Function("choose", _choice, np.where, "IF({0},{1},{2})", "{1} if {0}, otherwise {2}")
SMALLER = Function("smaller", _same, _least, "MIN({all})", "the smallest of {all}")
LARGER = Function("larger", _same, _most, "MAX({all})", "the largest of {all}")
SIZE = Function("size", _first, np.abs, "ABS({0})", "{0} without its sign")
SHARE = Function(
    "share",
    lambda units: quotient(units[0], units[1]),
    share_or_zero,
    "IF({1}=0,0,{0}/{1})",
    "{0} / {1} (0 when there is none)",
)
POWER = Function("power", _needs("1", "1"), np.power, "POWER({0},{1})", "{0} to the power of {1}")
LOGARITHM = Function("logarithm", _needs("1", "1"), np.log, "LN({0})", "natural logarithm of {0}")
SQUARE_ROOT = Function("root", _needs("1", "1"), np.sqrt, "SQRT({0})", "square root of {0}")
TANGENT = Function(
    "tangent",
    _needs("degree", "1"),
    lambda angle: np.tan(np.radians(angle)),
    "TAN(RADIANS({0}))",
    "tangent of {0}",
)
COSINE = Function(
    "cosine",
    _needs("degree", "1"),
    lambda angle: np.cos(np.radians(angle)),
    "COS(RADIANS({0}))",
    "cosine of {0}",
)
AND_MORE = Function(
    "and more",
    _named,
    and_how_many_more,
    '{0}&IF({1}>1," and "&({1}-1)&" more","")',
    "{0}, and how many more of {1}",
)
JOINED = Function(
    "joined words", _needs("text", "text"), side_by_side, "CONCATENATE({all})", "{all} put together"
)
TYPED_OVER = Function(
    "typed over",
    lambda units: unit("1"),
    lambda value: np.zeros(np.shape(value)),
    "IF(_xlfn.ISFORMULA({0}),0,1)",
    "1 if {0} is no longer a formula",
)
ALL = Function("all", _needs("truth", "truth"), _both, "AND({0},{1})", "{0} and {1}")
ANY = Function("any", _needs("truth", "truth"), _either, "OR({0},{1})", "{0} or {1}")


def call(function: Function, *arguments: Expression) -> Expression:
    """A Call node, its unit checked now; the fault names the function."""
    try:
        result = function.result([argument.unit for argument in arguments])
    except UnitFault as fault:
        raise UnitFault(f"{function.name}: {fault}") from None
    scope = frozenset().union(*(argument.scope for argument in arguments))
    return Call(result, scope, function, arguments)


def rounded(value: Expression, digits: Expression) -> Expression:
    """To so many decimals, halves away from zero."""
    return call(ROUND, value, digits)


def rounded_up(value: Expression, guard: Expression) -> Expression:
    """To the next whole number; noise beyond `guard` decimals does not count."""
    return call(ROUND_UP, value, guard)


def rounded_down(value: Expression, guard: Expression) -> Expression:
    """To the whole number below; noise beyond `guard` decimals does not count."""
    return call(ROUND_DOWN, value, guard)


def choose(condition: Expression, then: Operand, otherwise: Operand) -> Expression:
    """`then` where the condition holds, else `otherwise`; both of one unit."""
    known = then if isinstance(then, Node) else otherwise
    wanted = known.unit if isinstance(known, Node) else unit("1")
    return call(CHOOSE, condition, constant(then, wanted), constant(otherwise, wanted))


def smaller(left: Expression, *others: Operand) -> Expression:
    """The smallest of several."""
    return call(SMALLER, *(_seen(constant(each, left.unit)) for each in (left, *others)))


def larger(left: Expression, *others: Operand) -> Expression:
    """The largest of several."""
    return call(LARGER, *(_seen(constant(each, left.unit)) for each in (left, *others)))


def _seen(value: Expression) -> Expression:
    """MIN and MAX pass over a blank cell that they are handed; a sum with 0 they see."""
    return value + 0 if _may_be_blank(value) else value


def _may_be_blank(node: Expression) -> bool:
    """Whether the formula may hand on a reference to a blank cell."""
    match node:
        case Column(may_be_blank=blank):
            return blank
        case Conversion(inner=inner, by=by):
            return by == 1 and _may_be_blank(inner)
        case Call(function=function, arguments=arguments):
            return function is CHOOSE and any(map(_may_be_blank, arguments[1:]))
        case Across(how=how):
            return how in ("find", "cross")
        case Constant() | Operation():
            return False
    assert_never(node)


def size(value: Expression) -> Expression:
    """The value without its sign."""
    return call(SIZE, value)


def share(part: Expression, whole: Expression) -> Expression:
    """part / whole, and 0 where the whole is 0."""
    return call(SHARE, part, whole)


def power(base: Expression, exponent: Expression) -> Expression:
    """base to the exponent, both plain ratios."""
    return call(POWER, base, exponent)


def logarithm(value: Expression) -> Expression:
    """The natural logarithm of a plain ratio."""
    return call(LOGARITHM, value)


def square_root(value: Expression) -> Expression:
    """The square root of a plain ratio."""
    return call(SQUARE_ROOT, value)


def tangent(angle: Expression) -> Expression:
    """The tangent of an angle in degrees."""
    return call(TANGENT, angle)


def cosine(angle: Expression) -> Expression:
    """The cosine of an angle in degrees."""
    return call(COSINE, angle)


def and_more(name: Expression, count: Expression) -> Expression:
    """The name of the first of so many, and how many more there are: side-48 and 2 more."""
    return call(AND_MORE, name, count)


def joined_words(first: Expression, *others: Expression) -> Expression:
    """Words put together: desk-48 in queen-desk."""
    return call(JOINED, first, *others)


def typed_over(quantity: Column) -> Expression:
    """1 if something was typed where a quantity's formula stood; calculated here, nothing was."""
    return call(TYPED_OVER, quantity)


def both(left: Expression, right: Expression) -> Expression:
    """True where both are."""
    return call(ALL, left, right)


def either(left: Expression, right: Expression) -> Expression:
    """True where at least one is."""
    return call(ANY, left, right)
