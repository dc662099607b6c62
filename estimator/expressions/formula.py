"""How an expression reads in a cell.

Columns of the same row are plain references (C7); everything else is a defined name that points to
a range or to a single cell, so that a formula can be read. The row number is left as a mark, since
a column of a table has one formula for all its rows.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import assert_never

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

ROW = "§"
_STRENGTH = {"=": 1, "<>": 1, "<": 1, "<=": 1, ">": 1, ">=": 1, "+": 2, "-": 2, "*": 3, "/": 3}
_TOTALS = {"sum": "SUM", "largest": "MAX", "smallest": "MIN"}
_CONDITIONAL = {"sum": "SUMIFS", "largest": "_xlfn.MAXIFS", "smallest": "_xlfn.MINIFS"}
_HARDEST = 9


def formula(node: Expression, here: Callable[[Column], str]) -> str:
    """The formula's text, its leading = included; `here` gives the cell of a column of this row.

    >>> from estimator.units import unit
    >>> length = Column(unit("in"), frozenset({"runs"}), "runs", "length")
    >>> kerf = Column(unit("in"), frozenset(), "terms", "kerf")
    >>> formula((length + kerf).to("ft"), lambda column: f"C{ROW}")
    '=(C§+terms_kerf)/12'
    """
    return "=" + _text(node, here, 0)


def range_name(column: Column) -> str:
    """The defined name of a column's range, or of a form's single cell."""
    return f"{column.table}_{column.name}"


def _text(node: Expression, here: Callable[[Column], str], outer: int) -> str:
    match node:
        case Constant(value=str() as words):
            return '"' + words.replace('"', '""') + '"'
        case Constant(value=number):
            return str(number)
        case Column():
            return here(node) if node.scope else range_name(node)
        case Operation(sign=sign, left=left, right=right):
            strength = _STRENGTH[sign]
            sides = (_text(left, here, strength - 1), _text(right, here, strength))
            return _wrapped(sign.join(sides), strength, outer)
        case Conversion(inner=inner, by=by) if by == 1:
            return _text(inner, here, outer)
        case Conversion(inner=inner, by=by):
            return _wrapped(_text(inner, here, 2) + factor_text(by), 3, outer)
        case Call(function=function, arguments=arguments):
            outer_strength = _HARDEST if "/" in function.formula else 0
            texts = [_text(each, here, outer_strength) for each in arguments]
            return function.formula.format(*texts, all=",".join(texts))
        case Across():
            return _across(node, here)
    assert_never(node)


def _wrapped(text: str, strength: int, outer: int) -> str:
    return f"({text})" if strength <= outer else text


def factor_text(by: Fraction) -> str:
    """A unit factor as the shortest exact operation: *12, /144, else its decimal."""
    if by.numerator == 1:
        return f"/{by.denominator}"
    return f"*{by.numerator}" if by.denominator == 1 else f"*{float(by)!r}"


def _across(node: Across, here: Callable[[Column], str]) -> str:
    of = _text(node.of, range_name, 2)
    match node.how:
        case "rows":
            return f"COUNTA({of})-1"
        case "filled":
            return f"COUNT({of})"
        case "find" | "cross":
            return f"INDEX({of},{','.join(_match(each, here) for each in node.where)})"
        case "first":
            return f'IFERROR(INDEX({of},{_match(node.where[0], here)}),"")'
        case "sum" | "largest" | "smallest":
            return _drawn(node, of, here)
    assert_never(node.how)


def _drawn(node: Across, of: str, here: Callable[[Column], str]) -> str:
    """A sum or an extreme of the rows that satisfy the conditions."""
    if not isinstance(node.of, Column):
        tests = "".join(_test(each, here) for each in node.where)
        return f"SUMPRODUCT({tests}{of})"
    if not node.where:
        return f"{_TOTALS[node.how]}({of})"
    criteria = "".join(
        f",{range_name(each.column)},{_criterion(each, here)}" for each in node.where
    )
    return f"{_CONDITIONAL[node.how]}({of}{criteria})"


def _match(condition: Condition, here: Callable[[Column], str]) -> str:
    return f"MATCH({_text(condition.value, here, 0)},{range_name(condition.column)},0)"


def _criterion(condition: Condition, here: Callable[[Column], str]) -> str:
    value = _text(condition.value, here, 0)
    return value if condition.sign == "=" else f'"{condition.sign}"&{value}'


def _test(condition: Condition, here: Callable[[Column], str]) -> str:
    """Blank cells are left out, as SUMIFS leaves them out."""
    column, value = range_name(condition.column), _text(condition.value, here, 1)
    return f'({column}{condition.sign}{value})*({column}<>"")*'
