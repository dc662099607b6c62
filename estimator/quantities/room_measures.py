"""What one room of each type has of the measures that work and supplies are counted by.

The sheet Measures counts the whole job. Here the same is counted from below: in one module, on one
rail, in one room of a type, and in the spares. Some measures no room has by itself: how many jobs,
floors, trips, sheets, cuts and materials there are.
"""

from __future__ import annotations

from estimator.expressions.functions import choose, share
from estimator.expressions.nodes import Column, Constant, Expression, total
from estimator.expressions.tables import Model, Table
from estimator.units import UnitSystem, unit

IN_ROOMS = (
    "rooms", "modules", "parts", "bevel", "rail", "pieces", "studs", "screws", "edges", "area",
    "coats",
)  # fmt: skip
IN_SPARES = ("modules", "parts", "bevel", "edges", "area", "coats")
OF_THE_JOB = ("job", "floors", "trips", "sheets", "cuts", "materials")
ONE = Constant(unit("measure"), frozenset(), 1)


def define_room_measures(model: Model, system: UnitSystem) -> None:
    """In one module, what one room has of it; on one rail; in one room; in the spares."""
    _define_coated(model, system)
    _define_modules(model, system)
    _define_contents(model, system)
    _define_runs(model, system)
    _define_rooms(model, system)
    _define_spares(model, system)


def in_one_room(model: Model, room_type: Column, per: Column) -> Expression:
    """How many a room of a type has of what a row is for each of, as a bare number."""
    contents, runs, rooms = model["contents"], model["runs"], model["one_room"]
    modules = total(
        contents["each"], contents["room_type"] == room_type, contents["module"] == per
    ).measured()
    rail = total(
        runs["one_rail"], runs["room_type"] == room_type, runs["profile"] == per
    ).measured()
    measured: Expression = choose(per == "rooms", ONE, 0)
    for name in IN_ROOMS[1:]:
        of_room = total(rooms[name], rooms["key"] == room_type).measured()
        measured = choose(per == name, of_room, measured)
    return modules + rail + choose(per == room_type, ONE, measured)


def in_spares(model: Model, uses: Table) -> Expression:
    """How many the spares have of what a row is for each of, as a bare number."""
    spares = model["spares"]
    measured = total(spares.values, spares.keys == uses["per"])
    return uses.via("per", model["modules"]["spare"]).measured() + measured


def of_the_job(model: Model, uses: Table) -> Expression:
    """How many there are of what no room has by itself, as a bare number."""
    measures = model["measures"]
    measured: Expression = choose(uses["per"] == OF_THE_JOB[0], measures["job"].measured(), 0)
    for name in OF_THE_JOB[1:]:
        measured = choose(uses["per"] == name, measures[name].measured(), measured)
    return uses.via("per", model["materials"]["order"]).measured() + measured


def _define_coated(model: Model, system: UnitSystem) -> None:
    parts, profiles, finishes = model["parts"], model["profiles"], model["finishes"]
    note = "Finish area times coats."
    of_part = parts["finish_area"] * parts.via("finish", finishes["coats"]).number_of("1")
    parts.quantity("coated", "Area times coats", system.area, of_part, note, show="decimal")
    of_rail = profiles["finish_area"] * profiles.via("finish", finishes["coats"]).number_of("1")
    profiles.quantity("coated", "Area times coats", system.area, of_rail, note, show="decimal")


def _define_modules(model: Model, system: UnitSystem) -> None:
    parts, modules = model["parts"], model["modules"]
    for name, label, unit_text, of in (
        ("one_parts", "Parts in one", "part", parts["needed"]),
        ("one_bevel", "Bevel in one", system.run, parts["bevel"]),
        ("one_edges", "Finished edge in one", system.run, parts["edges"]),
        ("one_area", "Finish area of one", system.area, parts["finish_area"]),
        ("one_coats", "Area times coats of one", system.area, parts["coated"]),
    ):
        of_all = total(of, parts["module"] == modules["key"])
        modules.quantity(
            name, label, f"{unit_text}/module", share(of_all, modules["made"]),
            "Of its parts; 0 while none is made.", show="decimal",
        )  # fmt: skip


