"""The workbooks of all templates, written once for the tests of this folder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import openpyxl
import pytest
from openpyxl import Workbook

from estimator.estimate import Estimate
from estimator.project.templates import list_templates, read_template
from estimator.workbook.write import write_workbook
from tests.workbook.estimates import estimated

TEMPLATES = [template.name for template in list_templates()]


@dataclass(frozen=True)
class Book:
    """A workbook on disk, what it was written from, and what openpyxl reads of it."""

    estimate: Estimate
    path: Path
    read: Workbook


def write_book(estimate: Estimate, path: Path) -> Book:
    """Write the workbook and read it back."""
    write_workbook(estimate, path)
    return Book(estimate, path, openpyxl.load_workbook(path))


@pytest.fixture(scope="session")
def books(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Book]:
    """The workbook of each template that comes with the tool."""
    folder = tmp_path_factory.mktemp("templates")
    assert len(TEMPLATES) >= 4
    return {
        name: write_book(estimated(read_template(name)), folder / f"{name}.xlsx")
        for name in TEMPLATES
    }


@pytest.fixture(scope="session", params=TEMPLATES)
def book(request: pytest.FixtureRequest, books: Mapping[str, Book]) -> Book:
    """Each of them in turn."""
    return books[request.param]
