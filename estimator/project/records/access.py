"""What heights, reach, accessible rooms and single lifts are checked by."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from estimator.project.records.fields import Count, Length, Number, Rate, Text
from estimator.project.records.record import Record, column


class AccessLimits(Record):
    """The numbers that checks of heights, reach and accessible rooms compare with."""

    table = "access"
    title = "Limits of access"
    sheet = "Limits"
    about = "From the 2010 ADA Standards; elsewhere other rules hold, and the authority decides."

    reach_low: Length = column("Lowest reach", "{length}", "308.2.1 and 308.3.1: 15 in.")
    mirror: Length = column("Mirror", "{length}", "603.3: its glass begins at most 35 in high.")
    counter_mirror: Length = column(
        "Mirror over a counter", "{length}", "603.3: its glass begins at most 40 in high."
    )
    juts_most: Length = column(
        "Juts out", "{length}", "307.2: at most 4 in over a path, between the two heights below."
    )
    juts_above: Length = column("Juts out over", "{length}", "307.2: over 27 in a cane misses it.")
    juts_upto: Length = column("Juts out up to", "{length}", "307.2: over 80 in heads clear it.")
    both_share: Rate = column(
        "Rooms counted twice",
        "1",
        "224.5: the share of rooms with mobility features that may count among those with "
        "communication features.",
        show="percent",
    )
    head_room: Length = column(
        "Head room", "{length}", "A module over furniture begins at least so high; own choice."
    )
    covered: Rate = column(
        "Wall covered",
        "1",
        "Over this share a wall's finish class is asked for (from memory: 10 % for trim).",
        show="percent",
    )


class LiftLimits(Record):
    """How one person lifts a module to its rail, for the revised lifting equation."""

    table = "lifting"
    title = "Single lift"
    sheet = "Limits"
    about = (
        "For the revised lifting equation (NIOSH 94-110): one person, both hands, a good grip, now "
        "and then. Its load constant stands on Terms."
    )

    hold: Annotated[Length, Field(gt=0)] = column(
        "Held out", "{length}", "H: hands in front of the ankles."
    )
    start: Length = column("Lifted from", "{length}", "V: height of the hands at first.")
    travel: Annotated[Length, Field(gt=0)] = column("Lifted by", "{length}", "D: how far upwards.")
    twist: Annotated[Number, Field(le=135)] = column("Twist", "degree", "A: of the body.")
    near: Length = column("Near", "{length}", "HM is this over H: 10 in.")
    knuckle: Length = column("Knuckle height", "{length}", "The best height to lift from: 30 in.")
    per_height: Number = column(
        "Less for height", "1/in", "VM is 1 less this for each inch from there: 0.0075."
    )
    travel_share: Number = column("Share for travel", "1", "DM is this and what follows: 0.82.")
    travel_more: Length = column("And for travel", "{length}", "This over D: 1.8 in.")
    per_degree: Number = column(
        "Less for twist", "1/degree", "AM is 1 less this for each degree: 0.0032."
    )


class RoomStep(Record):
    """How many accessible rooms are needed, from a number of guest rooms upwards."""

    table = "steps"
    title = "Accessible rooms by number of guest rooms"
    sheet = "Limits"
    about = (
        "2010 ADA Standards, tables 224.2 and 224.4: a number, a share of all rounded up, and more "
        "for each so many rooms begun. Each column is rounded up, which never gives less in all "
        "than the table's total."
    )

    from_rooms: Annotated[Count, Field(gt=0)] = column(
        "From", "room", "Guest rooms in the property.", show="whole"
    )
    tub: Count = column("Without roll-in", "room", "With mobility features and a tub.", default=0)
    roll_in: Count = column(
        "With roll-in", "room", "With mobility features and a roll-in shower.", default=0
    )
    communication: Count = column(
        "Communication", "room", "With communication features.", default=0
    )
    tub_share: Rate = column("Without, share", "1", "Of all.", default=0, show="percent")
    roll_in_share: Rate = column("With, share", "1", "Of all.", default=0, show="percent")
    communication_share: Rate = column(
        "Communication, share", "1", "Of all.", default=0, show="percent"
    )
    each: Count = column("For each", "room", "So many rooms begun, from this step on.", default=0)
    tub_more: Count = column("Without, more", "room", "For each of these.", default=0)
    roll_in_more: Count = column("With, more", "room", "For each of these.", default=0)
    communication_more: Count = column(
        "Communication, more", "room", "For each of these.", default=0
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class ReachStep(Record):
    """How high one reaches over something, from a depth upwards."""

    table = "reaches"
    title = "Highest reach"
    sheet = "Limits"
    about = "2010 ADA Standards, 308.2 and 308.3: the highest reach over something of a depth."

    approach: Literal["side", "forward"] = column("Approach", "text", "side or forward.")
    over: Length = column("Over more than", "{length}", "Depth of what one reaches over.")
    highest: Length = column("Highest", "{length}", "0 where it is not allowed.")
    source: Text = column("Source", "text", "Where the figures come from.", default="")
