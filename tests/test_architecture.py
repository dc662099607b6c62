"""Each folder answers one question and imports only what lies below it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "estimator"

# A place, and the places it may import. Files inside a folder may import each other.
ALLOWED = {
    "units": set(),
    "problems": set(),
    "progress": set(),
    "data": set(),
    "files": {"problems"},
    "expressions": {"units"},
    "planner": set(),
    "project": {"problems", "data", "units"},
    "quantities": {"expressions", "project", "units"},
    "formats": {"expressions", "project"},
}
# Above these the pipeline joins things; what it may not do is reach up.
ABOVE = {
    "structure": {"cli", "workbook", "documents", "copies", "revise", "addin", "estimate"},
    "cut_plans": {"cli", "workbook", "documents", "copies", "revise", "addin", "estimate"},
    "estimate": {"cli", "workbook", "documents", "copies", "revise", "addin"},
    "documents": {"cli", "workbook", "copies", "revise", "addin"},
    "workbook": {"cli", "copies", "revise", "addin"},
    "revise": {"cli", "copies", "addin"},
    "copies": {"cli", "addin"},
}


def place_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports() -> list[tuple[str, str, str]]:
    """(file, its place, the place it imports) for every import inside the package."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("estimator."):
                target = (node.module or "").split(".")[1]
                found.append((str(path.relative_to(PACKAGE)), place_of(path), target))
    return found


def test_it_looked_at_the_package() -> None:
    assert len({file for file, _, _ in imports()}) > 30


@pytest.mark.parametrize("place", ALLOWED)
def test_a_lower_place_imports_only_what_lies_below(place: str) -> None:
    strange = [
        (file, target)
        for file, source, target in imports()
        if source == place and target not in ALLOWED[place] | {place}
    ]
    assert not strange


@pytest.mark.parametrize("place", ABOVE)
def test_the_pipeline_does_not_reach_up(place: str) -> None:
    assert not [
        (file, target)
        for file, source, target in imports()
        if source == place and target in ABOVE[place]
    ]


def test_every_place_is_in_the_tables() -> None:
    alone = {"cli", "addin", "explain", "summary", "__init__", "__main__"}
    assert {place_of(path) for path in PACKAGE.rglob("*.py")} <= set(ALLOWED) | set(ABOVE) | alone


def test_the_planner_stands_alone() -> None:
    outside = {"numpy", "highspy", "estimator"}
    used = set()
    for path in (PACKAGE / "planner").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                used |= {each.name.split(".")[0] for each in node.names}
            elif isinstance(node, ast.ImportFrom):
                used.add((node.module or "").split(".")[0])
    import sys

    assert used - set(sys.stdlib_module_names) <= outside
