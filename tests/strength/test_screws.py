"""What a screw holds: withdrawal by the published formulas, shear by the yield limit."""

from __future__ import annotations

from typing import Any

import pytest

from estimator.project.templates import read_template
from tests.strength.bracket import RAIL, RUN, SCREW, bracket
from tests.strength.calculating import figures
from tests.strength.yield_limit import bearing, yield_limit


def pounds_per_inch(kind: str, gravity: str, diameters: list[str]) -> list[float]:
    """Through a job with a rail for each screw, its thread an inch in the stud."""
    keys = [f"screw-{number}" for number in range(len(diameters))]
    screws: list[dict[str, Any]] = [
        SCREW | {"key": key, "kind": kind, "diameter": diameter, "thread": 1, "length": 6}
        for key, diameter in zip(keys, diameters, strict=True)
    ]
    project = bracket(
        wall={"gravity": gravity},
        screws=screws,
        profiles=[RAIL | {"key": f"rail-{key}", "screw": key} for key in keys],
        runs=[RUN | {"key": f"run-{key}", "profile": f"rail-{key}"} for key in keys],
    )
    return figures(project, "runs", "holds_pull")["holds_pull"]


LAG = ["1/4", "5/16", "3/8", "7/16", "1/2", "5/8", "3/4", "7/8", "1", "1 1/8", "1 1/4"]


@pytest.mark.parametrize(
    ("gravity", "row"),
    [
        ("0.42", [173, 205, 235, 264, 291, 344, 395, 443, 490, 535, 579]),
        ("0.43", [179, 212, 243, 273, 302, 357, 409, 459, 508, 554, 600]),
        ("0.46", [199, 235, 269, 302, 334, 395, 453, 508, 562, 613, 664]),
        ("0.50", [225, 266, 305, 342, 378, 447, 513, 576, 636, 695, 752]),
        ("0.55", [260, 307, 352, 395, 437, 516, 592, 664, 734, 802, 868]),
        ("0.35", [132, 156, 179, 200, 222, 262, 300, 337, 373, 407, 441]),
    ],
)
def test_lag_screws_hold_what_the_table_says_to_the_pound(gravity: str, row: list[int]) -> None:
    """NDS 2015, table 12.2A, read on a scanned page of a city's permit file."""
    found = pounds_per_inch("lag", gravity, LAG)
    assert [round(each) for each in found] == row


@pytest.mark.parametrize(
    ("gravity", "row"),
    [
        ("0.42", [69, 82, 96, 109]),
        ("0.50", [98, 117, 135, 154]),
        ("0.55", [119, 141, 164, 186]),
    ],
)
def test_wood_screws_of_6_8_10_and_12(gravity: str, row: list[int]) -> None:
    """NDS 12.2.2, 2850 G² D (secondary sources); the values calculated from it by hand."""
    found = pounds_per_inch("wood", gravity, ["0.138", "0.164", "0.190", "0.216"])
    assert [round(each) for each in found] == row


def test_a_published_screw() -> None:
    """A page of engineering formulas prints 109 lb/in for no. 10 in wood of G 0.45, cut short."""
    assert pounds_per_inch("wood", "0.45", ["0.190"]) == [pytest.approx(109.65, abs=0.01)]


def test_what_breaks_is_five_to_six_times_what_is_allowed() -> None:
    """The Wood Handbook: 15,700 G² D L breaks; no. 8 in G 0.70, an inch, 1262 lb (secondary)."""
    (allowed,) = pounds_per_inch("wood", "0.70", ["0.164"])
    assert round(15_700 * 0.70**2 * 0.164) == 1262
    assert 5 < 1262 / allowed < 6


def test_dowel_bearing_has_16600_not_16000() -> None:
    """Tables give 3350, 4650 and 5550 psi for G 0.42, 0.50 and 0.55, in steps of 50."""
    found = [bearing(gravity) for gravity in (0.42, 0.50, 0.55)]
    assert [round(each / 50) * 50 for each in found] == [3350, 4650, 5550]
    assert [round(each * 16_000 / 16_600 / 50) * 50 for each in found] != [3350, 4650, 5550]


@pytest.mark.parametrize(
    ("root", "bending", "diameter", "pounds"),
    [(0.131, 90_000, 0.164, 69), (0.152, 80_000, 0.190, 83), (0.171, 80_000, 0.216, 100)],
)
def test_shear_without_a_gap(root: float, bending: float, diameter: float, pounds: float) -> None:
    """3/4 in side member, both of G 0.42, ten diameters deep: by hand, not read in a table."""
    found = yield_limit(root, bending, 0.42, 0.42, 0.75, 0, 10 * diameter)
    assert found == pytest.approx(pounds, abs=1)


@pytest.mark.parametrize(
    ("template", "root", "side", "gap", "kilograms"),
    [
        ("merrowby-lodge", 0.171, 23 / 32, 5 / 8, False),
        ("one-wall", 0.171, 23 / 32, 5 / 8, False),
        ("one-wall-metric", 3.9 / 25.4, 18 / 25.4, 12.5 / 25.4, True),
    ],
)
def test_the_starting_shear_values_allow_for_the_wallboard(
    template: str, root: float, side: float, gap: float, kilograms: bool
) -> None:
    """Never more than the yield limit with the wallboard as a gap; at most a sixth less."""
    (screw,) = read_template(template).screws
    depth = 10 * float(screw.diameter) / (25.4 if kilograms else 1)
    most = yield_limit(root, 80_000, 0.42, 0.42, side, gap, depth)
    most *= 0.45359237 if kilograms else 1
    assert most * 5 / 6 < float(screw.lateral) <= most


def test_depth_in_the_stud_is_what_rail_and_wallboard_leave() -> None:
    project = bracket(screw={"length": 3, "thread": 2}, wall={"board": "5/8"})
    assert figures(project, "runs", "depth")["depth"] == [pytest.approx(3 - 0.75 - 0.625)]


@pytest.mark.parametrize(
    ("length", "share"), [("3.15", 1), ("2.9625", 1712.5 / 1900), ("2.39", 0.6), ("2.38", 0)]
)
def test_shear_counts_in_full_from_ten_diameters_and_not_at_all_below_six(
    length: str, share: float
) -> None:
    """NDS, the footnote of the tables of wood screws (from memory) and 12.1.5.6 (secondary)."""
    project = bracket(
        screw={"length": length, "lateral": 100}, strength={"full_depth": 10, "least_depth": 6}
    )
    assert figures(project, "runs", "holds_shear")["holds_shear"] == [pytest.approx(100 * share)]
