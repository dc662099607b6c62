"""Sheets and bought lengths: pieces to cut, the plan's count, the live count, cost, weight.

The live count rests on the prices of the plan. For every price vector y that the planner found,
y · demand is a proven least number of sheets for any demand at all; the largest of them is the
bound. While nothing has moved since the plan, the plan's own count is ordered; once something has,
the bound with the measured margin is.
"""

from __future__ import annotations

from estimator.expressions.functions import both, choose, larger, rounded, rounded_up, share
from estimator.expressions.nodes import Column, Expression, largest, total
from estimator.expressions.tables import Model, Table
from estimator.units import UnitSystem


def define_stock(model: Model, system: UnitSystem) -> None:
    """Pieces, then what they need of each material."""
    _define_pieces(model, system)
    _define_order(model, system)
    _define_cost(model, system)


DUAL_VALUES = (
    "price_1", "price_2", "price_3", "price_4", "price_5", "price_6", "price_7", "price_8",
    "price_9", "price_10", "price_11", "price_12", "price_13", "price_14", "price_15", "price_16",
)  # fmt: skip
"""The columns of dual values on the sheet Pieces, one for each room mix they were taken at."""
BOUNDS = (
    "bound_1", "bound_2", "bound_3", "bound_4", "bound_5", "bound_6", "bound_7", "bound_8",
    "bound_9", "bound_10", "bound_11", "bound_12", "bound_13", "bound_14", "bound_15", "bound_16",
)  # fmt: skip
"""What each of them proves, on the sheet Materials."""


def _define_pieces(model: Model, system: UnitSystem) -> None:
    parts, runs = model["parts"], model["runs"]
    pieces = model.table(
        "pieces",
        "Pieces",
        "Pieces",
        "Every size that is cut: what is needed now, what the plan cuts, and its share of a sheet.",
    )
    key = pieces.label("key", "Piece", "The part, or the rail piece.", refers_to=["parts"])
    pieces.label("name", "Name", "What it is.")
    pieces.label("material", "Material", "What it is cut from.", refers_to=["materials"])
    pieces.label("profile", "Profile", "Of a rail piece.", refers_to=["profiles"])
    length = pieces.planned("length", "Length", system.length, "As planned.", show="length")
    width = pieces.planned("width", "Width", system.length, "As planned.", show="length")
    pieces.planned("grain", "Grain", "text", "As planned: along, or any.")
    pieces.planned("bevelled", "Bevelled", "text", "As planned: yes or no.")
    rail_pieces = (
        total(runs[needed], runs[piece] == key)
        for needed, piece in (
            ("first_needed", "first_piece"),
            ("middle_needed", "middle_piece"),
            ("last_needed", "last_piece"),
        )
    )
    needed: Expression = pieces.via("key", parts["needed"]).number_of("piece")
    for more in rail_pieces:
        needed = needed + more
    pieces.quantity(
        "needed", "Needed", "piece", needed, "For the counts as they stand.", show="whole"
    )
    pieces.planned("planned_for", "Planned for", "piece", "Needed when planned.", show="whole")
    pieces.planned("cut", "Plan cuts", "piece", "What the cut plan makes.", show="whole")
    moved = choose(pieces["needed"] == pieces["planned_for"], 0, 1)
    pieces.quantity("moved", "Moved", "1", moved, "1 if the need has changed since the plan.")
    short = larger(pieces["needed"] - pieces["cut"], 0)
    pieces.quantity(
        "short", "Short", "piece", short, "What the cut plan does not make.", show="whole"
    )
    area = (length * width).per("piece").to(f"{system.area}/piece")
    pieces.quantity(
        "area",
        "Area",
        system.area,
        area * pieces["needed"],
        "Of all that is needed.",
        show="decimal",
    )
    _define_dual_values(model)


def _define_dual_values(model: Model) -> None:
    pieces = model["pieces"]
    for number, name in enumerate(DUAL_VALUES, start=1):
        pieces.planned(
            name,
            f"Price {number}",
            "stock/piece",
            f"Share of a sheet or length that a piece takes, in room mix {number} of the planner.",
        )


def _define_order(model: Model, system: UnitSystem) -> None:
    materials, pieces = model["materials"], model["pieces"]
    key, instead = materials["key"], materials["stands_in_for"]
    cut_as = materials.quantity(
        "cut_as",
        "Cut as",
        "text",
        choose(instead == "", key, instead),
        "Whose pieces it is cut into.",
    )

    def of_pieces(each: Expression) -> Expression:
        return total(each, pieces["material"] == cut_as)

    materials.quantity(
        "pieces", "Pieces", "piece", of_pieces(pieces["needed"]), "Needed now.", show="whole"
    )
    materials.quantity(
        "area", "Area", system.area, of_pieces(pieces["area"]), "Of all pieces.", show="decimal"
    )
    materials.planned("planned", "Planned", "stock", "What the cut plan uses.", show="whole")
    materials.planned(
        "least", "Proven least", "stock", "No plan for those counts can use fewer.", show="decimal"
    )
    materials.planned(
        "margin_share", "Margin", "1", "Added to the live bound, as measured.", show="percent"
    )
    materials.planned(
        "margin_whole", "and", "stock", "Added to the live bound, as measured.", show="whole"
    )
    materials.planned(
        "cuts_each", "Cuts per piece", "cut/piece", "In the cut plan.", show="decimal"
    )
    bounds = [
        materials.quantity(
            bound,
            f"Bound {number}",
            "stock",
            of_pieces(pieces["needed"] * pieces[name]),
            f"Least number by price vector {number}.",
            show="decimal",
        )
        for number, (bound, name) in enumerate(zip(BOUNDS, DUAL_VALUES, strict=True), start=1)
    ]
    _define_ordered(materials, bounds, of_pieces(pieces["moved"]), model)


