"""Fasteners, hardware, glue, abrasives, blades, packing, bought items: used, packed, priced."""

from __future__ import annotations

from estimator.expressions.functions import choose, rounded, rounded_up, share
from estimator.expressions.nodes import total
from estimator.expressions.tables import Model
from estimator.quantities.measures import driven
from estimator.quantities.stock import define_price_break


def define_supplies(model: Model) -> None:
    """Each use from what drives it; each item from its uses, in whole packs."""
    uses, items = model["uses"], model["items"]
    uses.quantity(
        "count",
        "There are",
        "measure",
        driven(model, uses["per"]),
        "Of what it is for.",
        show="decimal",
    )
    idle = choose(uses["count"] == 0, 1, 0)
    uses.quantity("idle", "For nothing", "1", idle, "1 if there is none of what it is for.")
    uses.quantity(
        "quantity", "Used", "each", uses["amount"] * uses["count"], "In all.", show="decimal"
    )
    _define_bought(model)
    cost = uses.via("item", items["cost"])
    used = uses.via("item", items["used"])
    uses.quantity(
        "cost",
        "Cost",
        "money",
        share(uses["quantity"], used) * cost,
        "Its share of what the item costs.",
    )


def _define_bought(model: Model) -> None:
    """Used, with loss, in whole packs, at the price that so many packs reach."""
    uses, items = model["uses"], model["items"]
    items.quantity(
        "used",
        "Used",
        "each",
        total(uses["quantity"], uses["item"] == items["key"]),
        "By all that uses it.",
        show="decimal",
    )
    items.quantity(
        "needed",
        "With loss",
        "each",
        items["used"] * (items["loss"] + 1),
        "Used, and what is lost.",
        show="decimal",
    )
    items.quantity(
        "packs",
        "Packs",
        "pack",
        rounded_up(items["needed"] / items["pack"], model["terms"]["guard"]),
        "Whole packs.",
        show="whole",
    )
    price = define_price_break(items, model["prices"], items["packs"].measured(), "pack")
    items.quantity(
        "cost",
        "Cost",
        "money",
        rounded(items["packs"] * price, model["terms"]["cents"]),
        "Whole packs at that price.",
    )
