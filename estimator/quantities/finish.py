"""Finish: area by faces and edges, coats, volume, and the cheapest containers that hold it."""

from __future__ import annotations

from estimator.expressions.functions import choose, either, larger, rounded, rounded_up, share
from estimator.expressions.nodes import Column, Expression, constant, smallest, total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem, unit


def define_finish(model: Model, system: UnitSystem) -> None:
    """Area of parts and rails, volume of each finish, containers."""
    _define_area(model, system)
    _define_volume(model, system)
    _define_mixes(model, system)
    _define_choice(model)
    _define_odd_rates(model)
    _define_better_containers(model)


def _define_area(model: Model, system: UnitSystem) -> None:
    parts, profiles, materials = model["parts"], model["profiles"], model["materials"]
    length, width = parts["length"], parts["width"]
    thickness = parts.via("material", materials["thickness"])
    faces = parts["faces"] * (length * width).per("face")
    edges = parts["long_edges"] * length.per("edge") + parts["short_edges"] * width.per("edge")
    each = (faces + edges * thickness).to(f"{system.area}/part")
    parts.quantity(
        "finish_area",
        "Finish area",
        system.area,
        choose(parts["finish"] == "", 0, each * parts["needed"]),
        "Faces and edges that are finished, of all parts.",
        show="decimal",
    )
    rail_thickness = profiles.via("material", materials["thickness"])
    around = profiles["faces"] * profiles["width"].per("face") + rail_thickness + rail_thickness
    profiles.quantity(
        "finish_area",
        "Finish area",
        system.area,
        choose(profiles["finish"] == "", 0, (around * profiles["feet"]).to(system.area)),
        "Faces finished and both edges, of all rail.",
        show="decimal",
    )


def _define_volume(model: Model, system: UnitSystem) -> None:
    finishes, parts, profiles = model["finishes"], model["parts"], model["profiles"]
    key, instead = finishes["key"], finishes["stands_in_for"]
    put_on = finishes.quantity(
        "put_on_as",
        "Put on as",
        "text",
        choose(instead == "", key, instead),
        "Whose area it covers.",
    )
    area = total(parts["finish_area"], parts["finish"] == put_on) + total(
        profiles["finish_area"], profiles["finish"] == put_on
    )
    finishes.quantity("area", "Area", system.area, area, "To be finished.", show="decimal")
    spread = choose(
        finishes["spread"] > 0,
        finishes["spread"],
        share(finishes["solids"], finishes["film"]).to(system.spread),
    )
    finishes.quantity(
        "rate",
        "Goes",
        system.spread,
        spread,
        "One coat: as typed, or the solids spread as thin as the dry film.",
        show="decimal",
    )
    _define_coats(model, system)


def _define_odd_rates(model: Model) -> None:
    finishes, terms = model["finishes"], model["terms"]
    outside = either(
        finishes["rate"] < terms["spread_least"], finishes["rate"] > terms["spread_most"]
    )
    finishes.quantity(
        "odd_rate",
        "Odd rate",
        "1",
        choose(outside, 1, 0),
        "1 if the rate is out of the usual range.",
    )


def _define_better_containers(model: Model) -> None:
    """A small container should cost no less for its volume than the large one."""
    containers = model["containers"]

    def of_large(each: Column) -> Expression:
        own = containers["finish"] == containers["finish"]
        return total(each, own, containers["size"] == "large")

    best, best_holds = of_large(containers["price"]), of_large(containers["holds"])
    dearer = containers["price"] * best_holds < best * containers["holds"]
    containers.quantity(
        "better",
        "Cheaper by volume",
        "1",
        choose(containers["size"] == "large", 0, choose(dearer, 1, 0)),
        "1 if this smaller container costs less for its volume than the large one.",
    )


