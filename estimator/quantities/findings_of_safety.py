"""Checks of strength, access and materials: what was calculated, how, and who decides."""

from __future__ import annotations

from estimator.expressions.functions import choose
from estimator.expressions.nodes import Expression, total
from estimator.expressions.tables import Model
from estimator.quantities.check import FAIL, REVIEW, Check

ENGINEER = "A licensed engineer decides."
AUTHORITY = "The authority having jurisdiction decides."


def safety_findings(model: Model) -> list[Check]:
    """All of them, in the order in which a maker would ask."""
    return [
        *_of_rails(model),
        *_of_places_on_rails(model),
        *_of_cleats(model),
        *_of_shelves(model),
        *_of_heights(model),
        *_of_accessible_rooms(model),
        *_of_materials(model),
    ]


def _of_rails(model: Model) -> list[Check]:
    runs = model["runs"]
    return [
        Check(
            "rails_hold",
            "Rails: screws hold what hangs on them",
            total(runs["overloaded"]),
            FAIL,
            "By W e / h, withdrawal (wood: 2850 G² D an inch, NDS 12.2) and Hankinson's form, the "
            f"screws of a run are used over 100 %. {ENGINEER}",
            "See “Used” on Rails: more screws, longer ones, more studs or backing, or less load.",
        ),
        Check(
            "rails_meet_studs",
            "Rails: every run is sure to meet a stud",
            total(runs["unmet"]),
            FAIL,
            "A run shorter than its stud spacing may miss every stud; wallboard holds nothing.",
            "Lengthen the run, or put backing in the wall and type its spacing.",
        ),
        Check(
            "rails_known",
            "Rails: walls with a value for wood screws",
            total(runs["unheld"]),
            REVIEW,
            "Steel studs and masonry have no value for a wood screw, so these rails are not "
            f"calculated. {ENGINEER}",
            "Ask for backing, or for anchors chosen for that wall.",
        ),
    ]


def _of_places_on_rails(model: Model) -> list[Check]:
    runs, contents = model["runs"], model["contents"]
    astray = choose(contents["run"] == "", choose(contents["each"] > 0, 1, 0), 0)
    contents.quantity(
        "unhung", "On no rail", "1", astray, "1 if it names no rail to be checked on."
    )
    return [
        Check(
            "rails_two_studs",
            "Rails: every run is sure to meet two studs",
            total(runs["single"]),
            REVIEW,
            "A run that meets one stud only can turn about it.",
            "Lengthen the run, or put backing in the wall.",
        ),
        Check(
            "rails_room",
            "Rails: modules fit beside one another",
            total(runs["crowded"]),
            REVIEW,
            "The modules on a rail are wider together than the rail.",
            "See “Width taken” on Rails: lengthen the rail, or hang less on it.",
        ),
        Check(
            "modules_hung",
            "Modules: each names its rail",
            total(contents["unhung"]),
            REVIEW,
            "A module names no rail, so its strength, height and reach are not checked.",
            "Enter its rail on the sheet Contents.",
        ),
    ]


def _of_cleats(model: Model) -> list[Check]:
    return [
        Check(
            "cleats_hook",
            "Cleats: each module hooks its rail",
            total(model["contents"]["unhooked"]),
            FAIL,
            "A module has no bevelled part, or cleat and rail hook less than the least engagement "
            "(thickness times the bevel's slope; the limit is our own).",
            "Give it a bevelled cleat of thicker stock, or make the bevel steeper.",
        ),
        Check(
            "modules_stay",
            "Modules: a tug does not swing them off",
            total(model["modules"]["swings"]),
            REVIEW,
            "A module is not locked, and a tug at its lower edge turns it about the rail against "
            "its own weight.",
            "Lock it with a screw or a catch, and say so on the sheet Modules.",
        ),
    ]


def _of_shelves(model: Model) -> list[Check]:
    parts = model["parts"]
    return [
        Check(
            "shelves_hold",
            "Shelves: sag and bending",
            total(parts["sags"]),
            FAIL,
            "By 5 w L^4 / (384 E I), with creep, a board sags more than its limit, or w L² / 8 "
            f"bends it over what its material allows. {ENGINEER}",
            "See “Longest span” on Parts: shorten it, support it, thicken it, or load it less.",
        ),
        Check(
            "shelves_known",
            "Shelves: materials with stiffness and bending",
            total(parts["unproved"]),
            REVIEW,
            "A board carries things, but its material has no stiffness or no bending figure.",
            "Enter both on the sheet Materials, from the maker's data.",
        ),
    ]


