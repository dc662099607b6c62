"""Loads on rails: what modules pull and weigh, and what of it comes on the stud that bears most.

A module's weight acts out from the wall, so it pulls the rail off at its upper edge and presses
against the wall where it bears: at its heel, or at the rail's lower edge if that is lower. With
load W at distance e, and h from the rail's upper edge down to there, the pull is W e / h. The rail
in turn is a lever about its lower edge, which its upper screws are nearer to than its upper edge.

The load of a module comes on the studs that its width covers; one narrower than the stud spacing
may hang on a single stud. A licensed engineer decides.
"""

from __future__ import annotations

from estimator.expressions.functions import choose, larger, share, smaller
from estimator.expressions.nodes import Column, Constant, Expression, largest, total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem, unit

ONE_STUD = Constant(unit("stud/room"), frozenset(), 1)


def define_rail_loads(model: Model, system: UnitSystem) -> None:
    """Modules as loads, profiles as levers, contents on their studs, then runs."""
    _define_modules(model, system)
    _define_profiles(model, system)
    _define_rail_of_run(model, system)
    _define_contents(model, system)
    _define_pull(model, system)


def _define_modules(model: Model, system: UnitSystem) -> None:
    modules, strength = model["modules"], model["strength"]
    hung = modules.quantity(
        "hung",
        "Hung weight",
        f"{system.weight}/module",
        modules["weight"] + modules["load"],
        "Its own and what it carries.",
        show="decimal",
    )
    modules.quantity(
        "lever",
        "Load acts at",
        system.length,
        modules["depth"] * strength["load_at"],
        "Out from the wall: e.",
        show="length",
    )
    modules.quantity(
        "moment",
        "Moment",
        f"{system.weight}*{system.length}/module",
        hung * modules["lever"],
        "Hung weight times its distance: W e.",
        show="decimal",
    )
    drop = modules.quantity(
        "drop",
        "Bottom under rail top",
        system.length,
        modules["height"] - modules["above"],
        "From the rail's upper edge down to the module's lower edge.",
        show="length",
    )
    modules.quantity(
        "heel", "Heel", system.length, larger(drop, 0),
        "The same where it bears against the wall; 0 for what stands on its rail.", show="length",
    )  # fmt: skip


def _define_profiles(model: Model, system: UnitSystem) -> None:
    profiles, materials = model["profiles"], model["materials"]

    def of_material(each: Column) -> Expression:
        return profiles.via("material", each)

    thickness = profiles.quantity(
        "thickness", "Thickness", system.length, of_material(materials["thickness"]),
        "Of its material.", show="length",
    )  # fmt: skip
    section = profiles["width"] * thickness * of_material(materials["density"])
    profiles.quantity(
        "own",
        "Own weight",
        f"{system.weight}/{system.length}",
        section.to(f"{system.weight}/{system.length}"),
        "Along the rail, before its bevel.",
        show="decimal",
    )
    profiles.quantity(
        "prying",
        "Prying",
        "1",
        share(profiles["width"], profiles["screw_line"]),
        "The rail as a lever about its lower edge: its width over the height of the upper screws.",
        show="decimal",
    )


def _define_rail_of_run(model: Model, system: UnitSystem) -> None:
    """What a run has of its profile and of its wall."""
    runs, profiles, walls = model["runs"], model["profiles"], model["walls"]
    for name, label, unit_text, of in (
        ("rail_width", "Rail width", system.length, profiles["width"]),
        ("rail_thickness", "Rail thickness", system.length, profiles["thickness"]),
        ("prying", "Prying", "1", profiles["prying"]),
        ("upper_screws", "Upper screws", "each/stud", profiles["upper_screws"]),
        ("stud_screws", "Screws in a stud", "each/stud", profiles["screws_per_stud"]),
    ):
        of_profile = runs.via("profile", of)
        runs.quantity(name, label, unit_text, of_profile, "Of its profile.", show="decimal")
    gravity = runs.via("wall", walls["gravity"])
    runs.quantity(
        "gravity", "Specific gravity", "1", gravity, "Of its studs; 0: no value.", show="decimal"
    )
    own = runs.via("profile", profiles["own"]) * runs["length"]
    runs.quantity(
        "own", "Own weight", system.weight, own, "Of the rail in one room.", show="decimal"
    )


