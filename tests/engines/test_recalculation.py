"""Each engine computes afresh: a false cached value in every formula cell is gone afterwards."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import xlsxwriter

from tests.engines import calc, others, programs
from tests.engines.cells import FALSE_VALUE, Place, Value, formula_values, set_inputs

COUNT, DOUBLE, LABEL = ("Room counts", "A1"), ("Room counts", "B1"), ("Room counts", "C1")


def by_calc(path: Path) -> dict[Place, Value]:
    return formula_values(calc.recalculate([path], path.parent / "calc")[path])


ENGINES = [by_calc, others.by_formualizer, others.by_ironcalc]


@pytest.fixture
def stale(tmp_path: Path) -> Path:
    """A book of two formulas, `count * 2` and a text, that caches the false value for both."""
    path = tmp_path / "stale.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Room counts")
        sheet.write_number("A1", 21)
        sheet.write_formula("B1", "=A1*2", None, FALSE_VALUE)
        sheet.write_formula("C1", '=A1&" rooms"', None, FALSE_VALUE)
    return path


def test_the_file_itself_holds_the_false_value(stale: Path) -> None:
    assert formula_values(stale) == {DOUBLE: FALSE_VALUE, LABEL: FALSE_VALUE}


@pytest.mark.parametrize("engine", ENGINES)
def test_an_engine_replaces_false_cached_values(
    engine: Callable[[Path], dict[Place, Value]], stale: Path
) -> None:
    assert engine(stale) == {DOUBLE: 42, LABEL: "21 rooms"}


@pytest.mark.parametrize("engine", ENGINES)
def test_an_engine_follows_a_changed_input(
    engine: Callable[[Path], dict[Place, Value]], stale: Path
) -> None:
    changed = set_inputs(stale, {COUNT: 30}, stale.with_name("changed.xlsx"))
    assert engine(changed) == {DOUBLE: 60, LABEL: "30 rooms"}


def test_calc_keeps_the_false_value_unless_told_to_recalculate(stale: Path) -> None:
    made = calc.convert([stale], stale.parent / "calc", calc.XLSX, calc.NEVER_RECALCULATE)
    assert formula_values(made[stale])[DOUBLE] == FALSE_VALUE


def test_files_of_the_same_name_stay_apart(stale: Path) -> None:
    paths = []
    for count in (1, 2, 3):
        folder = stale.parent / str(count)
        folder.mkdir()
        paths.append(set_inputs(stale, {COUNT: count}, folder / "book.xlsx"))
    made = calc.recalculate(paths, stale.parent / "calc")
    assert [formula_values(made[path])[DOUBLE] for path in paths] == [2, 4, 6]


def test_calc_says_which_file_it_could_not_read(stale: Path) -> None:
    broken = stale.with_name("broken.xlsx")
    broken.write_bytes(stale.read_bytes()[:1000])
    with pytest.raises(programs.ProgramFailedError, match=r"not convert \['[^']*broken\.xlsx'\]"):
        calc.recalculate([stale, broken], stale.parent / "calc")


def test_a_book_can_be_looked_at_page_by_page(stale: Path) -> None:
    pages = calc.to_png_pages(stale, stale.parent / "pages")
    assert [page.suffix for page in pages] == [".png"]
    assert pages[0].read_bytes().startswith(b"\x89PNG")
