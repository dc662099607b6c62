"""The site copy: an install sheet for each room type, and what is delivered to each floor.

It names no price, no wage and no supplier.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from markupsafe import Markup

from estimator.copies.kits import SITE, KitLine, kit_of
from estimator.copies.wall_drawing import Hung, Wall, wall_svg
from estimator.documents.figures import figures_of, rows
from estimator.documents.pages import page
from estimator.documents.rooms import modules_in_room, modules_of, same
from estimator.estimate import Estimate
from estimator.project.lengths import format_length
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
    """A module on the list: its number in the drawing, where it hangs, what it weighs."""

    number: int
    name: str
    rail: str
    size: str
    weight: str
    lift: str


@dataclass(frozen=True)
class Elevation:
    """A drawing with what is to be said below it."""

    title: str
    drawing: Markup
    facts: str
    caution: str


@dataclass(frozen=True)
class Sheet:
    """The install sheet of a room type."""

    name: str
    description: str
    rooms: str
    hours: str
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


def site_html(estimate: Estimate) -> str:
    """Install sheets and delivery lists as one page for print."""
    project = estimate.project
    show = figures_of(project.project)
    return page(
        "site.html.j2",
        facts=project.project,
        issued=show.day(project.project.issued),
        sheets=[_sheet(estimate, each) for each in rows(estimate.values["types"]) if each["rooms"]],
        deliveries=list(_deliveries(estimate)),
        tools=TOOLS,
        steps=STEPS,
        cautions=[each.text for each in project.clauses if each.kind == "caution"],
    )


def _sheet(estimate: Estimate, room: dict[str, Any]) -> Sheet:
    show = figures_of(estimate.project.project)
    runs = [each for each in estimate.project.runs if same(each.room_type, room["key"])]
    hung, number = {}, 1
    for run in runs:
        hung[run.key] = list(_hung_on(estimate, run, number))
        number += len(hung[run.key])
    kit = [each for each in kit_of(estimate, room["key"]) if each.where == SITE]
    return Sheet(
        room["name"],
        room["description"],
        show.count(room["rooms"]),
        show.count(round(hours_of_room(estimate, room), 1)),
        tuple(_elevation(estimate, run, hung[run.key]) for run in runs),
        tuple(_lines(estimate, runs, hung)),
        tuple(kit),
    )


def hours_of_room(estimate: Estimate, room: dict[str, Any]) -> float:
    """Hours of work on site for one room: those of the job shared by weight, as the price is."""
    in_all = estimate.values["types"]["weight"].sum()
    site = estimate.values["labour"]["site_hours"].iloc[0]
    return float(site * room["weight"] / in_all / room["rooms"]) if in_all else 0.0


# --- What hangs where ----------------------------------------------------------------------------


def contents_of(estimate: Estimate, run: RailRun) -> Iterator[Content]:
    """The contents on a rail run, in order."""
    for each in estimate.project.contents:
        if same(each.room_type, run.room_type) and same(each.run, run.key):
            yield each


def _hung_on(estimate: Estimate, run: RailRun, first: int) -> Iterator[Hung]:
    modules, number = modules_of(estimate.project), first
    for content in contents_of(estimate, run):
        module = modules[content.module.casefold()]
        for _ in range(content.each):
            yield Hung(number, module.name, module.width, module.height, module.above)
            number += 1


def _lines(estimate: Estimate, runs: list[RailRun], hung: dict[str, list[Hung]]) -> Iterator[Line]:
    weights = {each["name"]: each["weight"] for each in rows(estimate.values["modules"])}
    show = figures_of(estimate.project.project)
    sizes = {each.name: show.outside(each) for each in estimate.project.modules}
    unit = "lb" if estimate.project.project.unit == "in" else "kg"
    for run in runs:
        for each in hung[run.key]:
            weight = weights[each.name]
            heavy = weight > float(estimate.project.terms.lift_limit)
            yield Line(
                each.number, each.name, run.key, sizes[each.name], f"{weight:,.1f} {unit}",
                "two people" if heavy else "",
            )  # fmt: skip


def _elevation(estimate: Estimate, run: RailRun, hung: list[Hung]) -> Elevation:
    unit = estimate.project.project.unit
    wall = wall_of(estimate, run, hung)
    facts = [
        f"rail {format_length(run.length, unit)} {unit}",
        f"lower edge {format_length(run.bottom, unit)} over the floor",
        f"studs {format_length(run.spacing, unit)} apart, {run.wall}",
        f"{wall.screws_per_stud} screws in each stud",
    ]
    cautions = []
    if wall.is_too_short():
        cautions.append("The modules are wider together than this rail: ask the shop.")
    if run.wall != "wood":
        cautions.append(f"Wall of {run.wall}: only with the backing or the anchors agreed for it.")
    return Elevation(run.key, Markup(wall_svg(wall)), " · ".join(facts), " ".join(cautions))


def wall_of(estimate: Estimate, run: RailRun, hung: list[Hung]) -> Wall:
    """The wall of a run; joints where its pieces meet."""
    profile = next(each for each in estimate.project.profiles if same(each.key, run.profile))
    figures = next(each for each in rows(estimate.values["runs"]) if same(each["key"], run.key))
    return Wall(
        f"Wall with rail {run.key}", run.length, run.bottom, profile.width, run.spacing,
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
        (each["floor"].casefold(), each["room_type"].casefold()): int(each["rooms"])
        for each in rows(estimate.values["batches"])
    }
    for floor in estimate.project.floors:
        rooms = {
            each["key"]: rooms_of.get((floor.key.casefold(), each["key"].casefold()), 0)
            for each in types
        }
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
    unit = estimate.project.project.unit
    modules: dict[str, int] = {}
    rails: dict[tuple[str, str], int] = {}
    for room_type, count in rooms.items():
        for key, each in modules_in_room(estimate.project, room_type).items():
            name = modules_of(estimate.project)[key].name
            modules[name] = modules.get(name, 0) + each * count
        for run in estimate.project.runs:
            if same(run.room_type, room_type):
                rail = run.profile, f"{format_length(run.length, unit)} {unit}"
                rails[rail] = rails.get(rail, 0) + count
    return Delivery(
        floor,
        tuple((names[key], count) for key, count in rooms.items() if count),
        tuple((name, count) for name, count in modules.items() if count),
        tuple((*rail, count) for rail, count in sorted(rails.items()) if count),
    )
