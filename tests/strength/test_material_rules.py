"""Labels of panels, covered walls, and single lifts by the revised lifting equation."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from estimator.expressions.value import calculate
from estimator.project.records import Project
from estimator.project.rows import project_from_rows
from tests.quantities.jobs import raw_rows
from tests.quantities.test_twins import in_millimetres
from tests.strength.bracket import WEIGHTLESS, bracket
from tests.strength.calculating import figures, laid_out


def lifted(weight: float = 60, lift_limit: float = 51, **lifting: Any) -> Project:
    """A module of so many pounds, and a lift as in the published notation."""
    project = bracket(module={"bought_weight": weight}, terms={"lift_limit": lift_limit})
    raw = raw_rows(project)
    example = {"hold": 15, "start": 30, "travel": 25, "twist": 0} | lifting
    raw["lifting"] = [raw["lifting"][0] | example]
    return project_from_rows(raw, lambda table, row, name: f"{table} {row} {name}")


@pytest.mark.parametrize("to", [lambda project: project, in_millimetres], ids=["in", "mm"])
def test_the_worked_lift(to: Callable[[Project], Project]) -> None:
    """H 15, V 30, D 25 in: 30.328 lb, so that 60 lb is 1.978 times as much; worked by hand.

    The multipliers were read in textbook reprints of NIOSH 94-110; that for twist is from memory.
    """
    project = to(lifted())
    pounds = 0.45359237 if to is in_millimetres else 1
    assert figures(project, "lift", "most")["most"] == [pytest.approx(30.328 * pounds, abs=0.0005)]
    found = figures(project, "modules", "lift_index", "awkward")
    assert found["lift_index"] == [pytest.approx(1.978, abs=0.0005)]
    assert found["awkward"] == [1]


@pytest.mark.parametrize(
    ("change", "name", "multiplier"),
    [
        ({"start": 0}, "height", 0.775), ({"start": 70}, "height", 0.700),
        ({"start": 30}, "height", 1), ({"twist": 45}, "twist", 0.856),
        ({"hold": 10}, "near", 1), ({"hold": 8}, "near", 1), ({"hold": 20}, "near", 0.5),
        ({"travel": 10}, "travel", 1), ({"travel": 4}, "travel", 1),
        ({"travel": 25}, "travel", 0.892),
    ],
)  # fmt: skip
def test_each_multiplier(change: dict[str, Any], name: str, multiplier: float) -> None:
    assert figures(lifted(**change), "lift", name)[name] == [pytest.approx(multiplier)]


def test_all_multipliers_count() -> None:
    """H 20, V 70, D 25, A 45: 51 x 0.5 x 0.7 x 0.892 x 0.856 lb."""
    project = lifted(hold=20, start=70, twist=45)
    most = 51 * 0.5 * 0.7 * 0.892 * 0.856
    assert figures(project, "lift", "most")["most"] == [pytest.approx(most)]


def test_under_ideal_conditions_the_load_constant_is_the_limit() -> None:
    ideal = {"hold": 10, "start": 30, "travel": 10}
    for weight, awkward in ((51, 0), (52, 1)):
        found = figures(lifted(weight, **ideal), "modules", "lift_index", "awkward")
        assert (found["lift_index"], found["awkward"]) == ([pytest.approx(weight / 51)], [awkward])


@pytest.mark.parametrize(("emission", "asked"), [("ask", 1), ("stated", 0), ("none", 0)])
def test_a_panel_is_asked_for_its_label(emission: str, asked: int) -> None:
    """40 CFR 770.10: hardwood plywood, particleboard and MDF, as panel, part or finished good."""
    project = bracket(materials=[WEIGHTLESS | {"emission": emission}])
    assert asks(project) == asked


def asks(project: Project) -> float:
    """Whether an ordered sheet is asked for, the order taken from the plan's count."""
    model, typed = laid_out(project)
    typed["materials"] = typed["materials"].assign(planned=1)
    (found,) = calculate(model, typed, [model["materials"]["unlabelled"]])["materials"][
        "unlabelled"
    ]
    return found


@pytest.mark.parametrize(("area", "share", "clad"), [(0, 0, 0), (20, 0.128, 1), (40, 0.064, 0)])
def test_a_wall_that_is_much_covered(area: float, share: float, clad: int) -> None:
    """A 24 x 10 in front and a 30 x 5 1/2 in rail: 2.8125 square feet; 10 % is from memory."""
    project = bracket(
        module={"load": 0}, types=[{"key": "room", "name": "Room", "wall_area": area}]
    )
    found = figures(project, "types", "covered", "covered_share", "clad")
    assert found["covered"] == [pytest.approx(1.6667 + 1.1458, abs=0.001)]
    assert found["covered_share"] == [pytest.approx(2.8125 / area if area else 0)]
    assert found["clad"] == [clad]
