"""The type checker names a kind of node that a back end forgot: tried by deleting each from each.

Every `match` over nodes is copied once for each of the six kinds, without the cases of that kind,
and one run of mypy looks at all the copies.
"""

from __future__ import annotations

import ast
import shutil
import subprocess
import sys
from collections import defaultdict
from functools import cache
from pathlib import Path
from typing import get_args

import pytest

from estimator.expressions.nodes import Expression, Node

PACKAGE = Path(__file__).parents[2] / "estimator"
KINDS = [kind.__name__ for kind in get_args(Expression)]
BACK_ENDS = {
    "expressions/formula.py _text",
    "expressions/functions.py _may_be_blank",
    "expressions/nodes.py _is_product",
    "expressions/nodes.py children",
    "expressions/value.py value",
    "expressions/words.py _words",
}
# The six kinds can be told apart without reading any library.
SETTINGS = """
[mypy]
[mypy-numpy.*,pandas.*,pint.*]
follow_imports = skip
ignore_missing_imports = true
"""


def kinds_in(pattern: ast.AST) -> set[str]:
    """The kinds of node that a pattern names."""
    classes = [each.cls for each in ast.walk(pattern) if isinstance(each, ast.MatchClass)]
    return {each.id for each in classes if isinstance(each, ast.Name) and each.id in KINDS}


@cache
def matches() -> dict[str, ast.Match]:
    """Every match over nodes in the package, by its file and its function."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        for outer in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(outer, ast.FunctionDef):
                for each in ast.walk(outer):
                    if isinstance(each, ast.Match) and any(kinds_in(c.pattern) for c in each.cases):
                        found[f"{path.relative_to(PACKAGE).as_posix()} {outer.name}"] = each
    return found


class Forgetful(ast.NodeTransformer):
    """Takes one kind out of the match that stands on a line."""

    def __init__(self, line: int, kind: str) -> None:
        self.line, self.kind = line, kind

    def visit_Match(self, node: ast.Match) -> ast.Match:
        if node.lineno == self.line:
            node.cases = [each for each in node.cases if self._keeps(each)]
        return node

    def _keeps(self, case: ast.match_case) -> bool:
        if isinstance(case.pattern, ast.MatchOr):
            left = [each for each in case.pattern.patterns if self.kind not in kinds_in(each)]
            case.pattern.patterns = left
            return bool(left)
        return self.kind not in kinds_in(case.pattern)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """What mypy says of each file: the algebra as it stands, and its copies."""
    top = tmp_path_factory.mktemp("forgotten")
    shutil.copytree(PACKAGE / "expressions", top / "estimator" / "expressions")
    for name in ("__init__.py", "units.py"):
        shutil.copy(PACKAGE / name, top / "estimator")
    (top / "mypy.ini").write_text(SETTINGS, encoding="utf-8")
    for name, match in matches().items():
        for kind in KINDS:
            tree = ast.parse((PACKAGE / name.split()[0]).read_text(encoding="utf-8"))
            tree = Forgetful(match.lineno, kind).visit(tree)
            (top / "estimator" / copy_of(name, kind)).write_text(ast.unparse(tree), "utf-8")
    command = [sys.executable, "-m", "mypy", "--no-incremental", "estimator"]
    ran = subprocess.run(command, cwd=top, capture_output=True, text=True, check=False)
    assert ran.returncode == 1, ran.stdout + ran.stderr
    told: dict[str, list[str]] = defaultdict(list)
    for line in ran.stdout.splitlines():
        file, _, said = line.removeprefix("estimator/").partition(":")
        if "assert_never" in said:
            told[file].append(said)
    return told


def copy_of(name: str, kind: str) -> str:
    """The file without that kind in that function."""
    file, function = name.split()
    return f"{file.removesuffix('.py')}_{function}_without_{kind}.py"


def test_the_six_kinds_are_all_the_kinds_there_are() -> None:
    kinds = [each for each in Node.__subclasses__() if each.__module__ == Node.__module__]
    assert set(kinds) == set(get_args(Expression))


def test_every_back_end_is_known_and_names_every_kind() -> None:
    assert set(matches()) == BACK_ENDS
    for match in matches().values():
        assert set().union(*(kinds_in(each.pattern) for each in match.cases)) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("back_end", sorted(BACK_ENDS))
def test_the_type_checker_names_the_kind_that_was_deleted(
    back_end: str, kind: str, told: dict[str, list[str]]
) -> None:
    said = told[copy_of(back_end, kind)]
    assert [f'has incompatible type "{kind}"; expected "Never"' in each for each in said] == [True]


def test_the_type_checker_is_content_with_what_stands(told: dict[str, list[str]]) -> None:
    assert set(told) == {copy_of(name, kind) for name in BACK_ENDS for kind in KINDS}
