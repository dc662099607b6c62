"""Rails: studs crossed, screws, and runs pieced with their joints on studs.

Fewest and most studs are derived from L / s, and checked here by sliding the wall under the rail.
Two screws in each stud, joints on studs: common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.quantities.jobs import PROFILE, RUN, SHEET, figures, job, values
from tests.workbook.estimates import estimated


def rail_job(rooms: int = 1, terms: Any = None, sheet: Any = None, **run: Any) -> Any:
    return job(
        rooms, runs=[RUN | run], profiles=[PROFILE], materials=[SHEET | (sheet or {})],
        terms=terms or {},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("length", "spacing", "fewest", "most"),
    [(48, 16, 3, 4), (46, 16, 2, 3), (96, 16, 6, 7), (48, 24, 2, 3)],
)
def test_studs_crossed(length: int, spacing: int, fewest: int, most: int) -> None:
    for crossing, fixed in (("no", fewest), ("yes", most)):
        project = rail_job(10, {"crossing": crossing}, length=length, spacing=spacing)
        run = figures(project, "runs")
        assert (run["fewest"], run["most"]) == (fewest, most)
        assert run["fixings"] == fixed
        assert run["screws"] == 2 * fixed
        assert figures(project, "profiles")["screws"] == 10 * 2 * fixed


@pytest.mark.parametrize(("length", "spacing"), [(48, 16), (46, 16), (96, 16), (48, 24), (50, 20)])
def test_a_wall_slid_under_the_rail_finds_the_same_studs(length: int, spacing: int) -> None:
    found = {
        sum(1 for stud in range(20) if 0 <= shift + stud * spacing <= length)
        for shift in (Fraction(n, 8) for n in range(8 * spacing))
    }
    run = figures(rail_job(length=length, spacing=spacing), "runs")
    assert run["fewest"] <= min(found)
    assert run["most"] == max(found)


def test_the_ends_of_a_rail_hold_no_screw() -> None:
    """50 in less 2 in at each end is 46 in of use: 2 or 3 studs at 16 in."""
    run = figures(rail_job(terms={"end_distance": 2}, length=50), "runs")
    assert (run["fewest"], run["most"]) == (2, 3)


def test_a_run_within_the_stock_is_one_piece() -> None:
    run = figures(rail_job(length=96), "runs")
    assert (run["pieces"], run["first"], run["middles"], run["last"]) == (1, 96, 0, 0)


def test_a_run_of_240_from_sheets_of_96() -> None:
    """By hand, from 2 in before a stud: 2 + 5 x 16 = 82, then 96, then 240 - 82 - 96 = 62."""
    project = rail_job(5, {"end_distance": 2}, length=240)
    run = figures(project, "runs")
    assert (run["pieces"], run["first"], run["middles"], run["middle"]) == (3, 82, 1, 96)
    assert run["last"] == 62
    assert run["fixings"] == (240 - 4) // 16 + 1 + 2  # and once more at each of two joints
    pieces = values(project)["pieces"].set_index("length")["needed"].to_dict()
    assert {length: pieces[length] for length in (82, 96, 62)} == {82: 5, 96: 5, 62: 5}
    assert figures(project, "profiles")["feet"] == 5 * 240 / 12


@settings(max_examples=25)
@given(
    length=st.integers(12 * 4, 600 * 4),
    spacing=st.integers(10 * 4, 30 * 4),
    stock=st.integers(60 * 4, 144 * 4),
    end=st.integers(0, 6 * 4),
)
def test_pieces_make_up_the_run_with_joints_on_studs(
    length: int, spacing: int, stock: int, end: int
) -> None:
    """In quarters of an inch."""
    assume(stock >= spacing + end)
    project = rail_job(
        terms={"end_distance": Fraction(end, 4)},
        sheet={"length": Fraction(stock, 4)},
        length=Fraction(length, 4),
        spacing=Fraction(spacing, 4),
    )
    estimate = estimated(project)
    run = estimate.values["runs"].iloc[0]
    pieces = [run["first"], *[run["middle"]] * int(run["middles"])]
    pieces += [run["last"]] if run["last"] else []
    assert len(pieces) == run["pieces"]
    assert sum(pieces) == length / 4
    assert min(pieces) > 0
    assert max(pieces) <= stock / 4
    joints = [sum(pieces[:count]) - end / 4 for count in range(1, len(pieces))]
    assert all(joint % (spacing / 4) == 0 for joint in joints)
    cut = estimate.values["pieces"]
    assert (cut["length"] * cut["needed"]).sum() - 10 == length / 4  # less the one board of 10 in


def test_the_trim_shortens_what_a_sheet_gives_and_not_a_bought_length() -> None:
    for form, pieces in (("sheet", 2), ("length", 1)):
        sheet = {"form": form, "width": "5 1/2"}
        run = figures(rail_job(terms={"trim": "1/8"}, sheet=sheet, length=96), "runs")
        assert run["pieces"] == pieces
