"""The site copy: an install sheet for each room type, and what is delivered to each floor.

It names no price, no wage and no supplier.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from markupsafe import Markup

from estimator.copies.kits import SITE, KitLine, kit_of
from estimator.documents.figures import Figures, figures_of, rows
from estimator.documents.pages import page
from estimator.documents.rooms import modules_in_room
from estimator.drawing.wall import Hung, Wall, scale_of, screw_heights, wall_svg
from estimator.estimate import Estimate
from estimator.project.lengths import format_length
from estimator.project.lookup import by_key
from estimator.project.records import Content, RailRun
from estimator.structure import exact

TOOLS = (
    "Stud finder, and a fine bit to make sure of each stud",
    "Level as long as the longest rail piece, or a laser line",
    "Tape, pencil, masking tape",
    "Driver with the bit of the screws, drill with a pilot bit and a countersink",
    "Finder for pipes and cables",
    "Two-step ladder, vacuum cleaner, cloths",
    "Eye protection, gloves for carrying, mask for dust",
)
"""Common practice, no source."""
STEPS = (
    "Find and mark the studs over the whole wall; trace pipes and cables.",
    "Mark the rail's lower edge level at the height of the drawing.",
    "Fix the rail into every stud it crosses, bevel up and toward the wall, joints on a stud.",
    "Hang the modules in the order of the drawing; drive their lock screws; press the pads on.",
    "Try each module by hand; sweep the room; sign below.",
)


@dataclass(frozen=True)
class Line:
    """A module on the list: its number in the drawing, where it hangs, what it weighs and carries.

    left: from the left end of its rail, with equal gaps. lift: says when two people lift it.
    """

    number: int
    name: str
    rail: str
    left: str
    size: str
    weight: str
    carries: str
    lift: str


@dataclass(frozen=True)
class Elevation:
    """A drawing with what is to be said below it: how it is fixed, what it bears, what to mind."""

    title: str
    drawing: Markup
    facts: str
    load: str
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """The install sheet of a room type."""

    name: str
    description: str
    rooms: str
    hours: str
    scale: int
    elevations: tuple[Elevation, ...]
    modules: tuple[Line, ...]
    kit: tuple[KitLine, ...]


@dataclass(frozen=True)
class Delivery:
    """What a floor gets: rooms by type, modules and rails with their counts."""

    name: str
    rooms: tuple[tuple[str, int], ...]
    modules: tuple[tuple[str, int], ...]
    rails: tuple[tuple[str, str, int], ...]

    @property
    def bags(self) -> int:
        """Bags of hardware: one for each room."""
        return sum(count for _, count in self.rooms)


def site_html(estimate: Estimate) -> str:
    """Install sheets and delivery lists as one page for print."""
    project = estimate.project
    show = figures_of(project.project)
    return page(
        "site.html.j2",
        facts=project.project,
        unit=show.unit_words,
        issued=show.day(project.project.issued),
        sheets=[_sheet(estimate, each) for each in rows(estimate.values["types"]) if each["rooms"]],
        deliveries=list(_deliveries(estimate)),
        tools=TOOLS,
        steps=STEPS,
        cautions=[each.text for each in project.clauses if each.kind == "caution"],
    )


def _sheet(estimate: Estimate, room: dict[str, Any]) -> Sheet:
    show = figures_of(estimate.project.project)
    runs = [each for each in estimate.project.runs if each.room_type == room["key"]]
    walls, number = [], 1
    for run in runs:
        contents = contents_of(estimate, room["key"], run.key)
        walls.append(wall_of(estimate, run, list(_hung(estimate, contents, number))))
        number += len(walls[-1].hung)
    scale = scale_of(walls)
    return Sheet(
        room["name"],
        room["description"],
        show.count(room["rooms"]),
        show.count(round(hours_of_room(estimate, room), 1)),
        scale,
        tuple(
            _elevation(estimate, run, wall, scale) for run, wall in zip(runs, walls, strict=True)
        ),
        (
            *(line for wall in walls for line in _lines(estimate, wall)),
            *_standing(estimate, room["key"], number),
        ),
        tuple(each for each in kit_of(estimate, room["key"]) if each.where == SITE),
    )


def hours_of_room(estimate: Estimate, room: dict[str, Any]) -> float:
    """Hours of work on site for one room: those of the job shared by weight, as the price is."""
    in_all = estimate.values["types"]["weight"].sum()
    site = estimate.values["labour"]["site_hours"].iloc[0]
    return float(site * room["weight"] / in_all / room["rooms"]) if in_all else 0.0


# --- What hangs where ----------------------------------------------------------------------------


def contents_of(estimate: Estimate, room_type: str, run: str) -> Iterator[Content]:
    """The contents of a room type on one of its rails, in order; of none where run is empty."""
    for each in estimate.project.contents:
        if each.room_type == room_type and each.run == run:
            yield each


def _hung(estimate: Estimate, contents: Iterator[Content], first: int) -> Iterator[Hung]:
    modules, number = by_key(estimate.project.modules), first
    for content in contents:
        module = modules[content.module]
        for _ in range(content.each):
            yield Hung(number, module.key, module.name, module.width, module.height, module.above)
            number += 1


def _lines(estimate: Estimate, wall: Wall) -> Iterator[Line]:
    near = figures_of(estimate.project.project).near
    for place, each in zip(wall.places(), wall.hung, strict=True):
        yield _line(estimate, each, wall.title, near(place))


def _standing(estimate: Estimate, room_type: str, first: int) -> Iterator[Line]:
    """Modules of the room that hang on none of its rails."""
    for each in _hung(estimate, contents_of(estimate, room_type, ""), first):
        yield _line(estimate, each, "no rail", "")


def _line(estimate: Estimate, hung: Hung, rail: str, left: str) -> Line:
    show = figures_of(estimate.project.project)
    module = by_key(estimate.project.modules)[hung.key]
    weight = next(
        each["weight"] for each in rows(estimate.values["modules"]) if each["key"] == module.key
    )
    heavy = weight > float(estimate.project.terms.lift_limit)
    return Line(
        hung.number, module.name, rail, left, show.outside(module), show.weight(weight),
        show.weight(float(module.load)), "two people" if heavy else "one",
    )  # fmt: skip


def _elevation(estimate: Estimate, run: RailRun, wall: Wall, scale: int) -> Elevation:
    figures = next(each for each in rows(estimate.values["runs"]) if each["key"] == run.key)
    return Elevation(
        run.key,
        Markup(wall_svg(wall, scale)),
        " · ".join(_facts(wall, run)),
        _load(figures, figures_of(estimate.project.project)),
        tuple(_cautions(wall, run, figures)),
    )


def _facts(wall: Wall, run: RailRun) -> Iterator[str]:
    def shown(length: Fraction) -> str:
        return format_length(length, wall.unit)

    yield f"rail {shown(run.length)} {wall.unit}, lower edge {shown(run.bottom)} over the floor"
    if wall.joints:
        at = " and ".join(map(shown, wall.joints))
        yield f"{'joint' if len(wall.joints) == 1 else 'joints'} at {at} from the left end"
    yield f"{run.wall} studs {shown(run.spacing)} apart" if run.wall == "wood" else run.wall
    heights = Counter(screw_heights(wall))
    screws = " and ".join(
        f"{count} at {shown(run.bottom + height)}" for height, count in heights.items()
    )
    if screws:
        yield f"screws in each stud: {screws} over the floor"


def _load(figures: dict[str, Any], show: Figures) -> str:
    """What hangs on the rail, and the share used of what its screws hold, where that is known."""
    if not figures["hung"]:
        return "Nothing hangs on it."
    hung = f"Hung with what it carries: {show.weight(figures['hung'])} in all."
    if figures["unheld"] or figures["unmet"]:
        return hung
    return f"{hung} Leant on besides, its screws are used to {show.share(figures['use'])}."


def _cautions(wall: Wall, run: RailRun, figures: dict[str, Any]) -> Iterator[str]:
    if wall.is_too_short():
        yield "The modules are wider together than this rail: ask the shop."
    if run.wall != "wood":
        yield f"Wall of {run.wall}: only with the backing or the anchors agreed for it."
    if figures["overloaded"]:
        yield "Its screws hold less than comes on them: hang nothing before the shop has answered."
    if figures["unheld"]:
        yield "What its screws hold in this wall is not known: hang nothing before it is agreed."
    if figures["unmet"]:
        yield "It may miss every stud: find one, or solid backing, before anything is hung."
    elif figures["single"]:
        yield "It may meet only one stud: ask for backing."


def wall_of(estimate: Estimate, run: RailRun, hung: list[Hung]) -> Wall:
    """The wall of a run; joints where its pieces meet."""
    profile = next(each for each in estimate.project.profiles if each.key == run.profile)
    figures = next(each for each in rows(estimate.values["runs"]) if each["key"] == run.key)
    return Wall(
        run.key, run.length, run.bottom, profile.width, run.spacing,
        estimate.project.terms.end_distance, profile.screws_per_stud, profile.upper_screws,
        profile.screw_line, tuple(_joints(figures)), tuple(hung), estimate.project.project.unit,
    )  # fmt: skip


def _joints(figures: dict[str, Any]) -> Iterator[Fraction]:
    if figures["pieces"] > 1:
        at = exact(figures["first"])
        yield at
        for _ in range(int(figures["middles"])):
            at += exact(figures["middle"])
            yield at


# --- What is delivered where ---------------------------------------------------------------------


def _deliveries(estimate: Estimate) -> Iterator[Delivery]:
    types = rows(estimate.values["types"])
    rooms_of = {
        (each["floor"], each["room_type"]): int(each["rooms"])
        for each in rows(estimate.values["batches"])
    }
    for floor in estimate.project.floors:
        rooms = {each["key"]: rooms_of.get((floor.key, each["key"]), 0) for each in types}
        if any(rooms.values()):
            yield _delivery(estimate, floor.name, rooms)
    mock_ups = {each["key"]: int(each["mock_ups"]) for each in types}
    if any(mock_ups.values()):
        yield _delivery(estimate, "Mock-up rooms", mock_ups)
    spares = [(each["name"], int(each["spare"])) for each in rows(estimate.values["modules"])]
    if any(count for _, count in spares):
        kept = tuple((name, count) for name, count in spares if count)
        yield Delivery("Spares, left with the property", (), kept, ())


def _delivery(estimate: Estimate, floor: str, rooms: dict[str, int]) -> Delivery:
    names = {each.key: each.name for each in estimate.project.types}
    profiles = {each.key: each.name for each in estimate.project.profiles}
    unit = estimate.project.project.unit
    modules: dict[str, int] = {}
    rails: dict[tuple[str, str], int] = {}
    for room_type, count in rooms.items():
        for key, each in modules_in_room(estimate.project, room_type).items():
            name = by_key(estimate.project.modules)[key].name
            modules[name] = modules.get(name, 0) + each * count
        for run in estimate.project.runs:
            if run.room_type == room_type:
                rail = profiles[run.profile], f"{format_length(run.length, unit)} {unit}"
                rails[rail] = rails.get(rail, 0) + count
    return Delivery(
        floor,
        tuple((names[key], count) for key, count in rooms.items() if count),
        tuple((name, count) for name, count in modules.items() if count),
        tuple((*rail, count) for rail, count in sorted(rails.items()) if count),
    )
