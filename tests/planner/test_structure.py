"""The planner's own order: no file imports a later one of the list, not even for a type's sake."""

from __future__ import annotations

import ast
from graphlib import TopologicalSorter
from pathlib import Path

import estimator.planner

FOLDER = Path(estimator.planner.__path__[0])
PREFIX = "estimator.planner"
FOLDERS = {"": {"", "bound", "search"}, "bound": {"", "bound"}, "search": {"", "bound", "search"}}
FRONT = ["cutting", "mixes", "live_bound", "shop_order"]
"""Files at the top that stand above the folders, lowest first; all others there stand below."""


def imports() -> dict[str, set[str]]:
    """By module, the planner's modules that it imports."""
    found: dict[str, set[str]] = {}
    for path in FOLDER.rglob("*.py"):
        name = ".".join(path.relative_to(FOLDER).with_suffix("").parts)
        found[name] = set()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                module = node.module or ""
                names = [f"{module}.{alias.name}" for alias in node.names]
                targets = [module] if (FOLDER.parents[1] / as_path(module)).exists() else names
            elif isinstance(node, ast.Import):
                targets = [alias.name for alias in node.names]
            else:
                continue
            within = (each for each in targets if each.startswith(PREFIX + "."))
            found[name] |= {each.removeprefix(PREFIX + ".") for each in within}
    return found


def as_path(module: str) -> str:
    return module.replace(".", "/") + ".py"


def test_no_circle_over_files() -> None:
    found = imports()
    assert len(found) > 20
    assert "search.state" in found["search.deep_diving"]
    list(TopologicalSorter(found).static_order())


def test_the_folders_stand_one_above_the_other() -> None:
    for name, targets in imports().items():
        folder = name.rpartition(".")[0]
        allowed = FOLDERS[folder] if folder or name in FRONT else {""}
        for target in targets:
            assert target.rpartition(".")[0] in allowed, f"{name} imports {target}"
            if target in FRONT:
                above = FRONT[FRONT.index(target) + 1 :]
                assert name in above, f"{name} imports {target}"
