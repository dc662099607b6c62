"""Cleats hook their rails, and a tug does not swing a module off; limits are our own choice."""

from __future__ import annotations

from typing import Any

import pytest

from tests.strength.bracket import WEIGHTLESS, bracket
from tests.strength.calculating import figures

CLEAT = {
    "key": "cleat", "module": "box", "name": "Cleat", "material": "sheet", "length": 20, "width": 3,
    "each": 1, "bevelled": "yes",
}  # fmt: skip
THIN = WEIGHTLESS | {"key": "thin", "thickness": "3/8"}


def hooked(*parts: dict[str, Any], **terms: Any) -> tuple[Any, Any]:
    project = bracket(parts=list(parts), materials=[WEIGHTLESS, THIN], terms=terms)
    found = figures(project, "contents", "engagement", "unhooked")
    return found["engagement"][0], found["unhooked"][0]


def test_a_bevel_hooks_as_far_as_it_is_thick_at_45_degrees() -> None:
    assert hooked(CLEAT) == (pytest.approx(0.75), 0)


def test_the_thinner_of_cleat_and_rail_counts() -> None:
    assert hooked(CLEAT | {"material": "thin"}) == (pytest.approx(0.375), 1)


def test_a_flat_bevel_hooks_less() -> None:
    """3/4 in at 30 degrees hooks 0.433 in, less than half an inch."""
    assert hooked(CLEAT, bevel_angle=30) == (pytest.approx(0.433, abs=0.001), 1)


def test_a_module_without_a_bevelled_part_is_said_and_a_bought_one_is_not() -> None:
    assert hooked(CLEAT | {"bevelled": "no"}) == (0, 1)
    assert hooked()[1] == 0


@pytest.mark.parametrize(
    ("weight", "locked", "swings"), [(8, "no", 1), (9, "no", 0), (8, "yes", 0)]
)
def test_a_tug_at_the_lower_edge_against_its_own_weight(
    weight: int, locked: str, swings: int
) -> None:
    """5 lb at 10 in under the rail's edge, against so many pounds at 6 in: 50 against 48 or 54."""
    project = bracket(module={"bought_weight": weight, "locked": locked, "load": 0})
    assert figures(project, "modules", "swings")["swings"] == [swings]
