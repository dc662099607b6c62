"""The demo in the real Calc: other counts planned in place, undone; every command asked of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from estimator.estimate import Estimate, estimate
from estimator.project.records import Project
from estimator.project.templates import read_template
from estimator.workbook.read import read_workbook
from estimator.workbook.write import write_workbook
from tests.addin.calc_with_addin import CalcWithAddin

pytestmark = pytest.mark.slow

MORE = [("counts_rooms", 0, 12), ("counts_rooms", 1, 3)]
"""Rooms of the first two types on the first floor: a name, a row below its first cell, a value."""


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's workbook, as `estimator demo` writes it."""
    path = tmp_path_factory.mktemp("demo") / "merrowby-lodge.xlsx"
    write_workbook(estimate(read_template("merrowby-lodge")), path)
    return path


@pytest.fixture(scope="module")
def seen(calc: CalcWithAddin, demo: Path) -> dict[str, Any]:
    """Planned in place for other counts, undone and done again."""
    return calc.do("plan", book=str(demo), inputs=MORE)


@pytest.fixture(scope="module")
def planned_outside(demo: Path) -> Estimate:
    """The same counts planned without Calc."""
    return estimate(with_more(read_workbook(demo).project))


def with_more(project: Project) -> Project:
    floor = project.floors[0].key
    rooms = dict(
        zip((each.key for each in project.types), (each[2] for each in MORE), strict=False)
    )
    counts = tuple(
        each.model_copy(update={"rooms": rooms[each.room_type]})
        if each.floor == floor and each.room_type in rooms
        else each
        for each in project.counts
    )
    return project.model_copy(update={"counts": counts})


def test_the_counts_are_others_than_the_demos(demo: Path) -> None:
    project = read_workbook(demo).project
    assert with_more(project).counts != project.counts


class TestPlanningTheDemoInPlace:
    def test_cells_hold_what_planning_outside_of_calc_gives(
        self, seen: dict[str, Any], planned_outside: Estimate
    ) -> None:
        materials, pieces = planned_outside.values["materials"], planned_outside.values["pieces"]
        assert seen["planned"] == materials["planned"].tolist()
        assert seen["needed"] == seen["planned_for"] == pieces["needed"].tolist()
        total = float(planned_outside.values["price"]["total"].iloc[0])
        assert seen["total"] == pytest.approx(total, abs=0.005)

    def test_the_checks_no_longer_ask_for_a_plan(self, seen: dict[str, Any]) -> None:
        asking = ("plan_covers", "plan_current", "plan_fits")
        assert {seen["states"][name] for name in asking} == {"OK"}

    def test_there_is_a_drawing_for_each_pattern_and_none_of_the_former_plan(
        self, seen: dict[str, Any], planned_outside: Estimate
    ) -> None:
        patterns = sum(len(each.plan.patterns) for each in planned_outside.plans)
        assert len(seen["pictures"]) == patterns
        rows = {row for _, row, is_beside_it in seen["pictures"] if is_beside_it}
        assert len(rows) == patterns, "each hangs from a row of its own, and is seen there"

    def test_one_undo_takes_all_of_it_back(self, seen: dict[str, Any]) -> None:
        assert seen["new_steps"] == ["Plan the sheets"]
        assert seen["after_undo"] == []
        assert seen["after_redo"] == []


def test_every_command_answers_for_the_demo(
    calc: CalcWithAddin, demo: Path, tmp_path: Path
) -> None:
    own = tmp_path / "Lodge.xlsx"
    own.write_bytes(demo.read_bytes())
    asked = [("check", {}), ("explain", {}), ("compare", {"Path": str(demo)}), ("stop", {}),
             ("revise", {})]  # fmt: skip
    check, explained, compared, stopped, revised = calc.do("say", book=str(own), asked=asked)[
        "said"
    ]
    assert check.startswith(("Review: ", "All "))
    assert "\n" in explained or explained.startswith("No quantity stands in this cell.")
    assert compared.splitlines()[0].startswith("Before, merrowby-lodge.xlsx: USD ")
    assert compared.splitlines()[-1] == "Nothing that is typed was changed."
    assert stopped == "Nothing is being planned."
    written = tmp_path / "Lodge rev B.xlsx"
    assert revised.startswith(f"Wrote {written}.\nBefore, Lodge.xlsx: USD ")
    assert "It does not have" not in revised
    assert read_workbook(written).project.project.revision == "B"
    assert own.read_bytes() == demo.read_bytes()


def test_copies_of_the_demo(calc: CalcWithAddin, demo: Path, tmp_path: Path) -> None:
    own = tmp_path / "Lodge.xlsx"
    own.write_bytes(demo.read_bytes())
    (said,) = calc.do("say", book=str(own), asked=[("copies", {})])["said"]
    written = {each.name for each in tmp_path.iterdir() if each != own}
    assert {line.removeprefix("Wrote ").rstrip(".") for line in said.splitlines()} == written
    assert "Lodge rev B for purchaser.xlsx" in written
