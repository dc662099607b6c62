"""A revision without planning, for the tests of all that comes along."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import openpyxl
from openpyxl import Workbook

from estimator.project.records import Project
from estimator.revise.revise import Revision, next_path, next_project, write_next
from estimator.workbook.read import read_book
from estimator.workbook.stored import read_stored
from tests.workbook.estimates import estimated

TODAY = date(2026, 12, 1)


def edited(book: Path, edit: Callable[[Workbook], object], name: str = "Edited") -> Path:
    """The workbook as a person leaves it after an edit."""
    own = openpyxl.load_workbook(book)
    edit(own)
    path = book.with_name(f"{name}.xlsx")
    own.save(path)
    return path


def next_of(path: Path, change: Callable[[Project], Project] = lambda project: project) -> Revision:
    """The next revision, of the project as changed, under the stand-in plan."""
    stored = read_stored(path)
    book = read_book(stored)
    project = next_project(change(book.project), TODAY)
    target = next_path(path, project.project.revision)
    return write_next(stored, book, estimated(project), target)


def read(revision: Revision) -> Workbook:
    """What openpyxl reads of it."""
    return openpyxl.load_workbook(revision.path)


def told(revision: Revision) -> set[str]:
    """What it says was left behind."""
    return {str(each) for each in revision.left_behind}
