"""What holds of every price, whatever is typed: sums to the cent, steps, packs, more rooms."""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate import Estimate
from estimator.project.records import Project
from tests.quantities.jobs import (
    CAN,
    FINISH,
    GRADE,
    ITEM,
    MODULE,
    PART,
    PROFILE,
    RUN,
    WORK,
    job,
    values,
)
from tests.workbook.estimates import estimated, with_counts


def mixed_job(
    counts: tuple[int, int, int], terms: dict[str, Any], shares: list[Decimal]
) -> Project:
    """Three types, two modules, rails, hardware, finish, work in shop and on site, freight."""
    keys = ("small", "middle", "large")
    modules = [MODULE | {"spares": "0.05"}, MODULE | {"key": "shelf"}]
    parts = [PART | {"finish": "oil"},
             PART | {"key": "top", "module": "shelf", "length": 30, "width": 11}]  # fmt: skip
    return job(
        types=[{"key": key, "name": key, "mock_ups": int(key == "large")} for key in keys],
        counts=[{"room_type": key, "floor": "F1", "rooms": n}
                for key, n in zip(keys, counts, strict=True)],
        contents=[{"room_type": key, "module": module, "each": each}
                  for each, key in enumerate(keys, start=1) for module in ("box", "shelf")],
        modules=modules, parts=parts, profiles=[PROFILE],
        runs=[RUN | {"key": f"wall-{key}", "room_type": key, "length": 40 * n}
              for n, key in enumerate(keys, start=1)],
        uses=[{"per": "screws", "item": "item", "amount": 1},
              {"per": "shelf", "item": "item", "amount": "1.5"}],
        items=[ITEM | {"pack": 100, "loss": "0.05"}],
        operations=[WORK, WORK | {"key": "hang", "where": "site", "per": "modules", "minutes": 7,
                                  "repetition": "0.95", "setup": 45},
                    WORK | {"key": "make-box", "per": "box", "minutes": "11.3"}],
        grades=[GRADE | {"wage": "27.35", "burden": "0.39"}],
        finishes=[FINISH | {"loss": "0.15"}],
        containers=[CAN | {"price": "94"},
                    CAN | {"key": "quart", "size": "medium", "holds": "0.25", "price": "31"}],
        prices=[{"item": "sheet", "from_quantity": 1, "price": "92.55"},
                {"item": "sheet", "from_quantity": 10, "price": "86.5"},
                {"item": "item", "from_quantity": 1, "price": "18.45"},
                {"item": "pallet", "from_quantity": 1, "price": "145"}],
        stages=[{"number": n, "name": str(n), "share": share}
                for n, share in enumerate(shares, start=1)],
        clauses=[{"kind": "allowance", "text": "Wall", "amount": "250"}],
        terms={"trips_per_floor": 2, "distance": 55, "vehicle_rate": "1.37", "lodging": "99.5",
               "pallet_load": 300, "pallet_space": 50, "freight_base": 60} | terms,
    )  # fmt: skip


RATES = st.integers(0, 300).map(lambda thousandths: Decimal(thousandths) / 1000)
STEPS = st.sampled_from(["0.01", "0.05", "0.1", "0.25", "1", "5", "10"])
TERMS_TYPED = st.fixed_dictionaries(
    {
        "overhead": RATES, "contingency": RATES, "margin": RATES, "purchase_tax": RATES,
        "sale_tax": RATES, "taxed_sale": RATES, "add_uplift": RATES, "deduct_share": RATES,
        "price_step": STEPS,
    }
)  # fmt: skip
COUNTS = st.tuples(*(st.integers(0, 90) for _ in range(3))).filter(any)
SHARES = st.lists(st.integers(1, 99), min_size=1, max_size=6).map(
    lambda parts: [Decimal(part) / Decimal(sum(parts)) for part in parts]
)
CENT = 0.005


