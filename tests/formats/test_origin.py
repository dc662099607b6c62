"""A workbook says which format it is of, whoever saved it; one of a newer version is refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from openpyxl import Workbook

from estimator import __version__
from estimator.cli import CANNOT
from estimator.estimate import calculate_book
from estimator.expressions.nodes import total
from estimator.expressions.tables import Model
from estimator.formats.migrations import FORMAT
from estimator.problems import ProblemsFound
from estimator.quantities import define_model, findings
from estimator.quantities.check import REVIEW, Check
from estimator.workbook.as_written import AS_WRITTEN
from estimator.workbook.origin import PROPERTIES, origin_of
from estimator.workbook.read import read_workbook
from estimator.workbook.stored import read_stored
from estimator.workbook.write import write_workbook
from tests.commands import run
from tests.engines import calc
from tests.workbook.estimates import estimated
from tests.workbook.projects import template

NUMBER, VERSION = PROPERTIES.values()


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("book") / "wall.xlsx"
    write_workbook(estimated(template("one-wall")), path)
    return path


def saved(book: Path, folder: Path, edit: Callable[[Workbook], object]) -> Path:
    """As another program leaves it after an edit."""
    own = openpyxl.load_workbook(book)
    edit(own)
    own.save(folder / book.name)
    return folder / book.name


def without_sheet(own: Workbook) -> None:
    del own[AS_WRITTEN]


def number_in_cell(number: float | str | None) -> Callable[[Workbook], None]:
    def edit(own: Workbook) -> None:
        own[AS_WRITTEN]["B4"] = number

    return edit


def in_words(own: Workbook) -> None:
    own[AS_WRITTEN]["B7"] = "{}"


def number_of(path: Path) -> int:
    return origin_of(read_stored(path)).number


# --- Which format --------------------------------------------------------------------------------


@pytest.mark.slow
def test_it_is_known_after_calc_saved_it_from_the_cell_and_from_the_property(
    book: Path, tmp_path: Path
) -> None:
    by_calc = calc.recalculate([book], tmp_path / "calc")[book]
    stored = read_stored(by_calc)
    origin = origin_of(stored)
    assert (origin.number, origin.version) == (FORMAT, __version__)
    assert origin.description == origin_of(read_stored(book)).description
    assert (stored.properties[NUMBER], stored.properties[VERSION]) == (FORMAT, __version__)


def test_it_is_known_after_another_program_saved_it_and_without_the_hidden_sheet(
    book: Path, tmp_path: Path
) -> None:
    assert number_of(saved(book, tmp_path, lambda own: None)) == FORMAT
    path = saved(book, tmp_path, without_sheet)
    assert AS_WRITTEN not in openpyxl.load_workbook(path).sheetnames
    assert number_of(path) == FORMAT
    assert read_workbook(path).project == read_workbook(book).project


@pytest.mark.parametrize("odd", ["two", True, -1, 0.25, None])
def test_what_is_no_number_in_the_cell_is_passed_over(
    odd: float | str | None, book: Path, tmp_path: Path
) -> None:
    assert number_of(saved(book, tmp_path, number_in_cell(odd))) == FORMAT


def test_a_description_that_was_typed_over_is_that_of_the_present_format(
    book: Path, tmp_path: Path
) -> None:
    path = saved(book, tmp_path, in_words)
    assert read_workbook(path).project == read_workbook(book).project


def test_a_later_format_without_its_description_cannot_be_read(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("estimator.workbook.origin.FORMAT", FORMAT + 1)
    with pytest.raises(ProblemsFound) as found:
        read_workbook(saved(book, tmp_path, in_words))
    assert str(found.value) == (
        f"wall.xlsx: found “no description of its tables”; expected that of a workbook of format "
        f"{FORMAT}. Undo what removed its hidden sheet, or go back to the revision before."
    )


# --- From a newer version ------------------------------------------------------------------------


def newer(own: Workbook) -> None:
    own[AS_WRITTEN]["B4"], own[AS_WRITTEN]["B5"] = 9, "3.1.4"


def test_one_of_a_newer_version_is_refused_with_what_to_install(book: Path, tmp_path: Path) -> None:
    saved(book, tmp_path, newer)
    for command in ("check", "revise"):
        result = run(command, "wall.xlsx", folder=tmp_path)
        assert result.returncode == CANNOT
        assert result.stderr.strip().splitlines() == [
            "wall.xlsx: found “a workbook of format 9, written by version 3.1.4”; expected format "
            f"{FORMAT} at most, which version {__version__} writes. Install version 3.1.4 of the "
            "estimator, or a later one; it reads older workbooks too.",
            "1 fault; nothing was written.",
        ]
    assert [each.name for each in tmp_path.iterdir()] == ["wall.xlsx"]


def test_a_version_that_is_none_is_not_told_to_be_installed(book: Path, tmp_path: Path) -> None:
    def edit(own: Workbook) -> None:
        own[AS_WRITTEN]["B4"], own[AS_WRITTEN]["B5"] = 9, "$(rm -r) 1"
        own.custom_doc_props[VERSION].value = ""  # type: ignore[attr-defined] # not in its stubs

    with pytest.raises(ProblemsFound) as found:
        read_workbook(saved(book, tmp_path, edit))
    assert "written by version unknown" in str(found.value)
    assert "Install a later version; it reads" in str(found.value)


# --- What the code adds tomorrow ------------------------------------------------------------------


def test_a_check_of_tomorrow_is_answered_for_a_workbook_of_today(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of_today = findings._of_counts

    def of_tomorrow(model: Model) -> list[Check]:
        many = total(model["batches"]["rooms"]).number_of("1")
        more = Check("many", "Rooms at all", many, REVIEW, "There are some.", "Leave it.")
        return [*of_today(model), more]

    monkeypatch.setattr(findings, "_of_counts", of_tomorrow)
    define_model.cache_clear()
    try:
        found = read_workbook(book)
        checks = calculate_book(found.project, found.typed).values["checks"].set_index("key")
    finally:
        monkeypatch.undo()
        define_model.cache_clear()
    assert tuple(checks.loc["many", ["state", "found", "fix"]]) == ("Review", 1, "Leave it.")


# --- The tool's own words -------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["one-wall-metric", "merrowby-lodge"])
def test_all_words_of_the_tool_beside_its_cells_are_known_as_such(
    name: str, tmp_path: Path
) -> None:
    """Read here cell by cell, but for the sheets that each plan and each revision draws anew."""
    path = tmp_path / "book.xlsx"
    write_workbook(estimated(template(name)), path)
    description = origin_of(read_stored(path)).description
    own = openpyxl.load_workbook(path)
    cells = areas_of(own)
    checked = 0
    for sheet in own:
        if sheet.title in ("Cut plan", "Changes", AS_WRITTEN):
            continue
        for row in sheet.iter_rows():
            for cell in row:
                if cell.comment:
                    assert description.says(sheet.title, cell.comment.text)
                if isinstance(cell.value, str) and (sheet.title, cell.coordinate) not in cells:
                    assert description.says(sheet.title, cell.value), (sheet.title, cell.coordinate)
                    checked += 1
    assert checked > 800


def areas_of(own: Workbook) -> set[tuple[str, str]]:
    """The cells that the defined names point to."""
    found = set()
    for name in own.defined_names.values():
        for sheet, area in name.destinations:
            for row in own[sheet][f"{area}:{area}" if ":" not in area else area]:
                found |= {(sheet, cell.coordinate) for cell in row}
    return found
