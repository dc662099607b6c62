"""Outside estimator/quantities/ nothing is calculated: papers, copies and commands look figures up.

Each place of the package is named here with what it may do. What looks up is held to it by its
syntax tree (`tests/calculations.py`); what draws may calculate positions, and is held to it by what
it may import: where no figure of a job can be seen, none can be calculated.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from jinja2 import Environment

from tests.calculations import calculations, calculations_in_template, sums_and_roundings

PACKAGE = Path(__file__).parents[1] / "estimator"
TEMPLATES = Path(__file__).parents[1] / "templates" / "documents"

LOOKS_UP = ("documents", "copies", "addin", "summary.py", "explain.py", "cli.py")
DRAWS = ("drawing",)
"""Positions on paper: imports the planner's patterns and written lengths, and sees no figure."""
LAYS_OUT = ("workbook", "revise")
"""Rows, columns, widths, and reading what stands in cells; figures come from the values."""
CALCULATES = {
    "quantities": "every figure of a job",
    "expressions": "the algebra that the figures are defined in",
    "units.py": "factors between units",
    "planner": "cut plans and all that is counted in them",
    "cut_plans.py": "what the planner is asked, and its answers as planned values",
    "structure.py": "rows that are laid out, and the pieces of rails",
    "estimate.py": "the pipeline",
    "price_band": "the search for the range in which the purchaser's price holds",
    "project": "exact lengths, and checks of what is typed",
}
NEITHER = (
    "__init__.py", "__main__.py", "problems.py", "progress.py", "process.py", "data.py", "files.py",
    "formats",
)  # fmt: skip

WRITES_FIGURES = "documents/figures.py"
"""Figures into words: the digits that are shown. It sees one figure at a time and no table."""
NO_FIGURES = {
    "addin/build.py": "packs a file",
    "addin/commands.py": "waits",
    "addin/cut_plan_sheet.py": "counts rows and columns from 0 instead of 1",
    "addin/engine.py": "waits",
    "addin/install.py": "runs a program",
    "addin/refusals.py": "counts rows and columns from 0 instead of 1, and lines of words",
    "addin/renewal.py": "counts rows; holds planned values against those that stand",
    "addin/extension": "runs inside Calc; its cell functions calculate from a person's own cells",
}
ADDS_UP_NO_FIGURES = {
    "workbook/answered.py": "reads numbers that were typed",
    "workbook/typed.py": "reads numbers that were typed",
    "workbook/table_rows.py": "how large a number may be",
    "workbook/archive.py": "how large a file is",
    "workbook/charts.py": "where an axis begins",
    "workbook/sheets.py": "widths of columns",
    "workbook/widths.py": "widths of columns",
    "revise/carried.py": "widths of columns",
    "revise/parts.py": "widths of columns",
    "revise/looks.py": "colours",
    "revise/walk.py": "what a step adds: the difference of two totals, to the cent",
}
FIGURES = ("estimator.estimate", "estimator.quantities", "estimator.expressions")


def files_of(*places: str) -> list[str]:
    """The Python files of some places, as paths inside the package."""
    return [
        path.relative_to(PACKAGE).as_posix()
        for place in places
        for path in (sorted((PACKAGE / place).rglob("*.py")) or [PACKAGE / place])
    ]


def held_to_the_rule() -> list[str]:
    aside = {WRITES_FIGURES, *files_of(*NO_FIGURES)}
    return [file for file in files_of(*LOOKS_UP) if file not in aside]


def source(file: str) -> str:
    return (PACKAGE / file).read_text(encoding="utf-8")


def imported(file: str) -> set[str]:
    """The modules that a file imports, wherever in it."""
    found = set()
    for node in ast.walk(ast.parse(source(file))):
        if isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
        elif isinstance(node, ast.Import):
            found |= {each.name for each in node.names}
    return found


# --- The package ----------------------------------------------------------------------------------


def test_every_place_is_named_once() -> None:
    named = [*LOOKS_UP, *DRAWS, *LAYS_OUT, *CALCULATES, *NEITHER]
    there = {path.name for path in PACKAGE.iterdir() if path.suffix == ".py" or path.is_dir()}
    assert sorted(named) == sorted(there - {"__pycache__"})


def test_it_looks_at_files() -> None:
    assert len(held_to_the_rule()) > 25
    assert {"documents/quote.py", "copies/site.py", "summary.py"} <= set(held_to_the_rule())
    assert all((PACKAGE / each).exists() for each in (WRITES_FIGURES, *NO_FIGURES))