def _define_contents(model: Model, system: UnitSystem) -> None:
    contents, modules = model["contents"], model["modules"]
    in_room = total(
        contents["each"],
        contents["room_type"] == contents["room_type"],
        contents["module"] == contents["module"],
    )
    contents.quantity(
        "in_room", "In the room", "module/room", in_room,
        "Of this module in one room, on all its rails.", show="whole",
    )  # fmt: skip
    for name, label, unit_text, of in (
        ("one_parts", "Parts", "part", modules["one_parts"]),
        ("one_bevel", "Bevel", system.run, modules["one_bevel"]),
        ("one_edges", "Finished edge", system.run, modules["one_edges"]),
        ("one_area", "Finish area", system.area, modules["one_area"]),
        ("one_coats", "Area times coats", system.area, modules["one_coats"]),
    ):
        each = contents["each"] * contents.via("module", of)
        contents.quantity(
            name, f"{label}, one room", f"{unit_text}/room", each, "In one room.", show="decimal"
        )


def _define_runs(model: Model, system: UnitSystem) -> None:
    """The rail of one room; of it the share that its profile has bevelled, finished, coated."""
    runs, profiles = model["runs"], model["profiles"]
    length = runs["length"].per("room").to(f"{system.run}/room")
    rail = runs.quantity(
        "one_rail", "Rail, one room", f"{system.run}/room", length, "In one room.", show="decimal"
    )
    feet = runs.via("profile", profiles["feet"])
    for name, label, unit_text, of in (
        ("one_bevel", "Bevel", system.run, profiles["bevel"]),
        ("one_area", "Finish area", system.area, profiles["finish_area"]),
        ("one_coats", "Area times coats", system.area, profiles["coated"]),
    ):
        each = rail * share(runs.via("profile", of), feet)
        runs.quantity(
            name, f"{label}, one room", f"{unit_text}/room", each, "In one room.", show="decimal"
        )


def _define_rooms(model: Model, system: UnitSystem) -> None:
    types, contents, runs = model["types"], model["contents"], model["runs"]
    rooms = model.table(
        "one_room",
        "Measures of one room",
        "Measures",
        "What one room of each type has; hardware kits and hours on site go by it.",
    )
    key = rooms.label("key", "Room type", "The room type.", refers_to=["types"])
    rooms.quantity(
        "rooms", "Rooms to make", "room", rooms.via("key", types["rooms"]), "With mock-ups.",
        show="whole",
    )  # fmt: skip

    def of_modules(each: str) -> Expression:
        return total(contents[each], contents["room_type"] == key)

    def of_rails(each: str) -> Expression:
        return total(runs[each], runs["room_type"] == key)

    area, run = f"{system.area}/room", f"{system.run}/room"
    for name, label, unit_text, expression in (
        ("modules", "Modules", "module/room", of_modules("each")),
        ("parts", "Parts", "part/room", of_modules("one_parts")),
        ("bevel", "Bevelled edge", run, of_modules("one_bevel") + of_rails("one_bevel")),
        ("rail", "Rail", run, of_rails("one_rail")),
        ("pieces", "Rail pieces", "piece/room", of_rails("pieces")),
        ("studs", "Studs fixed to", "stud/room", of_rails("fixings")),
        ("screws", "Screws in studs", "each/room", of_rails("screws")),
        ("edges", "Finished edge", run, of_modules("one_edges")),
        ("area", "Finished area", area, of_modules("one_area") + of_rails("one_area")),
        ("coats", "Area times coats", area, of_modules("one_coats") + of_rails("one_coats")),
    ):
        rooms.quantity(name, label, unit_text, expression, "In one room.", show="decimal")


def _define_spares(model: Model, system: UnitSystem) -> None:
    modules = model["modules"]
    spares = model.table(
        "spares",
        "Measures of the spares",
        "Measures",
        "What the modules kept by the property have; no room has it.",
        kind="form",
    )
    spare = modules["spare"]
    for name, label, unit_text, expression in (
        ("modules", "Modules", "module", total(spare)),
        ("parts", "Parts", "part", total(spare * modules["one_parts"])),
        ("bevel", "Bevelled edge", system.run, total(spare * modules["one_bevel"])),
        ("edges", "Finished edge", system.run, total(spare * modules["one_edges"])),
        ("area", "Finished area", system.area, total(spare * modules["one_area"])),
        ("coats", "Area times coats", system.area, total(spare * modules["one_coats"])),
    ):
        spares.quantity(name, label, unit_text, expression, "Of all spares.", show="decimal")
