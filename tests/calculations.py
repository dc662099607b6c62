"""What in a file calculates: told from its syntax tree, so that nothing has to be run or believed.

A file that only looks figures up needs no arithmetic sign between numbers, no rounding, no sum, no
comparison of two figures, and no number but 0 and 1 (and those that cut a text or stand in a
constant, which without a sign can do nothing). Joining texts and lists is no calculation, as far as
one side is visibly one.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator

from jinja2 import Environment, nodes

CALCULATING_CALLS = {
    "abs", "complex", "divmod", "eval", "exec", "float", "fsum", "int", "len", "max",
    "min", "pow", "round", "sum", "Counter", "Decimal", "Fraction", "accumulate", "reduce",
    "timedelta",
}  # fmt: skip
"""By whatever is called so: of a library that is imported under another name the import tells."""

CALCULATING_METHODS = {
    "abs", "agg", "apply", "aggregate", "clip", "cummax", "cummin", "cumprod", "cumsum", "diff",
    "div", "divide", "dot", "eval", "floordiv", "groupby", "limit_denominator", "max", "mean",
    "median", "min", "mod", "mul", "multiply", "nunique", "pow", "prod", "product", "quantize",
    "quantile", "rank", "round", "rsub", "sub", "subtract", "sum", "total", "transform",
    "truediv", "value_counts",
}  # fmt: skip

CALCULATING_MODULES = {
    "cmath", "functools.reduce", "itertools.accumulate", "math", "numpy", "operator", "random",
    "scipy", "statistics",
}  # fmt: skip

ADDING_UP = CALCULATING_METHODS - {"max", "min", "sub"} | {"Decimal", "Fraction", "accumulate"}
"""Without what a layout needs: the larger width, the earlier row, a text replaced in another."""

JOINED = ast.JoinedStr | ast.List | ast.ListComp | ast.Tuple | ast.Dict | ast.DictComp
ORDERED = ast.Lt | ast.LtE | ast.Gt | ast.GtE
NUMBERS = (0, 1)
ARITHMETIC = nodes.Add | nodes.Sub | nodes.Mul | nodes.Div | nodes.FloorDiv | nodes.Mod | nodes.Pow
FILTERS = {"abs", "batch", "float", "int", "length", "count", "max", "min", "round", "slice", "sum"}


def calculations(source: str) -> list[str]:
    """Every place of a Python file that calculates, as line: what stands there."""
    tree = ast.parse(source)
    for parent in ast.walk(tree):
        for child in ast.iter_child_nodes(parent):
            child.parent = parent  # type: ignore[attr-defined]
    found = {
        (node.lineno, f"{node.lineno}: {ast.unparse(node)}")
        for node in ast.walk(tree)
        if isinstance(node, ast.expr | ast.stmt) and _calculates(node)
    }
    return [words for _, words in sorted(found)]


def sums_and_roundings(source: str) -> list[str]:
    """Every call of a Python file that adds up or rounds, and every import of what does."""
    found = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)):
                calls = name in ADDING_UP
            case ast.Import() | ast.ImportFrom():
                calls = bool(set(_modules(node)) & CALCULATING_MODULES)
            case _:
                continue
        if calls:
            found.append(f"{node.lineno}: {ast.unparse(node)}")
    return found


def _calculates(node: ast.expr | ast.stmt) -> bool:
    match node:
        case ast.BinOp(op=ast.BitOr() | ast.BitAnd()):  # dictionaries, types and sets joined
            return False
        case ast.BinOp(op=ast.Add(), left=left, right=right):
            return not (_is_joined(left) or _is_joined(right))
        case ast.BinOp(op=ast.Div(), right=right) if _is_joined(right):  # a folder and a name
            return False
        case ast.BinOp():
            return True
        case ast.AugAssign(op=ast.BitOr() | ast.BitAnd()):
            return False
        case ast.AugAssign(op=ast.Add(), value=value):
            return not _is_joined(value)
        case ast.AugAssign():
            return True
        case ast.UnaryOp(op=ast.USub() | ast.UAdd() | ast.Invert()):
            return True
        case ast.Compare(left=left, ops=signs, comparators=others):
            sides = [left, *others]
            return any(
                isinstance(sign, ORDERED) and not any(map(_is_plain, sides[at : at + 2]))
                for at, sign in enumerate(signs)
            )
        case ast.Call(func=ast.Name(id=name)):
            return name in CALCULATING_CALLS
        case ast.Call(func=ast.Attribute(attr=name)):
            return name in CALCULATING_CALLS | CALCULATING_METHODS
        case ast.Import() | ast.ImportFrom():
            return bool(set(_modules(node)) & CALCULATING_MODULES)
        case ast.Constant(value=bool()):
            return False
        case ast.Constant(value=int() | float() as number):
            return number not in NUMBERS and not _stands_aside(node)
        case _:
            return False


def _is_joined(node: ast.expr) -> bool:
    """Whether it is visibly a text or a list."""
    return isinstance(node, JOINED) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _is_plain(node: ast.expr) -> bool:
    """0 or 1: whether there is any, or more than one."""
    return isinstance(node, ast.Constant) and node.value in NUMBERS


def _modules(node: ast.Import | ast.ImportFrom) -> Iterator[str]:
    """The modules that an import may mean, and the packages that they belong to."""
    source = f"{node.module}." if isinstance(node, ast.ImportFrom) else ""
    for each in node.names:
        parts = f"{source}{each.name}".split(".")
        yield from (".".join(parts[:upto]) for upto in range(1, len(parts) + 1))


def _stands_aside(node: ast.Constant) -> bool:
    """Whether a number cuts a text, or stands alone in a constant of the file."""
    parent = getattr(node, "parent", None)
    if isinstance(parent, ast.Slice):
        return True
    above = getattr(parent, "parent", None)
    if isinstance(parent, ast.Tuple):
        parent, above = above, getattr(above, "parent", None)
    if not isinstance(parent, ast.Assign) or not isinstance(above, ast.Module):
        return False
    names = [name for each in parent.targets for name in ast.walk(each)]
    return all(name.id.isupper() for name in names if isinstance(name, ast.Name))


def calculations_in_template(source: str, environment: Environment) -> list[str]:
    """Every place of a jinja template that calculates; its own counting of loops does not."""
    found: list[str] = []
    for node in environment.parse(source).find_all((nodes.Expr, nodes.Filter)):
        match node:
            case nodes.BinExpr() if isinstance(node, ARITHMETIC):
                found.append(f"{node.lineno}: {node.operator}")
            case nodes.Filter(name=name) if name in FILTERS:
                found.append(f"{node.lineno}: {name}")
            case nodes.Compare(expr=left, ops=operands):
                sides = [left, *(each.expr for each in operands)]
                if any(each.op in ("lt", "lteq", "gt", "gteq") for each in operands) and not any(
                    isinstance(each, nodes.Const) and each.value in NUMBERS for each in sides
                ):
                    found.append(f"{node.lineno}: compares")
            case _:
                pass
    return found
