"""The price build-up: published tables, the order of tax, price breaks, changes of count.

Markup and margin: both tables follow from margin = markup / (1 + markup). Quantity discounts: two
textbook problems of order quantity with all-units discounts (secondary; every total recomputed,
after a published answer was seen to use another demand than its own problem states).
"""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import pytest

from estimator.problems import ProblemsFound
from estimator.project.records import Project
from tests.quantities.jobs import (
    GRADE,
    ITEM,
    MODULE,
    PART,
    SHEET,
    WORK,
    at_rooms,
    figures,
    job,
)
from tests.workbook.estimates import estimated, with_counts

CENT = 0.005


def job_of_cost(cost: str, **terms: Any) -> Project:
    """A job whose only cost is one bought item."""
    return job(
        uses=[{"per": "job", "item": "item", "amount": 1}], items=[ITEM],
        prices=[{"item": "item", "from_quantity": 1, "price": cost}], terms=terms,
    )  # fmt: skip


# --- Markup and margin --------------------------------------------------------------------------

MARKUP_TO_MARGIN = [
    ("10", 9.09), ("15", 13.04), ("20", 16.67), ("25", 20), ("30", 23.08), ("33.333333333333", 25),
    ("40", 28.57), ("50", 33.33), ("66.666666666667", 40), ("75", 42.86), ("100", 50),
]  # fmt: skip
MARGIN_TO_MARKUP = [
    ("10", 11.11), ("15", 17.65), ("20", 25), ("25", 33.33), ("30", 42.86), ("40", 66.67),
    ("50", 100),
]  # fmt: skip


@pytest.mark.parametrize(("margin", "markup"), MARGIN_TO_MARKUP)
def test_the_markup_that_a_margin_equals(margin: str, markup: float) -> None:
    row = figures(job_of_cost("1000", margin=Decimal(margin) / 100), "price")
    assert row["markup"] * 100 == pytest.approx(markup, abs=0.005)
    assert row["target"] == pytest.approx(1000 * (1 + row["markup"]), abs=0.005)
    assert row["margin"] / row["target"] * 100 == pytest.approx(float(margin), abs=0.001)


@pytest.mark.parametrize(("markup", "margin"), MARKUP_TO_MARGIN)
def test_the_margin_that_a_markup_equals(markup: str, margin: float) -> None:
    share = Decimal(markup) / (100 + Decimal(markup))
    row = figures(job_of_cost("1000", margin=share), "price")
    assert row["target"] == pytest.approx(1000 * (1 + float(markup) / 100), abs=0.005)
    assert row["margin"] / row["target"] * 100 == pytest.approx(margin, abs=0.005)
    assert row["markup"] * 100 == pytest.approx(float(markup), abs=1e-9)


@pytest.mark.parametrize("margin", ["0.95", "1", "1.2", "-0.1"])
def test_a_margin_that_leaves_next_to_no_cost_is_refused(margin: str) -> None:
    with pytest.raises(ProblemsFound, match="margin"):
        job_of_cost("1000", margin=margin)
    assert figures(job_of_cost("1000", margin="0.9499"), "price")["target"] > 0


# --- Tax, and in which order ----------------------------------------------------------------------


def test_tax_on_purchases_is_cost_before_the_margin() -> None:
    """Cost 1000, markup 30 %, tax 8 %. As the product has it, tax paid on purchases is a cost that
    the margin is put on: 1404. Putting the same tax on cost after the markup would come to
    1000 x 1.3 + 80 = 1380; no place does that for the shop."""
    margin = Decimal(30) / 130
    row = figures(job_of_cost("1000", margin=margin, purchase_tax="0.08"), "price")
    assert row["purchase_tax"] == 80
    assert row["direct"] == 1080
    assert row["target"] == row["total"] == pytest.approx(1404, abs=0.005)


