"""A workbook appears whole or not at all, and never over one that is there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
import xlsxwriter

from estimator.estimate import Estimate
from estimator.project.templates import read_template
from estimator.workbook import cells
from estimator.workbook.write import write_workbook
from tests.workbook.estimates import estimated


@pytest.fixture(scope="module")
def estimate() -> Estimate:
    """Of the smallest template."""
    return estimated(read_template("one-wall"))


def test_the_workbook_is_all_that_appears(estimate: Estimate, tmp_path: Path) -> None:
    write_workbook(estimate, tmp_path / "book.xlsx")
    assert [path.name for path in tmp_path.iterdir()] == ["book.xlsx"]
    assert openpyxl.load_workbook(tmp_path / "book.xlsx").sheetnames[0] == "Welcome"


def test_a_workbook_that_is_there_stays(estimate: Estimate, tmp_path: Path) -> None:
    there = tmp_path / "book.xlsx"
    there.write_text("edited by a person")
    with pytest.raises(FileExistsError):
        write_workbook(estimate, there)
    assert there.read_text() == "edited by a person"
    assert [path.name for path in tmp_path.iterdir()] == ["book.xlsx"], "something is left over"


def test_a_folder_that_is_missing_is_not_made(estimate: Estimate, tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        write_workbook(estimate, tmp_path / "nowhere" / "book.xlsx")
    assert list(tmp_path.iterdir()) == []


def test_a_file_where_a_folder_should_be(estimate: Estimate, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(NotADirectoryError):
        write_workbook(estimate, tmp_path / "file" / "book.xlsx")
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_nothing_is_left_of_a_workbook_that_fails_half_way(
    estimate: Estimate, tmp_path: Path
) -> None:
    pieces = estimate.typed["pieces"].copy()
    pieces["length"] = pd.Series([object()] * len(pieces), index=pieces.index, dtype=object)
    broken = replace(estimate, typed={**estimate.typed, "pieces": pieces})
    with pytest.raises(TypeError):
        write_workbook(broken, tmp_path / "book.xlsx")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("row", [1_048_576, 2_000_000])
def test_a_cell_outside_the_sheet_is_refused_aloud(row: int, tmp_path: Path) -> None:
    """The sheet has 1,048,576 rows and 16,384 columns; the file writer only returns -1."""
    book = xlsxwriter.Workbook(tmp_path / "book.xlsx")
    sheet = book.add_worksheet("Counts")
    style = book.add_format()
    writes: tuple[Callable[[], None], ...] = (
        lambda: cells.write_words(sheet, row, 0, "words", style),
        lambda: cells.write_number(sheet, row, 0, 1, style),
        lambda: cells.write_blank(sheet, row, 0, style),
        lambda: cells.write_formula(sheet, row, 0, "=1", style, 1),
        lambda: cells.write_value(sheet, 0, 16_384, 1, style),
    )
    for write in writes:
        with pytest.raises(cells.WriteRefused, match=r"Counts row \d+ column \d+"):
            write()
    book.close()
