"""The job as it is made and delivered: by floor and room type, mock-ups first, spares last.

The rows are laid out here; what they count is defined in `quantities/small_models/bundles.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count as numbers
from typing import Any

import pandas as pd

from estimator.documents.figures import rows
from estimator.estimate import Estimate
from estimator.expressions.nodes import Column
from estimator.expressions.value import calculate
from estimator.project.records import Part, Project, RailRun
from estimator.quantities.small_models.bundles import bundles_model

MOCK_UP_ROOMS, SPARE_MODULES = "(mock-ups)", "(spares)"
"""They stand where a floor does; no key of a floor is written so."""
Row = dict[str, Any]


@dataclass(frozen=True)
class Line:
    """Pieces of one kind in a bundle, of a module's part or else of a run's rail.

    each: in one module, or on one rail. run: its row; piece, length: the columns of the run that
    tell which piece of it this is.
    """

    bundle: str
    module: str
    each: float
    part: Part | None = None
    run: Mapping[str, Any] = field(default_factory=dict)
    piece: str = ""
    length: str = ""


@dataclass(frozen=True)
class Bundles:
    """Every bundle with what it has; each row a mapping with its counts.

    bundles: key, floor, room_type, rooms, pieces. lines: with their counts, bundle by bundle.
    floors: key, rooms. floor_modules: floor, module, count. floor_rails: floor, rail, count.
    """

    bundles: Sequence[Row]
    lines: Sequence[tuple[Line, float]]
    floors: Sequence[Row]
    floor_modules: Sequence[Row]
    floor_rails: Sequence[Row]

    def modules_on(self, floor: str) -> Iterator[tuple[str, float]]:
        """The modules that a floor gets, by key, with their counts."""
        for each in self.floor_modules:
            if each["floor"] == floor:
                yield each["module"], each["count"]

    def rails_on(self, floor: str, runs: Mapping[str, RailRun]) -> Iterator[tuple[RailRun, float]]:
        """The rails that a floor gets, each as the first run that is like it, with their counts."""
        for each in self.floor_rails:
            if each["floor"] == floor:
                yield runs[each["rail"]], each["count"]


def in_one_room(project: Project) -> dict[str, dict[str, float]]:
    """By room type, how many of each module hang in one room, on all its rails; by key."""
    found: dict[str, dict[str, float]] = {each.key: {} for each in project.types}
    each = bundles_model()["in_room"]["each"]
    for row in _calculated(_of_rooms(project), [each])["in_room"]:
        found[row["room_type"]][row["module"]] = row["each"]
    return found


def bundles_of(estimate: Estimate) -> Bundles:
    """All bundles of the job, those of room types in the order of fitting."""
    bundles = list(_bundles(estimate))
    made = [each for each in bundles if each["rooms"] or each["floor"] == SPARE_MODULES]
    of_rooms = _of_rooms(estimate.project)
    hung = [row for each in made for row in _hung(each, of_rooms["in_room"], estimate)]
    lines = list(_lines(hung, estimate.project.parts))
    lines = [*lines, *_rail_lines(made, rows(estimate.values["runs"]))]
    runs = list(_runs(made, estimate.project))
    found = _calculated({
        **of_rooms,
        "bundles": bundles,
        "hung": hung,
        "runs": runs,
        "lines": [
            {"bundle": each.bundle, "module": each.module, "each": each.each} for each in lines
        ],
        "floors": [{"key": floor} for floor in dict.fromkeys(each["floor"] for each in bundles)],
        "floor_modules": _pairs(hung, "floor", "module"),
        "floor_rails": _pairs(runs, "floor", "rail"),
    })  # fmt: skip
    counts = [each["count"] for each in found["lines"]]
    counted = list(zip(lines, counts, strict=True))
    places = {each["key"]: at for at, each in enumerate(bundles)}
    return Bundles(
        found["bundles"],
        sorted(counted, key=lambda pair: places[pair[0].bundle]),
        found["floors"], found["floor_modules"], found["floor_rails"],
    )  # fmt: skip


def _of_rooms(project: Project) -> dict[str, list[Row]]:
    """The contents, and each room type with each module that hangs in it, once."""
    contents: list[Row] = [
        {"room_type": each.room_type, "module": each.module, "each": each.each}
        for each in project.contents
    ]
    return {"contents": contents, "in_room": _pairs(contents, "room_type", "module")}


def _calculated(
    laid_out: Mapping[str, Sequence[Row]], wanted: Sequence[Column] = ()
) -> dict[str, list[Row]]:
    """The rows of every table with their counts; of the wanted columns only, if any are named."""
    model = bundles_model()
    typed = {
        name: pd.DataFrame(
            found,
            columns=[e.name for e in model[name].definitions.values() if e.expression is None],
            dtype=object,
        )
        for name, found in laid_out.items()
    }
    return {name: rows(frame) for name, frame in calculate(model, typed, wanted).items()}


def _bundles(estimate: Estimate) -> Iterator[Row]:
    """The mock-ups of each room type, each type on each floor, and the spares."""
    keys = map(str, numbers(1))
    for each in rows(estimate.values["types"]):
        yield _bundle(next(keys), MOCK_UP_ROOMS, each["key"], each["mock_ups"])
    batches = rows(estimate.values["batches"])
    for floor in estimate.project.floors:
        for each in batches:
            if each["floor"] == floor.key:
                yield _bundle(next(keys), floor.key, each["room_type"], each["rooms"])
    yield _bundle(next(keys), SPARE_MODULES, "", 0)


def _bundle(key: str, floor: str, room_type: str, rooms: float) -> Row:
    return {"key": key, "floor": floor, "room_type": room_type, "rooms": rooms}


def _pairs(found: Sequence[Row], *names: str) -> list[Row]:
    """The rows with these columns only, each once."""
    distinct = dict.fromkeys(tuple(row[name] for name in names) for row in found)
    return [dict(zip(names, values, strict=True)) for values in distinct]


def _hung(bundle: Row, in_room: Sequence[Row], estimate: Estimate) -> Iterator[Row]:
    of_bundle = {"bundle": bundle["key"], "floor": bundle["floor"]}
    if bundle["floor"] == SPARE_MODULES:
        for each in rows(estimate.values["modules"]):
            yield {**of_bundle, "room_type": "", "module": each["key"], "spare": each["spare"]}
    for each in in_room:
        if each["room_type"] == bundle["room_type"]:
            yield {**of_bundle, **each, "spare": 0}


def _lines(hung: Sequence[Row], parts: Sequence[Part]) -> Iterator[Line]:
    """The parts of the modules that hang in each bundle."""
    for each in hung:
        for part in parts:
            if part.module == each["module"]:
                yield Line(each["bundle"], part.module, part.each, part=part)


def _rail_lines(bundles: Sequence[Row], runs: Sequence[Row]) -> Iterator[Line]:
    """First, middle and last pieces of each run, of which the middle ones may be several."""
    for bundle in bundles:
        for run in runs:
            if run["room_type"] == bundle["room_type"]:
                for piece, length, count in (
                    ("first_piece", "first", 1),
                    ("middle_piece", "middle", run["middles"]),
                    ("last_piece", "last", 1),
                ):
                    if run[piece]:
                        yield Line(bundle["key"], "", count, run=run, piece=piece, length=length)


def _runs(bundles: Sequence[Row], project: Project) -> Iterator[Row]:
    """Each run of each bundle, as the first run that has its profile and length."""
    rails = {(run.profile, run.length): run.key for run in reversed(project.runs)}
    for bundle in bundles:
        for run in project.runs:
            if run.room_type == bundle["room_type"]:
                rail = rails[run.profile, run.length]
                yield {"bundle": bundle["key"], "floor": bundle["floor"], "rail": rail}
