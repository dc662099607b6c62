"""The site copy: an install sheet for each room type, and what is delivered to each floor.

It names no price, no wage and no supplier.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import count as numbers
from itertools import repeat
from typing import Any

from markupsafe import Markup

from estimator.copies.kits import KitLine, kit_of
from estimator.documents.bundles import MOCK_UP_ROOMS, SPARE_MODULES, Bundles, bundles_of
from estimator.documents.figures import Figures, figures_of, rows, whole
from estimator.documents.pages import page
from estimator.drawing.wall import Hung, Wall, joints_of, scale_of, wall_svg
from estimator.estimate import Estimate
from estimator.project.lengths import format_length
from estimator.project.lookup import by_key
from estimator.project.records import Content, Project, RailRun
from estimator.quantities.kits import SITE
from estimator.structure import exact

Row = dict[str, Any]
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

    left: from the left end of its rail, with equal gaps. lift: how many people lift it.
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
    """What a floor gets: rooms by type, a bag of hardware for each, modules and rails."""

    name: str
    rooms: tuple[tuple[str, int], ...]
    bags: int
    modules: tuple[tuple[str, int], ...]
    rails: tuple[tuple[str, str, int], ...]


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


def _sheet(estimate: Estimate, room: Row) -> Sheet:
    show = figures_of(estimate.project.project)
    runs = [each for each in estimate.project.runs if each.room_type == room["key"]]
    numbered = numbers(1)
    walls = [_wall(estimate, room["key"], run, numbered) for run in runs]
    loose = _hung(estimate.project, contents_of(estimate.project, room["key"], ""), numbered)
    scale = scale_of(walls)
    hours = {each["key"]: each["site_hours"] for each in rows(estimate.values["one_room"])}
    return Sheet(
        room["name"],
        room["description"],
        show.count(room["rooms"]),
        show.tenths(hours[room["key"]]),
        scale,
        tuple(
            _elevation(estimate, run, wall, scale) for run, wall in zip(runs, walls, strict=True)
        ),
        (
            *(line for wall in walls for line in _lines(estimate, wall)),
            *(_line(estimate, each, "no rail", "") for each in loose),
        ),
        tuple(each for each in kit_of(estimate, room["key"]) if each.where == SITE),
    )


# --- What hangs where ----------------------------------------------------------------------------


def contents_of(project: Project, room_type: str, run: str) -> Iterator[Content]:
    """The contents of a room type on one of its rails, in order; of none where run is empty."""
    for each in project.contents:
        if each.room_type == room_type and each.run == run:
            yield each


def _hung(project: Project, contents: Iterator[Content], numbered: Iterator[int]) -> Iterator[Hung]:
    """Each module of the contents by itself. numbered: gives the numbers in the drawing."""
    modules = by_key(project.modules)
    for content in contents:
        module = modules[content.module]
        for each in repeat(module, content.each):
            number = next(numbered)
            yield Hung(number, each.key, each.name, each.width, each.height, each.above)


def _lines(estimate: Estimate, wall: Wall) -> Iterator[Line]:
    near = figures_of(estimate.project.project).near
    for place, each in zip(wall.places(), wall.hung, strict=True):
        yield _line(estimate, each, wall.title, near(place))


def _line(estimate: Estimate, hung: Hung, rail: str, left: str) -> Line:
    show = figures_of(estimate.project.project)
    module = by_key(estimate.project.modules)[hung.key]
    (figures,) = (each for each in rows(estimate.values["modules"]) if each["key"] == module.key)
    return Line(
        hung.number, module.name, rail, left, show.outside(module),
        show.weight(figures["weight"]), show.weight(figures["load"]), figures["lift"],
    )  # fmt: skip


def _elevation(estimate: Estimate, run: RailRun, wall: Wall, scale: int) -> Elevation:
    figures = _figures(estimate, run)
    return Elevation(
        run.key,
        Markup(wall_svg(wall, scale)),
        " · ".join(_facts(wall, run)),
        _load(figures, figures_of(estimate.project.project)),
        tuple(_cautions(run, figures)),
    )


def _facts(wall: Wall, run: RailRun) -> Iterator[str]:
    def shown(length: Fraction) -> str:
        return format_length(length, wall.unit)

    yield f"rail {shown(run.length)} {wall.unit}, lower edge {shown(run.bottom)} over the floor"
    if wall.joints:
        at = " and ".join(map(shown, wall.joints))
        yield f"{'joints' if wall.joints[1:] else 'joint'} at {at} from the left end"
    yield f"{run.wall} studs {shown(run.spacing)} apart" if run.wall == "wood" else run.wall
    screws = " and ".join(
        f"{count} at {shown(height)}" for height, count in wall.screw_rows().items()
    )
    if screws:
        yield f"screws in each stud: {screws} over the floor"


def _load(figures: Row, show: Figures) -> str:
    """What hangs on the rail, and the share used of what its screws hold, where that is known."""
    if not figures["hung"]:
        return "Nothing hangs on it."
    hung = f"Hung with what it carries: {show.weight(figures['hung'])} in all."
    if figures["unheld"] or figures["unmet"]:
        return hung
    return f"{hung} Leant on besides, its screws are used to {show.share(figures['use'])}."


def _cautions(run: RailRun, figures: Row) -> Iterator[str]:
    if figures["crowded"]:
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


def _wall(estimate: Estimate, room_type: str, run: RailRun, numbered: Iterator[int]) -> Wall:
    """The wall of a run; joints where its pieces meet."""
    project = estimate.project
    profile = by_key(project.profiles)[run.profile]
    hung = _hung(project, contents_of(project, room_type, run.key), numbered)
    return Wall(
        run.key, run.length, run.bottom, profile.width, run.spacing,
        project.terms.end_distance, profile.screws_per_stud, profile.upper_screws,
        profile.screw_line, joints_of(_before_joints(_figures(estimate, run))), tuple(hung),
        project.project.unit,
    )  # fmt: skip


def _figures(estimate: Estimate, run: RailRun) -> Row:
    return next(each for each in rows(estimate.values["runs"]) if each["key"] == run.key)


def _before_joints(figures: Row) -> Iterator[Fraction]:
    """The pieces of a rail that another follows."""
    if figures["pieces"] > 1:
        yield exact(figures["first"])
        yield from repeat(exact(figures["middle"]), whole(figures["middles"]))


# --- What is delivered where ---------------------------------------------------------------------


def _deliveries(estimate: Estimate) -> Iterator[Delivery]:
    """Floor by floor, then the mock-ups, then what is left with the property."""
    found = bundles_of(estimate)
    names = {each.key: each.name for each in estimate.project.floors}
    names |= {MOCK_UP_ROOMS: "Mock-up rooms", SPARE_MODULES: "Spares, left with the property"}
    for floor, name in names.items():
        delivery = _delivery(found, floor, name, estimate.project)
        if delivery.rooms or delivery.modules:
            yield delivery


def _delivery(found: Bundles, floor: str, name: str, project: Project) -> Delivery:
    types, modules = by_key(project.types), by_key(project.modules)
    profiles, runs = by_key(project.profiles), by_key(project.runs)
    unit = project.project.unit
    rooms = [each for each in found.bundles if each["floor"] == floor and each["rooms"]]
    (bags,) = (each["rooms"] for each in found.floors if each["key"] == floor)
    rails = [
        (profiles[run.profile].name, f"{format_length(run.length, unit)} {unit}", whole(count))
        for run, count in found.rails_on(floor, runs)
        if count
    ]
    return Delivery(
        name,
        tuple((types[each["room_type"]].name, whole(each["rooms"])) for each in rooms),
        whole(bags),
        tuple((modules[key].name, whole(count)) for key, count in found.modules_on(floor) if count),
        tuple(sorted(rails)),
    )
