"""What rails, cleats and shelves are checked by."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from estimator.project.records.fields import Key, Length, Number, Rate, Text
from estimator.project.records.record import Record, column


class StrengthLimits(Record):
    """The numbers that checks of rails, cleats and shelves compare with."""

    table = "strength"
    title = "Limits of strength"
    sheet = "Limits"
    about = "What rails, cleats and shelves are checked by. A licensed engineer decides what holds."

    load_at: Annotated[Rate, Field(gt=0)] = column(
        "Load acts at",
        "1",
        "Share of a module's depth, out from the wall; half when the load lies evenly.",
        show="decimal",
    )
    lean: Number = column(
        "Lean", "{weight}", "Of one person on the front edge of one module of a rail; own choice."
    )
    duration: Annotated[Number, Field(gt=0, le=2)] = column(
        "Duration of load",
        "1",
        "Factor on what a screw holds: 0.9 for a lasting load, 1 for ten years (NDS 2.3.2).",
        show="decimal",
    )
    full_depth: Annotated[Number, Field(gt=0)] = column(
        "Full depth", "1", "Diameters of a screw in the stud for its whole shear value (NDS: 10)."
    )
    least_depth: Number = column(
        "Least depth",
        "1",
        "Diameters of a screw in the stud below which it counts for nothing (NDS: 6).",
    )
    first_sag: Annotated[Number, Field(gt=0)] = column(
        "Span over first sag",
        "1",
        "A shelf may sag this fraction of its span at first; 600 is 0.02 in per foot.",
        show="whole",
    )
    lasting_sag: Annotated[Number, Field(gt=0)] = column(
        "Span over lasting sag",
        "1",
        "A shelf may sag this fraction of its span in the end; 384 is 1/32 in per foot, just seen.",
        show="whole",
    )
    creep: Number = column(
        "Creep", "1", "What a lasting load adds to the first sag.", show="percent"
    )
    sag_form: Annotated[Number, Field(gt=0)] = column(
        "Form of sag",
        "1",
        "Sag is this × load × span^4 over (stiffness × width × thickness^3); 5/384 × 12 on two "
        "supports.",
    )
    bending_form: Annotated[Number, Field(gt=0)] = column(
        "Form of bending",
        "1",
        "Stress is this × load × span² over (width × thickness²); 6/8 on two supports.",
    )
    cube: Literal[3] = column(
        "Power of span", "1", "Sag as a share of the span grows with this power of it.",
        default=3, show="whole",
    )  # fmt: skip
    engagement: Length = column(
        "Least engagement", "{length}", "How far cleat and rail must hook; own choice."
    )
    tug: Number = column(
        "Tug", "{weight}", "Outward at a module's lower edge, which must not swing it off the wall."
    )


class Wall(Record):
    """What a screw finds in a kind of wall."""

    table = "walls"
    title = "Walls"
    sheet = "Limits"
    about = "What screws find behind the wallboard. Verify on site."

    key: Literal["wood", "steel", "masonry"] = column("Wall", "text", "wood, steel or masonry.")
    gravity: Annotated[Number, Field(le=2)] = column(
        "Specific gravity",
        "1",
        "G of the studs' wood; 0 where a wood screw has no published value: ask.",
        show="decimal",
    )
    board: Length = column("Wallboard", "{length}", "What the screw passes and is not held by.")
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Withdrawal(Record):
    """What a kind of screw holds against being pulled out of side grain."""

    table = "withdrawal"
    title = "Withdrawal"
    sheet = "Limits"
    about = (
        "Pounds that each inch of thread holds in side grain: a number times powers of the wood's "
        "specific gravity G and of the diameter D in inches."
    )

    key: Key = column("Kind of screw", "text", "A short name, such as wood.")
    pounds: Number = column("Number", "lb/in", "2850 for wood screws, 1800 for lag screws.")
    of_gravity: Number = column("Power of G", "1", "2 or 1.5.", show="decimal")
    of_diameter: Number = column("Power of D", "1", "1 or 0.75.", show="decimal")
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Screw(Record):
    """A screw that fixes rails, by the item that is bought."""

    table = "screws"
    title = "Rail screws"
    sheet = "Limits"
    about = "The screws that fix rails to studs, by the key of the item that is bought."

    key: Key = column("Item", "text", "The item, of the sheet Items.", refers_to=("items",))
    kind: Key = column("Kind", "text", "Wood screw or lag screw.", refers_to=("withdrawal",))
    diameter: Annotated[Length, Field(gt=0)] = column("Diameter", "{length}", "Of its thread.")
    length: Annotated[Length, Field(gt=0)] = column("Length", "{length}", "From head to tip.")
    thread: Annotated[Length, Field(gt=0)] = column(
        "Thread", "{length}", "Length of its thread; of a lag screw without its tip."
    )
    lateral: Number = column(
        "Shear", "{weight}/each", "What one carries across, deep enough in the stud, rail outside."
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")
