"""Rail runs on the walls, and the profiles they are made of."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from estimator.project.records.fields import Count, Key, Length, OptionalKey, Text, YesNo
from estimator.project.records.record import Record, column


class RailRun(Record):
    """A length of rail on a wall of every room of a type."""

    table = "runs"
    title = "Rail runs"
    sheet = "Rails"
    about = "The rails of each room type. Long runs are pieced with the joints on studs."

    key: Key = column("Rail run", "text", "A short name, such as king-bed-wall.")
    room_type: Key = column("Room type", "text", "The room type.", refers_to=("types",))
    profile: Key = column("Profile", "text", "The rail profile.", refers_to=("profiles",))
    length: Annotated[Length, Field(gt=0)] = column(
        "Length", "{length}", "The whole run.", sensible=(100, 100_000)
    )
    bottom: Length = column(
        "Bottom edge", "{length}", "Height of its bottom edge over the floor.", sensible=(0, 6000)
    )
    spacing: Annotated[Length, Field(gt=0)] = column(
        "Stud spacing",
        "{length}",
        "Middle to middle; verify on site.",
        sensible=(100, 2500),
    )
    wall: Literal["wood", "steel", "masonry"] = column(
        "Wall",
        "text",
        "wood studs, steel studs (need backing) or masonry (need anchors).",
        default="wood",
        refers_to=("walls",),
    )
    over: Literal["furniture", "path", "aside"] = column(
        "Stands over",
        "text",
        "What is below: furniture where heads are (bed, seat, desk), a path that people walk, or "
        "neither (aside).",
        default="aside",
    )
    approach: Literal["side", "forward"] = column(
        "Reached from the",
        "text",
        "How a person in a wheelchair comes up to it: side or forward.",
        default="side",
    )
    obstacle: Length = column(
        "Reached over",
        "{length}",
        "Depth of what one reaches over, at most 34 in high; blank when nothing is in the way.",
        default=Fraction(0),
    )


class Profile(Record):
    """A rail profile: its section, what it is ripped from or bought as, how it is fixed."""

    table = "profiles"
    title = "Rail profiles"
    sheet = "Rails"
    about = "How a rail is made: ripped from a sheet, or bought in lengths."

    key: Key = column("Profile", "text", "A short name.")
    name: Text = column("Name", "text", "As shown.")
    material: Key = column(
        "Material", "text", "The sheet or the bought length.", refers_to=("materials",)
    )
    width: Annotated[Length, Field(gt=0)] = column(
        "Width", "{length}", "Of its long face.", sensible=(20, 600)
    )
    bevelled: YesNo = column(
        "Bevelled", "text", "yes: two pieces share one angled rip of the sheet.", default="yes"
    )
    screws_per_stud: Count = column(
        "Screws per stud", "each/stud", "In every stud crossed.", sensible=(0, 20)
    )
    upper_screws: Count = column(
        "Upper screws", "each/stud", "Of those, how many stand in the upper row and take the pull."
    )
    screw_line: Annotated[Length, Field(gt=0)] = column(
        "Upper screws at", "{length}", "Height of the upper row over the rail's lower edge."
    )
    screw: Key = column(
        "Screw", "text", "Which screw holds it, of the sheet Limits.", refers_to=("screws",)
    )
    finish: OptionalKey = column(
        "Finish", "text", "The finish, if any.", default="", refers_to=("finishes",)
    )
    faces: Annotated[Count, Field(le=2)] = column("Faces finished", "face", "0, 1 or 2.", default=1)
