"""Damaged and hostile workbooks: clear words, bounded memory and time, nothing written."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from estimator.workbook.write import write_workbook
from tests.workbook.estimates import estimated
from tests.workbook.hostile.files import HOSTILE
from tests.workbook.projects import template

MOST_MEMORY = 500_000_000


@pytest.fixture(scope="module")
def spoilt(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every hostile file, by what is wrong with it."""
    good = tmp_path_factory.mktemp("good") / "book.xlsx"
    write_workbook(estimated(template("merrowby-lodge")), good)
    folder = tmp_path_factory.mktemp("hostile")
    paths = {name: folder / f"{at:02}.xlsx" for at, name in enumerate(HOSTILE)}
    for name, path in paths.items():
        HOSTILE[name].spoil(good, path)
    return paths


@pytest.fixture(scope="module")
def outcomes(spoilt: dict[str, Path]) -> dict[str, dict[str, Any]]:
    """What a process of its own said of each, which must not touch a file of the folder."""
    folder = next(iter(spoilt.values())).parent
    before = stamps(folder)
    command = [sys.executable, "-m", "tests.workbook.hostile.reader", *map(str, spoilt.values())]
    surroundings = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run(command, capture_output=True, text=True, check=True, env=surroundings)
    assert stamps(folder) == before
    found = json.loads(done.stdout)
    return {name: found[path.name] for name, path in spoilt.items()}


def stamps(folder: Path) -> dict[str, tuple[int, int]]:
    """Size and moment of the last change of everything in a folder."""
    return {p.name: (p.stat().st_size, p.stat().st_mtime_ns) for p in sorted(folder.iterdir())}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_damaged_or_hostile_file_is_answered_with_clear_words(
    name: str, outcomes: dict[str, dict[str, Any]]
) -> None:
    outcome = outcomes[name]
    assert not outcome["traceback"]
    assert outcome["memory"] < MOST_MEMORY
    text = "\n".join(outcome["words"])
    at = 0
    for words in HOSTILE[name].words:
        assert words in text[at:], text
        at = text.index(words, at) + len(words)


def test_there_are_many_of_them() -> None:
    assert len(HOSTILE) > 30
