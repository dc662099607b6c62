"""Material rules: labels of glued panels, share of a wall that is covered, single lifts on site."""

from __future__ import annotations

from estimator.expressions.functions import both, choose, rounded, share, size, smaller
from estimator.expressions.nodes import total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem


def define_material_rules(model: Model, system: UnitSystem) -> None:
    """What has a figure; what has none stands among the cautions of the scope."""
    _define_labels(model)
    _define_covered(model, system)
    _define_lift(model, system)


def _define_labels(model: Model) -> None:
    materials = model["materials"]
    bought = both(materials["stands_in_for"] == "", materials["order"] > 0)
    asked = both(bought, materials["emission"] == "ask")
    materials.quantity(
        "unlabelled",
        "No label",
        "1",
        choose(asked, 1, 0),
        "1 if it is ordered and its supplier has not stated its emission label.",
    )


def _define_covered(model: Model, system: UnitSystem) -> None:
    """Fronts of modules and faces of rails over all walls of the room."""
    types, contents, runs, modules = (
        model[name] for name in ("types", "contents", "runs", "modules")
    )
    face = (modules["width"] * modules["height"]).to(system.area)
    modules.quantity("front", "Front", system.area, face, "Its area on the wall.", show="decimal")
    front = contents.via("module", modules["front"])
    contents.quantity(
        "front", "Fronts", system.area, front * contents["each"].number_of("1"),
        "In one room.", show="decimal",
    )  # fmt: skip
    runs.quantity(
        "face", "Face", system.area, (runs["length"] * runs["rail_width"]).to(system.area),
        "Of the rail in one room.", show="decimal",
    )  # fmt: skip
    covered = total(contents["front"], contents["room_type"] == types["key"]) + total(
        runs["face"], runs["room_type"] == types["key"]
    )
    types.quantity("covered", "Wall covered", system.area, covered, "In one room.", show="decimal")
    types.quantity(
        "covered_share", "Share covered", "1", share(types["covered"], types["wall_area"]),
        "Of the wall area; 0 where that is not typed.", show="percent",
    )  # fmt: skip
    over = rounded(types["covered_share"] - model["access"]["covered"], model["terms"]["guard"]) > 0
    much = both(over, types["rooms"] > 0)
    types.quantity(
        "clad", "Much covered", "1", choose(much, 1, 0), "1 if the finish class may matter."
    )


def _define_lift(model: Model, system: UnitSystem) -> None:
    """The revised lifting equation: a load constant times multipliers of at most 1."""
    lifting, modules, terms = model["lifting"], model["modules"], model["terms"]
    lift = model.table(
        "lift",
        "Single lift",
        "Safety",
        "What one person should lift to a rail, by the revised lifting equation (NIOSH 94-110).",
        kind="form",
    )
    off = size(lifting["start"] - lifting["knuckle"]) * lifting["per_height"]
    for name, label, multiplier in (
        ("near", "Near (HM)", smaller(lifting["near"] / lifting["hold"], 1)),
        ("height", "Height (VM)", 1 - off.to("1")),
        (
            "travel", "Travel (DM)",
            smaller(lifting["travel_share"] + lifting["travel_more"] / lifting["travel"], 1),
        ),
        ("twist", "Twist (AM)", 1 - lifting["twist"] * lifting["per_degree"]),
    ):  # fmt: skip
        lift.quantity(name, label, "1", multiplier, "A multiplier; 1 is ideal.", show="percent")
    every = lift["near"] * lift["height"] * lift["travel"] * lift["twist"]
    lift.quantity(
        "most",
        "Recommended at most",
        system.weight,
        terms["lift_limit"] * every,
        "Load constant times the multipliers.",
        show="decimal",
    )
    weight = modules["weight"].number_of(system.weight)
    modules.quantity(
        "lift_index", "Lifting index", "1", share(weight, lift["most"]),
        "Weight over what is recommended; over 1 one person should not hang it.", show="decimal",
    )  # fmt: skip
    heavy = both(rounded(modules["lift_index"], terms["guard"]) > 1, modules["made"] > 0)
    modules.quantity("awkward", "For two", "1", choose(heavy, 1, 0), "1 if two should hang it.")
