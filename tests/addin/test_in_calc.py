"""The add-in in the real Calc: each command of the menu, what it changes, what it says."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from estimator import __version__
from estimator.workbook.read import read_workbook
from tests.addin.calc_with_addin import CalcWithAddin

pytestmark = pytest.mark.slow

ROOMS = ("counts_rooms", 0, 3)
"""Three rooms instead of one: a name, a row below its first cell, a value."""
STEP = "Plan the sheets"
OF_PLAN = ("plan_covers", "plan_current", "plan_fits")
"""The checks that a plan answers."""


def test_the_menu_and_the_toolbar_are_in_the_window(calc: CalcWithAddin, book: Path) -> None:
    seen = calc.do("menu", book=str(book))
    assert [each for each in seen["items"] if each] == [
        "Plan the sheets for these counts",
        "Stop planning",
        "Check this workbook",
        "Explain the selected cell",
        "Save the next revision",
        "Compare with another workbook…",
        "Copies for purchaser and suppliers",
    ]
    assert "private:resource/toolbar/addon_estimator.fit-out" in seen["elements"]


@pytest.fixture(scope="module")
def seen(calc: CalcWithAddin, book: Path) -> dict[str, Any]:
    """A plan for other counts, undone and done again."""
    return calc.do("plan", book=str(book), inputs=[ROOMS])


class TestPlanning:
    def test_says_what_was_planned(self, seen: dict[str, Any]) -> None:
        assert seen["said"].startswith("Birch plywood 3/4 in, 4 x 8 ft: 2 sheets in ")

    def test_the_planned_values_are_those_of_the_counts(self, seen: dict[str, Any]) -> None:
        assert seen["planned"][0] == 2
        assert seen["planned_for"] == seen["needed"]
        assert sum(seen["needed"]) > 0

    def test_the_checks_no_longer_ask_for_a_plan(self, seen: dict[str, Any]) -> None:
        assert {seen["states_before"][name] for name in OF_PLAN} == {"OK", "Review"}
        assert {seen["states"][name] for name in OF_PLAN} == {"OK"}

    def test_is_one_step_that_undo_takes_back_and_redo_brings_again(
        self, seen: dict[str, Any]
    ) -> None:
        assert seen["new_steps"] == [STEP]
        assert seen["after_undo"] == []
        assert seen["after_redo"] == []

    def test_changes_the_planners_sheets_and_nothing_else(self, seen: dict[str, Any]) -> None:
        sheets = {key.rsplit(" ", 2)[0] for key in seen["changed"] if "pictures" not in key}
        assert sheets == {"Pieces", "Materials", "Cut plan"}
        assert not [key for key in seen["changed"] if key.endswith("guarded")]


def test_other_pieces_get_rows_of_their_own_and_lose_them_again(
    calc: CalcWithAddin, book: Path
) -> None:
    longer, as_it_was = [("runs_length", 0, 200)], [("runs_length", 0, 84)]
    seen = calc.do("plan_other_pieces", book=str(book), inputs=longer, back=as_it_was)
    first, second, third = seen["keys"]
    assert len(second) > len(first)
    assert third == first
    assert [{states[name] for name in OF_PLAN} for states in seen["states"]] == [{"OK"}] * 2
    assert not any("Fail" in words or "found" in words for words in seen["checked"])
    assert seen["after_undo"] == []


def test_a_sheet_with_a_password_is_left_alone(calc: CalcWithAddin, book: Path) -> None:
    seen = calc.do("plan", book=str(book), inputs=[ROOMS], password_on="Pieces")
    assert seen["said"] == (
        "The sheet Pieces is protected with a password; nothing was changed. "
        "Take the password off, then plan again."
    )
    assert seen["changed"] == []
    assert seen["new_steps"] == []


class TestInterruptions:
    """Whatever comes between, the workbook is as it was, and the person is told."""

    def interrupted(self, calc: CalcWithAddin, book: Path, how: str) -> dict[str, Any]:
        seen = calc.do("interrupt", book=str(book), inputs=[ROOMS], how=how)
        assert seen["changed"] == []
        assert seen["new_steps"] == 0
        assert not seen["engine_left"]
        return seen

    def test_the_engine_is_killed(self, calc: CalcWithAddin, book: Path) -> None:
        said = self.interrupted(calc, book, "kill")["said"]
        assert said.startswith("The estimator ended (-9) before it answered; nothing was changed.")

    def test_stopped_twice(self, calc: CalcWithAddin, book: Path) -> None:
        seen = self.interrupted(calc, book, "stop twice")
        assert seen["said"] == "Planning was given up; nothing was changed."
        assert seen["can_stop"][0] is False
        assert True in seen["can_stop"]
        assert seen["can_stop"][-1] is False

    def test_the_person_edits_meanwhile(self, calc: CalcWithAddin, book: Path) -> None:
        said = self.interrupted(calc, book, "edit")["said"]
        assert said == (
            "The workbook was changed while it was planned, so the plan was not entered. "
            "Plan again."
        )

    def test_asked_again_meanwhile(self, calc: CalcWithAddin, book: Path) -> None:
        seen = self.interrupted(calc, book, "again")
        assert seen["also_said"] == (
            "The estimator is still at work on this workbook; wait for it or stop it."
        )

    def test_the_document_is_closed(self, calc: CalcWithAddin, book: Path) -> None:
        seen = calc.do("close_meanwhile", book=str(book), inputs=[ROOMS])
        assert not seen["engine_left"]


class TestChecking:
    def test_goes_to_the_first_check_that_fails(self, calc: CalcWithAddin, book: Path) -> None:
        seen = calc.do("check", book=str(book), inputs=[("counts_rooms", 0, 0)])
        assert seen["said"].startswith("Fail: There are rooms (1). No room is counted")
        assert seen["selected"] == "Checks.D7"
        assert seen["changed"] == []

    def test_goes_to_a_cell_that_cannot_be_read(self, calc: CalcWithAddin, book: Path) -> None:
        seen = calc.do("check", book=str(book), inputs=[("runs_length", 1, -3)])
        assert seen["said"].startswith("Rails!")
        assert seen["selected"] == seen["said"].split(":")[0].replace("!", ".")


def test_explains_a_cell_its_header_and_a_forms_row(calc: CalcWithAddin, book: Path) -> None:
    inside, header, value, label, outside = (0, 0, 0), (-2, 0), (0, 0), (0, -1), (30, 9)
    cells = [
        ("materials_order", *inside[:2]),
        ("materials_order", *header),
        ("terms_kerf", *value),
        ("terms_kerf", *label),
        ("checks_key", *outside),
    ]
    said = calc.do("explain", book=str(book), cells=cells)["said"]
    assert said[0].startswith("Materials: Order quantity\nIt is a formula, in sheet or length.\n")
    assert "Formula: =IF([moved]=0,[planned]," in said[0]
    assert said[1] == said[0]
    assert said[2].startswith("Terms: ")
    assert said[2] == said[2]
    assert said[4] == ("No quantity stands in this cell. Select a cell of a table, or its header.")


def test_a_workbook_of_another_kind(calc: CalcWithAddin) -> None:
    assert calc.do("say", book="", asked=[("plan", {})])["said"] == [
        "This is no workbook of the estimator. Open one that it made, such as its demo."
    ]


def test_compares_with_another_workbook(calc: CalcWithAddin, book: Path) -> None:
    asked = [("stop", {}), ("compare", {"Path": str(book)})]
    stopped, compared = calc.do("say", book=str(book), asked=asked, inputs=[ROOMS])["said"]
    assert stopped == "Nothing is being planned."
    lines = compared.splitlines()
    assert lines[0].startswith("Before, one-wall.xlsx: USD ")
    assert lines[1].startswith("counts: +")
    assert lines[2].startswith("Now, one-wall.xlsx: USD ")
    assert "1 → 3" in lines[3]


def test_copies_stand_beside_a_saved_workbook(
    calc: CalcWithAddin, book: Path, tmp_path: Path
) -> None:
    own = tmp_path / "Wall.xlsx"
    own.write_bytes(book.read_bytes())
    (said,) = calc.do("say", book=str(own), asked=[("copies", {})])["said"]
    written = sorted(each.name for each in tmp_path.iterdir() if each != own)
    assert sorted(said.splitlines()) == [f"Wrote {name}." for name in written]
    assert "Wall rev B.xlsx" in written
    assert any("purchaser" in name for name in written)
    assert own.read_bytes() == book.read_bytes()


def test_copies_are_refused_while_something_is_not_saved(calc: CalcWithAddin, book: Path) -> None:
    (said,) = calc.do("say", book=str(book), asked=[("copies", {})], inputs=[ROOMS])["said"]
    assert said.startswith("Save this workbook as an Excel workbook (.xlsx) first.")


@pytest.mark.parametrize("inputs", [[], [ROOMS]])
def test_the_next_revision_stands_beside_the_workbook(
    calc: CalcWithAddin, book: Path, tmp_path: Path, inputs: list[Any]
) -> None:
    """Saved or not: the revision is of what the window shows, and the file stays as it was.

    Its walk begins at the workbook as it was written, before anything was typed into it.
    """
    own = tmp_path / "Wall.xlsx"
    own.write_bytes(book.read_bytes())
    seen = calc.do("say", book=str(own), inputs=inputs, asked=[("revise", {})])
    said, written = seen["said"][0], tmp_path / "Wall rev B.xlsx"
    assert said.startswith(f"Wrote {written}.\nBefore, Wall.xlsx: USD {seen['total']:,.2f}.\n")
    assert ("\ncounts: +" in said) == bool(inputs)
    assert read_workbook(written).project.counts[0].rooms == (3 if inputs else 1)
    assert own.read_bytes() == book.read_bytes()
    assert sorted(tmp_path.iterdir()) == [written, own]


def test_an_estimator_that_cannot_be_asked(calc: CalcWithAddin, book: Path) -> None:
    """It is missing, it is of another version, it ends without an answer."""
    others = [{"engine": ["/nowhere/python"]}, {"version": "0.0.1"}, {"engine": ["/bin/true"]}]
    said = calc.do("say", book=str(book), asked=[], written=str(calc.written()), others=others)[
        "said"
    ]
    assert said == [
        "The estimator was not found; looked at /nowhere/python and on the search path.\n"
        "Install the estimator (its README says how), run `estimator addin install`, then start "
        "Calc again.",
        f"This add-in is of version 0.0.1, the estimator that it calls is {__version__}.\n"
        "Run `estimator addin install` with that estimator, then start Calc again.",
        "The estimator ended (0) before it answered; nothing was changed.\n"
        "Try again. If it ends again, run `estimator addin install` with the estimator that you "
        "use, then start Calc again.",
    ]


def test_the_functions_for_cells(calc: CalcWithAddin) -> None:
    """The lengths by hand: 7 x 12 + 6 1/4 is 90 1/4; an inch is 25.4 mm."""
    expected = {
        '=READLENGTH("7 ft 6 1/4 in")': "90.25",
        '=READLENGTH("140 mm";"mm")': "140",
        '=READLENGTH("1 in";"mm")': "25.4",
        '=READLENGTH("a")': "Err:502",
        '=READLENGTH("1";"ell")': "Err:502",
        "=SHOWLENGTH(5.5)": "5 1/2",
        "=SHOWLENGTH(5.34)": "5 11/32",
        "=SHOWLENGTH(5.34;16)": "5 5/16",
        "=SHOWLENGTH(-1)": "Err:502",
        "=LEASTSHEETS(A1:C3;96;48)": "4",
        "=LEASTSHEETS(A1:C3;96;48;0.125;FALSE())": "4",
        "=LEASTSHEETS(A1:C3;40;20)": "Err:502",
    }
    rows = [[50, 30, 4], [20, 10, 8]]  # two of 50 x 30 do not lie on one sheet of 96 x 48
    seen = calc.do("functions", formulas=list(expected), rows=rows)
    assert dict(zip(expected, seen["shown"], strict=True)) == expected
