"""What belongs together: pieces, modules and rails by floor and room type, mock-ups, spares.

A bundle is the rooms of one type on one floor, the mock-ups of a type, or the spares of all
modules; all bundles together are exactly the job. Rooms and spares come from the project's model.
"""

from __future__ import annotations

from functools import cache

from estimator.expressions.functions import choose
from estimator.expressions.nodes import total
from estimator.expressions.tables import Model


@cache
def bundles_model() -> Model:
    """Bundles, what hangs in them, the pieces they are cut from, and what each floor gets."""
    model = Model()
    _define_rooms(model)
    _define_hung(model)
    _define_lines(model)
    _define_floors(model)
    return model


def _define_rooms(model: Model) -> None:
    bundles = model.table("bundles", "Bundles", "Bundles", "What is made and delivered together.")
    bundles.label("key", "Bundle", "Its number.")
    bundles.label("floor", "Floor", "The floor, or the word for mock-ups or spares.")
    bundles.label("room_type", "Room type", "Nothing for spares.")
    bundles.planned("rooms", "Rooms", "room", "So many; 0 for spares.", show="whole")
    contents = model.table("contents", "Contents", "Bundles", "As typed.")
    contents.label("room_type", "Room type", "The room type.")
    contents.label("module", "Module", "The module.")
    contents.planned("each", "In each room", "module/room", "On one rail.", show="whole")
    in_room = model.table("in_room", "In one room", "Bundles", "Each module of a room type once.")
    room_type = in_room.label("room_type", "Room type", "The room type.")
    module = in_room.label("module", "Module", "The module.")
    in_room.quantity(
        "each", "In one room", "module/room",
        total(contents["each"], contents["room_type"] == room_type, contents["module"] == module),
        "On all rails of the room.", show="whole",
    )  # fmt: skip


def _define_hung(model: Model) -> None:
    bundles, in_room = model["bundles"], model["in_room"]
    hung = model.table("hung", "Modules", "Bundles", "Modules of each bundle.")
    hung.label("bundle", "Bundle", "The bundle.", refers_to=["bundles"])
    hung.label("floor", "Floor", "That of the bundle.")
    room_type = hung.label("room_type", "Room type", "That of the bundle.")
    module = hung.label("module", "Module", "The module.")
    hung.planned("spare", "Spare", "module", "In the bundle of spares.", show="whole")
    hung.quantity(
        "each", "In one room", "module/room",
        total(in_room["each"], in_room["room_type"] == room_type, in_room["module"] == module),
        "On all rails of the room.", show="whole",
    )  # fmt: skip
    count = hung["each"] * hung.via("bundle", bundles["rooms"]) + hung["spare"]
    hung.quantity("count", "Count", "module", count, "In all rooms of the bundle.", show="whole")
    runs = model.table("runs", "Rails", "Bundles", "Rail runs of each bundle.")
    runs.label("bundle", "Bundle", "The bundle.", refers_to=["bundles"])
    runs.label("floor", "Floor", "That of the bundle.")
    runs.label("rail", "Rail", "The first run of its profile and length.")
    runs.quantity(
        "count", "Count", "room", runs.via("bundle", bundles["rooms"]), "One in each room.",
        show="whole",
    )  # fmt: skip


def _define_lines(model: Model) -> None:
    bundles, hung = model["bundles"], model["hung"]
    lines = model.table("lines", "Pieces", "Bundles", "Pieces of one kind in a bundle.")
    bundle = lines.label("bundle", "Bundle", "The bundle.", refers_to=["bundles"])
    module = lines.label("module", "Module", "What it is for; nothing for a piece of rail.")
    lines.planned("each", "For each", "piece/measure", "In one module, or on one rail.")
    of_module = total(hung["count"], hung["bundle"] == bundle, hung["module"] == module)
    rooms = lines.via("bundle", bundles["rooms"])
    lines.quantity(
        "holders", "There are", "measure",
        choose(module == "", rooms.measured(), of_module.measured()),
        "Modules, or rails, that have it.", show="whole",
    )  # fmt: skip
    count = lines["each"] * lines["holders"]
    lines.quantity("count", "Count", "piece", count, "In the bundle.", show="whole")
    pieces = total(lines["count"], lines["bundle"] == bundles["key"])
    bundles.quantity("pieces", "Pieces", "piece", pieces, "Of all kinds.", show="whole")


def _define_floors(model: Model) -> None:
    """What is delivered together: a bag of hardware for each room, modules, rails."""
    bundles, hung, runs = model["bundles"], model["hung"], model["runs"]
    floors = model.table("floors", "Floors", "Bundles", "What each floor gets.")
    key = floors.label("key", "Floor", "The floor, or the word for mock-ups or spares.")
    rooms = total(bundles["rooms"], bundles["floor"] == key)
    floors.quantity("rooms", "Rooms", "room", rooms, "Of all types.", show="whole")
    modules = model.table("floor_modules", "Modules by floor", "Bundles", "Of all room types.")
    floor = modules.label("floor", "Floor", "The floor.")
    module = modules.label("module", "Module", "The module.")
    count = total(hung["count"], hung["floor"] == floor, hung["module"] == module)
    modules.quantity("count", "Count", "module", count, "On the floor.", show="whole")
    rails = model.table("floor_rails", "Rails by floor", "Bundles", "Of all room types.")
    floor, rail = rails.label("floor", "Floor", "The floor."), rails.label("rail", "Rail", "It.")
    count = total(runs["count"], runs["floor"] == floor, runs["rail"] == rail)
    rails.quantity("count", "Count", "room", count, "On the floor.", show="whole")
