"""The answers to a request for quotation side by side, for the office."""

from __future__ import annotations

from estimator.expressions.functions import choose, rounded, share
from estimator.expressions.nodes import smallest
from estimator.expressions.tables import Model
from estimator.quantities.small_models.request import CENTS, define_amount

LOWEST, AWARDED, HIGHER = "lowest", "awarded", ""


def bids_model() -> Model:
    """Every complete line of every answer, with what it comes to and which is the lowest."""
    model = Model()
    bids = model.table("bids", "Bids", "Bids", "Every complete line of every answer, by item.")
    item = bids.label("item", "Item", "Its short name.")
    bids.label("name", "Name", "As shown.")
    bids.label("supplier", "Supplier", "Who offers it.")
    quantity = bids.planned("quantity", "Quantity", "each", "Needed now.", show="whole")
    price = bids.planned("price", "Price of a pack", "money/pack", "As offered.", show="cents")
    pack = bids.planned("pack", "In a pack", "each/pack", "As offered.", show="whole")
    bids.planned("lead", "Lead time", "week", "As offered.", show="whole")
    each = share(price, pack)
    bids.quantity("each", "Price of one", "money/each", each, "Price over pack.", show="decimal")
    bids.quantity(
        "rate", "To the cent", "money/each", rounded(each, CENTS),
        "Price of one, as it goes into the rates of what is not sold by the pack.",
    )  # fmt: skip
    define_amount(bids, quantity, price, pack)
    least = smallest(bids["amount"], bids["item"] == item)
    bids.quantity("least", "Lowest for it", "money", least, "Of all bids for the item.")
    lowest = choose(rounded(bids["amount"] - bids["least"], CENTS) <= 0, LOWEST, HIGHER)
    bids.quantity("lowest", "Lowest", "text", lowest, "Marks the lowest amount.")
    bids.label("awarded", "Awarded", "Marks the bid that is taken.")
    bids.label("remark", "Remark", "The supplier's own words.")
    return model
