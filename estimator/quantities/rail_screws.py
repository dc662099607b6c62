"""Screws of rails: what they hold in the stud, and the share of it that is used.

Screws that miss the studs count nothing, so the fewest studs count. A wood screw holds 2850 G^2 D
for each inch of thread in the stud (NDS 12.2.2), a lag screw 1800 G^1.5 D^0.75 (NDS 12.2.1); pull
and shear together by the form of Hankinson (NDS 12.4.1, from memory). A licensed engineer decides.
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
from estimator.expressions.nodes import Column, Expression
from estimator.expressions.tables import Model
from estimator.quantities.rail_loads import ONE_STUD
from estimator.units import UnitSystem


def define_rail_screws(model: Model, system: UnitSystem) -> None:
    """What a screw holds, what comes on it, and the share used."""
    _define_screws(model, system)
    _define_screws_of_profiles(model, system)
    _define_each_screw(model, system)
    _define_holding(model, system)
    _define_use(model)
    _define_states(model)


def _define_screws(model: Model, system: UnitSystem) -> None:
    """What a screw holds along its thread in wood of specific gravity 1."""
    screws, kinds = model["screws"], model["withdrawal"]

    def of_kind(each: Column) -> Expression:
        return screws.via("kind", each)

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


def _define_screws_of_profiles(model: Model, system: UnitSystem) -> None:
    """What the screws of a rail profile are."""
    profiles, screws = model["profiles"], model["screws"]
    for name, label, unit_text, of in (
        ("grip", "Screw grip", f"{system.weight}/{system.length}", screws["grip"]),
        ("of_gravity", "Grip by power of G", "1", screws["of_gravity"]),
        ("diameter", "Screw diameter", system.length, screws["diameter"]),
        ("thread", "Screw thread", system.length, screws["thread"]),
        ("lateral", "Screw shear", f"{system.weight}/each", screws["lateral"]),
    ):
        profiles.quantity(
            name, label, unit_text, profiles.via("screw", of), "See Limits.", show="decimal"
        )
    profiles.quantity(
        "behind",
        "Screw behind rail",
        system.length,
        larger(profiles.via("screw", screws["length"]) - profiles["thickness"], 0),
        "Length of the screw that leaves the rail.",
        show="length",
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
        return runs.via("profile", each)

    board = runs.via("wall", walls["board"])
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
