"""What a purchaser may see, as a small model of its own: counts, prices, furniture, terms.

Every figure that is not calculated here comes from the quote: a price, a size, a count, a share of
the price. Nothing of what the price is made of is known to this model.
"""

from __future__ import annotations

from collections.abc import Sequence

from estimator.expressions.functions import choose, either, rounded, rounded_up, share
from estimator.expressions.nodes import Column, Constant, Expression, cross, total
from estimator.expressions.tables import Model, Table
from estimator.units import LengthUnit, unit

ASK, HOLDS, INSIDE = "ask for a new price", "the price holds", "inside"
NO_DECIMALS = Constant(unit("1"), frozenset(), 0)


def purchaser_model(length_unit: LengthUnit, floors: Sequence[str]) -> Model:
    """Room schedule, price, furniture and terms."""
    model = Model()
    _define_counts(model, floors)
    _define_rates(model)
    _define_rooms(model)
    _define_answer(model)
    _define_price(model)
    _define_contents(model)
    _define_modules(model, length_unit)
    _define_runs(model, length_unit)
    _define_terms(model)
    _define_acceptance(model)
    return model


def _define_counts(model: Model, floors: Sequence[str]) -> None:
    grid = model.table(
        "counts", "Room schedule", "Rooms",
        "Change the rooms of each type on each floor; the price follows.",
        kind="grid", axis=floors,
    )  # fmt: skip
    room_type = grid.label("room_type", "Room type", "Its short name.")
    grid.label("name", "Name", "What it is.")
    grid.block("rooms", "Rooms", "room", "Rooms of this type on this floor.")
    grid.label("description", "Description", "What the room is.")
    list_ = model.table("batches", "Rooms by type and floor", "By floor", "As on the sheet Rooms.")
    of_type = list_.label("room_type", "Room type", "The room type.")
    floor = list_.label("floor", "Floor", "The floor.")
    list_.label("floor_name", "Name of the floor", "As shown.")
    rooms = list_.quantity(
        "rooms", "Rooms", "room",
        cross(grid["rooms"], room_type == of_type, grid.along == floor),
        "As typed on the sheet Rooms.", show="whole",
    )  # fmt: skip
    whole = rounded(rooms, NO_DECIMALS) == rooms
    list_.quantity("odd", "Odd", "1", choose(whole, 0, 1), "1 if it is not a whole number.")


def _define_rates(model: Model) -> None:
    rates = model.table(
        "rates", "Rates", "Terms", "Numbers that hold for the whole offer.", kind="form"
    )
    for name, label, note, show in (
        ("sale_tax", "Tax on the sale", "Charged on the taxed share.", "percent"),
        ("taxed_sale", "Taxed share of the sale", "The share of the price it falls on.", "percent"),
        ("freight", "About, for freight", "Of the price before tax.", "percent"),
        ("installation", "About, for installation", "Of the price before tax.", "percent"),
        ("tolerance", "Tolerance", "Of the price, to a new estimate.", "percent"),
        ("cents", "Decimals of money", "Money is rounded to cents, halves up.", "whole"),
        ("guard", "Decimals kept", "Before rounding up to whole pieces.", "whole"),
    ):  # fmt: skip
        rates.planned(name, label, "1", note, show=show)  # type: ignore[arg-type]


def _define_rooms(model: Model) -> None:
    batches, rates = model["batches"], model["rates"]
    rooms = model.table(
        "rooms", "Price by room type", "Price",
        "Price for each room times rooms, and a fixed part, is the price.",
    )  # fmt: skip
    key = rooms.label("key", "Room type", "Its short name.")
    rooms.label("name", "Name", "What it is.")
    rooms.planned("quoted", "Rooms quoted", "room", "In the quote.", show="whole")
    rooms.planned("mock_ups", "Mock-ups", "room", "Beside those; in the price.", show="whole")
    now = rooms.quantity(
        "now", "Rooms now", "room", total(batches["rooms"], batches["room_type"] == key),
        "As typed on the sheet Rooms.", show="whole",
    )  # fmt: skip
    each = rooms.planned(
        "each", "For each room", "money/room", "Brought by each room of this type."
    )
    fixed = rooms.planned("fixed", "Fixed part", "money", "Whatever the number of rooms.")
    price = rooms.quantity(
        "price", "Price", "money", rounded(each * now + fixed, rates["cents"]),
        "For each room, times rooms now, and the fixed part.",
    )  # fmt: skip
    per_room = rounded(share(price, now), rates["cents"])
    rooms.quantity(
        "per_room", "Price per room", "money/room", per_room, "The price over rooms now."
    )
    _bounds(rooms, now)
    floors = model.table(
        "floors", "Floors", "Price", "A floor of the quote keeps some rooms; others have none."
    )
    key = floors.label("key", "Floor", "Its short name.")
    floors.label("name", "Name", "As shown.")
    of_floor = total(batches["rooms"], batches["floor"] == key)
    _bounds(
        floors,
        floors.quantity("now", "Rooms now", "room", of_floor, "On this floor.", show="whole"),
    )