@settings(max_examples=20)
@given(COUNTS, TERMS_TYPED, SHARES)
def test_the_price_adds_up(
    counts: tuple[int, int, int], terms: dict[str, Any], shares: list[Decimal]
) -> None:
    found = values(mixed_job(counts, terms, shares))
    price, types = found["price"].iloc[0], found["types"]
    _lines_make_the_quoted_price(price, types, Decimal(terms["price_step"]))
    _stages_make_the_total(price, found["stages"])
    _build_up_is_a_sum(price, terms)
    _packs_cover_the_need(found["items"].iloc[0])
    assert found["findings"].loc[0, "adds_up"] == 0


def _lines_make_the_quoted_price(price: Any, types: Any, step: Decimal) -> None:
    """To the cent, in exact decimals; and each unit price is a whole number of steps."""
    lines = zip(types["unit_price"], types["counted"], strict=True)
    exact = [(_cents(unit), int(count)) for unit, count in lines]
    assert sum(unit * count for unit, count in exact) == _cents(price["quoted"])
    assert all(unit % step == 0 for unit, _ in exact)
    for column in ("add", "deduct"):
        assert all(_cents(amount) % step == 0 for amount in types[column])
    most_moved = step / 2 * sum(count for _, count in exact)
    assert abs(_cents(price["rounding"])) <= most_moved + Decimal("0.01")
    tax = _cents(price["sale_tax"])
    assert _cents(price["quoted"]) + tax == _cents(price["total"])


def _stages_make_the_total(price: Any, stages: Any) -> None:
    assert sum(map(_cents, stages["amount"])) == _cents(price["total"])


def _build_up_is_a_sum(price: Any, terms: dict[str, Any]) -> None:
    parts = ("materials", "finish", "supplies", "purchase_tax", "shop", "site", "travel",
             "freight", "allowances")  # fmt: skip
    assert sum(_cents(price[part]) for part in parts) == _cents(price["direct"])
    in_all = sum(_cents(price[part]) for part in ("direct", "overhead", "contingency", "margin"))
    assert in_all == _cents(price["target"])
    assert price["margin"] == pytest.approx(
        float(terms["margin"]) * price["target"], abs=CENT + 1e-9
    )
    shared = price["traced"] + price["by_weight"] + price["by_area"]
    assert shared == pytest.approx(price["direct"], abs=1e-6)


def _packs_cover_the_need(item: Any) -> None:
    assert item["packs"] * item["pack"] >= item["needed"] - 1e-6
    assert (item["packs"] - 1) * item["pack"] < item["needed"]
    assert item["needed"] == pytest.approx(item["used"] * 1.05)


def _cents(amount: float) -> Decimal:
    """Money as the exact decimal it stands for; fails when it is not whole cents."""
    cents = Decimal(repr(round(float(amount), 2)))
    assert abs(float(cents) - amount) < 1e-6
    return cents


@settings(max_examples=15)
@given(COUNTS, st.tuples(*(st.integers(0, 40) for _ in range(3))))
def test_more_rooms_never_need_less(
    counts: tuple[int, int, int], more: tuple[int, int, int]
) -> None:
    estimate = _mixed()
    grown = tuple(n + m for n, m in zip(counts, more, strict=True))
    fewer, greater = (with_counts(estimate, _grid(each)).values for each in (counts, grown))
    for table, columns in {
        "materials": ("bound", "pieces", "area"),
        "items": ("used", "packs"),
        "finishes": ("volume", "cost"),
        "operations": ("count", "hours"),
        "freight": ("shipped", "pallets"),
        "pieces": ("needed",),
        "price": ("shop", "site"),
    }.items():
        for column in columns:
            assert (fewer[table][column] <= greater[table][column] + 1e-9).all(), column


def _grid(counts: tuple[int, ...]) -> dict[tuple[str, str], float]:
    keys = ("small", "middle", "large")
    return {(key, "F1"): float(n) for key, n in zip(keys, counts, strict=True)}


@cache
def _mixed() -> Estimate:
    return estimated(mixed_job((12, 7, 3), {}, [Decimal(1)]))


def test_no_room_at_all_costs_no_room() -> None:
    found = with_counts(_mixed(), _grid((0, 0, 0))).values
    assert found["types"]["unit_price"].tolist()[:2] == [0, 0]
    assert found["findings"].loc[0, "rooms_any"] == 1
