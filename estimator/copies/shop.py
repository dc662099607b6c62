"""The shop's workbook: parts by floor and room, labels, cut plan, hardware kits, finish schedule.

It names no price, no wage and no supplier.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from estimator.copies.kits import SHOP, kit_of
from estimator.cut_plans import CutPlan
from estimator.documents.cut_list import CutLine, cut_list
from estimator.documents.cut_sheets import cut_sheets, size_of
from estimator.documents.figures import rows
from estimator.documents.rooms import modules_in_room
from estimator.estimate import Estimate
from estimator.expressions.tables import Model, Table
from estimator.project.frames import plain
from estimator.project.lookup import by_key
from estimator.units import SYSTEMS, LengthUnit
from estimator.workbook.small_book import KEY, Cover, book_bytes, frame

Row = dict[str, Any]


def shop_book(estimate: Estimate) -> bytes:
    """The workbook as a file's bytes; the cut plan as far as the estimate was planned."""
    project = estimate.project
    model = shop_model(project.project.unit)
    tables = {
        "parts": [_part(line) for line in cut_list(estimate)],
        "labels": list(_labels(estimate)),
        "cuts": [row for plan in estimate.plans for row in _cuts(plan, project.project.unit)],
        "patterns": [
            row for plan in estimate.plans for row in _patterns(plan, project.project.unit)
        ],
        "kits": list(_kits(estimate)),
        "finish": list(finish_rows(estimate)),
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
            "Kits: hardware for one room, and for all of its type. Finish: what to coat with what.",
        ),
        KEY,
        [each.text for each in project.clauses if each.kind == "caution"],
    )
    return book_bytes(model, typed, project.project, cover)


def shop_model(length_unit: LengthUnit) -> Model:
    """The lists, each a table to be read."""
    model, system = Model(), SYSTEMS[length_unit]
    parts = model.table("parts", "Parts", "Parts", "By floor and room type, as cut.")
    _labelled(parts, floor="Floor", room_type="Room type", what_for="For", key="Part", name="Name",
              material="Material")  # fmt: skip
    parts.planned("length", "Length", length_unit, "Along the grain.", show="length")
    parts.planned("width", "Width", length_unit, "Across the grain.", show="length")
    parts.planned("count", "Count", "piece", "For all rooms of this line.", show="whole")
    _labelled(parts, bevelled="Bevelled", finish="Finish")
    labels = model.table("labels", "Labels", "Labels", "One for every module.")
    _labelled(labels, floor="Floor", room_type="Room type", room="Room", module="Module",
              number="Of this kind in the room", words="On the label")  # fmt: skip
    cuts = model.table("cuts", "Cut plan", "Cut plan", "Check sizes before cutting.")
    _labelled(cuts, material="Material", pattern="Pattern", step="Cut", size="Size", piece="Piece")
    _define_patterns(model)
    _define_kits(model)
    finish = model.table("finish", "Finish schedule", "Finish", "What is coated with what.")
    _labelled(finish, finish="Finish", what="Part or rail")
    finish.planned("pieces", "Pieces", "piece", "To be coated.", show="whole")
    finish.label("sides", "Faces and edges", "That are coated.")
    finish.planned("coats", "Coats", "coat", "How many.", show="whole")
    finish.planned("area", "Area", system.area, "Of the faces that are coated.", show="decimal")
    return model


def _labelled(table: Table, **labels: str) -> None:
    for name, label in labels.items():
        table.label(name, label, f"{label}.")


def _define_patterns(model: Model) -> None:
    patterns = model.table("patterns", "What each pattern gives", "Patterns", "The cut plan's sum.")
    _labelled(patterns, material="Material", pattern="Pattern", piece="Piece", size="Size")
    times = patterns.planned("times", "Sheets", "stock", "Cut by this pattern.", show="whole")
    each = patterns.planned("each", "From each", "piece/stock", "Of this kind.", show="whole")
    patterns.quantity("count", "Pieces", "piece", times * each, "In all.", show="whole")


