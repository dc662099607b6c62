"""Access: heights and depth of what hangs, reach, mirrors, head room; how many accessible rooms.

The figures are those of the 2010 ADA Standards, on the sheet Limits. The tool flags; whoever has
jurisdiction decides, and other places have other rules.
"""

from __future__ import annotations

from estimator.expressions.functions import (
    both,
    choose,
    either,
    larger,
    rounded,
    rounded_down,
    rounded_up,
    share,
    smaller,
)
from estimator.expressions.nodes import Constant, Expression, largest, total
from estimator.expressions.tables import Model, Table
from estimator.units import UnitSystem, unit

ONE_ROOM = Constant(unit("room"), frozenset(), 1)


def define_access(model: Model, system: UnitSystem) -> None:
    """Heights of every module in a room and what is wrong with them; then accessible rooms."""
    _define_flags(model, system)
    _define_heights(model, system)
    _define_juts(model)
    _define_reach(model, system)
    _define_rooms(model)


def _define_flags(model: Model, system: UnitSystem) -> None:
    """Words as numbers, since a look-up across tables adds up numbers."""
    runs, types, modules, access = model["runs"], model["types"], model["modules"], model["access"]
    accessible = choose(types["mobility"] == "no", 0, 1)
    types.quantity("accessible", "Accessible", "1", accessible, "1 with mobility features.")
    for name, label, word in (
        ("over_path", "Over a path", "path"),
        ("over_furniture", "Over furniture", "furniture"),
    ):
        here = choose(runs["over"] == word, 1, 0)
        runs.quantity(name, label, "1", here, "As typed under “Stands over”, as a number.")
    reached = choose(modules["purpose"] == "reached", 1, 0)
    modules.quantity("reached", "Reached", "1", reached, "1 if it is taken from by hand.")
    over_counter = choose(modules["purpose"] == "counter-mirror", access["counter_mirror"], 0)
    modules.quantity(
        "glass_most",
        "Glass at most",
        system.length,
        choose(modules["purpose"] == "mirror", access["mirror"], over_counter),
        "How high a mirror's glass may begin; 0 for what is no mirror.",
        show="length",
    )


def _define_heights(model: Model, system: UnitSystem) -> None:
    contents, modules, runs = model["contents"], model["modules"], model["runs"]
    contents.quantity(
        "hangs", "On a rail", "1", choose(contents["run"] == "", 0, 1), "1 if its rail is named."
    )
    edge = contents.via("run", runs["bottom"]) + contents.via("run", runs["rail_width"])
    for name, label, height, note in (
        ("top", "Top", edge + contents.via("module", modules["above"]), "Over the floor."),
        ("bottom", "Bottom", edge - contents.via("module", modules["drop"]), "Over the floor."),
    ):
        contents.quantity(name, label, system.length, height, note, show="length")
    used_from = contents["bottom"] + contents.via("module", modules["sill"])
    contents.quantity(
        "used_from",
        "Used from",
        system.length,
        used_from,
        "Height of the lowest thing reached, or of a mirror's glass.",
        show="length",
    )


def _define_juts(model: Model) -> None:
    """Over a path, nothing juts out far between knee and head; over furniture, heads have room."""
    contents, modules, runs = model["contents"], model["modules"], model["runs"]
    access, guard = model["access"], model["terms"]["guard"]
    bottom = rounded(contents["bottom"], guard)
    deep = contents.via("module", modules["depth"]) > access["juts_most"]
    between = both(bottom > access["juts_above"], bottom <= access["juts_upto"])
    over_path = contents.via("run", runs["over_path"]) > 0
    _flag(
        contents, "juts", "Juts out", both(over_path, both(deep, between)),
        "1 if it juts out too far over a path.",
    )  # fmt: skip
    low = both(contents.via("run", runs["over_furniture"]) > 0, bottom < access["head_room"])
    _flag(contents, "bumps", "Head room", low, "1 if heads may bump against it.")


def _define_reach(model: Model, system: UnitSystem) -> None:
    runs, reaches, contents, types = (
        model[name] for name in ("runs", "reaches", "contents", "types")
    )
    access, modules, guard = model["access"], model["modules"], model["terms"]["guard"]
    step = runs.quantity(
        "reach_over",
        "Reach: step",
        system.length,
        largest(
            reaches["over"],
            reaches["approach"] == runs["approach"],
            reaches["over"] < runs["obstacle"],
        ),
        "The step of the table of reaches that its obstacle comes to.",
        show="length",
    )
    runs.quantity(
        "reach",
        "Highest reach",
        system.length,
        total(reaches["highest"], reaches["approach"] == runs["approach"], reaches["over"] == step),
        "Over what stands in the way.",
        show="length",
    )
    top, used_from = rounded(contents["top"], guard), rounded(contents["used_from"], guard)
    outside = either(used_from < access["reach_low"], top > contents.via("run", runs["reach"]))
    hangs = both(contents["hangs"] > 0, contents.via("room_type", types["accessible"]) > 0)
    reached = both(hangs, contents.via("module", modules["reached"]) > 0)
    _flag(
        contents, "unreached", "Out of reach", both(reached, outside),
        "1 if it is out of reach in an accessible room.",
    )  # fmt: skip
    glass = contents.via("module", modules["glass_most"])
    _flag(
        contents, "glass_high", "Glass too high", both(hangs, both(glass > 0, used_from > glass)),
        "1 if a mirror begins too high in an accessible room.",
    )  # fmt: skip


