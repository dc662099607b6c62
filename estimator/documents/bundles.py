"""The job as it is made and delivered: by floor and room type, mock-ups first, spares last.

The rows are laid out here; what they count is defined in `quantities/small_models/bundles.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import count as numbers
from typing import Any

import pandas as pd

from estimator.documents.figures import rows
from estimator.estimate import Estimate
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

    bundles: key, floor, room_type, rooms, pieces. in_room: room_type, module, each. hung: bundle,
    floor, room_type, module, each, count. lines: each with its count. floors: key, rooms.
    floor_modules: floor, module, count. floor_rails: floor, rail, count.
    """

    bundles: Sequence[Row]
    in_room: Sequence[Row]
    hung: Sequence[Row]
    lines: Sequence[tuple[Line, float]]
    floors: Sequence[Row]
    floor_modules: Sequence[Row]
    floor_rails: Sequence[Row]

    def in_one_room(self, room_type: str) -> dict[str, float]:
        """How many of each module hang in one room of a type, on all its rails; by key."""
        return {
            each["module"]: each["each"] for each in self.in_room if each["room_type"] == room_type
        }

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


def bundles_of(estimate: Estimate) -> Bundles:
    """All bundles of the job, those of room types in the order of fitting."""
    project = estimate.project
    bundles = list(_bundles(estimate))
    in_room, rails = _in_room(project), _rails(project)
    hung = [row for each in bundles for row in _hung(each, in_room, estimate)]
    lines = [line for each in bundles for line in _lines(each, hung, estimate)]
    runs = [row for each in bundles for row in _runs(each, project, rails)]
    laid_out: dict[str, list[Row]] = {
        "bundles": bundles,
        "contents": [
            {"room_type": each.room_type, "module": each.module, "each": each.each}
            for each in project.contents
        ],
        "in_room": in_room,
        "hung": hung,
        "runs": runs,
        "lines": [
            {"bundle": each.bundle, "module": each.module, "each": each.each} for each in lines
        ],
        "floors": [{"key": floor} for floor in dict.fromkeys(each["floor"] for each in bundles)],
        "floor_modules": _pairs(hung, "floor", "module"),
        "floor_rails": _pairs(runs, "floor", "rail"),
    }
    found = _calculated(laid_out)
    counts = [each["count"] for each in found.pop("lines")]
    shown = {name: found[name] for name in Bundles.__annotations__ if name in found}
    return Bundles(lines=list(zip(lines, counts, strict=True)), **shown)


def _calculated(laid_out: Mapping[str, Sequence[Row]]) -> dict[str, list[Row]]:
    model = bundles_model()
    typed = {
        table.name: pd.DataFrame(
            laid_out[table.name],
            columns=[e.name for e in table.definitions.values() if e.expression is None],
            dtype=object,
        )
        for table in model
    }
    return {name: rows(frame) for name, frame in calculate(model, typed).items()}


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


def _in_room(project: Project) -> list[Row]:
    """Each room type with each module that hangs in it, once."""
    return _pairs([each.model_dump() for each in project.contents], "room_type", "module")


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


def _lines(bundle: Row, hung: Sequence[Row], estimate: Estimate) -> Iterator[Line]:
    """The parts of its modules, and first, middle and last pieces of its rails."""
    key = bundle["key"]
    for each in hung:
        if each["bundle"] == key:
            for part in estimate.project.parts:
                if part.module == each["module"]:
                    yield Line(key, part.module, part.each, part=part)
    for run in rows(estimate.values["runs"]):
        if run["room_type"] == bundle["room_type"]:
            for piece, length, count in (
                ("first_piece", "first", 1),
                ("middle_piece", "middle", run["middles"]),
                ("last_piece", "last", 1),
            ):
                if run[piece]:
                    yield Line(key, "", count, run=run, piece=piece, length=length)


def _rails(project: Project) -> dict[tuple[str, Fraction], str]:
    """The first run of each profile and length."""
    return {(run.profile, run.length): run.key for run in reversed(project.runs)}


def _runs(
    bundle: Row, project: Project, rails: Mapping[tuple[str, Fraction], str]
) -> Iterator[Row]:
    for run in project.runs:
        if run.room_type == bundle["room_type"]:
            rail = rails[run.profile, run.length]
            yield {"bundle": bundle["key"], "floor": bundle["floor"], "rail": rail}