def _define_kits(model: Model) -> None:
    kits = model.table("kits", "Hardware kits", "Kits", "For one room, and for all of its type.")
    _labelled(kits, room_type="Room type", where="Where", item="Item", name="Name")
    each = kits.planned("each", "For a room", "each/room", "Without what is lost.", show="whole")
    rooms = kits.planned("rooms", "Rooms", "room", "To make, with mock-ups.", show="whole")
    kits.quantity(
        "all", "For all rooms", "each", each * rooms, "Without what is lost.", show="whole"
    )


# --- Rows ----------------------------------------------------------------------------------------


def _part(line: CutLine) -> Row:
    return {
        "floor": line.bundle.floor, "room_type": line.bundle.room_type, "what_for": line.what_for,
        "key": line.key, "name": line.name, "material": line.material,
        "length": plain(line.length), "width": plain(line.width), "count": line.count,
        "bevelled": "yes" if line.bevelled else "no", "finish": line.finish,
    }  # fmt: skip


def _labels(estimate: Estimate) -> Iterator[Row]:
    """Rooms are numbered within their type and floor: their door numbers are not known here."""
    types = {each.key: each for each in estimate.project.types}
    modules = by_key(estimate.project.modules)
    for floor in estimate.project.floors:
        for batch in rows(estimate.values["batches"]):
            if batch["floor"] == floor.key:
                kind = types[batch["room_type"]]
                hung = modules_in_room(estimate.project, kind.key)
                names = {modules[key].name: each for key, each in hung.items()}
                yield from _labels_of(floor.key, kind.name, int(batch["rooms"]), names)


def _labels_of(floor: str, room_type: str, rooms: int, hung: Mapping[str, int]) -> Iterator[Row]:
    for room in range(1, rooms + 1):
        for name, each in hung.items():
            for number in range(1, each + 1):
                yield {
                    "floor": floor, "room_type": room_type, "room": f"{room} of {rooms}",
                    "module": name, "number": f"{number} of {each}",
                    "words": f"{floor} · {room_type} {room} · {name}",
                }  # fmt: skip


def _cuts(plan: CutPlan, length_unit: LengthUnit) -> Iterator[Row]:
    for sheet in cut_sheets(plan, length_unit):
        pattern = f"{sheet.number}, cut {sheet.times} times" if sheet.times > 1 else sheet.number
        for step in sheet.steps:
            words = "    " * max(step.level - 1, 0) + step.words
            yield {"material": plan.material.name, "pattern": str(pattern), "step": words,
                   "size": step.size, "piece": step.piece}  # fmt: skip


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
    finishes = {each.key: each for each in estimate.project.finishes}
    square = 144 if estimate.project.project.unit == "in" else 1_000_000
    for each, figures in zip(estimate.project.parts, rows(estimate.values["parts"]), strict=True):
        if each.finish and figures["needed"]:
            finish = finishes[each.finish]
            face = float(each.length * each.width) / square
            yield {
                "finish": finish.name, "what": f"{each.key} {each.name}",
                "pieces": figures["needed"], "coats": finish.coats,
                "area": face * each.faces * figures["needed"],
                "sides": f"{each.faces} faces, {each.long_edges} long edges, "
                f"{each.short_edges} short edges",
            }  # fmt: skip
    for profile, figures in zip(
        estimate.project.profiles, rows(estimate.values["profiles"]), strict=True
    ):
        if profile.finish and figures["pieces"]:
            finish = finishes[profile.finish]
            feet, per_area = figures["feet"], 12 if square == 144 else 1000
            yield {
                "finish": finish.name, "what": f"rail {profile.name}", "pieces": figures["pieces"],
                "coats": finish.coats,
                "area": feet * float(profile.width) / per_area * profile.faces,
                "sides": f"{profile.faces} faces",
            }  # fmt: skip
