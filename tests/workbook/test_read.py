"""What is written is read back: every field exactly, and the planned columns beside."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from estimator.estimate import calculate_book
from estimator.project.records import Project
from estimator.workbook.read import ReadBook, read_workbook
from estimator.workbook.write import write_workbook
from tests.engines.compare import agree
from tests.workbook.estimates import estimated
from tests.workbook.projects import TEMPLATES, projects, template, with_every_count

NO_SHRINKING = (Phase.explicit, Phase.reuse, Phase.generate)
"""Making an example smaller writes hundreds of workbooks; the edits that it prints are few."""


def written(project: Project, path: Path) -> Path:
    path.unlink(missing_ok=True)
    write_workbook(estimated(project), path)
    return path


def parts(path: Path) -> dict[str, bytes]:
    """Everything in the file but the moment at which it was written."""
    with zipfile.ZipFile(path) as package:
        return {n: package.read(n) for n in package.namelist() if n != "docProps/core.xml"}


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_is_read_back_as_it_was_written(name: str, tmp_path: Path) -> None:
    book = read_workbook(written(template(name), tmp_path / "book.xlsx"))
    assert book.project == template(name)
    assert book.remarks == ()


@pytest.mark.parametrize("name", TEMPLATES)
def test_all_figures_follow_from_what_is_read_without_planning(name: str, tmp_path: Path) -> None:
    first = estimated(template(name))
    path = tmp_path / "book.xlsx"
    write_workbook(first, path)
    book = read_workbook(path)
    second = calculate_book(book.project, book.typed)
    assert second.values.keys() == first.values.keys()
    for table, frame in first.values.items():
        for column in frame:
            pairs = zip(frame[column], second.values[table][column], strict=True)
            assert all(agree(old, new) for old, new in pairs), (table, column)


@pytest.mark.slow
@settings(max_examples=20, phases=NO_SHRINKING, suppress_health_check=list(HealthCheck))
@given(projects())
def test_write_read_write_is_identical(
    tmp_path_factory: pytest.TempPathFactory, project: Project
) -> None:
    folder = tmp_path_factory.mktemp("books")
    first = written(project, folder / "first.xlsx")
    book: ReadBook = read_workbook(first)
    assert book.project == with_every_count(project)
    assert book.remarks == ()
    assert parts(written(book.project, folder / "second.xlsx")) == parts(first)
