"""What one room of each type has of the measures that work and supplies are counted by.

The sheet Measures counts the whole job. Here the same is counted from below: in one module, on one
rail, in one room of a type, and in the spares. Some measures no room has by itself: how many jobs,
floors, trips, sheets, cuts and materials there are.
"""

from __future__ import annotations

from collections.abc import Sequence

from estimator.expressions.functions import choose, share
from estimator.expressions.nodes import Column, Constant, Expression, total
from estimator.expressions.tables import Model, Table
from estimator.units import UnitSystem, unit

HUNG = ("rooms", "modules", "parts", "edges")
RAILED = ("rail", "pieces", "studs", "screws")
BOTH = ("bevel", "area", "coats")
IN_ROOMS = (*HUNG, *RAILED, *BOTH)
"""The measures that a room has: of its modules, of its rails, and of both."""
IN_SPARES = ("modules", "parts", "edges", *BOTH)
OF_THE_JOB = ("job", "floors", "trips", "sheets", "cuts", "materials")
ONE, NONE = (Constant(unit("measure"), frozenset(), number) for number in (1, 0))


def define_room_measures(model: Model, system: UnitSystem) -> None:
    """In one module, what one room has of it; on one rail; in one room; in no room."""
    _define_coated(model, system)
    _define_modules(model, system)
    _define_contents(model, system)
    _define_runs(model, system)
    _define_rooms(model, system)
    _define_by_name(model)
    _define_spares(model, system)
    _define_of_the_job(model)


def in_one_room(model: Model, room_type: Column, per: Column) -> Expression:
    """How many a room of a type has of what a row is for each of, as a bare number."""
    contents, runs, has = model["contents"], model["runs"], model["room_has"]
    modules = total(contents["each"], contents["room_type"] == room_type, contents["module"] == per)
    rail = total(runs["one_rail"], runs["room_type"] == room_type, runs["profile"] == per)
    measured = total(has["count"], has["room_type"] == room_type, has["measure"] == per)
    itself = choose(per == room_type, ONE, 0)
    return modules.measured() + rail.measured() + measured + itself


def in_spares(model: Model, uses: Table) -> Expression:
    """How many the spares have of what a row is for each of, as a bare number."""
    measured = total(model["spares"].values, model["spares"].keys == uses["per"])
    return uses.via("per", model["modules"]["spare"]).measured() + measured


def of_the_job(model: Model, uses: Table) -> Expression:
    """How many there are of what no room has by itself, as a bare number."""
    measured = total(model["of_job"].values, model["of_job"].keys == uses["per"])
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


def _define_by_name(model: Model) -> None:
    """The same figures one below the other, so that a kit finds a measure by its name."""
    rooms = model["one_room"]
    has = model.table(
        "room_has",
        "Measures of one room, by name",
        "Measures",
        "As above, for the kits to look up.",
    )
    room_type = has.label("room_type", "Room type", "The room type.", refers_to=["types"])
    measure = has.label("measure", "Measure", "Its name on this sheet.")

    def one_of(names: Sequence[str], otherwise: Expression) -> Expression:
        for name in names:
            of_room = total(rooms[name], rooms["key"] == room_type).measured()
            otherwise = choose(measure == name, of_room, otherwise)
        return otherwise

    itself = choose(measure == HUNG[0], ONE, NONE)
    for name, label, expression in (
        ("hung", "Of modules", one_of(HUNG[1:], itself)),
        ("railed", "Of rails", one_of(RAILED, NONE)),
        ("both", "Of both", one_of(BOTH, NONE)),
    ):
        has.quantity(name, label, "measure", expression, "0 if it is none.", show="decimal")
    has.quantity(
        "count", "In one room", "measure", has["hung"] + has["railed"] + has["both"],
        "In the unit of its measure.", show="decimal",
    )  # fmt: skip


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


def _define_of_the_job(model: Model) -> None:
    measures = model["measures"]
    of_job = model.table(
        "of_job",
        "Measures of the job alone",
        "Measures",
        "What no room has by itself; what goes by it is in no room's kit.",
        kind="form",
    )
    for name in OF_THE_JOB:
        definition = measures.definitions[name]
        of_job.quantity(
            name, definition.label, definition.unit, measures[name], "As above.",
            show=definition.show,
        )  # fmt: skip
