"""The measures of the job that work and supplies are counted by: sheets, cuts, studs, rooms …

A row of hardware or of work names what it is for each of: a module, a room type, a rail profile, a
material, or one of these measures. `driven` adds up the one that has that name.
"""

from __future__ import annotations

from estimator.expressions.functions import choose, rounded_up
from estimator.expressions.nodes import Column, Constant, Expression, total
from estimator.expressions.tables import Model, Show
from estimator.project.records import MEASURES
from estimator.units import UnitSystem, unit


def define_measures(model: Model, system: UnitSystem) -> None:
    """A form with one field for each measure; keys are the words a person types."""
    _define_lengths_of_edge(model, system)
    measures = model.table(
        "measures",
        "Measures",
        "Measures",
        "What work and supplies are counted by. Use these words under “For each”.",
        kind="form",
    )
    for name, label, unit_text, expression in _measures(model, system):
        measures.quantity(
            name, label, unit_text, expression, f"Written as “{name}”.", show=_shown(unit_text)
        )
    assert tuple(measures.definitions) == MEASURES


def _define_lengths_of_edge(model: Model, system: UnitSystem) -> None:
    parts, profiles = model["parts"], model["profiles"]
    each_run = f"{system.run}/part"
    bevel = choose(parts["bevelled"] == "yes", parts["length"], 0).per("part").to(each_run)
    parts.quantity(
        "bevel", "Bevel", system.run, bevel * parts["needed"], "Edge to bevel.", show="decimal"
    )
    profiles.quantity(
        "bevel",
        "Bevel",
        system.run,
        choose(profiles["bevelled"] == "yes", profiles["feet"], 0),
        "Edge to bevel.",
        show="decimal",
    )
    edges = parts["long_edges"] * parts["length"] + parts["short_edges"] * parts["width"]
    parts.quantity(
        "edges",
        "Finished edge",
        system.run,
        edges.number_of(f"{system.length}/part").to(each_run) * parts["needed"],
        "Long and short edges that are finished.",
        show="decimal",
    )


def _measures(model: Model, system: UnitSystem) -> list[tuple[str, str, str, Expression]]:
    types, floors, modules = model["types"], model["floors"], model["modules"]
    parts, profiles, materials = model["parts"], model["profiles"], model["materials"]
    run, area = system.run, system.area
    fitted = total(floors["fitted"])
    trips = rounded_up(fitted * model["terms"]["trips_per_floor"], model["terms"]["guard"])
    return [
        ("job", "The job", "batch", Constant(unit("batch"), frozenset(), 1)),
        ("rooms", "Rooms to make", "room", total(types["rooms"])),
        ("floors", "Floors fitted", "floor", fitted),
        ("trips", "Trips", "trip", trips),
        ("modules", "Modules to make", "module", total(modules["made"])),
        ("parts", "Parts", "part", total(parts["needed"])),
        ("sheets", "Sheets to order", "stock", total(materials["sheets"])),
        ("cuts", "Cuts", "cut", total(materials["cuts"])),
        ("bevel", "Bevelled edge", run, total(parts["bevel"]) + total(profiles["bevel"])),
        ("rail", "Rail", run, total(profiles["feet"])),
        ("pieces", "Rail pieces", "piece", total(profiles["pieces"])),
        ("studs", "Studs fixed to", "stud", total(profiles["studs"])),
        ("screws", "Screws in studs", "each", total(profiles["screws"])),
        ("edges", "Finished edge", run, total(parts["edges"])),
        ("area", "Finished area", area, total(model["finishes"]["in_job"])),
        ("coats", "Area times coats", area, total(model["finishes"]["coated"])),
        ("materials", "Materials cut", "stock", total(materials["cut_at_all"])),
    ]


def _shown(unit_text: str) -> Show:
    return "decimal" if unit_text.split("**")[0] in ("ft", "m") else "whole"


def driven(model: Model, key: Column) -> Expression:
    """How many there are of what a row is for each of, as a bare number."""
    modules, types, profiles = model["modules"], model["types"], model["profiles"]
    materials, measures = model["materials"], model["measures"]
    return (
        total(modules["made"], modules["key"] == key).measured()
        + total(types["rooms"], types["key"] == key).measured()
        + total(profiles["feet"], profiles["key"] == key).measured()
        + total(materials["order"], materials["key"] == key).measured()
        + total(measures.values, measures.keys == key)
    )
