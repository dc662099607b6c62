"""The pieces of the job, bundled as they are made and delivered: by floor and room type.

Each batch (a room type on a floor) is a bundle; the mock-ups of a room type are one, and the
spares of all modules are the last. All bundles together are exactly the pieces that are planned.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from estimator.documents.figures import rows
from estimator.documents.rooms import modules_in_room
from estimator.estimate import Estimate
from estimator.project.lookup import by_key
from estimator.project.records import Part, Profile, Project
from estimator.structure import exact

MOCK_UP, SPARES = "Mock-up", "Spares"


@dataclass(frozen=True)
class Bundle:
    """Pieces that belong together. floor: a floor's key, or the word for mock-ups or spares.

    rooms: how many rooms it is for; 0 for spares, which are for none.
    """

    floor: str
    room_type: str
    rooms: int


@dataclass(frozen=True)
class CutLine:
    """Pieces of one kind in a bundle. what_for: the module, or the rail run. length along grain."""

    bundle: Bundle
    what_for: str
    key: str
    name: str
    material: str
    length: Fraction
    width: Fraction
    count: int
    bevelled: bool
    finish: str


def cut_list(estimate: Estimate) -> list[CutLine]:
    """All pieces of the job, bundle by bundle; kinds of which there are none are left out."""
    lines = [
        line
        for bundle, room_type in _bundles(estimate)
        for line in (
            *_of_modules(estimate, bundle, room_type),
            *_of_rails(estimate, bundle, room_type),
        )
    ]
    return [line for line in (*lines, *_of_spares(estimate)) if line.count]


def _bundles(estimate: Estimate) -> Iterator[tuple[Bundle, str]]:
    """The bundles of rooms, each with the key of its room type: floors in the order of fitting."""
    types = rows(estimate.values["types"])
    for room_type in types:
        yield Bundle(MOCK_UP, room_type["name"], int(room_type["mock_ups"])), room_type["key"]
    names = {each["key"]: each["name"] for each in types}
    batches = rows(estimate.values["batches"])
    for floor in estimate.project.floors:
        for batch in batches:
            if batch["floor"] == floor.key:
                name = names[batch["room_type"]]
                yield Bundle(floor.key, name, int(batch["rooms"])), batch["room_type"]


def _of_modules(estimate: Estimate, bundle: Bundle, room_type: str) -> Iterator[CutLine]:
    """A module that hangs in several places of a room is listed once."""
    modules = by_key(estimate.project.modules)
    for key, in_room in modules_in_room(estimate.project, room_type).items():
        for part in _parts_of(estimate.project, key):
            count = bundle.rooms * in_room * part.each
            yield _line(estimate.project, bundle, modules[key].name, part, count)


def _of_spares(estimate: Estimate) -> Iterator[CutLine]:
    bundle = Bundle(SPARES, "", 0)
    for module in rows(estimate.values["modules"]):
        for part in _parts_of(estimate.project, module["key"]):
            count = int(module["spare"]) * part.each
            yield _line(estimate.project, bundle, module["name"], part, count)


def _parts_of(project: Project, module: str) -> Iterator[Part]:
    return (each for each in project.parts if each.module == module)


def _line(project: Project, bundle: Bundle, what_for: str, part: Part, count: int) -> CutLine:
    return CutLine(
        bundle, what_for, part.key, part.name, _material(project, part.material),
        part.length, part.width, count, part.bevelled == "yes", _finish(project, part.finish),
    )  # fmt: skip


def _of_rails(estimate: Estimate, bundle: Bundle, room_type: str) -> Iterator[CutLine]:
    """First, middle and last pieces of each run, of which the middle ones may be several."""
    profiles = {each.key: each for each in estimate.project.profiles}
    for run in rows(estimate.values["runs"]):
        if run["room_type"] == room_type:
            profile = profiles[run["profile"]]
            for which, each in (("first", 1), ("middle", int(run["middles"])), ("last", 1)):
                count = bundle.rooms * each if run[f"{which}_piece"] else 0
                yield _rail_line(estimate.project, bundle, run, which, profile, count)


def _rail_line(
    project: Project, bundle: Bundle, run: dict[str, Any], which: str, profile: Profile, count: int
) -> CutLine:
    return CutLine(
        bundle, run["key"], run[f"{which}_piece"], profile.name,
        _material(project, profile.material), exact(run[which]), profile.width, count,
        profile.bevelled == "yes", _finish(project, profile.finish),
    )  # fmt: skip


def _material(project: Project, key: str) -> str:
    return next(each.name for each in project.materials if each.key == key)


def _finish(project: Project, key: str) -> str:
    return next((each.name for each in project.finishes if each.key == key), "")
