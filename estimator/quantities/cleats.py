"""Cleats: whether a module hooks its rail, how far, and whether a tug swings it off the wall."""

from __future__ import annotations

from estimator.expressions.functions import both, choose, rounded, smaller, tangent
from estimator.expressions.nodes import largest, total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem


def define_cleats(model: Model, system: UnitSystem) -> None:
    """The bevelled part of each module, its hold on the rail, and tugging."""
    _define_engagement(model, system)
    _define_tug(model, system)


def _define_engagement(model: Model, system: UnitSystem) -> None:
    modules, parts = model["modules"], model["parts"]
    contents, runs, terms = model["contents"], model["runs"], model["terms"]
    cleat = largest(
        parts["thickness"], parts["module"] == modules["key"], parts["bevelled"] == "yes"
    )
    modules.quantity(
        "cleat", "Cleat", system.length, cleat, "Thickness of its bevelled part.", show="length"
    )
    made = total(parts["each"], parts["module"] == modules["key"])
    modules.quantity("cut_parts", "Parts", "part/module", made, "That it is made of.", show="whole")
    hooked = smaller(
        contents.via("module", modules["cleat"]),
        contents.via("run", runs["rail_thickness"]),
    )
    contents.quantity(
        "engagement",
        "Engagement",
        system.length,
        hooked * tangent(terms["bevel_angle"]),
        "How far cleat and rail hook: the thinner of both times the bevel's slope.",
        show="length",
    )
    of_parts = contents.via("module", modules["cut_parts"]) > 0
    least = model["strength"]["engagement"]
    slight = rounded(contents["engagement"] - least, terms["guard"]) < 0
    loose = choose(contents["run"] == "", 0, choose(both(of_parts, slight), 1, 0))
    contents.quantity(
        "unhooked", "Hooks too little", "1", loose, "1 if its cleat is missing or hooks too little."
    )


def _define_tug(model: Model, system: UnitSystem) -> None:
    """About the rail's edge: a tug at the lower edge against the empty module's own weight."""
    modules, terms = model["modules"], model["terms"]
    turning = f"{system.weight}*{system.length}"
    tug = modules.quantity(
        "tug",
        "Tug",
        turning,
        model["strength"]["tug"] * modules["heel"],
        "Of a pull outward at its lower edge.",
        show="decimal",
    )
    stays = modules.quantity(
        "stays",
        "Own weight against it",
        turning,
        modules["weight"].number_of(system.weight) * modules["lever"],
        "Of the empty module.",
        show="decimal",
    )
    swings = both(rounded(tug - stays, terms["guard"]) > 0, modules["needed"] > 0)
    modules.quantity(
        "swings",
        "Swings off",
        "1",
        choose(modules["locked"] == "yes", 0, choose(swings, 1, 0)),
        "1 if it is not locked and a tug swings it off the wall.",
    )