def _of_heights(model: Model) -> list[Check]:
    contents = model["contents"]
    return [
        Check(
            "paths_clear",
            "Paths: nothing juts out between knee and head",
            total(contents["juts"]),
            FAIL,
            "Over a path, more than 4 in deep with its lower edge over 27 in and up to 80 in (2010 "
            f"ADA Standards, 307.2). {AUTHORITY}",
            "Make it shallower, hang it lower or over furniture, or move it out of the path.",
        ),
        Check(
            "reach_kept",
            "Accessible rooms: things are within reach",
            total(contents["unreached"]),
            FAIL,
            "In a room with mobility features, below 15 in or above the highest reach (2010 ADA "
            f"Standards, 308). {AUTHORITY}",
            "Change the height of the rail, or clear what stands in the way.",
        ),
        Check(
            "mirrors_low",
            "Accessible rooms: mirrors are low enough",
            total(contents["glass_high"]),
            FAIL,
            "In a room with mobility features, a mirror's glass begins over 35 in, or over 40 in "
            f"above a counter (2010 ADA Standards, 603.3). {AUTHORITY}",
            "Lower its rail.",
        ),
        Check(
            "heads_clear",
            "Beds, seats and desks: room for heads",
            total(contents["bumps"]),
            REVIEW,
            "A module over furniture begins below the head room on Limits, our own choice.",
            "Hang it higher, or say that its run stands aside of where people sit and lie.",
        ),
    ]


def _of_accessible_rooms(model: Model) -> list[Check]:
    rooms = model["accessible"]

    def short(name: str) -> Expression:
        return rooms[name].number_of("1")

    return [
        Check(
            "rooms_mobility",
            "Accessible rooms: mobility features",
            short("mobility_short"),
            FAIL,
            "Fewer rooms with mobility features than 2010 ADA Standards, table 224.2, asks of so "
            f"many guest rooms. {AUTHORITY}",
            "Add such rooms, see Safety; where only some rooms are altered, ask (224.1.1).",
        ),
        Check(
            "rooms_roll_in",
            "Accessible rooms: roll-in showers",
            short("roll_in_short"),
            FAIL,
            "Fewer mobility rooms with a roll-in shower than 2010 ADA Standards, table 224.2, "
            f"asks. {AUTHORITY}",
            "Add such rooms, see Safety; where only some rooms are altered, ask (224.1.1).",
        ),
        Check(
            "rooms_communication",
            "Accessible rooms: communication features",
            short("communication_short") + short("both_short"),
            FAIL,
            "Fewer rooms with communication features than 2010 ADA Standards, table 224.4, asks, "
            f"or none that has mobility features too (224.5). {AUTHORITY}",
            "Add such rooms, see Safety; where only some rooms are altered, ask (224.1.1).",
        ),
    ]


def _of_materials(model: Model) -> list[Check]:
    return [
        Check(
            "panels_labelled",
            "Panels: emission labels",
            total(model["materials"]["unlabelled"]),
            REVIEW,
            "A glued panel is ordered whose supplier has not stated its emission label (in the "
            "United States 40 CFR 770: as panel, part or finished good).",
            "Ask the supplier for it, then type “stated” on the sheet Materials.",
        ),
        Check(
            "walls_covered",
            "Walls: share that is covered",
            total(model["types"]["clad"]),
            REVIEW,
            "Rails and fronts cover so much of a room's walls that a class of surface burning (A, "
            f"B or C by ASTM E84) may be asked for. {AUTHORITY}",
            "Ask which class is wanted, and the suppliers of panel and finish for theirs.",
        ),
        Check(
            "lifts_alone",
            "Modules: one person can hang them",
            total(model["modules"]["awkward"]),
            REVIEW,
            "By the revised lifting equation (NIOSH 94-110), for the lift on the sheet Limits, a "
            "module weighs more than is recommended for one.",
            "Plan two people or a lift.",
        ),
    ]
