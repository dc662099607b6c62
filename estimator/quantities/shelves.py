"""Shelves: how far a board sags between its supports, how hard it bends, how long it might be.

A board on two supports under an even load w sags 5 w L^4 / (384 E I) and is bent by w L^2 / 8; with
I = b t^3 / 12 and S = b t^2 / 6 that is 5/32 w L^4 / (E b t^3), and 3/4 w L^2 / (b t^2) of stress.
Sag as a share of the span goes with the cube of the span, stress with its square, so the longest
span that passes has a closed form.
"""

from __future__ import annotations

from estimator.expressions.functions import (
    both,
    choose,
    either,
    larger,
    power,
    rounded,
    share,
    smaller,
    square_root,
)
from estimator.expressions.nodes import Column, Constant, Expression
from estimator.expressions.tables import Model
from estimator.units import UnitSystem, unit

ONE = Constant(unit("1"), frozenset(), 1)


def define_shelves(model: Model, system: UnitSystem) -> None:
    """For every part with a clear span: load, sag, stress, the share used, the longest span."""
    _define_boards(model, system)
    _define_load(model, system)
    _define_sag(model, system)
    _define_bending(model, system)
    _define_longest(model, system)
    _define_states(model)


def _define_boards(model: Model, system: UnitSystem) -> None:
    """What a part has of its material and of its module."""
    parts, materials, modules = model["parts"], model["materials"], model["modules"]
    for name, label, unit_text, of in (
        ("thickness", "Thickness", system.length, materials["thickness"]),
        ("density", "Density", system.density, materials["density"]),
        ("stiffness", "Stiffness", system.stress, materials["stiffness"]),
        ("bending", "Bending allowed", system.stress, materials["bending"]),
    ):
        of_material = parts.via("material", of)
        parts.quantity(name, label, unit_text, of_material, "Of its material.", show="decimal")
    of_module = parts.via("module", modules["load"]).number_of(system.weight)
    parts.quantity(
        "module_load", "Module's load", system.weight, of_module, "Of its module.", show="decimal"
    )


def _define_load(model: Model, system: UnitSystem) -> None:
    parts, along = model["parts"], f"{system.weight}/{system.length}"
    own = (parts["width"] * parts["thickness"] * parts["density"]).to(along)
    spread = share(parts["module_load"], parts["span"])
    laid_on = choose(parts["bears"] > 0, parts["bears"].to(along), spread)
    parts.quantity(
        "span_load",
        "Load along span",
        along,
        choose(parts["span"] > 0, own + laid_on, 0),
        "What it bears and its own weight: w.",
        show="decimal",
    )


def _pressure(weight_over_area: Expression, system: UnitSystem) -> Expression:
    """Weight over area as the stress that it is: pounds as pounds of force, kilograms times g."""
    force = "lbf" if system.weight == "lb" else "kgf"
    return weight_over_area.number_of(f"{force}/{system.length}**2").to(system.stress)


def _define_sag(model: Model, system: UnitSystem) -> None:
    parts, strength = model["parts"], model["strength"]
    slender = parts.quantity(
        "slender",
        "Span over thickness",
        "1",
        share(parts["span"], parts["thickness"]),
        "How slender it is.",
        show="decimal",
    )
    pressure = parts.quantity(
        "pressure",
        "Load on its face",
        system.stress,
        _pressure(share(parts["span_load"], parts["width"]), system),
        "Load along the span over its width: w / b.",
        show="decimal",
    )
    sag = pressure * strength["sag_form"] * slender * slender * slender * parts["span"]
    parts.quantity(
        "sag",
        "First sag",
        system.length,
        share(sag, parts["stiffness"]),
        "5 w L^4 / (384 E I).",
        show="decimal",
    )
    parts.quantity(
        "lasting",
        "Lasting sag",
        system.length,
        parts["sag"] * (strength["creep"] + 1),
        "With creep under a lasting load.",
        show="decimal",
    )
    for name, label, sagged, most in (
        ("sag_use", "Used in first sag", parts["sag"], strength["first_sag"]),
        ("lasting_use", "Used in lasting sag", parts["lasting"], strength["lasting_sag"]),
    ):
        used = share(sagged * most, parts["span"])
        parts.quantity(name, label, "1", used, "Of what the limit allows.", show="percent")


def _define_bending(model: Model, system: UnitSystem) -> None:
    parts, strength = model["parts"], model["strength"]
    parts.quantity(
        "stress",
        "Bending stress",
        system.stress,
        parts["pressure"] * strength["bending_form"] * parts["slender"] * parts["slender"],
        "w L² / 8 over b t² / 6.",
        show="decimal",
    )
    parts.quantity(
        "bending_use",
        "Used in bending",
        "1",
        share(parts["stress"], parts["bending"]),
        "Of what the material allows.",
        show="percent",
    )
    parts.quantity(
        "span_use",
        "Used",
        "1",
        larger(parts["sag_use"], parts["lasting_use"], parts["bending_use"]),
        "The worst of sag and bending; over 100 % it fails.",
        show="percent",
    )


def _define_longest(model: Model, system: UnitSystem) -> None:
    """Under the same load along the span; each limit alone, then the shortest of them."""
    parts, strength = model["parts"], model["strength"]
    span, third = parts["span"], 1 / strength["cube"]

    def stretched(used: Column) -> Expression:
        return span * power(share(ONE, used), third)

    by_bending = span * square_root(share(ONE, parts["bending_use"]))
    parts.quantity(
        "longest",
        "Longest span",
        system.length,
        smaller(stretched(parts["sag_use"]), stretched(parts["lasting_use"]), by_bending),
        "That passes under the same load along it; 0 where a figure is missing.",
        show="length",
    )


def _define_states(model: Model) -> None:
    parts = model["parts"]
    spans = both(parts["span"] > 0, parts["needed"] > 0)
    unknown = either(parts["stiffness"] == 0, parts["bending"] == 0)
    over = rounded(parts["span_use"], model["terms"]["guard"]) > 1
    for name, label, fault, note in (
        ("sags", "Too long", both(spans, over), "1 if it sags or bends more than it may."),
        ("unproved", "No figure", both(spans, unknown), "1 if its material's figures are missing."),
    ):
        parts.quantity(name, label, "1", choose(fault, 1, 0), note)
