"""What hangs on the rails, and the parts it is made of."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from estimator.project.records.fields import (
    Count,
    Key,
    Length,
    Number,
    OptionalKey,
    Rate,
    Text,
    YesNo,
)
from estimator.project.records.record import Record, column


class Module(Record):
    """A thing that hangs on a rail."""

    table = "modules"
    title = "Modules"
    sheet = "Modules"
    about = "The things that hang on the rails, with their outer sizes and spares."

    key: Key = column("Module", "text", "A short name, such as shelf-24.")
    name: Text = column("Name", "text", "As the quote shows it.")
    width: Annotated[Length, Field(gt=0)] = column(
        "Width", "{length}", "Along the wall.", sensible=(20, 6000)
    )
    height: Annotated[Length, Field(gt=0)] = column(
        "Height", "{length}", "Up the wall.", sensible=(20, 4000)
    )
    depth: Annotated[Length, Field(gt=0)] = column(
        "Depth", "{length}", "Out from the wall.", sensible=(10, 2000)
    )
    above: Length = column(
        "Top over rail",
        "{length}",
        "How far its top stands over the rail's upper edge: the cleat above its bevel, and what "
        "lies on it.",
        default=Fraction(0),
    )
    purpose: Literal["reached", "mirror", "counter-mirror", "seen"] = column(
        "Purpose",
        "text",
        "reached: taken from by hand; mirror; counter-mirror: over a basin or counter; seen: none "
        "of these.",
        default="reached",
    )
    sill: Length = column(
        "Used from",
        "{length}",
        "How far a mirror's glass, or the lowest thing reached, stands over its lower edge.",
        default=Fraction(0),
    )
    locked: YesNo = column(
        "Locked", "text", "yes: a screw or catch keeps it on its rail.", default="no"
    )
    load: Number = column(
        "Hung load", "{weight}/module", "What it is expected to carry.", sensible=(0, 2000)
    )
    spares: Rate = column(
        "Spares",
        "1",
        "Extra pieces kept by the property, rounded up.",
        default=Decimal(0),
        show="percent",
    )
    bought_weight: Number = column(
        "Bought weight",
        "{weight}/module",
        "Of glass, metal and hardware, beside its parts.",
        default=0,
    )
    description: Text = column("Description", "text", "For the purchaser.", default="")


class Part(Record):
    """A rectangle cut from a sheet, or a length cut from a bought length, for a module."""

    table = "parts"
    title = "Parts"
    sheet = "Parts"
    about = "What each module is made of, as cut."

    key: Key = column("Part", "text", "A short name, such as shelf-24-top.")
    module: Key = column("Module", "text", "The module it belongs to.", refers_to=("modules",))
    name: Text = column("Name", "text", "What it is.")
    material: Key = column("Material", "text", "What it is cut from.", refers_to=("materials",))
    length: Annotated[Length, Field(gt=0)] = column("Length", "{length}", "Along the grain.")
    width: Annotated[Length, Field(gt=0)] = column("Width", "{length}", "Across the grain.")
    each: Annotated[Count, Field(gt=0)] = column(
        "In each module", "part/module", "How many.", sensible=(1, 1000)
    )
    grain: Literal["along", "any"] = column(
        "Grain",
        "text",
        "along: keep the length along the grain; any: may be turned.",
        default="along",
    )
    bevelled: YesNo = column(
        "Bevelled", "text", "yes: one long edge is bevelled, two share an angled rip.", default="no"
    )
    finish: OptionalKey = column(
        "Finish", "text", "The finish, if any.", default="", refers_to=("finishes",)
    )
    faces: Annotated[Count, Field(le=2)] = column(
        "Faces finished", "face/part", "0, 1 or 2.", default=2
    )
    long_edges: Annotated[Count, Field(le=2)] = column(
        "Long edges finished", "edge/part", "0, 1 or 2.", default=2
    )
    short_edges: Annotated[Count, Field(le=2)] = column(
        "Short edges finished", "edge/part", "0, 1 or 2.", default=2
    )
    span: Length = column(
        "Clear span",
        "{length}",
        "Between its supports, if it carries things as a shelf does; blank: it does not.",
        default=Fraction(0),
    )
    bears: Number = column(
        "Bears",
        "{weight}/{run}",
        "Load along the span; blank: the module's whole load, spread over it.",
        default=0,
    )
