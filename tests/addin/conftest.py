"""One Calc with the add-in for all tests of this folder, and a small workbook to open in it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from estimator.estimate import estimate
from estimator.project.templates import read_template
from estimator.workbook.write import write_workbook
from tests.addin.calc_with_addin import CalcWithAddin, calc_with_addin


@pytest.fixture(scope="session")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook of one room, less than a sheet."""
    path = tmp_path_factory.mktemp("book") / "one-wall.xlsx"
    write_workbook(estimate(read_template("one-wall")), path)
    return path


@pytest.fixture(scope="session")
def calc(tmp_path_factory: pytest.TempPathFactory) -> Iterator[CalcWithAddin]:
    """Calc with the add-in."""
    with calc_with_addin(tmp_path_factory.mktemp("calc")) as running:
        yield running
