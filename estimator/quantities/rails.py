"""Rails: pieces with joints on studs, feet, studs crossed and screws."""

from __future__ import annotations

from estimator.expressions.functions import choose, larger, rounded_down, rounded_up, share
from estimator.expressions.nodes import Constant, Expression, total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem, unit

ONE_STUD = Constant(unit("stud/room"), frozenset(), 1)
ONE_PIECE = Constant(unit("piece/room"), frozenset(), 1)


def define_rails(model: Model, system: UnitSystem) -> None:
    """Per run what one room needs, then all rooms; then all runs of a profile."""
    _define_stock(model, system)
    _define_piecing(model, system)
    _define_fixing(model)
    _define_all_rooms(model, system)
    _define_profiles(model, system)


def _define_stock(model: Model, system: UnitSystem) -> None:
    materials, profiles, terms = model["materials"], model["profiles"], model["terms"]
    trimmed = materials["length"] - terms["trim"] - terms["trim"]
    materials.quantity(
        "usable",
        "Usable length",
        system.length,
        choose(materials["form"] == "sheet", trimmed, materials["length"]),
        "After both ends of a sheet are trimmed.",
        show="length",
    )
    profiles.quantity(
        "stock",
        "Longest piece",
        system.length,
        profiles.via("material", materials["usable"]),
        "That the material gives.",
        show="length",
    )


def _define_piecing(model: Model, system: UnitSystem) -> None:
    """A run longer than the stock is pieced: first, middle and last pieces, joints on studs."""
    runs, profiles, terms = model["runs"], model["profiles"], model["terms"]
    spacing, guard = runs["spacing"], terms["guard"]
    stock = runs.quantity(
        "stock",
        "Longest piece",
        system.length,
        runs.via("profile", profiles["stock"]),
        "That the profile's material gives.",
        show="length",
    )
    end = terms["end_distance"]
    runs.quantity(
        "start",
        "First if pieced",
        system.length,
        end + rounded_down((stock - end) / spacing, guard) * spacing,
        "The longest first piece that ends on a stud.",
        show="length",
    )
    runs.quantity(
        "middle",
        "Middle piece",
        system.length,
        rounded_down(stock / spacing, guard) * spacing,
        "The longest piece from stud to stud.",
        show="length",
    )
    _define_pieces(model, system)


def _define_pieces(model: Model, system: UnitSystem) -> None:
    """How many pieces a run is made of, and how long each is."""
    runs, guard = model["runs"], model["terms"]["guard"]
    length, stock, start, middle = (runs[each] for each in ("length", "stock", "start", "middle"))
    after = rounded_up(share(length - start, middle), guard).number_of("piece/room")
    pieces = runs.quantity(
        "pieces",
        "Pieces",
        "piece/room",
        choose(length <= stock, ONE_PIECE, after + ONE_PIECE),
        "Pieces that make up the run in one room.",
        show="whole",
    )
    first = runs.quantity(
        "first",
        "First piece",
        system.length,
        choose(length <= stock, length, start),
        "Length of the first piece; the whole run if it is in one.",
        show="length",
    )
    middles = runs.quantity(
        "middles",
        "Middle pieces",
        "piece/room",
        larger(pieces - ONE_PIECE - ONE_PIECE, 0),
        "Between the first and the last.",
        show="whole",
    )
    runs.quantity(
        "last",
        "Last piece",
        system.length,
        choose(pieces == ONE_PIECE, 0, length - first - middle * middles.number_of("1")),
        "What is left after the others; 0 if the run is in one piece.",
        show="length",
    )


def _define_fixing(model: Model) -> None:
    """The studs a run of usable length L crosses at spacing s: L/s rounded down, or one more."""
    runs, profiles, terms = model["runs"], model["profiles"], model["terms"]
    usable = larger(runs["length"] - terms["end_distance"] - terms["end_distance"], 0)
    fewest = runs.quantity(
        "fewest",
        "Fewest studs",
        "stud/room",
        rounded_down(usable / runs["spacing"], terms["guard"]).number_of("stud/room"),
        "That the run is sure to cross, wherever the studs fall.",
        show="whole",
    )
    most = runs.quantity(
        "most",
        "Most studs",
        "stud/room",
        fewest + ONE_STUD,
        "That the run can cross.",
        show="whole",
    )
    joints = (runs["pieces"] - ONE_PIECE).number_of("stud/room")
    runs.quantity(
        "fixings",
        "Fixed at",
        "stud/room",
        choose(terms["crossing"] == "yes", most, fewest) + joints,
        "Studs priced, and once more at every joint, where two pieces meet on a stud.",
        show="whole",
    )
    per_stud = runs.via("profile", profiles["screws_per_stud"])
    runs.quantity(
        "screws", "Screws", "each/room", runs["fixings"] * per_stud, "In one room.", show="whole"
    )


def _define_all_rooms(model: Model, system: UnitSystem) -> None:
    runs, types = model["runs"], model["types"]
    rooms = runs.quantity(
        "rooms",
        "Rooms",
        "room",
        runs.via("room_type", types["rooms"]),
        "Rooms to make of the type.",
        show="whole",
    )
    runs.quantity(
        "feet",
        "Rail",
        system.run,
        runs["length"].per("room").to(f"{system.run}/room") * rooms,
        "In all rooms.",
        show="decimal",
    )
    one_a_room = rooms.number_of("piece")
    for piece, needed, label, used in (
        ("first_piece", "first_needed", "First", one_a_room),
        ("middle_piece", "middle_needed", "Middle", runs["middles"] * rooms),
        ("last_piece", "last_needed", "Last", choose(runs["last"] > 0, one_a_room, 0)),
    ):
        key = runs.label(piece, f"{label}: piece", "Its row on the sheet Pieces.")
        runs.quantity(
            needed,
            f"{label}: needed",
            "piece",
            choose(key == "", 0, used),
            "Pieces of this length for all rooms.",
            show="whole",
        )
    types.quantity(
        "rail",
        "Rail",
        system.run,
        total(runs["feet"], runs["room_type"] == types["key"]),
        "In all rooms of this type.",
        show="decimal",
    )


def _define_profiles(model: Model, system: UnitSystem) -> None:
    runs, profiles = model["runs"], model["profiles"]

    def of_all_runs(each: Expression) -> Expression:
        return total(each, runs["profile"] == profiles["key"])

    profiles.quantity(
        "feet", "Rail", system.run, of_all_runs(runs["feet"]), "In all rooms.", show="decimal"
    )
    for of_profile, of_run, label, unit_text, per_room in (
        ("pieces", "all_pieces", "Rail pieces", "piece", runs["pieces"]),
        ("studs", "all_studs", "Studs", "stud", runs["fixings"]),
        ("screws", "all_screws", "Screws", "each", runs["screws"]),
    ):
        in_all = per_room * runs["rooms"]
        runs.quantity(
            of_run, f"{label}, all rooms", unit_text, in_all, "In all rooms.", show="whole"
        )
        profiles.quantity(
            of_profile, label, unit_text, of_all_runs(runs[of_run]), "In all rooms.", show="whole"
        )
