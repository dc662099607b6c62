"""Hours of work on site in one room of each type.

Each operation's hours go to the room types as what drives it does: studs, modules, rooms, or what
it is named for; those of spares and of setting up are spread with it. What no room has by itself,
such as trips and floors, is shared by weight, as its cost is.
"""

from __future__ import annotations

from estimator.expressions.functions import choose, share
from estimator.expressions.nodes import Expression, total
from estimator.expressions.tables import Model, Table
from estimator.quantities.labour import PERSON_HOURS
from estimator.quantities.room_measures import IN_ROOMS

IN_A_ROOM = f"{PERSON_HOURS}/room"
SITE = "site"


def define_room_hours(model: Model) -> None:
    """Hours for one of each measure, hours of what is named, then hours in one room."""
    _define_rates(model)
    _define_named(model)
    _define_hours(model)


def _named_for(model: Model, table: Table) -> Expression:
    """Hours on site of the operations that name the row of a table."""
    operations = model["operations"]
    return total(
        operations["hours"], operations["where"] == SITE, operations["per"] == table["key"]
    )


def _define_rates(model: Model) -> None:
    operations, rooms = model["operations"], model["one_room"]
    rates = model.table(
        "site_rates",
        "Site hours for each",
        "Measures",
        "Hours on site for one of each measure that rooms have, setting up and spares spread.",
        kind="form",
    )
    for name in IN_ROOMS:
        definition = rooms.definitions[name]
        of = rooms["rooms"] if name == "rooms" else rooms[name] * rooms["rooms"]
        hours = total(operations["hours"], operations["where"] == SITE, operations["per"] == name)
        counted = definition.unit.removesuffix("/room")
        rates.quantity(
            name, definition.label, f"{PERSON_HOURS}/{counted}", share(hours, total(of)),
            "Of all people.", show="decimal",
        )  # fmt: skip


def _define_named(model: Model) -> None:
    modules, profiles, contents, runs = (
        model[name] for name in ("modules", "profiles", "contents", "runs")
    )
    note = "Of operations named for it."
    for table in (modules, profiles):
        hours = _named_for(model, table)
        table.quantity("site_hours", "Site hours", PERSON_HOURS, hours, note, show="decimal")
    of_module = share(
        contents.via("module", modules["site_hours"]), contents.via("module", modules["needed"])
    )
    of_rail = share(
        runs.via("profile", profiles["site_hours"]), runs.via("profile", profiles["feet"])
    )
    in_room = (contents, contents["each"] * of_module), (runs, runs["one_rail"] * of_rail)
    for table, each in in_room:
        table.quantity("site_hours", "Site hours, one room", IN_A_ROOM, each, note, show="decimal")


def _define_hours(model: Model) -> None:
    rooms, rates, labour = model["one_room"], model["site_rates"], model["labour"]
    driven: Expression = rates["rooms"]
    for name in IN_ROOMS[1:]:
        driven = driven + rooms[name] * rates[name]
    rooms.quantity(
        "driven_hours", "Site hours, driven", IN_A_ROOM, driven, "By what the room has.",
        show="decimal",
    )  # fmt: skip
    contents, runs = model["contents"], model["runs"]
    named = (
        total(contents["site_hours"], contents["room_type"] == rooms["key"])
        + total(runs["site_hours"], runs["room_type"] == rooms["key"])
        + share(_named_for(model, rooms), rooms["rooms"])
    )
    rooms.quantity(
        "named_hours", "Site hours, named", IN_A_ROOM, named, "By what operations are named for.",
        show="decimal",
    )  # fmt: skip
    rest = labour["site_hours"] - total(rooms["driven_hours"] * rooms["rooms"])
    rest = rest - total(rooms["named_hours"] * rooms["rooms"])
    labour.quantity(
        "site_shared", "of which shared by weight", PERSON_HOURS, rest,
        "On site, of what no room has by itself.", show="decimal",
    )  # fmt: skip
    shared = share(labour["site_shared"] * _part_by_weight(model), rooms["rooms"])
    rooms.quantity(
        "shared_hours", "Site hours, shared", IN_A_ROOM, shared, "By weight.", show="decimal"
    )
    in_all = rooms["driven_hours"] + rooms["named_hours"] + rooms["shared_hours"]
    rooms.quantity(
        "site_hours", "Site hours", IN_A_ROOM, in_all, "In one room, of all people.",
        show="decimal",
    )  # fmt: skip


def _part_by_weight(model: Model) -> Expression:
    """A type's share of the weight in all rooms; of the rooms, where nothing weighs anything."""
    rooms, types = model["one_room"], model["types"]
    weight = total(types["weight"])
    by_rooms = share(rooms["rooms"], total(types["rooms"]))
    return choose(weight > 0, share(rooms.via("key", types["weight"]), weight), by_rooms)
