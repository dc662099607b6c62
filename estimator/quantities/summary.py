"""The figures an estimator watches: now, as this revision was issued, and the difference."""

from __future__ import annotations

from estimator.expressions.functions import choose
from estimator.expressions.nodes import Expression, largest, total
from estimator.expressions.tables import Model, Show
from estimator.quantities.findings import FAIL, OK, REVIEW
from estimator.quantities.labour import PERSON_HOURS
from estimator.units import UnitSystem


def define_summary(model: Model, system: UnitSystem) -> None:
    """A form of figures, and the table beside the room counts that shows them move."""
    summary = model.table(
        "summary", "Figures", "Figures", "The job in a few figures, live.", kind="form"
    )
    for name, label, unit_text, expression in _figures(model, system):
        show = _SHOW.get(name, "whole")
        summary.quantity(name, label, unit_text, expression, f"{label}, now.", show=show)
    calm = choose(summary["reviewing"] > 0, REVIEW, OK)
    worst = choose(summary["failing"] > 0, FAIL, calm)
    summary.quantity("worst", "Worst check", "text", worst, "The worst state on the sheet Checks.")
    headline = model.table(
        "headline",
        "How the job stands",
        "Counts",
        "Changes as you type.",
        beside=True,
        rows_like="summary",
    )
    headline.label("label", "Figure", "What it is.")
    key = headline.label("key", "Name", "On the sheet Figures.", aside=True)
    headline.quantity(
        "now", "Now", "measure", total(summary.values, summary.keys == key), "For these counts.",
        show="decimal",
    )  # fmt: skip
    headline.planned(
        "issued", "As issued", "measure", "When this revision was made.", show="decimal"
    )
    headline.quantity(
        "difference", "Difference", "measure", headline["now"] - headline["issued"], "Since then.",
        show="decimal",
    )  # fmt: skip
    headline.label("unit", "Unit", "Of the figure.")


_SHOW: dict[str, Show] = {
    "total": "cents",
    "quoted": "cents",
    "rail": "decimal",
    "finish": "decimal",
    "shop_hours": "decimal",
    "site_hours": "decimal",
    "weight": "decimal",
}


def _figures(model: Model, system: UnitSystem) -> list[tuple[str, str, str, Expression]]:
    measures, labour, price = model["measures"], model["labour"], model["price"]
    finishes, checks = model["finishes"], model["checks"]
    return [
        ("total", "Quoted total", "money", price["total"]),
        ("quoted", "Quoted price, before tax", "money", price["quoted"]),
        ("rooms", "Rooms counted", "room", total(model["types"]["counted"])),
        ("modules", "Modules to make", "module", measures["modules"]),
        ("sheets", "Sheets to order", "stock", measures["sheets"]),
        ("rail", "Rail", system.run, measures["rail"]),
        ("screws", "Screws in studs", "each", measures["screws"]),
        ("finish", "Finish", system.volume, total(finishes["volume_in_job"])),
        ("shop_hours", "Shop hours", PERSON_HOURS, labour["shop_hours"]),
        ("site_hours", "Site hours", PERSON_HOURS, labour["site_hours"]),
        ("days", "Crew-days on site", "day", labour["days"]),
        ("weight", "Shipping weight", system.weight, model["freight"]["shipped"]),
        ("pallets", "Pallets", "pallet", model["freight"]["pallets"]),
        ("lead", "Longest lead time", "week", largest(model["items"]["lead_weeks"])),
        ("failing", "Checks that fail", "1", total(checks["failing"])),
        ("reviewing", "Checks to review", "1", total(checks["reviewing"])),
    ]


def define_lists(model: Model) -> None:
    """The tables made to be read: offer by room type, buy list, figures beside the counts."""
    _define_beside_counts(model)
    _define_offer(model)
    _define_bottom_line(model)
    _define_buy_list(model)


def _define_beside_counts(model: Model) -> None:
    counts, types = model["counts"], model["types"]
    for name, label, unit_text, show in _OF_TYPE:
        of_type = counts.via("room_type", types[name])
        counts.quantity(name, label, unit_text, of_type, f"{label}: see Room types.", show=show)


_OF_TYPE: tuple[tuple[str, str, str, Show], ...] = (
    ("counted", "Rooms", "room", "whole"),
    ("unit_price", "Price per room", "money/room", "cents"),
    ("line_price", "Price, all rooms", "money", "cents"),
)


def _define_offer(model: Model) -> None:
    types = model["types"]
    offer = model.table(
        "offer", "Offer by room type", "Quote", "Price per room times rooms is the quoted price."
    )
    offer.label("key", "Room type", "Its short name.", refers_to=["types"])
    offer.label("name", "Name", "As on Room types.")
    for name, label, unit_text, show in (*_OF_TYPE, *_CHANGES):
        of_type = offer.via("key", types[name])
        offer.quantity(name, label, unit_text, of_type, f"{label}: see Room types.", show=show)


_CHANGES: tuple[tuple[str, str, str, Show], ...] = (
    ("add", "Add a room", "money/room", "cents"),
    ("deduct", "Drop a room", "money/room", "cents"),
)


def _define_bottom_line(model: Model) -> None:
    price, summary = model["price"], model["summary"]
    bottom = model.table("bottom", "In all", "Quote", "What the offer comes to.", rows_like="price")
    bottom.label("label", "Line", "What it is.")
    key = bottom.label("key", "Name", "On the sheet Price.", aside=True)
    amount = total(price.values, price.keys == key)
    bottom.quantity("amount", "Amount", "measure", amount, "See Price.", show="decimal")
    state = model.table("state", "Before it leaves the office", "Quote", "See Checks.", kind="form")
    state.quantity("worst", "Worst check", "text", summary["worst"], "OK, Review or Fail.")
    state.quantity(
        "failing", "Checks that fail", "1", summary["failing"], "Fix them first.", show="whole"
    )
    state.quantity(
        "reviewing",
        "Checks to review",
        "1",
        summary["reviewing"],
        "Look at what each says.",
        show="whole",
    )


def _define_buy_list(model: Model) -> None:
    materials, items, containers = model["materials"], model["items"], model["containers"]
    buy = model.table(
        "buy", "Buy list", "Buy list", "All that is bought, in the units it is sold in."
    )
    buy.label("key", "Item", "Its short name.", refers_to=["materials", "items", "containers"])
    buy.label("kind", "Kind", "What it is.")
    buy.label("name", "Name", "As sold.")
    buy.label("sold_as", "Sold as", "What one of it is.")

    def bought(material: str, item: str, container: str) -> Expression:
        of_material = buy.via("key", materials[material])
        of_item = buy.via("key", items[item])
        of_container = buy.via("key", containers[container])
        return of_material.measured() + of_item.measured() + of_container.measured()

    order = bought("order", "packs", "count")
    buy.quantity("order", "Order quantity", "measure", order, "Whole units.", show="whole")
    cost = bought("in_price", "cost", "cost").number_of("money")
    buy.quantity("cost", "Cost", "money", cost, "At the prices reached; 0 for an alternate.")
    lead = buy.via("key", items["lead_weeks"])
    buy.quantity("lead", "Lead time", "week", lead, "From order to arrival.", show="whole")
    buy.label("supplier", "Supplier", "Who sells it.")