def _define_contents(model: Model, system: UnitSystem) -> None:
    """What a module on a rail does to the rail, and to a stud behind it."""
    contents, modules, runs = model["contents"], model["modules"], model["runs"]
    lean = model["strength"]["lean"]

    def of_module(each: Column) -> Expression:
        return contents.via("module", each)

    def of_run(each: Column) -> Expression:
        return contents.via("run", each)

    bearing = contents.quantity(
        "bearing",
        "Bears under rail top",
        system.length,
        larger(of_module(modules["heel"]), of_run(runs["rail_width"])),
        "At the module's heel or at the rail's lower edge, whichever is lower: h.",
        show="length",
    )
    contents.quantity(
        "pull",
        "Pull of one",
        f"{system.weight}/module",
        share(of_module(modules["moment"]), bearing),
        "At the rail's upper edge: W e / h.",
        show="decimal",
    )
    contents.quantity(
        "lean_pull",
        "Pull of a lean",
        system.weight,
        share(lean * of_module(modules["depth"]), bearing),
        "Of a person on its front edge.",
        show="decimal",
    )
    _define_on_stud(model, system)


def _define_on_stud(model: Model, system: UnitSystem) -> None:
    """The share of a module that comes on one stud, leant on, and all of them in a room."""
    contents, modules, runs = model["contents"], model["modules"], model["runs"]
    lean = model["strength"]["lean"]
    spacing = contents.via("run", runs["spacing"])
    on_stud = contents.quantity(
        "on_stud",
        "Share on a stud",
        "1",
        smaller(share(spacing, contents.via("module", modules["width"])), 1),
        "Stud spacing over width; the whole when the module is narrower than the spacing.",
        show="percent",
    )
    leant_pull = contents["pull"].number_of(system.weight) + contents["lean_pull"]
    contents.quantity(
        "stud_pull", "Pull on a stud", system.weight, leant_pull * on_stud,
        "Of one, leant on.", show="decimal",
    )  # fmt: skip
    leant_weight = contents.via("module", modules["hung"]).number_of(system.weight) + lean
    contents.quantity(
        "stud_weight", "Weight on a stud", system.weight, leant_weight * on_stud,
        "Of one, leant on.", show="decimal",
    )  # fmt: skip
    for name, label, each in (
        ("room_pull", "Pull in a room", contents["pull"]),
        ("room_hung", "Hung in a room", contents.via("module", modules["hung"])),
    ):
        in_room = (contents["each"] * each).number_of(system.weight)
        contents.quantity(
            name, label, system.weight, in_room, "Of all in one room.", show="decimal"
        )


def _define_pull(model: Model, system: UnitSystem) -> None:
    """All that hangs on a run, and what comes on the stud that bears most."""
    runs, contents, strength = model["runs"], model["contents"], model["strength"]
    on_run = contents["run"] == runs["key"]
    hung = runs.quantity(
        "hung", "Hung weight", system.weight, total(contents["room_hung"], on_run),
        "In one room, with what it carries.", show="decimal",
    )  # fmt: skip
    lean = choose(hung > 0, strength["lean"], 0)
    runs.quantity(
        "carried", "Carried", system.weight, hung + runs["own"] + lean,
        "Hung, the rail itself, and one person's lean.", show="decimal",
    )  # fmt: skip
    own_pull = share(runs["own"] * runs["rail_thickness"] * strength["load_at"], runs["rail_width"])
    runs.quantity(
        "pull",
        "Pull",
        system.weight,
        total(contents["room_pull"], on_run) + largest(contents["lean_pull"], on_run) + own_pull,
        "At the rail's upper edge, the worst lean with it.",
        show="decimal",
    )
    studs = larger(runs["fewest"], ONE_STUD).number_of("1")
    runs.quantity(
        "stud_pull",
        "Pull, worst stud",
        system.weight,
        larger(runs["pull"] / studs, largest(contents["stud_pull"], on_run)) * runs["prying"],
        "On the upper screws: the run over its fewest studs, or one module leant on, with prying.",
        show="decimal",
    )
    runs.quantity(
        "stud_weight",
        "Weight, worst stud",
        system.weight,
        larger(runs["carried"] / studs, largest(contents["stud_weight"], on_run)),
        "The run over its fewest studs, or one module leant on.",
        show="decimal",
    )
