"""Hardware kits: what one room of each type needs, put on in the shop or taken along to the site.

A kit is what is used, without what is lost. It has its share of every use that a room has by
itself; what is used for spares, or counted by job, floor, trip or sheet, is listed beside the kits.
Kits are laid out by the tool, a row for each use that a room type has; a use that was typed in
since is missing in them, and a check says so.
"""

from __future__ import annotations

from estimator.expressions.functions import choose, either, rounded, rounded_up, share
from estimator.expressions.nodes import Expression, total
from estimator.expressions.tables import Model, Table
from estimator.quantities.room_measures import in_one_room, in_spares, of_the_job

IN_KITS = ("fastener", "hardware", "bought")
"""Kinds of item that are packed for a room; glue, abrasives and the like are not."""
SHOP, SITE = "shop", "site"


def define_kits(model: Model) -> None:
    """The kits, use by use and item by item; and what of each item is in no kit."""
    kits = _lay_out_kits(model)
    _define_uses_in_kits(model)
    _define_kits(model, kits)
    _define_beside(model)
    _define_unpacked(model)


def _lay_out_kits(model: Model) -> Table:
    kits = model.table(
        "kits",
        "Hardware kits",
        "Hardware kits",
        "For one room of each type: put on in the shop, or taken along to the site.",
    )
    kits.label("room_type", "Room type", "The room type.", refers_to=["types"])
    kits.label("where", "Where", "shop: put on in the shop; site: in the bag for the site.")
    kits.label("item", "Item", "What is used.", refers_to=["items"])
    kits.label("name", "Name", "As on the sheet Items.")
    return kits


def _define_uses_in_kits(model: Model) -> None:
    uses = model["uses"]
    table = model.table(
        "kit_uses",
        "Hardware kits, use by use",
        "Hardware kits",
        "The rows of the sheet Hardware that a room of the type has.",
    )
    room_type = table.label("room_type", "Room type", "The room type.", refers_to=["types"])
    table.label("where", "Where", "What is used for a module is put on in the shop.")
    item = table.label("item", "Item", "What is used.", refers_to=["items"])
    per = table.label("per", "For each", "As on the sheet Hardware.")
    table.quantity(
        "count", "In one room", "measure", in_one_room(model, room_type, per),
        "Of what it is for.", show="decimal",
    )  # fmt: skip
    amount = total(uses["amount"], uses["per"] == per, uses["item"] == item)
    each = (amount * table["count"]).per("room")
    table.quantity("each", "Used in a room", "each/room", each, "In one room.", show="decimal")


def _define_kits(model: Model, kits: Table) -> None:
    table, terms = model["kit_uses"], model["terms"]
    each = total(
        table["each"],
        table["room_type"] == kits["room_type"],
        table["where"] == kits["where"],
        table["item"] == kits["item"],
    )
    kits.quantity(
        "each", "Used in a room", "each/room", each, "Without what is lost.", show="decimal"
    )
    kits.quantity(
        "kit", "In one kit", "each/room", rounded_up(kits["each"], terms["guard"]), "Whole ones.",
        show="whole",
    )  # fmt: skip
    rooms = kits.via("room_type", model["types"]["rooms"])
    kits.quantity("rooms", "Rooms", "room", rooms, "To make, with mock-ups.", show="whole")


def _define_beside(model: Model) -> None:
    """What of each use, and of each item, is used but in no room's kit."""
    uses, items, guard = model["uses"], model["items"], model["terms"]["guard"]
    packed = items.quantity(
        "packed", "In kits", "1", _is_packed(items), "1 for fasteners, hardware and bought items."
    )
    for name, label, count, note in (
        ("for_spares", "For spares", in_spares(model, uses), "Used in spares."),
        ("for_job", "For the job", of_the_job(model, uses), "By job, floor, trip, sheet or cut."),
    ):
        uses.quantity(name, label, "each", uses["amount"] * count, note, show="decimal")
        of_item = total(uses[name], uses["item"] == items["key"])
        items.quantity(name, label, "each", of_item, note, show="decimal")
    for name, label, of in (
        ("spare_kit", "Kit for spares", items["for_spares"]),
        ("job_kit", "Kit for the job", items["for_job"]),
    ):
        whole = choose(packed > 0, rounded_up(of, guard), 0)
        items.quantity(name, label, "each", whole, "Whole ones, in no room's kit.", show="whole")


def _define_unpacked(model: Model) -> None:
    items, kits, guard = model["items"], model["kits"], model["terms"]["guard"]
    listed_there = total(kits["each"] * kits["rooms"], kits["item"] == items["key"])
    in_rooms = items.quantity(
        "in_rooms", "In rooms", "each", listed_there, "As the kits of all rooms list it.",
        show="decimal",
    )  # fmt: skip
    listed = in_rooms + items["for_spares"] + items["for_job"]
    left = rounded(share(items["used"] - listed, items["used"]), guard)
    items.quantity(
        "unpacked", "Not in kits", "1", choose(items["packed"] > 0, choose(left == 0, 0, 1), 0),
        "1 if more, or less, of it is used than kits and the lists beside them say.",
    )  # fmt: skip


def _is_packed(items: Table) -> Expression:
    fastener, hardware, bought = (items["kind"] == kind for kind in IN_KITS)
    return choose(either(either(fastener, hardware), bought), 1, 0)
