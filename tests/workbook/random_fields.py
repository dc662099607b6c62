"""What single fields of a random project may hold, table by table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from estimator.project.records import MEASURES

Fields = Mapping[str, Any]
"""Of a row to draw: a strategy for each field, or the value itself."""


def decimals(least: str, most: str) -> SearchStrategy[Decimal]:
    """Decimals with as many places as the least is written with."""
    step = Decimal(1).scaleb(int(Decimal(least).as_tuple().exponent))
    whole = st.integers(int(Decimal(least) / step), int(Decimal(most) / step))
    return whole.map(lambda number: number * step)


def one_of(words: Sequence[Any]) -> SearchStrategy[Any]:
    """One of them, each as likely."""
    return st.sampled_from(list(words))


ODD_TEXTS = ("=1+1", "+1 inch", "-2*3", "@SUM(A1)", 'he said "so"', "Ash & oak <3", "½ × ⅜", "'so")
TEXT = one_of(["plain", *ODD_TEXTS])
YES_NO = one_of(["yes", "no"])
RATE = decimals("0.000", "1.000")
LOW_RATE = decimals("0.0000", "0.3000")
MONEY = decimals("0.00", "400.00")
PART = decimals("0.01", "40.00")
FACES = st.integers(0, 2)

TYPE: Fields = {
    "name": TEXT,
    "mock_ups": st.integers(0, 2),
    "guest_room": YES_NO,
    "mobility": one_of(["no", "tub", "roll-in"]),
    "communication": YES_NO,
    "wall_area": one_of([0, Decimal("0.5"), Decimal(60)]),
}
FINISH: Fields = {"name": TEXT, "coats": st.integers(1, 4), "loss": LOW_RATE}
ITEM: Fields = {
    "name": TEXT,
    "kind": one_of(["fastener", "hardware", "glue", "abrasive", "blade", "bought", "packing"]),
    "pack": st.integers(1, 500),
    "loss": LOW_RATE,
    "lead_weeks": st.integers(0, 20),
}
GRADE: Fields = {"name": TEXT, "wage": MONEY, "burden": decimals("0.00", "2.00")}
OPERATION: Fields = {
    "name": TEXT,
    "where": one_of(["shop", "site"]),
    "minutes": decimals("0.00", "90.00"),
    "setup": decimals("0.0", "300.0"),
    "setup_per": one_of(MEASURES),
    "crew": st.integers(1, 4),
    "repetition": decimals("0.500", "1.000"),
}
FREIGHT_CLASS: Fields = {
    "from_density": decimals("0.0", "40.0"),
    "freight_class": decimals("50.0", "500.0"),
}
TERMS: Fields = {
    "bevel_angle": decimals("0.5", "60.0"),
    "crossing": YES_NO,
    "whole_last_sheet": YES_NO,
    "waste_yield": decimals("0.30", "1.00"),
    "overhead": RATE,
    "contingency": LOW_RATE,
    "margin": decimals("0.000", "0.900"),
    "purchase_tax": LOW_RATE,
    "sale_tax": LOW_RATE,
    "taxed_sale": RATE,
    "price_step": one_of([Decimal(each) for each in ("0.01", "0.05", "0.25", "1", "5", "12.5")]),
    "add_uplift": LOW_RATE,
    "deduct_share": RATE,
    "hours_per_day": decimals("0.5", "24.0"),
    "site_crew": st.integers(1, 6),
    "trips_per_floor": decimals("0.0", "3.0"),
    "distance": decimals("0.0", "900.0"),
    "vehicle_rate": decimals("0.00", "5.00"),
    "lodging": MONEY,
    "packing_share": LOW_RATE,
    "packed_density": decimals("1.0", "400.0"),
    "pallet_load": decimals("100.0", "2000.0"),
    "pallet_space": decimals("1.0", "90.0"),
    "freight_base": MONEY,
    "spread_least": decimals("0.0", "200.0"),
    "spread_most": decimals("200.0", "1000.0"),
    "lift_limit": decimals("5.0", "60.0"),
}
RUN: Fields = {
    "wall": one_of(["wood", "steel", "masonry"]),
    "over": one_of(["furniture", "path", "aside"]),
    "approach": one_of(["side", "forward"]),
}
MODULE: Fields = {
    "name": TEXT,
    "purpose": one_of(["reached", "mirror", "counter-mirror", "seen"]),
    "locked": YES_NO,
    "load": PART,
    "spares": LOW_RATE,
    "bought_weight": one_of([0, Decimal("3.25")]),
}
MATERIAL: Fields = {
    "name": TEXT,
    "density": decimals("50.0", "490.0"),
    "stiffness": one_of([0, Decimal("9000.5")]),
    "bending": one_of([0, Decimal("9.75")]),
    "emission": one_of(["none", "ask", "stated"]),
}
FINISHED: Fields = {"faces": FACES, "long_edges": FACES, "short_edges": FACES}
