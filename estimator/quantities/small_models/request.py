"""A request for quotation: what is asked of a supplier, and cells for the answer."""

from __future__ import annotations

from estimator.expressions.functions import choose, either, rounded, rounded_up, share
from estimator.expressions.nodes import Constant, Expression, total
from estimator.expressions.tables import Model, Table
from estimator.units import unit

NOTHING = Constant(unit("1"), frozenset(), 0)
NO_PRICE, NO_PACK, COMPLETE = "no price yet", "say how many in a pack", "complete"


def request_model() -> Model:
    """What a supplier gets: what is asked, and cells for the answer."""
    model = Model()
    asked = model.table("request", "Price request", "Request", "What is asked for.", kind="form")
    for name, label, note in (
        ("number", "Request", "Please keep it in your answer."),
        ("kind", "For", "What kind of goods."),
        ("shop", "From", "Who asks."),
        ("job", "Job", "What it is for."),
        ("place", "Delivery to", "Freight to this place is to be in the price."),
        ("needed_by", "Needed by", "At the place of delivery."),
        ("currency", "Currency", "Prices are in this currency, without tax."),
        ("check", "Check", "Tells whether what is asked has been changed; please leave it."),
    ):
        asked.label(name, label, note)
    answer = model.table(
        "answer", "Your answer", "Request", "Fill in the straw cells, here and below.", kind="form"
    )
    answer.input("supplier", "Your firm", "text", "Who offers.", optional=True)
    answer.input("contact", "Contact", "text", "Whom to ask.", optional=True)
    answer.input("day", "Date", "text", "Of your offer, as 2026-11-25.", optional=True)
    answer.input("valid_until", "Valid until", "text", "As 2026-12-25.", optional=True)
    _define_lines(model)
    return model


def _define_lines(model: Model) -> None:
    lines = model.table(
        "lines", "Items", "Items",
        "Another pack is welcome: say how many are in it, and its price.",
    )  # fmt: skip
    lines.label("key", "Item", "Our short name; please leave it.")
    lines.label("name", "Name", "As we know it.")
    lines.label("sold_as", "Usually sold as", "How we have bought it.")
    quantity = lines.planned("quantity", "Quantity", "each", "How many we need.", show="whole")
    lines.label("counted_in", "Counted in", "What the quantity counts.")
    price = lines.input(
        "price",
        "Price of a pack",
        "money/pack",
        "Delivered, without tax.",
        show="cents",
        optional=True,
    )
    pack = lines.input(
        "pack", "In a pack", "each/pack", "How many are sold together; 1 if singly.",
        show="whole", optional=True,
    )  # fmt: skip
    lines.input(
        "lead", "Lead time", "week", "Weeks from order to arrival; 0 from stock.",
        show="whole", optional=True,
    )  # fmt: skip
    lines.input("remark", "Remark", "text", "Anything we should know.", optional=True)
    define_amount(lines, quantity, price, pack)
    has_pack = choose(either(pack < 1, price <= 0), NO_PACK, COMPLETE)
    state = choose(price <= 0, NO_PRICE, has_pack)
    lines.quantity("state", "State", "text", state, "Whether the line is complete.")
    sums = model.table("sums", "In all", "Items", "Of the lines with price and pack.", kind="form")
    sums.quantity("amount", "Amount", "money", total(lines["amount"]), "Sum of the lines.")


def define_amount(table: Table, quantity: Expression, price: Expression, pack: Expression) -> None:
    """Whole packs for a quantity, and what they cost."""
    packs = rounded_up(share(quantity, pack), SIX)
    table.quantity("packs", "Packs", "pack", packs, "Whole packs for the quantity.", show="whole")
    amount = rounded(table["packs"] * price, CENTS)
    table.quantity("amount", "Amount", "money", amount, "Packs times price.")


CENTS = Constant(unit("1"), frozenset(), 2)
SIX = Constant(unit("1"), frozenset(), 6)