@pytest.mark.parametrize("file", held_to_the_rule())
def test_what_looks_figures_up_does_not_calculate(file: str) -> None:
    assert calculations(source(file)) == []


@pytest.mark.parametrize("file", files_of(*DRAWS))
def test_what_draws_sees_no_figure(file: str) -> None:
    ours = {each.split(".")[1] for each in imported(file) if each.startswith("estimator.")}
    assert ours <= {"drawing", "planner", "project"}


@pytest.mark.parametrize("file", files_of(*LAYS_OUT))
def test_what_lays_out_neither_adds_up_nor_rounds(file: str) -> None:
    """Signs between rows and columns cannot be told from those between figures; sums can."""
    assert file in ADDS_UP_NO_FIGURES or sums_and_roundings(source(file)) == []


def test_what_writes_figures_sees_no_table_of_them() -> None:
    assert not [each for each in imported(WRITES_FIGURES) if each.startswith(FIGURES)]


@pytest.mark.parametrize("path", sorted(TEMPLATES.iterdir()), ids=lambda path: path.name)
def test_a_template_of_a_page_does_not_calculate(path: Path) -> None:
    found = calculations_in_template(path.read_text(encoding="utf-8"), Environment())
    assert found == []


# --- The rule itself ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "area = length * width", "area = face * each.faces * needed / 144", "total += count",
        "feet = inches // 12", "left = length - used", "rest = -amount", "share = used % whole",
        "rounded = round(hours, 1)", "packs = ceil(round(x, 6))", "n = int(row['order'])",
        "n = sum(line.count for line in lines)", "n = len(rows)", "best = max(prices)",
        "import math", "from math import ceil", "import numpy as np", "from operator import mul",
        "from functools import reduce", "from itertools import accumulate", "import operator as o",
        "hours = values['types']['weight'].sum()", "mean = frame.mean()", "a = x.quantize(CENT)",
        "heavy = weight > limit", "dear = price >= other.price", "if count > 12: pass",
        "needed_by = issued + timedelta(days=days)", "show(count, 3)", "factor = [144, 12][inches]",
        "CENTS = 10**2", "wide = 8", "x = parts / whole",
        "amounts = Counter(uses)", "price = Decimal(amount)", "x @ y", "n **= 2",
        "count = frame.groupby('floor')", "far = 12 < count", "d = float(value)",
    ],
)  # fmt: skip
def test_a_calculation_is_seen(line: str) -> None:
    assert calculations(line)


@pytest.mark.parametrize(
    "line",
    [
        "words = f'{count:,} of {total:,}'", "lines = [*lines, last]", "both = old | new",
        "text = 'a' + name", "found += [line]", "name = names[key]", "kept = items[:3]",
        "if rooms > 0: pass", "plural = '' if count == 1 else 's'", "last = parts[1]",
        "MOST_LINES = 12", "WIDE, HIGH = 8, 11", "path = folder / f'{name}.xlsx'",
        "rows = sorted(rows, key=lambda row: row['key'], reverse=True)",
        "numbered = enumerate(rows, start=1)", "same = one == other", "show.count(rooms)",
        "def shown(value: int | float) -> str: ...", "good = (a == 1) & (b > 0)", "several = n > 1",
        "for each in repeat(module, count): pass", "import pandas as pd", "joined = list_of + [x]",
    ],
)  # fmt: skip
def test_a_look_up_is_left_alone(line: str) -> None:
    assert calculations(line) == []


@pytest.mark.parametrize(
    "words",
    ["{{ a * b }}", "{{ a - 1 }}", "{{ lines | sum }}", "{{ hours | round(1) }}",
     "{% if weight > limit %}x{% endif %}", "{{ rows | length }}", "{{ n // 12 }}"],
)  # fmt: skip
def test_a_calculation_in_a_template_is_seen(words: str) -> None:
    assert calculations_in_template(words, Environment())


@pytest.mark.parametrize(
    "words",
    ["{{ a ~ b }}", "{% if rooms > 1 %}x{% endif %}", "{{ loop.index }}", "{{ a or '–' }}",
     "{{ words | join('; ') }}"],
)  # fmt: skip
def test_a_look_up_in_a_template_is_left_alone(words: str) -> None:
    assert calculations_in_template(words, Environment()) == []
