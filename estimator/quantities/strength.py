"""Rails: what pulls on their screws and shears them, what the screws hold, and the share used.

A module's weight acts out from the wall, so it pulls the rail off at its upper edge and presses
against the wall where it bears: at its heel, or at the rail's lower edge if that is lower. With
load W at distance e, and h from the rail's upper edge down to there, the pull is W e / h. The rail
in turn is a lever about its lower edge, which its upper screws are nearer to than its upper edge.

The load of a module comes on the studs that its width covers; one narrower than the stud spacing
may hang on a single stud. Screws that miss the studs count nothing, so the fewest studs count.
A wood screw holds 2850 G^2 D for each inch of thread in the stud (NDS 12.2.2), a lag screw
1800 G^1.5 D^0.75 (NDS 12.2.1); pull and shear together
by the form of Hankinson (NDS 12.4.1, from memory). A licensed engineer decides.
"""

from __future__ import annotations

from estimator.expressions.functions import (
    both,
    choose,
    either,
    larger,
    power,
    rounded,
    rounded_up,
    share,
    smaller,
    square_root,
)
from estimator.expressions.nodes import Column, Constant, Expression, largest, total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem, unit

ONE_STUD = Constant(unit("stud/room"), frozenset(), 1)


def define_strength(model: Model, system: UnitSystem) -> None:
    """Modules as loads, profiles as levers, contents on their studs, then runs and their screws."""
    _define_modules(model, system)
    _define_screws(model, system)
    _define_profiles(model, system)
    _define_rail_of_run(model, system)
    _define_contents(model, system)
    _define_pull(model, system)
    _define_each_screw(model, system)
    _define_holding(model, system)
    _define_use(model)
    _define_states(model)


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


def _define_screws(model: Model, system: UnitSystem) -> None:
    """What a screw holds along its thread in wood of specific gravity 1."""
    screws, kinds = model["screws"], model["withdrawal"]

    def of_kind(each: Column) -> Expression:
        return total(each, kinds["key"] == screws["kind"])

    inches = screws["diameter"].to("in").number_of("1")
    grip = of_kind(kinds["pounds"]) * power(inches, of_kind(kinds["of_diameter"]))
    screws.quantity(
        "grip",
        "Grip",
        f"{system.weight}/{system.length}",
        grip.to(f"{system.weight}/{system.length}"),
        "Along its thread, where G is 1.",
        show="decimal",
    )
    screws.quantity(
        "of_gravity",
        "Power of G",
        "1",
        of_kind(kinds["of_gravity"]),
        "Of its kind.",
        show="decimal",
    )


