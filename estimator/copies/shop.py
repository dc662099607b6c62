"""The shop's workbook: parts by floor and room, labels, cut plan, hardware kits, finish schedule.

It names no price, no wage and no supplier.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from itertools import islice, repeat
from typing import Any

from estimator.copies.kits import beside_kits, kit_of
from estimator.cut_plans import CutPlan
from estimator.documents.bundles import Bundles, bundles_of, in_one_room
from estimator.documents.cut_list import CutLine, lines_of
from estimator.documents.cut_sheets import cut_sheets, several, size_of
from estimator.documents.figures import numbers, rows, whole
from estimator.estimate import Estimate
from estimator.project.frames import plain
from estimator.project.lookup import by_key
from estimator.project.records import Finish, Project
from estimator.quantities.kits import SHOP
from estimator.quantities.small_models.shop import shop_model
from estimator.units import LengthUnit
from estimator.workbook.small_book import KEY, Cover, book_bytes, frame

Row = dict[str, Any]
INDENT = "    "
SIDES = {"faces": "face", "long_edges": "long edge", "short_edges": "short edge"}


def shop_book(estimate: Estimate) -> bytes:
    """The workbook as a file's bytes; the cut plan as far as the estimate was planned."""
    project = estimate.project
    model = shop_model(project.project.unit)
    bundles, finish = bundles_of(estimate), list(finish_rows(estimate))
    tables = {
        "parts": [_part(line) for line in lines_of(bundles, project)],
        "labels": list(_labels(bundles, project)),
        "cuts": [row for plan in estimate.plans for row in _cuts(plan, project.project.unit)],
        "patterns": [
            row for plan in estimate.plans for row in _patterns(plan, project.project.unit)
        ],
        "kits": list(_kits(estimate)),
        "beside": [asdict(line) for line in beside_kits(estimate)],
        "finish": finish,
        "finishes": [
            {"finish": each.name, "key": each.key}
            for each in project.finishes
            if any(row["key"] == each.key for row in finish)
        ],
    }
    typed = {name: frame(model, name, content) for name, content in tables.items()}
    cover = Cover(
        f"Shop: {project.project.name}",
        "What to cut, make, finish and pack, floor by floor.",
        (("Revision", project.project.revision), ("Remark", project.project.remark)),
        (
            "Parts: every size by floor and room type, as cut; tick off on a print.",
            "Labels: one for every module, by floor and room; for a label printer or a mail merge.",
            "Cut plan: cut by cut, the most repeated pattern first. Patterns: what each one gives.",
            "Kits: hardware for one room, for all of its type, and beside. Finish: what is coated.",
        ),
        KEY,
        [each.text for each in project.clauses if each.kind == "caution"],
    )
    return book_bytes(model, typed, project.project, cover)


# --- Rows ----------------------------------------------------------------------------------------


def _part(line: CutLine) -> Row:
    return {
        "floor": line.bundle.floor, "room_type": line.bundle.room_type, "what_for": line.what_for,
        "key": line.key, "name": line.name, "material": line.material,
        "length": plain(line.length), "width": plain(line.width), "count": line.count,
        "bevelled": "yes" if line.bevelled else "no", "finish": line.finish,
    }  # fmt: skip


def _labels(found: Bundles, project: Project) -> Iterator[Row]:
    """Rooms are numbered within their type and floor: their door numbers are not known here."""
    modules, types = by_key(project.modules), by_key(project.types)
    floors, in_rooms = by_key(project.floors), in_one_room(project)
    for bundle in found.bundles:
        if bundle["floor"] in floors:
            hung = in_rooms[bundle["room_type"]]
            names = {modules[key].name: each for key, each in hung.items()}
            yield from _labels_of(bundle, types[bundle["room_type"]].name, names)


def _labels_of(bundle: Row, room_type: str, hung: Mapping[str, float]) -> Iterator[Row]:
    floor, rooms = bundle["floor"], whole(bundle["rooms"])
    for room in numbers(rooms):
        for name, each in hung.items():
            for number in numbers(each):
                yield {
                    "floor": floor, "room_type": room_type, "room": f"{room} of {rooms}",
                    "module": name, "number": f"{number} of {whole(each)}",
                    "words": f"{floor} · {room_type} {room} · {name}",
                }  # fmt: skip


def _cuts(plan: CutPlan, length_unit: LengthUnit) -> Iterator[Row]:
    for sheet in cut_sheets(plan, length_unit):
        pattern = f"{sheet.number}, cut {sheet.times} times" if sheet.times > 1 else sheet.number
        for step in sheet.steps:
            indent = "".join(islice(repeat(INDENT), 1, step.level))
            yield {"material": plan.material.name, "pattern": str(pattern),
                   "step": f"{indent}{step.words}", "size": step.size,
                   "piece": step.piece}  # fmt: skip


def _patterns(plan: CutPlan, length_unit: LengthUnit) -> Iterator[Row]:
    sizes = {part.key: size_of(part, length_unit) for part in plan.parts}
    for sheet in cut_sheets(plan, length_unit):
        for key, each in sheet.pieces.items():
            yield {"material": plan.material.name, "pattern": str(sheet.number), "piece": key,
                   "size": sizes[key], "times": sheet.times, "each": each}  # fmt: skip


def _kits(estimate: Estimate) -> Iterator[Row]:
    for room in rows(estimate.values["types"]):
        if room["rooms"]:
            for line in kit_of(estimate, room["key"]):
                yield {
                    "room_type": room["name"], "item": line.item, "name": line.name,
                    "where": "in the shop" if line.where == SHOP else "on site",
                    "each": line.count, "rooms": room["rooms"],
                }  # fmt: skip


def finish_rows(estimate: Estimate) -> Iterator[Row]:
    """The finish schedule: what is coated with what, on which sides, over which area."""
    finishes = by_key(estimate.project.finishes)
    for each in rows(estimate.values["parts"]):
        if each["finish"] and each["needed"]:
            sides = ", ".join(several(whole(each[name]), noun) for name, noun in SIDES.items())
            what = f"{each['key']} {each['name']}"
            yield _finish_row(finishes[each["finish"]], what, each["needed"], sides, each)
    for each in rows(estimate.values["profiles"]):
        if each["finish"] and each["pieces"]:
            sides = f"{several(whole(each['faces']), 'face')}, both edges"
            what = f"rail {each['name']}"
            yield _finish_row(finishes[each["finish"]], what, each["pieces"], sides, each)


def _finish_row(finish: Finish, what: str, pieces: float, sides: str, figures: Row) -> Row:
    return {
        "finish": finish.name, "key": finish.key, "what": what, "pieces": pieces,
        "coats": finish.coats, "area": figures["finish_area"], "sides": sides,
    }  # fmt: skip
