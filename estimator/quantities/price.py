"""The price: build-up, the price of a room of each type, payment stages and alternates.

The build-up gives a target price. Each room type takes a share of it, rounded to the price step for
one room; the quoted price is the sum of unit price times count, so it adds up exactly, and what
rounding moved is a line of the build-up.

How cost is shared between room types: what is used or done for a module, a rail profile or a room
type goes to the types that have it; other material and shop work by area of the pieces; other site
work, travel and freight by weight.
"""

from __future__ import annotations

from estimator.expressions.functions import choose, rounded, share
from estimator.expressions.nodes import Column, Constant, Expression, total
from estimator.expressions.tables import Model, Table
from estimator.units import unit

NO_DECIMALS = Constant(unit("1"), frozenset(), 0)
CENTS = "cents"


def define_price(model: Model) -> None:
    """Direct cost, its shares by room type, the build-up and what hangs on it."""
    price = model.table(
        "price",
        "Price build-up",
        "Price",
        "From direct cost to the quoted total. Every rate stands on the sheet Terms.",
        kind="form",
    )
    _define_direct(model, price)
    _define_build_up(model, price)
    _define_traced(model)
    _define_unit_prices(model, price)
    _define_total(model, price)
    _define_changes_of_count(model, price)
    _define_stages(model, price)
    _define_alternates(model, price)


def _money(table: Table, name: str, label: str, expression: Expression, note: str) -> Column:
    return table.quantity(name, label, "money", expression, note)


def _to_step(amount: Expression, terms: Table) -> Expression:
    """To the nearest multiple of the price step; noise is dropped first, so that halves are."""
    steps = rounded(rounded(amount / terms["price_step"], terms["guard"]), NO_DECIMALS)
    return steps * terms["price_step"]


def _define_direct(model: Model, price: Table) -> None:
    terms, labour, clauses = model["terms"], model["labour"], model["clauses"]
    _money(
        price, "materials", "Sheets and lengths", total(model["materials"]["in_price"]), "Ordered."
    )
    _money(price, "finish", "Finish", total(model["finishes"]["in_price"]), "Containers.")
    _money(
        price, "supplies", "Hardware and supplies", total(model["items"]["cost"]), "In whole packs."
    )
    bought = price["materials"] + price["finish"] + price["supplies"]
    tax = rounded(bought * terms["purchase_tax"], terms[CENTS])
    _money(price, "purchase_tax", "Tax on purchases", tax, "Where the shop is the consumer.")
    _money(price, "shop", "Shop labour", labour["shop_cost"], "At loaded wages.")
    _money(price, "site", "Site labour", labour["site_cost"], "At loaded wages.")
    _money(
        price, "travel", "Travel and lodging", labour["travel"] + labour["lodging"], "Of the crew."
    )
    _money(price, "freight", "Freight", model["freight"]["cost"], "Pallets, trips.")
    allowances = total(clauses["amount"], clauses["kind"] == "allowance")
    _money(price, "allowances", "Allowances", allowances, "Sums for what is not settled yet.")
    direct = price["materials"]
    for name in DIRECT[1:]:
        direct = direct + price[name]  # type: ignore[assignment]
    _money(price, "direct", "Direct cost", direct, "All of the above.")


DIRECT = (
    "materials", "finish", "supplies", "purchase_tax", "shop", "site", "travel", "freight",
    "allowances",
)  # fmt: skip


def _define_build_up(model: Model, price: Table) -> None:
    terms = model["terms"]
    overhead = rounded(price["direct"] * terms["overhead"], terms[CENTS])
    _money(price, "overhead", "Overhead", overhead, "On direct cost.")
    risk = rounded((price["direct"] + price["overhead"]) * terms["contingency"], terms[CENTS])
    _money(price, "contingency", "Contingency", risk, "On direct cost and overhead.")
    cost = price["direct"] + price["overhead"] + price["contingency"]
    _money(price, "cost", "Cost", cost, "Direct cost, overhead and contingency.")
    one = Constant(unit("1"), frozenset(), 1)
    target = rounded(price["cost"] / (one - terms["margin"]), terms[CENTS])
    _money(price, "target", "Price before rounding", target, "Cost over one less the margin.")
    _money(price, "margin", "Margin", price["target"] - price["cost"], "What is left after cost.")
    price.quantity(
        "markup",
        "Markup it equals",
        "1",
        terms["margin"] / (one - terms["margin"]),
        "The same margin, as a share of cost.",
        show="percent",
    )


def _define_traced(model: Model) -> None:
    """Cost used or done for a module, a profile or a room type, passed on to the room types."""
    types, modules, contents = model["types"], model["modules"], model["contents"]
    profiles, runs = model["profiles"], model["runs"]

    def named(table: Table) -> Expression:
        uses, operations = model["uses"], model["operations"]
        used = total(uses["cost"], uses["per"] == table["key"])
        return used + total(operations["cost"], operations["per"] == table["key"])

    for table in (modules, profiles):
        _money(table, "traced", "Its own cost", named(table), "Of what is used or done for it.")
    module_cost = contents.via("module", modules["traced"])
    modules_needed = contents.via("module", modules["needed"])
    of_modules = contents["needed"] * share(module_cost, modules_needed)
    _money(contents, "traced", "Own cost", of_modules, "Its share of the module's, spares spread.")
    profile_cost = runs.via("profile", profiles["traced"])
    profile_feet = runs.via("profile", profiles["feet"])
    of_rails = runs["feet"] * share(profile_cost, profile_feet)
    _money(runs, "traced", "Own cost", of_rails, "Its share of the profile's.")
    traced = (
        named(types)
        + total(contents["traced"], contents["room_type"] == types["key"])
        + total(runs["traced"], runs["room_type"] == types["key"])
    )
    _money(types, "traced", "Own cost", traced, "Of its modules, its rails, and itself.")


