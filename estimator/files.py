"""Files that appear whole or not at all, and never in the place of another."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from estimator.problems import Problem, raise_if_any


def refuse_existing(paths: Sequence[Path]) -> None:
    """Raise ProblemsFound if a file stands where one is to be written, or its folder is missing."""
    fix = "Choose another name, or move it away; nothing is written over."
    problems = [
        Problem(str(path), "a file", "a name that is free", fix)
        for path in paths
        if path.exists() or path.is_symlink()
    ]
    problems += [
        Problem(str(path), "no such folder", "an existing folder", "Make the folder first.")
        for path in paths
        if not path.parent.is_dir()
    ]
    raise_if_any(problems)


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """A temporary name beside `path`; it becomes `path` when all went well, else it vanishes.

    Raises FileExistsError if something stands at `path` by then, also if it came this moment.
    """
    handle, name = tempfile.mkstemp(suffix=".part", prefix=".", dir=path.parent)
    os.close(handle)
    temporary = Path(name)
    try:
        yield temporary
        temporary.chmod(0o644)
        _move(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


def _move(temporary: Path, path: Path) -> None:
    """A link fails where a file stands; on a disk without links, claiming the name does."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:
        path.open("x").close()
        temporary.replace(path)


def free_names(path: Path) -> Iterator[Path]:
    """The path, then numbered ones beside it: quote.html, quote 2.html, …"""
    yield path
    number = 2
    while True:
        yield path.with_stem(f"{path.stem} {number}")
        number += 1


def write_text(path: Path, text: str) -> Path:
    """Write the text to the first free name; returns it."""
    for each in free_names(path):
        try:
            with whole_file(each) as temporary:
                temporary.write_text(text, encoding="utf-8", newline="")
        except FileExistsError:
            continue
        return each
    raise AssertionError("there is always a further number")
