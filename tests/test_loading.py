"""A short command imports what it needs: most of its time goes to importing.

The time itself is told by `python -m tests.benchmarks.beside_another`.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.commands import run

TELL = """
import atexit, sys
from estimator.cli import main
atexit.register(lambda: print(*sorted(sys.modules), file=sys.stderr))
sys.argv = ["estimator", *sys.argv[1:]]
main()
"""
# Libraries and places that take long to load, and the commands that need them.
HEAVY = {
    "pandas": ("check", "quote"),
    "openpyxl": ("check", "quote"),
    "jinja2": ("quote",),
    "estimator.project.records": ("templates", "explain", "check", "quote"),
    "estimator.quantities": ("explain", "check", "quote"),
    "highspy": (),
    "estimator.planner": (),
    "xlsxwriter": (),
    "weasyprint": (),
    "rich.progress": (),
}
COMMANDS = {
    "--version": [],
    "templates": [],
    "explain": ["price.total"],
    "check": ["wall.xlsx"],
    "quote": ["wall.xlsx"],
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where a workbook of one wall stands."""
    made = tmp_path_factory.mktemp("loading")
    assert run("start", "wall.xlsx", "--template", "one-wall", folder=made).returncode == 0
    return made


@pytest.mark.parametrize("command", COMMANDS)
def test_a_short_command_loads_what_it_needs(command: str, folder: Path) -> None:
    words = [sys.executable, "-c", TELL, command, *COMMANDS[command]]
    told = subprocess.run(words, cwd=folder, capture_output=True, text=True, check=True)
    loaded = set(told.stderr.splitlines()[-1].split())
    expected = {name for name, commands in HEAVY.items() if command in commands}
    assert loaded & set(HEAVY) == expected
