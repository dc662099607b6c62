"""Weight from density: of parts, modules and rails, and of what a room type has of them."""

from __future__ import annotations

from estimator.expressions.functions import choose, share
from estimator.expressions.nodes import total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem


def define_weights(model: Model, system: UnitSystem) -> None:
    """What parts, modules and rails weigh, and room types by what they have."""
    _define_modules(model, system)
    _define_rails(model, system)
    _define_types(model, system)
    _define_heavy(model, system)


def _define_modules(model: Model, system: UnitSystem) -> None:
    parts, modules, materials = model["parts"], model["modules"], model["materials"]
    thickness = parts.via("material", materials["thickness"])
    density = parts.via("material", materials["density"])
    solid = (parts["length"] * parts["width"] * thickness).to(system.space)
    parts.quantity(
        "weight",
        "Weight",
        f"{system.weight}/module",
        (solid * density).per("part") * parts["each"],
        "In one module.",
        show="decimal",
    )
    modules.quantity(
        "weight",
        "Weight",
        f"{system.weight}/module",
        modules["bought_weight"] + total(parts["weight"], parts["module"] == modules["key"]),
        "Of one, without what it carries.",
        show="decimal",
    )
    modules.quantity(
        "weight_all",
        "Weight, all",
        system.weight,
        modules["weight"] * modules["made"],
        "Of all to make.",
        show="decimal",
    )


def _define_rails(model: Model, system: UnitSystem) -> None:
    profiles, runs, materials = model["profiles"], model["runs"], model["materials"]
    thickness = profiles.via("material", materials["thickness"])
    density = profiles.via("material", materials["density"])
    section = (profiles["width"] * thickness * profiles["feet"]).to(system.space)
    profiles.quantity(
        "weight",
        "Weight",
        system.weight,
        section * density,
        "Of all rail of this profile, before its bevel.",
        show="decimal",
    )
    weight_of_profile = runs.via("profile", profiles["weight"])
    feet_of_profile = runs.via("profile", profiles["feet"])
    runs.quantity(
        "weight",
        "Weight",
        system.weight,
        runs["feet"] * share(weight_of_profile, feet_of_profile),
        "Of this rail in all rooms.",
        show="decimal",
    )


def _define_types(model: Model, system: UnitSystem) -> None:
    types, contents, modules, runs = (
        model[name] for name in ("types", "contents", "modules", "runs")
    )
    note = "Of its modules and rails."
    of_contents = contents["needed"] * contents.via("module", modules["weight"])
    contents.quantity("weight", "Weight", system.weight, of_contents, note, show="decimal")
    of_type = total(contents["weight"], contents["room_type"] == types["key"])
    of_type = of_type + total(runs["weight"], runs["room_type"] == types["key"])
    types.quantity("weight", "Weight", system.weight, of_type, note, show="decimal")


def _define_heavy(model: Model, system: UnitSystem) -> None:
    modules, terms = model["modules"], model["terms"]
    over = modules["weight"].number_of(system.weight) > terms["lift_limit"]
    modules.quantity(
        "heavy", "Heavy", "1", choose(over, 1, 0), "1 if it is more than a single lift."
    )