def test_tax_on_the_sale_comes_on_top() -> None:
    margin = Decimal(30) / 130
    row = figures(job_of_cost("1000", margin=margin, sale_tax="0.08", taxed_sale=1), "price")
    assert (row["quoted"], row["sale_tax"], row["total"]) == (1300, 104, 1404)
    half = figures(job_of_cost("1000", margin=margin, sale_tax="0.08", taxed_sale="0.5"), "price")
    assert half["sale_tax"] == 52


def test_labour_and_freight_bear_no_purchase_tax() -> None:
    project = job(
        rooms=10, operations=[WORK], grades=[GRADE | {"wage": 30}], terms={"purchase_tax": "0.08"}
    )
    row = figures(project, "price")
    assert (row["shop"], row["purchase_tax"], row["direct"]) == (300, 0, 300)


def test_overhead_then_contingency_then_margin() -> None:
    """1000; 15 % overhead 150; 5 % of 1150 is 57.50; 1207.50 / 0.8 = 1509.375, to the cent."""
    row = figures(job_of_cost("1000", overhead="0.15", contingency="0.05", margin="0.2"), "price")
    assert (row["overhead"], row["contingency"], row["cost"]) == (150, 57.5, 1207.5)
    assert row["target"] == 1509.38
    assert row["margin"] == pytest.approx(301.88, abs=1e-9)


# --- Price breaks -------------------------------------------------------------------------------

Breaks = list[tuple[int, str]]
FIRST: Breaks = [(1, "5.00"), (1000, "4.80"), (2000, "4.75")]
SECOND: Breaks = [(1, "51.50"), (100, "49.50"), (200, "48"), (500, "47")]


def price_each(breaks: Breaks, quantity: int) -> float:
    """What one costs when so many are bought, out of the product."""
    prices = [{"item": "item", "from_quantity": n, "price": price} for n, price in breaks]
    project = job(uses=[{"per": "job", "item": "item", "amount": quantity}], items=[ITEM],
                  prices=prices)  # fmt: skip
    row = figures(project, "items")
    assert row["packs"] == quantity
    return row["price_each"]


def yearly_cost(breaks: Breaks, order: int, demand: int, each_order: int, holding: float) -> float:
    price = price_each(breaks, order)
    return demand * price + demand / order * each_order + order / 2 * holding * price


def test_first_quantity_discount_problem() -> None:
    """5000 a year, 49 an order, 20 % holding: best at 1000."""
    costs = {order: yearly_cost(FIRST, order, 5000, 49, 0.2) for order in (700, 1000, 2000)}
    assert costs == pytest.approx({700: 25_700, 1000: 24_725, 2000: 24_822.50})
    assert min(costs, key=costs.__getitem__) == 1000


def test_second_quantity_discount_problem() -> None:
    """800 a year, 60 an order, 30 % holding: best at 200."""
    costs = {order: yearly_cost(SECOND, order, 800, 60, 0.3) for order in (79, 100, 200, 500)}
    printed = {79: 42_417.87, 100: 40_822.50, 200: 40_080, 500: 41_221}
    assert costs == pytest.approx(printed, abs=0.005)
    assert min(costs, key=costs.__getitem__) == 200


@pytest.mark.parametrize(
    ("quantity", "price"), [(1, 5), (999, 5), (1000, 4.8), (1999, 4.8), (2000, 4.75), (9999, 4.75)]
)
def test_a_break_is_reached_at_its_quantity(quantity: int, price: float) -> None:
    assert price_each(FIRST, quantity) == price
    assert price_each(FIRST[::-1], quantity) == price


def test_sheets_and_pallets_have_breaks_too() -> None:
    whole = PART | {"length": 96, "width": 48}
    prices = [
        {"item": name, "from_quantity": n, "price": price}
        for name in ("sheet", "pallet")
        for n, price in ((1, 100), (6, 90))
    ]
    estimate = estimated(
        job(parts=[whole], prices=prices, terms={"pallet_load": 80, "packed_density": 1000})
    )
    for rooms, price in ((2, 100), (30, 90)):
        moved = with_counts(estimate, {("room", "F1"): rooms}).values
        sheets, freight = moved["materials"].iloc[0], moved["freight"].iloc[0]
        assert sheets["price_each"] == price
        assert sheets["cost"] == sheets["order"] * price
        assert freight["price_each"] == price
        assert freight["pallets"] == math.ceil(rooms * 80 / 80)