def _define_coats(model: Model, system: UnitSystem) -> None:
    finishes = model["finishes"]
    instead = finishes["stands_in_for"]
    coated = finishes["area"] * finishes["coats"].number_of("1")
    finishes.quantity(
        "volume",
        "Volume",
        system.volume,
        share(coated, finishes["rate"]) * (finishes["loss"] + 1),
        "All coats, with loss.",
        show="decimal",
    )
    in_job = choose(instead == "", finishes["area"], 0)
    finishes.quantity(
        "in_job", "Area in the job", system.area, in_job, "Without alternates.", show="decimal"
    )
    finishes.quantity(
        "volume_in_job",
        "Volume in the job",
        system.volume,
        choose(instead == "", finishes["volume"], 0),
        "Without alternates.",
        show="decimal",
    )
    finishes.quantity(
        "coated",
        "Area times coats",
        system.area,
        finishes["in_job"] * finishes["coats"].number_of("1"),
        "Without alternates.",
        show="decimal",
    )


def _define_mixes(model: Model, system: UnitSystem) -> None:
    """Every number of smaller containers that can pay, the rest filled by the largest."""
    containers, finishes, terms = model["containers"], model["finishes"], model["terms"]
    mixes = model.table(
        "mixes",
        "Mixes of containers",
        "Mixes",
        "Ways to hold the volume: so many small and medium ones, the rest in large ones.",
    )
    mixes.planned("number", "Mix", "1", "Its number.", show="whole")
    finish = mixes.label("finish", "Finish", "The finish.", refers_to=["finishes"])

    def of_size(each: Column, size: str) -> Expression:
        return total(each, containers["finish"] == finish, containers["size"] == size)

    left = mixes.via("finish", finishes["volume"])
    cost: Expression = constant(0, unit("money"))
    for size in ("small", "medium"):
        mixes.planned(size, size.capitalize(), "container", f"How many {size} ones.", show="whole")
        left = left - mixes[size] * of_size(containers["holds"], size)
        cost = cost + mixes[size] * of_size(containers["price"], size)
    mixes.quantity(
        "left", "Left to fill", system.volume, larger(left, 0), "By large ones.", show="decimal"
    )
    mixes.quantity(
        "large",
        "Large",
        "container",
        rounded_up(share(mixes["left"], of_size(containers["holds"], "large")), terms["guard"]),
        "Large ones that hold the rest.",
        show="whole",
    )
    smaller_ones = mixes.quantity("smaller_cost", "Smaller ones", "money", cost, "Their cost.")
    cost_of_large = mixes["large"] * of_size(containers["price"], "large")
    mixes.quantity(
        "cost",
        "Cost",
        "money",
        rounded(smaller_ones + cost_of_large, terms["cents"]),
        "Of the whole mix.",
    )


def _define_choice(model: Model) -> None:
    _containers, finishes, mixes = model["containers"], model["finishes"], model["mixes"]
    best = smallest(mixes["cost"], mixes["finish"] == finishes["key"])
    cheapest = finishes.quantity("cost", "Cost", "money", best, "Of the cheapest mix.")
    finishes.quantity(
        "mix",
        "Mix",
        "1",
        smallest(mixes["number"], mixes["finish"] == finishes["key"], mixes["cost"] == cheapest),
        "The cheapest mix of containers that holds the volume.",
        show="whole",
    )
    finishes.quantity(
        "in_price",
        "In the price",
        "money",
        choose(finishes["stands_in_for"] == "", cheapest, 0),
        "Nothing for a finish that is only an alternate.",
    )
    _define_containers(model)


def _define_containers(model: Model) -> None:
    """How many of each size the chosen mix has, and what they cost."""
    containers, finishes, mixes = model["containers"], model["finishes"], model["mixes"]
    mix = containers.quantity(
        "mix",
        "Mix",
        "1",
        containers.via("finish", finishes["mix"]),
        "The mix chosen for its finish.",
        show="whole",
    )

    def if_of(size: str) -> Expression:
        of_mix = total(mixes[size], mixes["number"] == mix)
        return choose(containers["size"] == size, of_mix, 0)

    count = if_of("large") + if_of("medium") + if_of("small")
    containers.quantity(
        "count", "Order quantity", "container", count, "Of this size.", show="whole"
    )
    in_price = containers.via("finish", finishes["in_price"])
    containers.quantity(
        "cost",
        "Cost",
        "money",
        choose(in_price == 0, 0, containers["count"] * containers["price"]),
        "Nothing for a finish that is only an alternate.",
    )