def _define_profiles(model: Model, system: UnitSystem) -> None:
    profiles, materials, screws = model["profiles"], model["materials"], model["screws"]

    def of_material(each: Column) -> Expression:
        return total(each, materials["key"] == profiles["material"])

    def of_screw(each: Column) -> Expression:
        return total(each, screws["key"] == profiles["screw"])

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
    for name, label, unit_text, of in (
        ("grip", "Screw grip", f"{system.weight}/{system.length}", screws["grip"]),
        ("of_gravity", "Grip by power of G", "1", screws["of_gravity"]),
        ("diameter", "Screw diameter", system.length, screws["diameter"]),
        ("thread", "Screw thread", system.length, screws["thread"]),
        ("lateral", "Screw shear", f"{system.weight}/each", screws["lateral"]),
    ):
        profiles.quantity(name, label, unit_text, of_screw(of), "See Limits.", show="decimal")
    profiles.quantity(
        "behind",
        "Screw behind rail",
        system.length,
        larger(of_screw(screws["length"]) - thickness, 0),
        "Length of the screw that leaves the rail.",
        show="length",
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
        of_profile = total(of, profiles["key"] == runs["profile"])
        runs.quantity(name, label, unit_text, of_profile, "Of its profile.", show="decimal")
    gravity = total(walls["gravity"], walls["key"] == runs["wall"])
    runs.quantity(
        "gravity", "Specific gravity", "1", gravity, "Of its studs; 0: no value.", show="decimal"
    )
    own = total(profiles["own"], profiles["key"] == runs["profile"]) * runs["length"]
    runs.quantity(
        "own", "Own weight", system.weight, own, "Of the rail in one room.", show="decimal"
    )


def _define_contents(model: Model, system: UnitSystem) -> None:
    """What a module on a rail does to the rail, and to a stud behind it."""
    contents, modules, runs = model["contents"], model["modules"], model["runs"]
    lean = model["strength"]["lean"]

    def of_module(each: Column) -> Expression:
        return total(each, modules["key"] == contents["module"])

    def of_run(each: Column) -> Expression:
        return total(each, runs["key"] == contents["run"])

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
    on_stud = contents.quantity(
        "on_stud",
        "Share on a stud",
        "1",
        smaller(share(of_run(runs["spacing"]), of_module(modules["width"])), 1),
        "Stud spacing over width; the whole when the module is narrower than the spacing.",
        show="percent",
    )
    leant_pull = contents["pull"].number_of(system.weight) + contents["lean_pull"]
    contents.quantity(
        "stud_pull", "Pull on a stud", system.weight, leant_pull * on_stud,
        "Of one, leant on.", show="decimal",
    )  # fmt: skip
    leant_weight = of_module(modules["hung"]).number_of(system.weight) + lean
    contents.quantity(
        "stud_weight", "Weight on a stud", system.weight, leant_weight * on_stud,
        "Of one, leant on.", show="decimal",
    )  # fmt: skip
    for name, label, each in (
        ("room_pull", "Pull in a room", contents["pull"]),
        ("room_hung", "Hung in a room", of_module(modules["hung"])),
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


def _define_each_screw(model: Model, system: UnitSystem) -> None:
    runs = model["runs"]
    runs.quantity(
        "screw_pull",
        "Pull on a screw",
        system.weight,
        share(runs["stud_pull"], runs["upper_screws"].number_of("1")),
        "Of the upper row in the worst stud: T.",
        show="decimal",
    )
    runs.quantity(
        "screw_shear",
        "Shear on a screw",
        system.weight,
        share(runs["stud_weight"], runs["stud_screws"].number_of("1")),
        "Of all screws in the worst stud: V.",
        show="decimal",
    )


def _define_holding(model: Model, system: UnitSystem) -> None:
    """What one screw may hold, by its depth in the stud."""
    runs, profiles, walls = model["runs"], model["profiles"], model["walls"]
    strength = model["strength"]

    def of_profile(each: Column) -> Expression:
        return total(each, profiles["key"] == runs["profile"])

    board = total(walls["board"], walls["key"] == runs["wall"])
    depth = runs.quantity(
        "depth",
        "Depth in stud",
        system.length,
        larger(of_profile(profiles["behind"]) - board, 0),
        "Of the screw, after rail and wallboard.",
        show="length",
    )
    diameter = runs.quantity(
        "diameter", "Screw diameter", system.length, of_profile(profiles["diameter"]),
        "Of its profile.", show="decimal",
    )  # fmt: skip
    thread = smaller(depth, of_profile(profiles["thread"]))
    of_gravity = power(runs["gravity"], of_profile(profiles["of_gravity"]))
    grip = of_profile(profiles["grip"]) * of_gravity
    runs.quantity(
        "holds_pull",
        "Holds in pull",
        system.weight,
        grip * thread * strength["duration"],
        "One screw: its grip times a power of G, for its thread in the stud.",
        show="decimal",
    )
    full = smaller(share(depth, diameter * strength["full_depth"]), 1)
    shallow = rounded(depth - diameter * strength["least_depth"], model["terms"]["guard"]) < 0
    lateral = of_profile(profiles["lateral"]).number_of(system.weight)
    runs.quantity(
        "holds_shear",
        "Holds in shear",
        system.weight,
        choose(shallow, 0, lateral * full * strength["duration"]),
        "One screw, less when it is not deep enough for the whole value.",
        show="decimal",
    )


def _define_use(model: Model) -> None:
    """Hankinson's form, solved for the share: (V²/Z + T²/W) / R; never less than one alone."""
    runs = model["runs"]
    pull, shear = runs["screw_pull"], runs["screw_shear"]
    pull_use = runs.quantity(
        "pull_use", "Used in pull", "1", share(pull, runs["holds_pull"]), "T over what it holds.",
        show="percent",
    )  # fmt: skip
    shear_use = runs.quantity(
        "shear_use", "Used in shear", "1", share(shear, runs["holds_shear"]),
        "V over what it holds.", show="percent",
    )  # fmt: skip
    resultant = square_root((pull * pull + shear * shear).number_of("1"))
    shares = (pull * pull_use + shear * shear_use).number_of("1")
    together = runs.quantity(
        "together", "Used together", "1", share(shares, resultant),
        "Pull and shear at once, by the form of Hankinson.", show="percent",
    )  # fmt: skip
    use = runs.quantity(
        "use", "Used", "1", larger(pull_use, shear_use, together),
        "Of what its screws hold; over 100 % it fails.", show="percent",
    )  # fmt: skip
    runs.quantity(
        "would_do",
        "Screws that would do",
        "each/stud",
        rounded_up(runs["stud_screws"] * use, model["terms"]["guard"]),
        "In every stud, a like share of them in the upper row.",
        show="whole",
    )


def _define_states(model: Model) -> None:
    """Faults of a run that carries something."""
    runs = model["runs"]
    loaded = runs["hung"] > 0
    known = both(loaded, runs["gravity"] > 0)
    bare = either(runs["upper_screws"] == 0, runs["stud_screws"] == 0)
    short = either(bare, either(runs["holds_pull"] == 0, runs["holds_shear"] == 0))
    over = either(short, rounded(runs["use"], model["terms"]["guard"]) > 1)
    for name, label, fault, note in (
        (
            "overloaded",
            "Too much",
            both(known, over),
            "1 if its screws hold less than comes on them.",
        ),
        (
            "unmet",
            "No sure stud",
            both(loaded, runs["fewest"] == 0),
            "1 if it may miss every stud.",
        ),
        ("unheld", "No value", both(loaded, runs["gravity"] == 0), "1 if its wall has no value."),
        (
            "single",
            "One stud",
            both(loaded, runs["fewest"] == ONE_STUD),
            "1 if it may meet only one.",
        ),
    ):
        runs.quantity(name, label, "1", choose(fault, 1, 0), note)
