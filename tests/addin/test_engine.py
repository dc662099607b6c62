"""The engine as the add-in calls it: a process, JSON lines in, JSON lines out."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from openpyxl.utils import get_column_letter

from estimator import __version__
from estimator.addin.install import THIS_ENGINE
from tests.engines import cells
from tests.formats.write import kept
from tests.workbook.hostile.packages import where


def asked(*requests: dict[str, Any] | str) -> list[dict[str, Any]]:
    """Every line of the answers."""
    lines = [each if isinstance(each, str) else json.dumps(each) for each in requests]
    text = "\n".join(lines) + "\n"
    done = subprocess.run(
        THIS_ENGINE, input=text, capture_output=True, text=True, timeout=240, check=True
    )
    return [json.loads(line) for line in done.stdout.splitlines()]


def cell_name(row: int, column: int) -> str:
    return f"{get_column_letter(column + 1)}{row + 1}"


def request(command: str, **more: Any) -> dict[str, Any]:
    return {"command": command, "version": __version__, **more}


def test_answers_one_request_after_another() -> None:
    explained, unknown, unreadable = asked(
        request("explain", names=["nothing", "materials_order"], unit="mm"),
        request("dance"),
        "{",
    )
    assert explained["done"]["words"][0] == "Materials: Order quantity"
    assert unknown["refused"]["words"] == [
        "The engine was asked for dance; it knows plan, check, explain, revise, compare, copies."
    ]
    assert unreadable["refused"]["words"][0].startswith("The engine was asked for something unread")


@pytest.mark.parametrize("version", ["0.0.1", None])
def test_says_when_the_caller_is_of_another_version(version: str | None) -> None:
    fields = {"command": "explain", "names": []} | ({"version": version} if version else {})
    (answer,) = asked(fields)
    assert answer["refused"]["words"] == [
        f"This add-in is of version {version or 'none'}, the estimator that it calls is "
        f"{__version__}.",
        "Run `estimator addin install` with that estimator, then start Calc again.",
    ]


def test_a_file_that_is_no_workbook(tmp_path: Path) -> None:
    file = tmp_path / "notes.xlsx"
    file.write_text("notes")
    (answer,) = asked(request("check", path=str(file)))
    assert answer["refused"]["words"][0].startswith("notes.xlsx: found “a file of another kind”")
    assert answer["refused"]["place"] is None


def test_a_plan_for_the_same_counts_changes_no_cell(book: Path) -> None:
    *progress, answer = asked(request("plan", path=str(book)))
    assert progress[0]["words"] == "reading the workbook"
    assert all(0 <= each["progress"] <= 1 for each in progress)
    done = answer["done"]
    assert (done["insert"], done["cells"], done["remove"]) == ([], [], [])
    assert done["sheet"]["cells"][0][:3] == [0, 0, "Cut plan"]
    assert len(done["sheet"]["drawings"]) >= 1


def test_planning_reaches_the_planners_columns_only(book: Path, tmp_path: Path) -> None:
    more = cells.set_inputs(book, {("Counts", "B5"): 3}, tmp_path / "more.xlsx")
    done = asked(request("plan", path=str(more)))[-1]["done"]
    assert {change[0] for change in done["cells"]} == {"Pieces", "Materials"}
    before = cells.formulas(book)
    places = {(sheet, cell_name(row, column)) for sheet, row, column, _ in done["cells"]}
    assert places
    assert not places & set(before)


def test_a_workbook_of_an_older_format_is_not_planned_in_place() -> None:
    (path, *_) = kept(1)
    answer = asked(request("plan", path=str(path)))[-1]
    assert answer["refused"]["words"] == [
        "This workbook is of format 1, from an earlier version; a new plan has more to say than it "
        "has cells for.",
        "Save the next revision instead; it plans the sheets as well.",
    ]


def test_a_new_plan_says_what_it_was_made_for(book: Path, tmp_path: Path) -> None:
    """The planned kerf and the planned grain of a part, in their cells."""
    sheet, kerf = where(book, "terms_kerf")
    grain = where(book, "parts_grain")
    other = cells.set_inputs(book, {(sheet, kerf): 0.25, grain: "any"}, tmp_path / "other.xlsx")
    done = asked(request("plan", path=str(other)))[-1]["done"]
    changed = {(s, cell_name(row, column)): value for s, row, column, value in done["cells"]}
    assert changed[where(book, "planned_for_kerf")] == 0.25
    assert changed[where(book, "pieces_grain")] == "any"


def test_a_check_that_fails_and_its_cell(book: Path, tmp_path: Path) -> None:
    none = cells.set_inputs(book, {("Counts", "B5"): 0}, tmp_path / "none.xlsx")
    done = asked(request("check", path=str(none)))[-1]["done"]
    failing = [each["key"] for each in done["checks"] if each["state"] == "Fail"]
    assert "rooms_any" in failing
    sheet, row, column = done["place"]
    assert (sheet, column) == ("Checks", 3)
    assert done["checks"][row - 4]["key"] == failing[0]
