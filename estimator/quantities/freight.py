"""Packing, pallets, freight and its class by density."""

from __future__ import annotations

from estimator.expressions.functions import larger, rounded, rounded_up
from estimator.expressions.nodes import Constant, largest, total
from estimator.expressions.tables import Model, Table
from estimator.units import UnitSystem, unit

PALLET = Constant(unit("text"), frozenset(), "pallet")


def define_freight(model: Model, system: UnitSystem) -> None:
    """From the weight of the goods to pallets, class and cost."""
    freight = model.table(
        "freight",
        "Freight",
        "Freight",
        "Weight, pallets and what carrying them costs.",
        kind="form",
    )
    _define_load(model, freight, system)
    _define_pallets(model, freight, system)
    _define_class(model, freight)
    _define_cost(model)


def _define_load(model: Model, freight: Table, system: UnitSystem) -> None:
    modules, profiles, terms = model["modules"], model["profiles"], model["terms"]
    freight.quantity(
        "goods",
        "Goods",
        system.weight,
        total(modules["weight_all"]) + total(profiles["weight"]),
        "Modules and rails.",
        show="decimal",
    )
    freight.quantity(
        "shipped",
        "With packing",
        system.weight,
        freight["goods"] * (terms["packing_share"] + 1),
        "Goods and packing.",
        show="decimal",
    )
    freight.quantity(
        "space",
        "Space",
        system.space,
        freight["shipped"] / terms["packed_density"],
        "At the packed density.",
        show="decimal",
    )


def _define_pallets(model: Model, freight: Table, system: UnitSystem) -> None:
    terms = model["terms"]
    by_weight, by_space = (
        freight["shipped"] / terms["pallet_load"],
        freight["space"] / terms["pallet_space"],
    )
    freight.quantity(
        "pallets",
        "Pallets",
        "pallet",
        rounded_up(larger(by_weight, by_space), terms["guard"]),
        "By weight or by space, whichever needs more.",
        show="whole",
    )


def _define_class(model: Model, freight: Table) -> None:
    classes, terms = model["freight_classes"], model["terms"]
    density = freight.quantity(
        "density",
        "Density",
        "lb/ft**3",
        terms["packed_density"].to("lb/ft**3"),
        "Of a packed pallet; carriers class freight by pounds per cubic foot.",
        show="decimal",
    )
    reached = largest(classes["from_density"], classes["from_density"] <= density)
    freight.quantity(
        "freight_class",
        "Freight class",
        "1",
        total(classes["freight_class"], classes["from_density"] == reached),
        "By density; the carrier's own rules may override it.",
        show="decimal",
    )


def _define_cost(model: Model) -> None:
    freight, prices, terms = model["freight"], model["prices"], model["terms"]
    pallets = freight["pallets"]
    reached = largest(
        prices["from_quantity"],
        prices["item"] == PALLET,
        prices["from_quantity"] <= pallets.measured(),
    )
    from_ = freight.quantity(
        "price_from", "Price from", "measure", reached, "Break reached.", show="whole"
    )
    price = total(prices["price"], prices["item"] == PALLET, prices["from_quantity"] == from_)
    freight.quantity(
        "price_each",
        "Price of a pallet",
        "money/pallet",
        price.number_of("money/pallet"),
        "At that number.",
    )
    freight.quantity(
        "base",
        "Base",
        "money",
        model["measures"]["trips"] * terms["freight_base"],
        "For each trip, however full.",
    )
    freight.quantity(
        "cost",
        "Freight",
        "money",
        rounded(freight["base"] + pallets * freight["price_each"], terms["cents"]),
        "Base and pallets.",
    )
