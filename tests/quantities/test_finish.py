"""Finish: spreading rates and volumes against published figures, and containers by brute force.

Sources: NIST Handbook 44, appendix C, for the gallon of 231 cubic inches (read); four pages of
coating formulas for 1604 square feet per gallon and mil (secondary); makers' coverage pages
(secondary). Derived values were recomputed.
"""

from __future__ import annotations

import math
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.quantities.jobs import CAN, FINISH, PART, SHEET, at_rooms, figures, job, values
from tests.workbook.estimates import estimated

FACE = PART | {
    "length": 96, "width": 48, "finish": "oil", "faces": 1, "long_edges": 0, "short_edges": 0,
}  # fmt: skip
"""32 square feet to finish, one in each room."""
METRIC_SHEET = SHEET | {"length": 2440, "width": 1220, "thickness": 18, "density": 680}


def finish_job(rooms: int = 1, cans: Any = (CAN,), **finish: Any) -> Any:
    return job(rooms, parts=[FACE], finishes=[FINISH | finish], containers=list(cans))


@pytest.mark.parametrize(
    ("solids", "mils", "printed", "last_digit"),
    [
        ("1", 1, 1604.1667, 1e-4),
        ("0.65", 5, 208.52, 0.03),  # printed with 1604; with 231 / 144 x 1000 it is 208.54
        ("0.35", 2, 281, 0.5),
        ("0.182", "1.5", 194.6, 0.05),  # 52 % solids of which 35 % reach the work
    ],
)
def test_solids_spread_as_thin_as_the_film(
    solids: str, mils: Any, printed: float, last_digit: float
) -> None:
    rate = figures(finish_job(spread=0, solids=solids, film=mils), "finishes")["rate"]
    assert rate == pytest.approx(printed, abs=last_digit)
    assert rate == pytest.approx(231 / 144 * 1000 * float(solids) / float(mils), rel=1e-12)


def test_solids_and_film_in_metric() -> None:
    """65 % at 125 micrometres: 5.2 square metres a litre. (One source prints 100 for the 1000.)"""
    metric = job(
        project={"unit": "mm"}, materials=[METRIC_SHEET],
        finishes=[FINISH | {"spread": 0, "solids": "0.65", "film": 125}], containers=[CAN],
    )  # fmt: skip
    assert figures(metric, "finishes")["rate"] == pytest.approx(5.2, rel=1e-12)


def test_a_rate_that_is_typed_goes_before_solids() -> None:
    row = figures(finish_job(spread=450, solids="0.5", film=2), "finishes")
    assert row["rate"] == 450


def test_three_coats_on_2400_square_feet() -> None:
    """2,400 ft2, three coats, 450 ft2 a gallon, 10 % loss: 17.6 gallons, so 18 cans (derived)."""
    can = CAN | {"price": "10.00"}
    project = finish_job(75, cans=[can], coats=3, spread=450, loss="0.1")
    row = figures(project, "finishes")
    assert row["area"] == pytest.approx(2400, rel=1e-12)
    assert row["volume"] == pytest.approx(17.6, rel=1e-12)
    assert row["cost"] == 180
    assert figures(project, "containers")["count"] == 18


def test_area_is_of_the_faces_and_edges_that_are_finished() -> None:
    """By hand: a board 24 x 8 x 3/4 in, both faces, one long edge, two short ones."""
    board = PART | {
        "length": 24, "width": 8, "finish": "oil", "faces": 2, "long_edges": 1, "short_edges": 2,
    }  # fmt: skip
    project = job(3, parts=[board], finishes=[FINISH], containers=[CAN])
    by_hand = 3 * (2 * 24 * 8 + (24 + 2 * 8) * 0.75) / 144
    assert figures(project, "finishes")["area"] == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize(
    ("rate", "marked"), [(45, 1), (99, 1), (100, 0), (489, 0), (1000, 0), (1001, 1)]
)
def test_trap_square_feet_per_litre(rate: int, marked: int) -> None:
    """A page prints 12 to 20 square feet a litre for square metres: 12 m2/L is 489 ft2/gal, but
    12 ft2/L is 45. Rates outside about 100 to 1000 are marked."""
    project = job(
        parts=[FACE], finishes=[FINISH | {"spread": rate}], containers=[CAN],
        terms={"spread_least": 100, "spread_most": 1000},
    )  # fmt: skip
    assert figures(project, "findings")["spreading"] == marked


# --- Containers ---------------------------------------------------------------------------------

