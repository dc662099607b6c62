"""Rooms by type and floor, with the mock-up; the modules and parts they need, with spares."""

from __future__ import annotations

from estimator.expressions.functions import both, choose, rounded, rounded_up
from estimator.expressions.nodes import Constant, cross, total
from estimator.expressions.tables import Model
from estimator.units import unit

NOTHING = Constant(unit("1"), frozenset(), 0)


def define_rooms(model: Model) -> None:
    """From the grid of counts to the rooms, modules and parts that are needed."""
    _define_batches(model)
    _define_types(model)
    _define_contents(model)


def _define_batches(model: Model) -> None:
    counts, floors = model["counts"], model["floors"]
    batches = model.table(
        "batches",
        "Batches",
        "Floors",
        "Each room type on each floor: what the shop makes and delivers together.",
    )
    room_type = batches.label("room_type", "Room type", "The room type.", refers_to=["types"])
    floor = batches.label("floor", "Floor", "The floor.", refers_to=["floors"])
    rooms = batches.quantity(
        "rooms",
        "Rooms",
        "room",
        cross(counts["rooms"], counts["room_type"] == room_type, counts.along == floor),
        "As counted on the sheet Counts.",
        show="whole",
    )
    proper = both(rounded(rooms, NOTHING) == rooms, rooms >= 0)
    batches.quantity(
        "odd", "Odd count", "1", choose(proper, 0, 1), "1 where the count is not a whole number."
    )
    floors.quantity(
        "rooms",
        "Rooms",
        "room",
        total(rooms, floor == floors["key"]),
        "Rooms on this floor.",
        show="whole",
    )
    fitted = choose(floors["rooms"] > 0, 1, 0).number_of("floor")
    floors.quantity("fitted", "Fitted", "floor", fitted, "1 if the floor has rooms to fit.")


def _define_types(model: Model) -> None:
    types, batches = model["types"], model["batches"]
    types.quantity(
        "counted",
        "Rooms counted",
        "room",
        total(batches["rooms"], batches["room_type"] == types["key"]),
        "Rooms of this type on all floors.",
        show="whole",
    )
    types.quantity(
        "rooms",
        "Rooms to make",
        "room",
        types["counted"] + types["mock_ups"],
        "Those counted and the mock-ups.",
        show="whole",
    )


def _define_contents(model: Model) -> None:
    types, contents = model["types"], model["contents"]
    modules, parts = model["modules"], model["parts"]
    rooms = contents.via("room_type", types["rooms"])
    contents.quantity(
        "needed",
        "Modules needed",
        "module",
        contents["each"] * rooms,
        "For all rooms of the type, mock-ups included, spares not.",
        show="whole",
    )
    modules.quantity(
        "needed",
        "Needed",
        "module",
        total(contents["needed"], contents["module"] == modules["key"]),
        "In all rooms.",
        show="whole",
    )
    modules.quantity(
        "spare",
        "Spare",
        "module",
        rounded_up(modules["needed"] * modules["spares"], model["terms"]["guard"]),
        "Kept by the property, rounded up.",
        show="whole",
    )
    modules.quantity(
        "made",
        "To make",
        "module",
        modules["needed"] + modules["spare"],
        "Needed and spare.",
        show="whole",
    )
    parts.quantity(
        "needed",
        "Parts needed",
        "part",
        parts["each"] * parts.via("module", modules["made"]),
        "For all modules to make.",
        show="whole",
    )
