"""Floors, room types, how many rooms there are, and what hangs in them."""

from __future__ import annotations

from typing import Literal

from estimator.project.records.fields import Count, Key, Number, OptionalKey, Text, YesNo
from estimator.project.records.record import Record, column


class Floor(Record):
    """A floor of the building, in the order in which it is fitted."""

    table = "floors"
    title = "Floors"
    sheet = "Floors"
    about = "The floors, in the order in which they are fitted."

    key: Key = column("Floor", "text", "A short name, such as F1.")
    name: Text = column("Name", "text", "As the quote shows it.")


class RoomType(Record):
    """A room as the prototype proved it: all rooms of a type get the same furniture."""

    table = "types"
    title = "Room types"
    sheet = "Room types"
    about = "The kinds of room. How many there are stands on the sheet Counts."

    key: Key = column("Room type", "text", "A short name, such as king.")
    name: Text = column("Name", "text", "As the quote shows it.")
    description: Text = column("Description", "text", "What the room is.", default="")
    mock_ups: Count = column(
        "Mock-ups",
        "room",
        "Rooms fitted for approval beside those counted; their price is spread over the rest.",
        default=0,
    )
    guest_room: YesNo = column(
        "Guest room",
        "text",
        "yes for a room that is let; no for a lobby or a corridor.",
        default="yes",
    )
    mobility: Literal["no", "tub", "roll-in"] = column(
        "Mobility features",
        "text",
        "no; tub: accessible without a roll-in shower; roll-in: accessible with one.",
        default="no",
    )
    communication: YesNo = column(
        "Communication features",
        "text",
        "yes when fitted with visible alarms and the like.",
        default="no",
    )
    wall_area: Number = column(
        "Wall area",
        "{area}",
        "Of all walls of one room, for the share that is covered; blank: not calculated.",
        default=0,
    )


class RoomCount(Record):
    """How many rooms of a type there are on a floor."""

    table = "counts"
    title = "Room counts"
    sheet = "Counts"
    about = "Type the number of rooms of each type on each floor; everything else follows."

    room_type: Key = column("Room type", "text", "The room type.", refers_to=("types",))
    floor: Key = column("Floor", "text", "The floor.", refers_to=("floors",))
    rooms: Count = column("Rooms", "room", "How many rooms.", sensible=(0, 100_000))


class Content(Record):
    """A module that every room of a type has."""

    table = "contents"
    title = "Room contents"
    sheet = "Contents"
    about = "Which modules hang in a room of each type, how many, and on which rail."

    room_type: Key = column("Room type", "text", "The room type.", refers_to=("types",))
    module: Key = column("Module", "text", "The module.", refers_to=("modules",))
    each: Count = column("In each room", "module/room", "How many in one room.", sensible=(0, 1000))
    run: OptionalKey = column(
        "On rail run", "text", "The rail run it hangs on.", default="", refers_to=("runs",)
    )