SIZES = ("large", "medium", "small")


def cheapest(volume: float, cans: list[dict[str, Any]]) -> float:
    """The least cost of any mix that holds the volume, tried one by one."""
    counts = [range(math.ceil(volume / float(can["holds"])) + 1) for can in cans]
    return min(
        sum(n * float(can["price"]) for n, can in zip(mix, cans, strict=True))
        for mix in product(*counts)
        if sum(n * float(can["holds"]) for n, can in zip(mix, cans, strict=True)) >= volume - 1e-6
    )


def containers(holds: tuple[str, ...], prices: tuple[str, ...]) -> list[dict[str, Any]]:
    return [
        CAN | {"key": f"can-{size}", "size": size, "holds": held, "price": price}
        for size, held, price in zip(SIZES, holds, prices, strict=False)
    ]


SETS = [
    containers(("1", "0.25", "0.125"), ("94.00", "31.00", "18.50")),
    containers(("1", "0.25"), ("72.00", "24.00")),
    containers(("5", "1", "0.25"), ("300.00", "80.00", "22.00")),
    containers(("1",), ("50.00",)),
    containers(("5", "1", "0.25"), ("300.00", "60.00", "15.00")),  # no saving in size
    containers(("5", "2.5", "1"), ("50.00", "25.00", "10.00")),  # sizes that do not nest
    containers(("2.5", "1", "0.375"), ("79.00", "36.00", "17.50")),
]


@pytest.mark.parametrize("cans", SETS, ids=lambda cans: "-".join(can["holds"] for can in cans))
def test_the_mix_holds_the_volume_and_none_is_cheaper(cans: list[dict[str, Any]]) -> None:
    """Spread 320 ft2 a gallon: each room of 32 ft2 takes a tenth; volumes from 0.1 to 7.7."""
    estimate = estimated(finish_job(cans=cans, spread=320))
    for rooms in (1, 2, 3, 4, 5, 7, 8, 9, 11, 13, 17, 24, 26, 31, 40, 77):
        ((volume,), (cost,)) = at_rooms(estimate, rooms, "finishes", "volume", "cost")
        (counts,) = at_rooms(estimate, rooms, "containers", "count")
        held = sum(n * float(can["holds"]) for n, can in zip(counts, cans, strict=True))
        paid = sum(n * float(can["price"]) for n, can in zip(counts, cans, strict=True))
        assert volume == pytest.approx(rooms / 10, rel=1e-12)
        assert held >= volume - 1e-6
        assert paid == pytest.approx(cost, abs=5e-3)
        assert cost == pytest.approx(cheapest(volume, cans), abs=5e-3), rooms


@settings(max_examples=12)
@given(st.integers(1, 60), st.tuples(*(st.integers(0, 3000) for _ in range(3))))
def test_whatever_the_prices_the_cans_hold_enough(rooms: int, extra: tuple[int, int, int]) -> None:
    """The larger size never dearer by volume, which the workbook checks."""
    large = 5000 + extra[0]
    medium = math.ceil(large / 4) + extra[1]
    small = math.ceil(medium / 2) + extra[2]
    prices = tuple(f"{cents / 100:.2f}" for cents in (large, medium, small))
    cans = containers(("1", "0.25", "0.125"), prices)
    found = values(finish_job(rooms, cans=cans, spread=320))
    assert found["findings"].loc[0, "containers_priced"] == 0
    cost = found["finishes"].loc[0, "cost"]
    assert cost == pytest.approx(cheapest(rooms / 10, cans), abs=5e-3)


def test_a_small_can_that_is_cheaper_by_volume_is_marked() -> None:
    cans = containers(("1", "0.25"), ("100.00", "20.00"))
    assert figures(finish_job(1, cans=cans), "findings")["containers_priced"] == 1


def test_an_alternate_finish_is_not_in_the_price() -> None:
    project = job(
        75, parts=[FACE],
        finishes=[FINISH, FINISH | {"key": "wax", "stands_in_for": "oil", "spread": 200}],
        containers=[CAN | {"price": 10}, CAN | {"key": "tin", "finish": "wax", "price": 30}],
    )  # fmt: skip
    oil, wax = (figures(project, "finishes", row) for row in range(2))
    assert (oil["volume"], oil["in_price"]) == (6, 60)
    assert (wax["volume"], wax["cost"], wax["in_price"]) == (12, 360, 0)
    assert figures(project, "price")["finish"] == 60
