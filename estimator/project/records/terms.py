"""The numbers that hold for the whole job."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from estimator.project.records.fields import Count, Length, Number, Rate, YesNo
from estimator.project.records.record import Record, column


class Terms(Record):
    """The numbers that hold for the whole job."""

    table = "terms"
    title = "Terms"
    sheet = "Terms"
    about = "Numbers that hold for the whole job. No formula hides one: they all stand here."

    kerf: Length = column("Saw kerf", "{length}", "Width of the saw cut.", sensible=(0, 15))
    trim: Length = column(
        "Edge trim", "{length}", "Cut off each edge of a sheet before use.", sensible=(0, 100)
    )
    bevel_angle: Annotated[Number, Field(gt=0, lt=80)] = column(
        "Bevel angle", "degree", "Of the rail's edge, measured from square."
    )
    end_distance: Length = column(
        "End distance",
        "{length}",
        "The least from the end of a rail to a screw; a pieced run starts this far before a stud.",
        sensible=(0, 600),
    )
    crossing: YesNo = column(
        "Price the extra stud",
        "text",
        "yes: screws for the most studs a rail can cross; no: for the fewest it is sure to cross.",
        default="yes",
    )
    whole_last_sheet: YesNo = column(
        "Price the last sheet whole",
        "text",
        "yes: a part-used sheet is priced whole; no: the job pays for the share it uses.",
        default="yes",
    )
    waste_yield: Annotated[Rate, Field(gt=0)] = column(
        "Usual yield",
        "1",
        "Only for comparison: the share of a sheet that a rule of thumb takes as used.",
        show="percent",
    )
    overhead: Rate = column("Overhead", "1", "On direct cost.", show="percent")
    contingency: Rate = column(
        "Contingency", "1", "On direct cost and overhead, for what is not known.", show="percent"
    )
    margin: Annotated[Rate, Field(lt=Decimal("0.95"))] = column(
        "Margin on price", "1", "The share of the price that is left after cost.", show="percent"
    )
    purchase_tax: Rate = column(
        "Tax on purchases",
        "1",
        "Paid by the shop when it counts as the consumer of what it fixes to the building.",
        show="percent",
    )
    sale_tax: Rate = column(
        "Tax on the sale", "1", "Charged to the client on the taxed share below.", show="percent"
    )
    taxed_sale: Rate = column(
        "Taxed share of the sale",
        "1",
        "Which share of the price the sales tax falls on; ask the tax office, rules differ.",
        show="percent",
    )
    price_step: Annotated[Number, Field(gt=0)] = column(
        "Price step", "money", "Unit prices are rounded to the nearest multiple of this."
    )
    add_uplift: Rate = column(
        "Uplift on an added room", "1", "For rooms added after the order.", show="percent"
    )
    deduct_share: Rate = column(
        "Credit on a dropped room",
        "1",
        "The share of a room's variable price given back when it is dropped.",
        show="percent",
    )
    hours_per_day: Annotated[Number, Field(gt=0, le=24)] = column(
        "Working day", "hour/day", "Paid hours of one person on site in a day."
    )
    site_crew: Annotated[Count, Field(gt=0)] = column(
        "Site crew", "person", "People on site together."
    )
    trips_per_floor: Number = column("Trips per floor", "trip/floor", "Deliveries for each floor.")
    distance: Number = column("Distance", "{distance}/trip", "There and back, for each trip.")
    vehicle_rate: Number = column(
        "Vehicle", "money/{distance}", "Fuel, wear and driver's allowance."
    )
    lodging: Number = column(
        "Lodging and meals", "money/person/day", "For each crew member and day; 0 when near home."
    )
    packing_share: Rate = column(
        "Packing", "1", "Weight of packing as a share of the goods.", show="percent"
    )
    packed_density: Annotated[Number, Field(gt=0)] = column(
        "Packed density", "{density}", "Weight of a packed pallet over its outer space."
    )
    pallet_load: Annotated[Number, Field(gt=0)] = column(
        "Pallet load", "{weight}/pallet", "The most one pallet carries."
    )
    pallet_space: Annotated[Number, Field(gt=0)] = column(
        "Pallet space", "{space}/pallet", "The outer space of one loaded pallet."
    )
    freight_base: Number = column("Freight, base", "money/trip", "For each trip, however full.")
    spread_least: Number = column(
        "Least spreading rate", "{spread}", "A finish below this is marked: is the unit right?"
    )
    spread_most: Number = column(
        "Most spreading rate", "{spread}", "A finish above this is marked: is the unit right?"
    )
    lift_limit: Annotated[Number, Field(gt=0)] = column(
        "Single lift", "{weight}", "A heavier module or sheet needs two people or a lift."
    )
    band_tolerance: Annotated[Rate, Field(gt=0)] = column(
        "Tolerance of the purchaser's price",
        "1",
        "How far price per room times rooms may stray from a new estimate before one is needed.",
        default=Decimal("0.01"),
        show="percent",
    )
    cents: Literal[2] = column(
        "Decimals of money", "1", "Money is rounded to cents, halves up.", default=2, show="whole"
    )
    guard: Literal[6] = column(
        "Decimals kept",
        "1",
        "Before rounding up to whole units, noise beyond so many decimals is dropped.",
        default=6,
        show="whole",
    )
    doubling: Literal[2] = column(
        "Repetition step",
        "1",
        "A repetition rate is the time left each time the number of rooms grows by this factor.",
        default=2,
        show="whole",
    )