# --- Spares -------------------------------------------------------------------------------------


def test_attic_stock() -> None:
    """120 keys, 2 to a room, 3 %: 7.2, so 8 (the share is from memory, the sum derived)."""
    project = job(
        120, modules=[MODULE | {"spares": "0.03"}],
        contents=[{"room_type": "room", "module": "box", "each": 2}],
    )  # fmt: skip
    row = figures(project, "modules")
    assert (row["needed"], row["spare"], row["made"]) == (240, 8, 248)


def test_mock_ups_are_made_and_paid_by_the_rooms_counted() -> None:
    project = job(10, types=[{"key": "room", "name": "Room", "mock_ups": 1}], operations=[WORK],
                  grades=[GRADE | {"wage": 100}])  # fmt: skip
    row = figures(project, "types")
    assert (row["counted"], row["rooms"], row["unit_price"]) == (10, 11, 110)


# --- Changes of count, alternates -----------------------------------------------------------------


def test_the_price_of_one_more_room_where_everything_grows_with_rooms() -> None:
    """Nothing fixed, no learning, no packs: an added room brings its unit price, and the next
    estimate says so."""
    project = job(
        10, operations=[WORK], grades=[GRADE | {"wage": "33.10"}],
        terms={"overhead": "0.1", "margin": "0.2", "add_uplift": "0.1", "deduct_share": "0.5"},
    )  # fmt: skip
    estimate = estimated(project)
    row = estimate.values["types"].iloc[0]
    assert row["variable"] == pytest.approx(row["unit_price"], abs=CENT)
    assert row["add"] == pytest.approx(1.1 * row["unit_price"], abs=2 * CENT)
    assert row["deduct"] == pytest.approx(0.5 * row["unit_price"], abs=2 * CENT)
    ((ten,),), ((eleven,),) = (at_rooms(estimate, n, "price", "target") for n in (10, 11))
    assert eleven - ten == pytest.approx(row["variable"], abs=2 * CENT)


def test_what_does_not_grow_with_rooms_is_not_in_the_price_of_one_more() -> None:
    """Setup 500, travel 2 x 100 and an allowance of 300 stand beside 100 a room."""
    setup = WORK | {"key": "setup", "minutes": 0, "setup": 300}
    project = job(
        10, operations=[WORK, setup], grades=[GRADE | {"wage": 100}],
        terms={"trips_per_floor": 2, "distance": 100, "vehicle_rate": 1},
        clauses=[{"kind": "allowance", "text": "Wall", "amount": 300}],
    )  # fmt: skip
    price, row = figures(project, "price"), figures(project, "types")
    assert price["direct"] == 10 * 100 + 500 + 200 + 300
    assert price["fixed"] == 500 + 200 + 300
    assert row["variable"] == pytest.approx(100, abs=CENT)


def test_an_alternate_adds_its_difference_with_all_that_follows() -> None:
    """Sheets at 100 against 130, tax 10 %, overhead 20 %, margin 20 %: 30 x 1.1 x 1.2 / 0.8."""
    whole = PART | {"length": 96, "width": 48}
    project = job(
        parts=[whole],
        materials=[SHEET, SHEET | {"key": "maple", "stands_in_for": "sheet"}],
        prices=[{"item": "sheet", "from_quantity": 1, "price": 100},
                {"item": "maple", "from_quantity": 1, "price": 130}],
        alternates=[{"key": "a", "name": "Maple", "instead": "sheet", "offered": "maple"}],
        terms={"purchase_tax": "0.1", "overhead": "0.2", "margin": "0.2"},
    )  # fmt: skip
    sheets = figures(project, "materials")["order"]
    row = figures(project, "alternates")
    assert row["cost"] == 30 * sheets
    assert row["difference"] == pytest.approx(30 * sheets * 1.1 * 1.2 / 0.8, abs=CENT)
    assert figures(project, "price")["materials"] == 100 * sheets