def _bounds(table: Table, now: Column) -> None:
    """Least and most rooms for which the price holds, and whether they are kept."""
    least = table.planned("least", "Least", "room", "The price holds from so many.", show="whole")
    most = table.planned("most", "Most", "room", "The price holds up to so many.", show="whole")
    outside = table.quantity(
        "outside", "Outside", "1", _outside(now, least, most), "1 if outside the bounds."
    )
    table.quantity(
        "state", "State", "text", choose(outside > 0, ASK, INSIDE), "Whether the price holds."
    )


def _outside(now: Expression, least: Expression, most: Expression) -> Expression:
    return choose(either(now < least, now > most), 1, 0)


def _define_answer(model: Model) -> None:
    """Whether the price holds, and what it is: beside the counts, where they are changed."""
    rooms, floors, batches, rates = (model[n] for n in ("rooms", "floors", "batches", "rates"))
    _define_alternates(model)
    answer = model.table(
        "answer", "What it comes to", "Rooms", "Changes as you type rooms above.", kind="form"
    )
    now = answer.quantity(
        "rooms", "Rooms now", "room", total(rooms["now"]), "Of all types.", show="whole"
    )
    least = answer.planned(
        "least", "Least rooms", "room", "The price holds from so many.", show="whole"
    )
    most = answer.planned(
        "most", "Most rooms", "room", "The price holds up to so many.", show="whole"
    )
    outside = total(rooms["outside"]) + total(floors["outside"]) + total(batches["odd"])
    answer.quantity(
        "outside", "Bounds not kept", "1", outside + _outside(now, least, most),
        "In all, by room type and by floor: see the sheet Price.", show="whole",
    )  # fmt: skip
    state = choose(answer["outside"] > 0, ASK, HOLDS)
    answer.quantity(
        "state", "Does the price hold?", "text", state, "Within the tolerance on Terms."
    )
    _money(answer, "price", "Price before tax", total(rooms["price"]), "All rooms, with spares.")
    _money(answer, "alternates", "Alternates taken", total(model["alternates"]["taken"]), "If any.")
    _money(answer, "quoted", "In all before tax", answer["price"] + answer["alternates"], "Both.")
    taxed = answer["quoted"] * rates["taxed_sale"] * rates["sale_tax"]
    _money(answer, "tax", "Tax on the sale", rounded(taxed, rates["cents"]), "Charged on top.")
    _money(answer, "total", "To be paid", answer["quoted"] + answer["tax"], "Tax included.")


def _money(table: Table, name: str, label: str, expression: Expression, note: str) -> None:
    table.quantity(name, label, "money", expression, note)


def _define_alternates(model: Model) -> None:
    rooms, rates = model["rooms"], model["rates"]
    table = model.table(
        "alternates", "Alternates", "Alternates",
        "Say yes to take one; of two that replace the same thing, only one.",
    )  # fmt: skip
    table.label("key", "Alternate", "Its short name.")
    table.label("name", "What it is", "Instead of what is priced.")
    table.label("effect", "Adds or deducts", "What it does to the price.")
    by = table.planned(
        "by", "As quoted", "money", "For the rooms quoted; below 0 it comes off the price."
    )
    take = table.input("take", "Take it", "text", "yes to take it.", choices=("yes", "no"))
    grown = rounded(by * share(total(rooms["now"]), total(rooms["quoted"])), rates["cents"])
    taken = choose(take == "yes", grown, 0)
    _money(table, "taken", "In the price", taken, "In proportion to the rooms, if taken.")


def _define_price(model: Model) -> None:
    rates, answer = model["rates"], model["answer"]
    parts = model.table(
        "parts", "About, for your accounts", "Price",
        "Parts of the price before tax, to the nearest per cent of it.", kind="form",
    )  # fmt: skip
    for name, label in (("freight", "Freight"), ("installation", "Installation")):
        amount = rounded(answer["price"] * rates[name], rates["cents"])
        _money(parts, name, label, amount, "In the price; it is not offered apart.")
    rest = answer["price"] - parts["freight"] - parts["installation"]
    _money(parts, "furniture", "Furniture", rest, "The rest.")


