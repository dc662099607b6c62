"""Each place imports only what the table in DEVELOPERS.md says, and no files form a circle."""

from __future__ import annotations

import ast
import sys
from statistics import median

import pytest

from tests.architecture import (
    TABLE,
    Place,
    circles,
    faults,
    imports,
    outside,
    package_files,
    read_places,
)

FILES = package_files()
PLACES = read_places(TABLE.read_text(encoding="utf-8"))


def test_it_looked_at_the_package_and_the_table() -> None:
    assert len(FILES) > 100
    assert len(PLACES) > 15
    assert len(imports(FILES)) > 500
    assert {each.file for each in imports(FILES)} > {"cli.py", "planner/cutting.py"}


def test_each_place_imports_what_the_table_says() -> None:
    assert faults(FILES, PLACES) == []


def test_no_files_import_each_other_in_a_circle() -> None:
    assert not circles(FILES)


def test_the_planner_needs_two_libraries() -> None:
    planner = {name: text for name, text in FILES.items() if name.startswith("planner/")}
    assert outside(planner) - set(sys.stdlib_module_names) == {"numpy", "highspy"}


# A file, a line put into it, and what is told of it.
FORBIDDEN = [
    ("planner/grid.py", "import estimator.problems", "imports problems.py"),
    ("planner/grid.py", "import estimator.problems as p", "imports problems.py"),
    ("planner/grid.py", "from estimator import problems", "imports problems.py"),
    ("planner/grid.py", "from estimator.problems import Problem", "imports problems.py"),
    ("planner/grid.py", "from estimator.problems import *", "imports problems.py"),
    ("planner/grid.py", "from ..problems import Problem", "imports problems.py"),
    ("planner/grid.py", "from .. import problems", "imports problems.py"),
    ("planner/grid.py", "from . import few, parts\nimport os, estimator.units", "units.py"),
    ("planner/grid.py", "def f():\n    import estimator.problems", "imports problems.py"),
    ("planner/grid.py", "if TYPE_CHECKING:\n    from estimator import data", "imports data.py"),
    ("planner/grid.py", "importlib.import_module('estimator.problems')", "imports problems.py"),
    ("planner/grid.py", "__import__('estimator.problems')", "imports problems.py"),
    ("planner/grid.py", "importlib.import_module(name)", "which is no module"),
    ("planner/grid.py", "from estimator import __version__", "imports __init__.py"),
    ("planner/__init__.py", "from ..units import unit", "imports units.py"),
    ("units.py", "from estimator.cli import app", "imports cli.py"),
    ("units.py", "from .expressions import nodes", "imports expressions/nodes.py"),
    ("expressions/nodes.py", "from estimator.quantities import define_model", "quantities/"),
    ("quantities/rails.py", "from estimator.workbook.read import read_workbook", "workbook/"),
    ("workbook/read.py", "from estimator.revise import changes", "imports revise/changes.py"),
    ("documents/quote.py", "import estimator.workbook.write", "imports workbook/write.py"),
    ("copies/book.py", "from estimator.addin import engine", "imports addin/engine.py"),
    ("copies/book.py", "from estimator.nowhere import nothing", "which is no module"),
    ("addin/extension/menu.py", "import estimator.problems", "imports problems.py"),
    ("addin/extension/pythonpath/fit_out/work.py", "from estimator import data", "imports data.py"),
    ("addin/engine.py", "from estimator.addin.extension import menu", "which is no module"),
    ("surprise.py", "import os", "surprise.py stands in no row"),
    ("surprise/of_a_folder.py", "import os", "of_a_folder.py stands in no row"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "line", "told"), FORBIDDEN)
def test_an_import_that_the_table_does_not_have_is_caught(file: str, line: str, told: str) -> None:
    found = faults(with_line(file, line), PLACES)
    assert [told in each for each in found] == [True]


def with_line(file: str, line: str) -> dict[str, str]:
    """The package with one more line at the end of a file."""
    return FILES | {file: f"{FILES.get(file, '')}\n{line}\n"}


CLOSING = [
    ({"expressions/nodes.py": "from estimator.expressions import tables"}, 2),
    ({"expressions/nodes.py": "if TYPE_CHECKING:\n    from .tables import Table"}, 2),
    ({"expressions/nodes.py": "def late():\n    import estimator.expressions.tables"}, 2),
    ({"expressions/nodes.py": "from .value import Calculation"}, 3),
    ({"units.py": "import estimator.expressions.nodes"}, 2),
    ({"project/lengths.py": "from estimator.project import templates"}, None),
    ({"addin/extension/pythonpath/fit_out/workbook.py": "from . import drawings"}, 2),
    ({"a.py": "import estimator.b", "b.py": "from . import c", "c.py": "from .a import f"}, 3),
    ({"a.py": "import estimator.a"}, 1),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "size"), CLOSING)
def test_a_circle_is_caught(lines: dict[str, str], size: int | None) -> None:
    files = dict(FILES)
    for file, line in lines.items():
        files[file] = f"{FILES.get(file, '')}\n{line}\n"
    (found,) = circles(files)
    assert set(lines) <= found
    assert size in (None, len(found))


ROWS = [
    ("planner/", ("units.py",), "planner/ may import units.py and does not"),
    ("units.py", ("planner/",), "which does not stand above it"),
    ("nowhere/", (), "nowhere/ holds no file"),
    ("summary.py", (), "summary.py:5 imports estimate.py"),
]


@pytest.mark.parametrize(("name", "may", "told"), ROWS)
def test_a_row_that_is_not_so_is_caught(name: str, may: tuple[str, ...], told: str) -> None:
    rows = {each.name: each for each in PLACES} | {name: Place(name, may)}
    assert any(told in each for each in faults(FILES, [*rows.values()]))


MOST_LINES, MOST_OF_A_FUNCTION, USUAL = 400, 50, 8


def test_files_and_functions_are_short() -> None:
    """What does not fit on a screen or two is not seen as a whole."""
    files = {name: text for name, text in FILES.items() if name.endswith(".py")}
    assert {name for name, text in files.items() if text.count("\n") > MOST_LINES} == set()
    lengths = {
        (name, each.name, each.lineno): (each.end_lineno or each.lineno) - each.lineno + 1
        for name, text in files.items()
        for each in ast.walk(ast.parse(text))
        if isinstance(each, ast.FunctionDef | ast.AsyncFunctionDef)
    }
    assert {each for each, lines in lengths.items() if lines > MOST_OF_A_FUNCTION} == set()
    assert median(lengths.values()) <= USUAL
