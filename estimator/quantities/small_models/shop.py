"""The shop's lists, each a table to be read; what it sums up is live. No price stands in it."""

from __future__ import annotations

from estimator.expressions.nodes import total
from estimator.expressions.tables import Model, Table
from estimator.units import SYSTEMS, LengthUnit, UnitSystem


def shop_model(length_unit: LengthUnit) -> Model:
    """Parts, labels, cut plan, hardware kits, finish schedule."""
    model, system = Model(), SYSTEMS[length_unit]
    _define_parts(model, system)
    labels = model.table("labels", "Labels", "Labels", "One for every module.")
    _labelled(labels, floor="Floor", room_type="Room type", room="Room", module="Module",
              number="Of this kind in the room", words="On the label")  # fmt: skip
    cuts = model.table("cuts", "Cut plan", "Cut plan", "Check sizes before cutting.")
    _labelled(cuts, material="Material", pattern="Pattern", step="Cut", size="Size", piece="Piece")
    _define_patterns(model)
    _define_kits(model)
    _define_finish(model, system)
    return model


def _labelled(table: Table, **labels: str) -> None:
    for name, label in labels.items():
        table.label(name, label, f"{label}.")


def _define_parts(model: Model, system: UnitSystem) -> None:
    parts = model.table("parts", "Parts", "Parts", "By floor and room type, as cut.")
    _labelled(parts, floor="Floor", room_type="Room type", what_for="For", key="Part", name="Name",
              material="Material")  # fmt: skip
    parts.planned("length", "Length", system.length, "Along the grain.", show="length")
    parts.planned("width", "Width", system.length, "Across the grain.", show="length")
    parts.planned("count", "Count", "piece", "For all rooms of this line.", show="whole")
    _labelled(parts, bevelled="Bevelled", finish="Finish")


def _define_patterns(model: Model) -> None:
    patterns = model.table("patterns", "What each pattern gives", "Patterns", "The cut plan's sum.")
    _labelled(patterns, material="Material", pattern="Pattern", piece="Piece", size="Size")
    times = patterns.planned("times", "Sheets", "stock", "Cut by this pattern.", show="whole")
    each = patterns.planned("each", "From each", "piece/stock", "Of this kind.", show="whole")
    patterns.quantity("count", "Pieces", "piece", times * each, "In all.", show="whole")


def _define_kits(model: Model) -> None:
    kits = model.table("kits", "Hardware kits", "Kits", "For one room, and for all of its type.")
    _labelled(kits, room_type="Room type", where="Where", item="Item", name="Name")
    each = kits.planned("each", "For a room", "each/room", "Without what is lost.", show="whole")
    rooms = kits.planned("rooms", "Rooms", "room", "To make, with mock-ups.", show="whole")
    kits.quantity(
        "all", "For all rooms", "each", each * rooms, "Without what is lost.", show="whole"
    )
    beside = model.table(
        "beside", "Hardware in no room's kit", "Kits", "For spares, and for the job as a whole."
    )
    _labelled(beside, item="Item", name="Name")
    beside.planned("for_spares", "For spares", "each", "Without what is lost.", show="whole")
    beside.planned("for_job", "For the job", "each", "Without what is lost.", show="whole")


def _define_finish(model: Model, system: UnitSystem) -> None:
    finish = model.table("finish", "Finish schedule", "Finish", "What is coated with what.")
    finish.label("finish", "Finish", "Finish.")
    key = finish.label("key", "Code", "Of the finish.", aside=True)
    finish.label("what", "Part or rail", "Part or rail.")
    finish.planned("pieces", "Pieces", "piece", "To be coated.", show="whole")
    finish.label("sides", "Faces and edges", "That are coated.")
    finish.planned("coats", "Coats", "coat", "How many.", show="whole")
    finish.planned("area", "Area", system.area, "Of faces and edges, one coat.", show="decimal")
    sums = model.table("finishes", "Total by finish", "Finish", "All that is coated with it.")
    sums.label("finish", "Finish", "Finish.")
    code = sums.label("key", "Code", "Of the finish.", aside=True)
    area = total(finish["area"], key == code)
    sums.quantity("area", "Area", system.area, area, "One coat.", show="decimal")