def _define_ordered(
    materials: Table, bounds: list[Column], moved: Expression, model: Model
) -> None:
    guard = model["terms"]["guard"]
    bound = materials.quantity(
        "bound",
        "Live bound",
        "stock",
        larger(bounds[0], *bounds[1:]),
        "No plan for the counts as they stand can use fewer.",
        show="decimal",
    )
    moved = materials.quantity(
        "moved", "Sizes moved", "1", moved, "Kinds of piece whose number changed.", show="whole"
    )
    margin = materials.quantity(
        "margin",
        "Margin now",
        "stock",
        bound * materials["margin_share"] + choose(bound == 0, bound, materials["margin_whole"]),
        "What is added to the bound once counts moved.",
        show="decimal",
    )
    materials.quantity(
        "order",
        "Order quantity",
        "stock",
        choose(moved == 0, materials["planned"], rounded_up(bound + margin, guard)),
        "The plan's count; once counts moved, the live bound with its margin.",
        show="whole",
    )


def _define_cost(model: Model, system: UnitSystem) -> None:
    materials, prices, terms = model["materials"], model["prices"], model["terms"]
    order = materials["order"]
    price = define_price_break(materials, prices, order.measured(), "stock")
    priced = choose(terms["whole_last_sheet"] == "yes", order, materials["bound"])
    materials.quantity(
        "priced",
        "Priced",
        "stock",
        priced,
        "Whole, or by the share used: see Terms.",
        show="decimal",
    )
    materials.quantity(
        "cost",
        "Cost",
        "money",
        rounded(materials["priced"] * price, terms["cents"]),
        "Priced quantity times price.",
    )
    materials.quantity(
        "in_price",
        "In the price",
        "money",
        choose(materials["stands_in_for"] == "", materials["cost"], 0),
        "Nothing for a material that is only an alternate.",
    )
    _define_one_of(model, system)
    _define_yield(model, system)
    _define_sheets(model)


def _define_one_of(model: Model, system: UnitSystem) -> None:
    materials = model["materials"]
    face = materials["length"] * materials["width"]
    solid = (face * materials["thickness"]).to(system.space).per("stock")
    materials.quantity(
        "weight_each",
        "Weight of one",
        f"{system.weight}/stock",
        solid * materials["density"],
        "From its size and density.",
        show="decimal",
    )


def _define_yield(model: Model, system: UnitSystem) -> None:
    """How much of what is ordered becomes pieces, and what a rule of thumb would order."""
    materials, terms = model["materials"], model["terms"]
    face, order = materials["length"] * materials["width"], materials["order"]
    whole = (face.per("stock")).to(f"{system.area}/stock") * order
    materials.quantity(
        "yield",
        "Yield",
        "1",
        share(materials["area"], whole),
        "Area of the pieces over the area of what is ordered.",
        show="percent",
    )
    usual = share(materials["area"], face.to(system.area) * terms["waste_yield"])
    materials.quantity(
        "usual",
        "By usual yield",
        "stock",
        rounded_up(usual, terms["guard"]).number_of("stock"),
        "Only for comparison: what area over a usual yield would give.",
        show="whole",
    )


def _define_sheets(model: Model) -> None:
    """Sheets ordered, and the cuts in them."""
    materials = model["materials"]
    order, instead = materials["order"], materials["stands_in_for"]
    ordered = choose(instead == "", order, 0)
    sheets = choose(materials["form"] == "sheet", ordered, 0)
    materials.quantity(
        "sheets", "Sheets", "stock", sheets, "Ordered as sheets, alternates aside.", show="whole"
    )
    at_all = choose(sheets > 0, 1, 0).number_of("stock")
    materials.quantity(
        "cut_at_all", "Cut", "stock", at_all, "1 if sheets of it are cut.", show="whole"
    )
    materials.quantity(
        "cuts",
        "Cuts",
        "cut",
        choose(instead == "", materials["cuts_each"] * materials["pieces"], 0),
        "In all sheets, at so many a piece.",
        show="whole",
    )


def define_price_break(bought: Table, prices: Table, quantity: Expression, counted: str) -> Column:
    """The columns that read a price from the quantity: the break reached, its price, and a gap.

    bought: a table with a key column. quantity: in units of measure. Returns the price column,
    money per `counted`.
    """
    reached = bought.quantity(
        "price_from",
        "Price from",
        "measure",
        largest(
            prices["from_quantity"],
            prices["item"] == bought["key"],
            prices["from_quantity"] <= quantity,
        ),
        "The largest quantity on the sheet Prices that is reached.",
        show="whole",
    )
    price = total(
        prices["price"], prices["item"] == bought["key"], prices["from_quantity"] == reached
    )
    price_each = bought.quantity(
        "price_each",
        "Price each",
        f"money/{counted}",
        price.number_of(f"money/{counted}"),
        "At that quantity.",
    )
    gap = both(quantity > 0, price_each == 0)
    bought.quantity(
        "unpriced", "No price", "1", choose(gap, 1, 0), "1 if it is needed and has no price."
    )
    return price_each