def _define_unit_prices(model: Model, price: Table) -> None:
    types, operations, terms = model["types"], model["operations"], model["terms"]
    _money(price, "traced", "of it traced to a type", total(types["traced"]), "See Room types.")
    road = price["travel"] + price["freight"]
    at_site = total(operations["cost"], operations["where"] == "site", operations["shared"] == 1)
    _money(price, "by_weight", "of it shared by weight", at_site + road, "Site, travel, freight.")
    rest = price["direct"] - price["traced"] - price["by_weight"]
    _money(price, "by_area", "of it shared by area", rest, "Everything else.")
    of_area = share(types["area"], total(types["area"]))
    of_weight = share(types["weight"], total(types["weight"]))
    direct = types["traced"] + price["by_area"] * of_area + price["by_weight"] * of_weight
    _money(types, "direct", "Direct cost", direct, "Traced and shared.")
    bearing = choose(types["counted"] > 0, types["direct"], 0)
    _money(types, "bearing", "Cost it bears", bearing, "Nothing if none is counted.")
    part = share(types["bearing"], total(types["bearing"]))
    types.quantity("part", "Share of the price", "1", part, "Of all types.", show="percent")
    exact = share(price["target"] * types["part"], types["counted"])
    unit_price = rounded(_to_step(exact, terms), terms[CENTS])
    types.quantity(
        "unit_price",
        "Price per room",
        "money/room",
        unit_price,
        "Its share of the price, mock-ups included, over the rooms counted, to the price step.",
    )
    _money(
        types,
        "line_price",
        "Price, all rooms",
        rounded(types["unit_price"] * types["counted"], terms[CENTS]),
        "Price per room times rooms counted.",
    )


def _define_total(model: Model, price: Table) -> None:
    types, terms = model["types"], model["terms"]
    _money(price, "quoted", "Quoted price", total(types["line_price"]), "Sum over room types.")
    _money(
        price,
        "rounding",
        "of it rounding",
        rounded(price["quoted"] - price["target"], terms[CENTS]),
        "To price steps.",
    )
    taxed = price["quoted"] * terms["taxed_sale"] * terms["sale_tax"]
    _money(price, "sale_tax", "Tax on the sale", rounded(taxed, terms[CENTS]), "Charged on top.")
    _money(
        price, "total", "Quoted total", price["quoted"] + price["sale_tax"], "What is to be paid."
    )


def _define_changes_of_count(model: Model, price: Table) -> None:
    """What one more or one less room of a type changes, after the order."""
    types, terms, labour = model["types"], model["terms"], model["labour"]
    fixed = labour["setup_cost"] + price["travel"] + model["freight"]["base"] + price["allowances"]
    _money(
        price,
        "fixed",
        "Does not grow with rooms",
        fixed,
        "Setup, travel, base freight, allowances.",
    )
    varying = price["direct"] - price["fixed"]
    price.quantity(
        "varying",
        "Share that grows with rooms",
        "1",
        share(varying, price["direct"]),
        "The rest of direct cost.",
        show="percent",
    )
    factor = share(price["target"], price["direct"])
    each = share(types["direct"] * price["varying"] * factor, types["rooms"])
    types.quantity(
        "variable",
        "Variable price",
        "money/room",
        each,
        "The part of a room's price that a further room brings, without uplift.",
    )
    one = terms["add_uplift"] + 1
    for name, label, times, note in (
        ("add", "Add a room", one, "For one room more, after the order."),
        ("deduct", "Drop a room", terms["deduct_share"], "Given back for one room less."),
    ):
        types.quantity(name, label, "money/room", _to_step(types["variable"] * times, terms), note)


def _define_stages(model: Model, price: Table) -> None:
    stages, terms = model["stages"], model["terms"]
    so_far = total(stages["share"], stages["number"] <= stages["number"])
    stages.quantity(
        "so_far", "So far", "1", so_far, "Share due with this and earlier stages.", show="percent"
    )
    upto = rounded(price["total"] * stages["so_far"], terms[CENTS])
    before = rounded(price["total"] * (stages["so_far"] - stages["share"]), terms[CENTS])
    _money(
        stages,
        "amount",
        "Amount",
        rounded(upto - before, terms[CENTS]),
        "Rounded so that the stages add up to the total to the cent.",
    )


def _define_alternates(model: Model, price: Table) -> None:
    alternates, materials, finishes = model["alternates"], model["materials"], model["finishes"]
    terms = model["terms"]

    def cost(name: str) -> Expression:
        return alternates.via(name, materials["cost"]) + alternates.via(name, finishes["cost"])

    _money(
        alternates,
        "cost",
        "Difference in cost",
        cost("offered") - cost("instead"),
        "For the counts as they stand.",
    )
    factor = share(price["target"], price["direct"]) * (terms["purchase_tax"] + 1)
    _money(
        alternates,
        "difference",
        "Adds to the price",
        _to_step(alternates["cost"] * factor, terms),
        "With tax, overhead, contingency and margin; below 0 it comes off.",
    )
