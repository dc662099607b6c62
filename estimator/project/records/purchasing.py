"""What is bought: sheets, items, finishes, and what they cost."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from estimator.project.records.fields import Count, Key, Length, Number, OptionalKey, Rate, Text
from estimator.project.records.record import Record, column


class Material(Record):
    """A sheet or a bought length that parts and rails are cut from."""

    table = "materials"
    title = "Materials"
    sheet = "Materials"
    about = "Sheets and bought lengths: size, how many are needed, how many to order."

    key: Key = column("Material", "text", "A short name.")
    name: Text = column("Name", "text", "As shown.")
    form: Literal["sheet", "length"] = column("Form", "text", "sheet, or length (of bought rail).")
    length: Annotated[Length, Field(gt=0)] = column(
        "Length", "{length}", "Along the grain.", sensible=(300, 15_000)
    )
    width: Annotated[Length, Field(gt=0)] = column(
        "Width",
        "{length}",
        "Across; of a length, its width.",
        sensible=(20, 4000),
    )
    thickness: Annotated[Length, Field(gt=0)] = column(
        "Thickness", "{length}", "As it measures.", sensible=(1, 150)
    )
    density: Number = column("Density", "{density}", "Weight over space.", sensible=(50, 8000))
    stiffness: Number = column(
        "Stiffness",
        "{stress}",
        "Modulus of elasticity along the grain; blank: not known, its shelves are not calculated.",
        default=0,
        show="whole",
    )
    bending: Number = column(
        "Bending allowed",
        "{stress}",
        "Greatest stress in bending, its factor of safety taken off; blank: not known.",
        default=0,
        show="whole",
    )
    emission: Literal["none", "ask", "stated"] = column(
        "Emission label",
        "text",
        "none: no glued panel; ask: the supplier has not said; stated: label or certificate seen.",
        default="ask",
    )
    stands_in_for: OptionalKey = column(
        "Alternate for",
        "text",
        "If this is only offered instead of another material of the same size: that material.",
        default="",
        refers_to=("materials",),
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Item(Record):
    """A thing bought in packs: fastener, hardware, glue, abrasive, blade, bought item."""

    table = "items"
    title = "Items"
    sheet = "Items"
    about = "What is bought by the pack: how much is used, lost, and ordered."

    key: Key = column("Item", "text", "A short name.")
    name: Text = column("Name", "text", "As shown on the buy list.")
    kind: Literal["fastener", "hardware", "glue", "abrasive", "blade", "bought", "packing"] = (
        column("Kind", "text", "fastener, hardware, glue, abrasive, blade, bought or packing.")
    )
    pack: Annotated[Count, Field(gt=0)] = column(
        "In a pack", "each/pack", "How many are sold together."
    )
    loss: Rate = column("Loss", "1", "Dropped, bent, spilt or left over.", show="percent")
    lead_weeks: Count = column("Lead time", "week", "Weeks from order to arrival.", default=0)
    supplier: Text = column("Supplier", "text", "Who sells it.", default="")
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Price(Record):
    """A price from a quantity upwards: of a sheet, a length, or a pack."""

    table = "prices"
    title = "Prices"
    sheet = "Prices"
    about = "What a sheet, a length or a pack costs from a quantity upwards; the first row from 1."

    item: Key = column(
        "Item", "text", "A material, an item, or pallet for freight.",
        refers_to=("materials", "items", "freight"),
    )  # fmt: skip
    from_quantity: Annotated[Count, Field(gt=0)] = column(
        "From", "measure", "The least quantity that gets this price.", show="whole"
    )
    price: Number = column("Price", "money/measure", "For each, from that quantity on.")
    source: Text = column("Source", "text", "Where the figure comes from.", default="")


class Finish(Record):
    """An oil, a varnish or a paint."""

    table = "finishes"
    title = "Finishes"
    sheet = "Finish"
    about = "Finishes: how far they go, and the cheapest containers that hold enough."

    key: Key = column("Finish", "text", "A short name.")
    name: Text = column("Name", "text", "As shown.")
    coats: Annotated[Count, Field(gt=0)] = column("Coats", "coat", "How many.", sensible=(1, 20))
    spread: Number = column(
        "Spreading rate",
        "{spread}",
        "Area from one volume, one coat; blank to use solids.",
        default=0,
    )
    solids: Rate = column(
        "Solids", "1", "Share of the volume that stays; with a dry film.", default=0, show="percent"
    )
    film: Number = column("Dry film", "{film}", "Thickness of one dry coat.", default=0)
    loss: Rate = column("Loss", "1", "Left in cans, brushes and rags, wiped off.", show="percent")
    stands_in_for: OptionalKey = column(
        "Alternate for",
        "text",
        "If this is only offered instead of another finish: that finish.",
        default="",
        refers_to=("finishes",),
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Container(Record):
    """A size in which a finish is sold."""

    table = "containers"
    title = "Containers"
    sheet = "Finish"
    about = "The sizes a finish is sold in; the larger one must not cost more for its volume."

    key: Key = column("Container", "text", "A short name.")
    finish: Key = column("Finish", "text", "The finish.", refers_to=("finishes",))
    name: Text = column("Name", "text", "As shown on the buy list.")
    size: Literal["large", "medium", "small"] = column("Size", "text", "large, medium or small.")
    holds: Annotated[Number, Field(gt=0)] = column("Holds", "{volume}/container", "Its volume.")
    price: Number = column("Price", "money/container", "For one.")
    source: Text = column("Source", "text", "Where the figure comes from.", default="")


class FreightClass(Record):
    """A class of freight, from a density upwards."""

    table = "freight_classes"
    title = "Freight classes"
    sheet = "Rates"
    about = "Classes by density, for a carrier's quotation; rules of the carrier may override them."

    from_density: Number = column("From", "lb/ft**3", "Least density of the class.")
    freight_class: Number = column("Class", "1", "As carriers number it.", show="decimal")
    source: Text = column("Source", "text", "Where the figures come from.", default="")
