"""Who imports whom: the rules of the table in DEVELOPERS.md, over any mapping of files to sources.

A file is named by its path inside the package, with slashes. Every import counts, wherever it
stands: at the top, inside a function, for the type checker alone, or by `import_module("...")`. A
function that imports late may save time; it needs the other file all the same.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path, PurePosixPath

NAME = "estimator"
PACKAGE = Path(__file__).parents[1] / NAME
TABLE = Path(__file__).parents[1] / "DEVELOPERS.md"

ROOTS = ("addin/extension/pythonpath/", "addin/extension/")
"""Inside Calc these folders are searched for modules."""

ELSEWHERE = {
    "estimator.fitout": "declared in addin/extension/fit_out.idl",
    "fit_out.lengths": "project/lengths.py, put into the extension by addin/build.py",
}
"""Modules of the extension that no file in its folder holds, and where they come from."""

LOADERS = ("import_module", "__import__")

Files = Mapping[str, str]
Circle = frozenset[str]


@dataclass(frozen=True)
class Place:
    """A row of the table: a folder or a file of the package, and the places that it may import."""

    name: str
    imports: tuple[str, ...]


@dataclass(frozen=True)
class Import:
    """One file asks for another; `target` is a path, or words where no file is meant."""

    file: str
    line: int
    target: str
    is_known: bool = True


def package_files() -> dict[str, str]:
    """Every Python file of the package."""
    return {
        path.relative_to(PACKAGE).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(PACKAGE.rglob("*.py"))
    }


def read_places(text: str) -> list[Place]:
    """The table's rows in order: | `place` | what it is | `place`, `place` |."""
    rows = re.findall(r"^\| `([\w./]+)` \|[^|]*\|([^|]*)\|$", text, flags=re.MULTILINE)
    return [Place(name, tuple(re.findall(r"`([\w./]+)`", may))) for name, may in rows]


def place_of(file: str, places: Sequence[Place]) -> str | None:
    """The row that a file belongs to: the closest folder, or the file itself."""
    fits = [p.name for p in places if file == p.name or file.startswith(p.name.rstrip("/") + "/")]
    return max(fits, key=len, default=None)


def imports(files: Files) -> list[Import]:
    """Every import of a file of the package by another."""
    modules = {_module(file): file for file in files}
    return [
        found
        for file, source in files.items()
        for line, names in _asked_for(file, source)
        if (found := _found(file, line, names, modules)) is not None
    ]


def outside(files: Files) -> set[str]:
    """The top names of all other modules that the files import."""
    tops = {
        names[0].split(".")[0]
        for file, source in files.items()
        for _, names in _asked_for(file, source)
    }
    return tops - {NAME}


def _module(file: str) -> str:
    """The name by which a file is imported."""
    root = next((each for each in ROOTS if file.startswith(each)), "")
    path = PurePosixPath(file.removeprefix(root) if root else f"{NAME}/{file}").with_suffix("")
    parts = path.parts[:-1] if path.name == "__init__" else path.parts
    return ".".join(parts)


@cache
def _asked_for(file: str, source: str) -> tuple[tuple[int, list[str]], ...]:
    """The line of each import, and the names that it may mean, the likeliest first."""
    return tuple(
        (node.lineno, names)
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.stmt | ast.expr)
        for names in _names(node, file)
    )


def _names(node: ast.stmt | ast.expr, file: str) -> list[list[str]]:
    """What one statement or call imports; nothing if it imports nothing."""
    match node:
        case ast.Import(names=names):
            return [[each.name] for each in names]
        case ast.ImportFrom(module=source, names=names, level=level):
            start = ".".join(part for part in (_base(file, level), source) if part)
            return [[f"{start}.{each.name}", start] for each in names]
        case ast.Call(func=ast.Name(id=called) | ast.Attribute(attr=called)) if called in LOADERS:
            return [[_constant(node)]]
        case _:
            return []


def _base(file: str, level: int) -> str:
    """The package that an import with so many dots starts from; nothing without dots."""
    parts = _module(file).split(".")
    up = level - 1 if file.endswith("__init__.py") else level
    return ".".join(parts[: len(parts) - up]) if level else ""


def _constant(call: ast.Call) -> str:
    """The module that a loading call names; one that is not written out is none that is known."""
    match call.args[:1]:
        case [ast.Constant(value=str() as name)]:
            return name
        case _:
            return f"{NAME}.<{ast.unparse(call)}>"


def _found(file: str, line: int, names: list[str], modules: Mapping[str, str]) -> Import | None:
    """None for what is not of the package."""
    for name in names:
        if name in modules:
            return Import(file, line, modules[name])
    if any(name in ELSEWHERE for name in names) and file.startswith(ROOTS):
        return None
    ours = {NAME, *(name.split(".")[0] for name in modules)}
    is_ours = names[0].split(".")[0] in ours
    return Import(file, line, names[-1], is_known=False) if is_ours else None


def faults(files: Files, places: Sequence[Place]) -> list[str]:
    """What breaks the table: a row, a file or an import that it does not bear out."""
    return [*_of_rows(files, places), *_of_imports(files, places)]


def _of_rows(files: Files, places: Sequence[Place]) -> Iterator[str]:
    holders = {file: place_of(file, places) for file in files}
    yield from (f"{file} stands in no row" for file, place in holders.items() if place is None)
    above: set[str] = set()
    for place in places:
        if place.name not in holders.values():
            yield f"{place.name} holds no file"
        for each in sorted({*place.imports} - above):
            yield f"{place.name} may import {each}, which does not stand above it"
        above.add(place.name)


def _of_imports(files: Files, places: Sequence[Place]) -> Iterator[str]:
    permitted = {(place.name, each) for place in places for each in place.imports}
    used = set()
    for each in imports(files):
        step = (place_of(each.file, places), place_of(each.target, places))
        used.add(step)
        if not each.is_known:
            yield f"{each.file}:{each.line} imports {each.target}, which is no module"
        elif step[0] != step[1] and step not in permitted:
            yield f"{each.file}:{each.line} imports {each.target}"
    yield from (f"{name} may import {each} and does not" for name, each in permitted - used)


def circles(files: Files) -> set[Circle]:
    """The groups of files of which each needs every other (strongly connected components)."""
    needs: dict[str, set[str]] = {file: set() for file in files}
    for each in imports(files):
        needs[each.file].add(each.target)
    reached = {file: _reached(file, needs) for file in files}
    return {
        frozenset(other for other in reached[file] if file in reached[other])
        for file in files
        if file in reached[file]
    }


def _reached(file: str, needs: Mapping[str, set[str]]) -> set[str]:
    found: set[str] = set()
    waiting = list(needs[file])
    while waiting:
        each = waiting.pop()
        if each not in found:
            found.add(each)
            waiting += needs.get(each, ())
    return found
