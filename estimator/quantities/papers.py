"""Figures as papers tell them: in whole pieces, without a sign, as a share to the per cent."""

from __future__ import annotations

from estimator.expressions.functions import rounded, rounded_up, share, size
from estimator.expressions.nodes import Constant
from estimator.expressions.tables import Model
from estimator.units import UnitSystem, unit

NO_DECIMALS = Constant(unit("1"), frozenset(), 0)


def define_papers(model: Model, system: UnitSystem) -> None:
    """What requests for quotation, quote and the purchaser's copy need beside the job's figures."""
    _define_requests(model, system)
    _define_offer(model)


def _define_requests(model: Model, system: UnitSystem) -> None:
    items, freight, guard = model["items"], model["freight"], model["terms"]["guard"]
    items.quantity(
        "whole", "Asked for", "each", rounded_up(items["needed"], guard),
        "With loss, in whole ones: what suppliers are asked for.", show="whole",
    )  # fmt: skip
    freight.quantity(
        "pallet_weight", "Weight of a pallet", f"{system.weight}/pallet",
        share(freight["shipped"], freight["pallets"]), "On average, with packing.", show="decimal",
    )  # fmt: skip


def _define_offer(model: Model) -> None:
    price, alternates = model["price"], model["alternates"]
    for name, label, part in (
        ("freight_share", "Freight, approximate share", price["freight"]),
        ("site_share", "Installation, approximate share", price["site"]),
    ):
        whole = rounded(share(part, price["direct"]).to("percent"), NO_DECIMALS)
        price.quantity(
            name, label, "1", whole.to("1"), "Of direct cost, to the per cent, for the purchaser.",
            show="percent",
        )  # fmt: skip
    alternates.quantity(
        "amount", "Amount", "money", size(alternates["difference"]), "Added or taken off."
    )