def _flag(table: Table, name: str, label: str, fault: Expression, note: str) -> None:
    table.quantity(name, label, "1", choose(fault, 1, 0), note)


# --- Accessible rooms -----------------------------------------------------------------------------


def _define_rooms(model: Model) -> None:
    """What the tables ask of so many guest rooms, what is marked, and what is short."""
    rooms = model.table(
        "accessible",
        "Accessible rooms",
        "Safety",
        "What 2010 ADA Standards 224.2 and 224.4 ask of one property, all of it new. Whoever has "
        "jurisdiction decides; for altered rooms see 224.1.1.",
        kind="form",
    )
    _define_needed(model, rooms)
    _define_marked(model, rooms)
    _define_short(rooms)


def _define_needed(model: Model, rooms: Table) -> None:
    types, steps, guard = model["types"], model["steps"], model["terms"]["guard"]
    guests = rooms.quantity(
        "guest_rooms", "Guest rooms", "room",
        total(types["counted"], types["guest_room"] == "yes"), "As counted.", show="whole",
    )  # fmt: skip
    step = rooms.quantity(
        "step", "Step", "room", largest(steps["from_rooms"], steps["from_rooms"] <= guests),
        "The step of the table that is reached.", show="whole",
    )  # fmt: skip

    def at_step(name: str) -> Expression:
        return total(steps[name], steps["from_rooms"] == step)

    begun = rooms.quantity(
        "begun", "Hundreds begun", "1",
        rounded_up(share(guests - step + ONE_ROOM, at_step("each")), guard),
        "Over the last step, if it goes by hundreds.", show="whole",
    )  # fmt: skip
    for name, share_of_all, more, part, label in (
        ("tub", "tub_share", "tub_more", "tub_part", "without roll-in"),
        ("roll_in", "roll_in_share", "roll_in_more", "roll_in_part", "with roll-in"),
        ("communication", "communication_share", "communication_more", "communication_part",
         "communication"),
    ):  # fmt: skip
        by_share = rooms.quantity(
            part, f"Share, {label}", "room",
            rounded_up(at_step(share_of_all) * guests, guard), "Rounded up.", show="whole",
        )  # fmt: skip
        needed = at_step(name) + by_share + at_step(more) * begun
        rooms.quantity(name, f"Needed, {label}", "room", needed, "By the table.", show="whole")
    rooms.quantity(
        "mobility", "Needed, mobility", "room", rooms["tub"] + rooms["roll_in"],
        "Both columns; rounded up apart they are never less than the table's total.", show="whole",
    )  # fmt: skip


def _define_marked(model: Model, rooms: Table) -> None:
    types = model["types"]

    def marked(**words: str) -> Expression:
        tests = [types[name] == word for name, word in {"guest_room": "yes", **words}.items()]
        return total(types["counted"], *tests)

    both_kinds = marked(mobility="tub", communication="yes") + marked(
        mobility="roll-in", communication="yes"
    )
    for name, label, count in (
        ("has_tub", "Marked, without roll-in", marked(mobility="tub")),
        ("has_roll_in", "Marked, with roll-in", marked(mobility="roll-in")),
        ("has_both", "Marked, mobility and communication", both_kinds),
        ("has_other", "Marked, communication only", marked(mobility="no", communication="yes")),
    ):
        rooms.quantity(name, label, "room", count, "By the room types.", show="whole")
    most = rounded_down(rooms["mobility"] * model["access"]["both_share"], model["terms"]["guard"])
    rooms.quantity(
        "has_communication", "Counted, communication", "room",
        rooms["has_other"] + smaller(rooms["has_both"], most),
        "At most a tenth of the mobility rooms needed count here too (224.5).", show="whole",
    )  # fmt: skip


def _define_short(rooms: Table) -> None:
    has_mobility = rooms["has_tub"] + rooms["has_roll_in"]
    for name, label, needed, has in (
        ("mobility_short", "Short, mobility", rooms["mobility"], has_mobility),
        ("roll_in_short", "Short, roll-in", rooms["roll_in"], rooms["has_roll_in"]),
        (
            "communication_short", "Short, communication",
            rooms["communication"], rooms["has_communication"],
        ),
    ):  # fmt: skip
        rooms.quantity(name, label, "room", larger(needed - has, 0), "Rooms to add.", show="whole")
    none = both(rooms["mobility"] > 0, rooms["has_both"] == 0)
    rooms.quantity(
        "both_short", "Short, both in one", "room", choose(none, ONE_ROOM, 0),
        "At least one room has mobility and communication features (224.5).", show="whole",
    )  # fmt: skip
