"""What is used and what is done for each of something; wages."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from estimator.project.records.fields import Count, Key, Number, Rate, Text
from estimator.project.records.record import Record, column


class Use(Record):
    """So much of an item for each of something."""

    table = "uses"
    title = "Hardware and supplies"
    sheet = "Hardware"
    about = "What is used for each module, room, foot of rail or other measure of the job."

    per: Key = column(
        "For each",
        "text",
        "A module, a room type, a rail profile, a material, or a measure of the sheet Measures.",
        refers_to=("modules", "types", "profiles", "materials", "measures"),
    )
    item: Key = column("Item", "text", "What is used.", refers_to=("items",))
    amount: Number = column("How much", "each/measure", "In the item's own unit.")


class Operation(Record):
    """A kind of work: what drives it and how long it takes."""

    table = "operations"
    title = "Operations"
    sheet = "Operations"
    about = "Work in the shop and on site: minutes for each of what drives it, and setting up."

    key: Key = column("Operation", "text", "A short name.")
    name: Text = column("Name", "text", "What is done.")
    where: Literal["shop", "site"] = column("Where", "text", "shop or site.")
    per: Key = column(
        "For each",
        "text",
        "A module, a room type, a rail profile, a material, or a measure of the sheet Measures.",
        refers_to=("modules", "types", "profiles", "materials", "measures"),
    )
    minutes: Number = column(
        "Minutes each", "min/measure", "Of the crew, for the first room.", sensible=(0, 10_000)
    )
    setup: Number = column(
        "Setup", "min/batch", "Minutes of the crew to set up once.", sensible=(0, 100_000)
    )
    setup_per: Key = column(
        "Set up for each", "text", "A measure of the sheet Measures.", refers_to=("measures",)
    )
    crew: Annotated[Count, Field(gt=0)] = column(
        "Crew", "person", "People working together.", sensible=(1, 100)
    )
    repetition: Annotated[Rate, Field(ge=Decimal("0.5"))] = column(
        "Repetition rate",
        "1",
        "Average time over all rooms, each time their number doubles (cumulative average).",
        show="percent",
    )
    grade: Key = column("Grade", "text", "Who does it.", refers_to=("grades",))
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Grade(Record):
    """What an hour of somebody costs."""

    table = "grades"
    title = "Wages"
    sheet = "Rates"
    about = "Wages with what comes on top of them."

    key: Key = column("Grade", "text", "A short name.")
    name: Text = column("Name", "text", "Who.")
    wage: Number = column(
        "Wage", "money/hour/person", "Paid to one person for an hour.", sensible=(0, 10_000)
    )
    burden: Annotated[Number, Field(le=5)] = column(
        "On top", "1", "Taxes, insurance, leave and benefits, on the wage.", show="percent"
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")
