"""The pieces of the job, bundled as they are made and delivered: by floor and room type.

Each batch (a room type on a floor) is a bundle; the mock-ups of a room type are one, and the
spares of all modules are the last. All bundles together are exactly the pieces that are planned.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from estimator.documents.bundles import MOCK_UP_ROOMS, SPARE_MODULES, Bundles, Line, bundles_of
from estimator.documents.figures import whole
from estimator.estimate import Estimate
from estimator.project.lookup import by_key
from estimator.project.records import Project
from estimator.structure import exact

MOCK_UP, SPARES = "Mock-up", "Spares"
NAMES = {MOCK_UP_ROOMS: MOCK_UP, SPARE_MODULES: SPARES}


@dataclass(frozen=True)
class Bundle:
    """Pieces that belong together, by a number. floor: a floor's key, or the word for mock-ups or
    spares.

    rooms: how many rooms it is for; 0 for spares, which are for none. pieces: of all kinds.
    """

    key: str
    floor: str
    room_type: str
    rooms: int
    pieces: int


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
    return list(lines_of(bundles_of(estimate), estimate.project))


def lines_of(found: Bundles, project: Project) -> Iterator[CutLine]:
    """The lines of bundles that were counted."""
    bundles = dict(_bundles(found, project))
    for line, count in found.lines:
        if count:
            yield _line(line, bundles[line.bundle], whole(count), project)


def _bundles(found: Bundles, project: Project) -> Iterator[tuple[str, Bundle]]:
    names = {each.key: each.name for each in project.types}
    for each in found.bundles:
        floor, room_type = each["floor"], names.get(each["room_type"], "")
        counts = whole(each["rooms"]), whole(each["pieces"])
        name = NAMES.get(floor) or floor
        yield each["key"], Bundle(each["key"], name, room_type, *counts)


def _line(line: Line, bundle: Bundle, count: int, project: Project) -> CutLine:
    if line.part is None:
        return _of_rail(line, bundle, count, project)
    part = line.part
    return CutLine(
        bundle, by_key(project.modules)[part.module].name, part.key, part.name,
        _material(project, part.material), part.length, part.width, count,
        part.bevelled == "yes", _finish(project, part.finish),
    )  # fmt: skip


def _of_rail(line: Line, bundle: Bundle, count: int, project: Project) -> CutLine:
    profile = by_key(project.profiles)[line.run["profile"]]
    return CutLine(
        bundle, line.run["key"], line.run[line.piece], profile.name,
        _material(project, profile.material), exact(line.run[line.length]), profile.width, count,
        profile.bevelled == "yes", _finish(project, profile.finish),
    )  # fmt: skip


def _material(project: Project, key: str) -> str:
    return by_key(project.materials)[key].name


def _finish(project: Project, key: str) -> str:
    return by_key(project.finishes)[key].name if key else ""