def _define_contents(model: Model) -> None:
    rooms = model["rooms"]
    contents = model.table(
        "contents", "Furniture by room type", "Furniture", "What hangs in a room of each type."
    )
    room_type = contents.label("room_type", "Room type", "Its short name.")
    contents.label("module", "Module", "Its short name.")
    contents.label("name", "Name", "What it is.")
    each = contents.planned("each", "In a room", "module/room", "How many.", show="whole")
    fitted = total(rooms["now"], rooms["key"] == room_type)
    fitted = fitted + total(rooms["mock_ups"], rooms["key"] == room_type)
    contents.quantity(
        "all",
        "In all rooms",
        "module",
        each * fitted,
        "With mock-ups, without spares.",
        show="whole",
    )


def _define_modules(model: Model, length_unit: LengthUnit) -> None:
    contents, rates = model["contents"], model["rates"]
    modules = model.table("modules", "Schedule of modules", "Modules", "What hangs on the rails.")
    key = modules.label("key", "Module", "Its short name.")
    modules.label("name", "Name", "What it is.")
    modules.label("description", "Description", "What it is for.")
    for name, label in (("width", "Width"), ("height", "Height"), ("depth", "Depth")):
        modules.planned(name, label, length_unit, "Outside.", show="length")
    modules.label("material", "Material", "What it is made of.")
    modules.label("finish", "Finish", "What it is finished with.")
    needed = total(contents["all"], contents["module"] == key)
    modules.quantity("needed", "In all rooms", "module", needed, "With mock-ups.", show="whole")
    spares = modules.planned("spares", "Spares", "1", "Share kept by the property.", show="percent")
    spare = rounded_up(modules["needed"] * spares, rates["guard"])
    modules.quantity("spare", "Spare", "module", spare, "Rounded up.", show="whole")
    made = modules["needed"] + modules["spare"]
    modules.quantity("made", "Delivered", "module", made, "In rooms and spare.", show="whole")


def _define_runs(model: Model, length_unit: LengthUnit) -> None:
    runs = model.table("runs", "Rails", "Rails", "The rails of each room type.")
    runs.label("room_type", "Room type", "Its short name.")
    runs.label("key", "Rail", "Its short name.")
    runs.planned("length", "Length", length_unit, "The whole run.", show="length")
    runs.planned("bottom", "Bottom edge", length_unit, "Height over the floor.", show="length")
    runs.label("profile", "Profile", "The rail's section.")


def _define_terms(model: Model) -> None:
    times = model.table("times", "Time", "Terms", "From the order on.")
    times.label("what", "What", "What takes time.")
    times.planned("weeks", "Weeks", "week", "From the order.", show="whole")
    stages, rates, answer = (
        model.table("stages", "Payment", "Terms", "When the price falls due."),
        model["rates"],
        model["answer"],
    )
    number = stages.planned("number", "Stage", "1", "In order.", show="whole")
    stages.label("name", "When", "When it falls due.")
    part = stages.planned("share", "Share", "1", "Of what is to be paid.", show="percent")
    so_far = stages.quantity(
        "so_far", "So far", "1", total(stages["share"], stages["number"] <= number),
        "With earlier stages.", show="percent",
    )  # fmt: skip
    upto = rounded(answer["total"] * so_far, rates["cents"])
    before = rounded(answer["total"] * (so_far - part), rates["cents"])
    _money(
        stages, "amount", "Amount", rounded(upto - before, rates["cents"]),
        "Rounded so that the stages add up to what is to be paid.",
    )  # fmt: skip
    clauses = model.table("clauses", "Scope", "Scope", "What is in the price and what is not.")
    clauses.label("kind", "Kind", "included, excluded, allowance or caution.")
    clauses.label("text", "Text", "What it says.")
    clauses.planned("amount", "Allowance", "money", "A sum in the price, of an allowance only.")


def _define_acceptance(model: Model) -> None:
    answer = model["answer"]
    accept = model.table(
        "acceptance", "Acceptance", "Acceptance",
        "To order what stands on these sheets: fill in, sign, and send it back.", kind="form",
    )  # fmt: skip
    accept.label("revision", "Revision", "Of this offer.")
    accept.label("valid_until", "Valid until", "The last day of this offer.")
    accept.quantity(
        "rooms", "Rooms", "room", answer["rooms"], "As on the sheet Rooms.", show="whole"
    )
    accept.quantity("state", "Does the price hold?", "text", answer["state"], "It has to.")
    _money(accept, "total", "To be paid", answer["total"], "Tax and alternates taken included.")
    for name, label, note in (
        ("accepted", "Rooms and price accepted", "yes, once the price holds."),
        ("order_number", "Order number", "Yours, if you use one."),
        ("name", "Name", "Who accepts."),
        ("position", "Position", "In which capacity."),
        ("day", "Date", "As 2026-11-25."),
        ("signature", "Signature", "By hand on a print, or typed."),
    ):
        choices = ("yes", "no") if name == "accepted" else ()
        accept.input(name, label, "text", note, optional=True, choices=choices)
