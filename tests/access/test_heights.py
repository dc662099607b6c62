"""Heights, reach, mirrors, what juts out and head room, to a hundredth of an inch.

2010 ADA Standards 307.2, 308 and 603.3, read in the words of the standard, or of state rules that
take them over.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.quantities.test_twins import in_millimetres
from tests.strength.bracket import bracket
from tests.strength.calculating import figures

FLAGS = ("juts", "bumps", "unreached", "glass_high")
ACCESSIBLE = [{"key": "room", "name": "Room", "mobility": "tub"}]
SIZE = {"width": 20, "height": 20, "depth": 12, "above": 20, "load": 0}
"""Standing wholly on its rail: its lower edge is the rail's upper one, 5 1/2 in over the run."""


def flags(
    bottom: str,
    module: dict[str, Any] | None = None,
    run: dict[str, Any] | None = None,
    types: list[dict[str, Any]] | None = None,
) -> set[str]:
    """What is said of a module whose lower edge is so high, in inches and in millimetres."""
    project = bracket(
        module=SIZE | (module or {}),
        run={"bottom": f"{float(bottom) - 5.5:.2f}", "length": 60} | (run or {}),
        types=types or [{"key": "room", "name": "Room"}],
    )
    found, metric = (
        {name for name, rows in figures(each, "contents", *FLAGS).items() if rows[0]}
        for each in (project, in_millimetres(project))
    )
    assert found == metric
    return found


@pytest.mark.parametrize(
    ("bottom", "depth", "juts"),
    [
        ("27.00", 12, False), ("27.01", 12, True), ("80.00", 12, True), ("80.01", 12, False),
        ("40", "4.00", False), ("40", "4.01", True), ("60", 11, True),
    ],
)  # fmt: skip
def test_over_a_path_nothing_juts_out_between_knee_and_head(
    bottom: str, depth: str | int, juts: bool
) -> None:
    """307.2: more than 4 in, with the edge over 27 in and up to 80 in."""
    assert flags(bottom, {"depth": depth}, {"over": "path"}) == ({"juts"} if juts else set())


@pytest.mark.parametrize("over", ["furniture", "aside"])
def test_away_from_paths_it_may(over: str) -> None:
    assert flags("60", run={"over": over}) == set()


@pytest.mark.parametrize(("bottom", "bumps"), [("53.99", True), ("54.00", False)])
def test_heads_have_room_over_furniture(bottom: str, bumps: bool) -> None:
    """54 in: our own choice, no source."""
    assert flags(bottom, run={"over": "furniture"}) == ({"bumps"} if bumps else set())


@pytest.mark.parametrize(
    ("bottom", "height", "out"),
    [
        ("15.00", 10, False), ("14.99", 10, True), ("38.00", 10, False), ("38.01", 10, True),
    ],
)  # fmt: skip
def test_things_are_reached_between_15_and_48_in(bottom: str, height: str | int, out: bool) -> None:
    """308.2.1 and 308.3.1."""
    module = {"height": height, "above": height}
    assert flags(bottom, module, types=ACCESSIBLE) == ({"unreached"} if out else set())
    assert flags(bottom, module) == set()


@pytest.mark.parametrize(
    ("approach", "obstacle", "highest"),
    [
        ("side", 0, 48), ("side", 10, 48), ("side", "10.01", 46), ("side", 12, 46),
        ("side", 24, 46), ("side", "24.01", 0), ("forward", 0, 48), ("forward", 20, 48),
        ("forward", "20.01", 44),
        ("forward", 22, 44), ("forward", 25, 44), ("forward", "25.01", 0),
    ],
)  # fmt: skip
def test_reach_over_something(approach: str, obstacle: str | int, highest: int) -> None:
    """308.2.2 and 308.3.2: over a 12 in deep cabinet from the side 46, over 22 in forward 44."""
    project = bracket(run={"approach": approach, "obstacle": obstacle})
    assert figures(project, "runs", "reach")["reach"] == [highest]
    metric = figures(in_millimetres(project), "runs", "reach")["reach"]
    assert metric == [pytest.approx(highest * 25.4)]


@pytest.mark.parametrize(("top", "out"), [("46.00", False), ("46.01", True)])
def test_over_a_cabinet_from_the_side_the_top_is_46_in(top: str, out: bool) -> None:
    bottom = f"{float(top) - 10:.2f}"
    found = flags(bottom, {"height": 10, "above": 10}, {"obstacle": 12}, ACCESSIBLE)
    assert found == ({"unreached"} if out else set())


@pytest.mark.parametrize(
    ("purpose", "glass", "high"),
    [
        ("mirror", "35.0", False), ("mirror", "35.1", True),
        ("counter-mirror", "40.0", False), ("counter-mirror", "40.1", True),
        ("seen", "60", False),
    ],
)  # fmt: skip
def test_a_mirror_s_glass_begins_low_enough(purpose: str, glass: str, high: bool) -> None:
    """603.3: 35 in, over a lavatory or counter 40 in; the glass begins 2 in over the lower edge."""
    bottom = f"{float(glass) - 2:.2f}"
    module = {"purpose": purpose, "sill": 2}
    assert flags(bottom, module, types=ACCESSIBLE) == ({"glass_high"} if high else set())
    assert flags(bottom, module) == set()


def test_a_module_hangs_from_its_rail_s_upper_edge() -> None:
    """Its top stands 3 in over a 5 1/2 in rail at 50 in, its height is 16 in: 58 1/2 and 42 1/2."""
    project = bracket(module=SIZE | {"height": 16, "above": 3}, run={"bottom": 50})
    found = figures(project, "contents", "top", "bottom")
    assert (found["top"], found["bottom"]) == ([58.5], [42.5])


def test_what_names_no_rail_is_said_and_not_measured() -> None:
    project = bracket(
        types=ACCESSIBLE, contents=[{"room_type": "room", "module": "box", "each": 1}]
    )
    found = figures(project, "contents", "unhung", *FLAGS)
    assert [rows[0] for rows in found.values()] == [1, 0, 0, 0, 0]
