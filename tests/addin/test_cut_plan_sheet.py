"""The sheet Cut plan as the add-in enters it: what stands on it in a workbook's file."""

from __future__ import annotations

import base64
from typing import Any

import openpyxl
import pytest

from estimator.addin.cut_plan_sheet import cut_plan_sheet
from estimator.workbook.book import CUT_PLAN
from estimator.workbook.write import write_workbook
from tests.documents.samples import sample

EMU_PER_HUNDREDTH = 360
"""English metric units, in which a file counts, in 1/100 mm."""


@pytest.fixture(scope="module", params=["one-wall", "one-wall-metric"])
def both(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Any:
    """What the add-in gets, and what openpyxl reads of a file."""
    path = tmp_path_factory.mktemp("plan") / "Wall.xlsx"
    write_workbook(sample(request.param), path)
    return cut_plan_sheet(sample(request.param)), openpyxl.load_workbook(path)[CUT_PLAN]


def test_its_words_are_those_of_the_file(both: Any) -> None:
    entered, sheet = both
    found = {(row, column): value for row, column, value, _ in entered["cells"]}
    assert found == {
        (cell.row - 1, cell.column - 1): cell.value
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }
    assert len(found) > 50


def test_its_looks_are_those_of_the_file(both: Any) -> None:
    entered, sheet = both
    for row, column, _, number in entered["cells"]:
        cell, look = sheet.cell(row + 1, column + 1), entered["looks"][number]
        assert look["size"] == cell.font.sz
        assert (look["bold"], look["italic"]) == (bool(cell.font.b), bool(cell.font.i))
        assert look["ink"] == f"#{cell.font.color.rgb[2:]}"
        fill = cell.fill.fgColor.rgb[2:] if cell.fill.fill_type == "solid" else None
        assert look["fill"] == (f"#{fill}" if fill else None)
        line = cell.border.left.color
        assert look["line"] == (f"#{line.rgb[2:]}" if line else None)
        assert look["indent"] == int(cell.alignment.indent)
        assert look["wrap"] == bool(cell.alignment.wrap_text)
        assert look["left"] or look["indent"] or cell.alignment.horizontal != "left"


def test_its_widths_are_those_of_the_file(both: Any) -> None:
    entered, sheet = both
    widths = {name: each.width for name, each in sheet.column_dimensions.items()}
    assert {"ABCDEFG"[at]: width for at, width in entered["widths"].items()} == pytest.approx(
        widths, abs=1 / 200
    )


def test_its_drawings_are_those_of_the_file(both: Any) -> None:
    entered, sheet = both
    assert len(entered["drawings"]) == len(sheet._images) > 0
    for drawing, image in zip(entered["drawings"], sheet._images, strict=True):
        start, end = image.anchor._from, image.anchor.to
        assert base64.b64decode(drawing["png"]) == image._data()
        assert drawing["about"].startswith("Cut pattern ")
        assert (drawing["column"], drawing["row"]) == (start.col, start.row)
        assert (start.colOff, start.rowOff) == (0, 0)
        assert drawing["ends"] == (end.col, end.colOff // EMU_PER_HUNDREDTH)
