"""The rows that the tool lays out itself: batches, pieces, mixes of containers, lists to read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import Any

import pandas as pd

from estimator.expressions.tables import Model
from estimator.expressions.value import Frames, Values, calculate
from estimator.project.frames import frames, plain
from estimator.project.lengths import format_length
from estimator.project.lookup import by_key
from estimator.project.records import Finish, Part, Profile, Project
from estimator.quantities import define_model
from estimator.quantities.findings import Check
from estimator.quantities.kits import IN_KITS, SHOP, SITE
from estimator.quantities.room_measures import IN_ROOMS
from estimator.units import shown_unit

MOST_CONTAINERS = 25
RAIL_PIECES = ("profile", "first", "pieces", "middle", "middles", "last")


@dataclass(frozen=True)
class LaidOut:
    """A project with its definitions and all rows of every table; planned columns still blank."""

    project: Project
    model: Model
    checks: tuple[Check, ...]
    typed: Frames


def model_of(project: Project) -> tuple[Model, tuple[Check, ...]]:
    """The definitions of a project, and its checks with their words."""
    return define_model(project.project.unit, tuple(floor.key for floor in project.floors))


def laid_out(project: Project) -> LaidOut:
    """Everything that is known of a project before its sheets are planned."""
    model, checks = model_of(project)
    typed = lay_out_rows(project, model, checks)
    lengths = calculate(model, typed, [model["runs"][name] for name in RAIL_PIECES])
    return LaidOut(project, model, checks, add_pieces(typed, project, lengths))


def lay_out_rows(project: Project, model: Model, checks: Sequence[Check]) -> Frames:
    """The project's frames with the rows of every other table; planned columns still blank."""
    laid_out: dict[str, list[dict[str, Any]]] = {
        "batches": [
            {"room_type": a_type.key, "floor": floor.key}
            for a_type, floor in product(project.types, project.floors)
        ],
        "mixes": _mixes(project),
        "pieces": [],
    }
    typed = frames(project) | reading_lists(project, model, checks)
    typed |= {name: _frame(model, name, rows) for name, rows in laid_out.items()}
    for table in model:
        if table.kind == "form" and table.name not in typed:
            typed[table.name] = pd.DataFrame(index=range(1))
    return typed


def reading_lists(project: Project, model: Model, checks: Sequence[Check]) -> Frames:
    """The tables that are there to be read: whatever stands in a workbook, their rows are these."""
    currency, kit_uses = project.project.currency, _kit_uses(project)
    lists: dict[str, list[dict[str, Any]]] = {
        "checks": [_check_row(check) for check in checks],
        "headline": [
            {"key": name, "label": each.label, "unit": shown_unit(each.unit, currency)}
            for name, each in model["summary"].definitions.items()
            if not each.is_text
        ],
        "bottom": [
            {"key": name, "label": model["price"].definitions[name].label}
            for name in ("quoted", "sale_tax", "total")
        ],
        "offer": [{"key": each.key, "name": each.name} for each in project.types],
        "buy": _buy_list(project),
        "one_room": [{"key": each.key} for each in project.types],
        "room_has": _room_has(project, kit_uses),
        "kits": _kits(project, kit_uses),
        "kit_uses": kit_uses,
    }
    return {name: _frame(model, name, rows) for name, rows in lists.items()}


def _frame(model: Model, name: str, rows: list[dict[str, Any]]) -> pd.DataFrame:
    laid_out = ("label", "planned")
    columns = [each.name for each in model[name].definitions.values() if each.role in laid_out]
    return pd.DataFrame(rows, columns=columns, dtype=object)


def _check_row(check: Check) -> dict[str, str]:
    return {
        "key": check.name,
        "label": check.label,
        "bad": check.state,
        "meaning": check.meaning,
        "fix": check.fix,
    }


def _mixes(project: Project) -> list[dict[str, Any]]:
    """Every number of small and medium containers that can be part of a cheapest mix."""
    rows: list[dict[str, Any]] = []
    for finish in project.finishes:
        for small, medium in product(*_how_many(project, finish)):
            row = {"finish": finish.key, "small": small, "medium": medium}
            rows.append({"number": len(rows) + 1, **row})
    return rows


def _how_many(project: Project, finish: Finish) -> tuple[range, range]:
    """How many small and how many medium containers can pay.

    So many of one size that they hold a whole number of a larger one are never cheaper than those
    larger ones, while the larger costs no more for its volume (a check of its own); so fewer do.
    """
    own = [each for each in project.containers if each.finish == finish.key]
    holds: dict[str, Decimal] = {each.size: each.holds for each in own}

    def most(size: str) -> int:
        larger = [other for other in holds.values() if other > holds[size]]
        enough = [_same_volume(holds[size], other) for other in larger]
        return min([*enough, MOST_CONTAINERS]) - 1 if larger else 0

    small, medium = (most(size) if size in holds else 0 for size in ("small", "medium"))
    return range(small + 1), range(medium + 1)


def _same_volume(small: Decimal, large: Decimal) -> int:
    """The least number of small ones that hold exactly a whole number of large ones."""
    return (Fraction(large) / Fraction(small)).numerator


def _buy_list(project: Project) -> list[dict[str, Any]]:
    def row(key: str, kind: str, name: str, sold_as: str, supplier: str = "") -> dict[str, Any]:
        return {"key": key, "kind": kind, "name": name, "sold_as": sold_as, "supplier": supplier}

    unit = project.project.unit
    lists = [
        [
            row(each.key, each.form, each.name,
                f"{format_length(each.length, unit)} × {format_length(each.width, unit)} {unit}")
            for each in project.materials
        ],
        [
            row(each.key, "finish", each.name, f"{plain(each.holds):g} {_volume(unit)}")
            for each in project.containers
        ],
        [
            row(each.key, each.kind, each.name, f"pack of {each.pack:,}", each.supplier)
            for each in project.items
        ],
    ]  # fmt: skip
    return [each for rows in lists for each in rows]


def _volume(unit: str) -> str:
    return "gal" if unit == "in" else "L"


def _kit_uses(project: Project) -> list[dict[str, Any]]:
    """The uses of packed items that a room of each type may have, those that say the same once."""
    kinds = {each.key: each.kind for each in project.items}
    modules = {each.key for each in project.modules}
    packed = [use for use in project.uses if kinds[use.item] in IN_KITS]
    rows = [
        {
            "room_type": room_type.key,
            "where": SHOP if use.per in modules else SITE,
            "item": use.item,
            "per": use.per,
        }
        for room_type in project.types
        for use in packed
        if use.per in _in_room(project, room_type.key)
    ]
    return list({tuple(row.values()): row for row in rows}.values())


def _in_room(project: Project, room_type: str) -> set[str]:
    """What a room of a type may have, by the names that a use has for it."""
    return {
        room_type,
        *IN_ROOMS,
        *(each.module for each in project.contents if each.room_type == room_type),
        *(each.profile for each in project.runs if each.room_type == room_type),
    }


def _kits(project: Project, uses: Sequence[Mapping[str, str]]) -> list[dict[str, Any]]:
    """A row for each item of a kit: what is put on in the shop, then the bag for the site."""
    wanted = {(use["room_type"], use["where"], use["item"]) for use in uses}
    return [
        {"room_type": room_type.key, "where": where, "item": item.key, "name": item.name}
        for room_type, where, item in product(project.types, (SHOP, SITE), project.items)
        if (room_type.key, where, item.key) in wanted
    ]


def _room_has(project: Project, uses: Sequence[Mapping[str, str]]) -> list[dict[str, Any]]:
    """A row for each measure that a kit goes by, in each room type."""
    wanted = {use["per"] for use in uses}
    return [
        {"room_type": each.key, "measure": name}
        for each, name in product(project.types, IN_ROOMS)
        if name in wanted
    ]


def add_pieces(typed: Frames, project: Project, lengths: Values) -> Frames:
    """The pieces to cut, and which piece each rail run is made of.

    lengths: the calculated runs, as far as their first, middle and last pieces.
    """
    runs = typed["runs"].copy()
    rails: dict[str, dict[str, Any]] = {}
    for which, how_many in (("first", "pieces"), ("middle", "middles"), ("last", "last")):
        pieces = _rail_pieces(lengths["runs"], which, how_many, project)
        runs[f"{which}_piece"] = [piece["key"] if piece else "" for piece in pieces]
        rails |= {piece["key"]: piece for piece in pieces if piece}
    parts = [_part_piece(each) for each in project.parts]
    columns = list(typed["pieces"].columns)
    pieces_to_cut = pd.DataFrame([*parts, *rails.values()], columns=columns, dtype=object)
    return typed | {"runs": runs, "pieces": pieces_to_cut}


def _part_piece(part: Part) -> dict[str, Any]:
    return {
        "key": part.key,
        "name": part.name,
        "material": part.material,
        "profile": "",
        "length": plain(part.length),
        "width": plain(part.width),
        "grain": part.grain,
        "bevelled": part.bevelled,
    }


def _rail_piece(key: str, name: str, profile: Profile, length: float) -> dict[str, Any]:
    return {
        "key": key,
        "name": name,
        "material": profile.material,
        "profile": profile.key,
        "length": length,
        "width": plain(profile.width),
        "grain": "along",
        "bevelled": profile.bevelled,
    }


def _rail_pieces(
    runs: pd.DataFrame, which: str, how_many: str, project: Project
) -> list[dict[str, Any] | None]:
    """Per run its first, middle or last piece, or None where there is none."""
    profiles = by_key(project.profiles)
    parts = {each.key for each in project.parts}
    unit = project.project.unit
    found: list[dict[str, Any] | None] = []
    for profile_key, length, count in zip(
        runs["profile"], runs[which], runs[how_many], strict=True
    ):
        profile = profiles[profile_key]
        key = f"{profile.key}-{f'{length:.6f}'.rstrip('0').rstrip('.').replace('.', '-')}"
        name = f"{profile.name}, {format_length(exact(length), unit)} {unit}"
        key = f"{key}-rail" if key in parts else key
        piece = _rail_piece(key, name, profile, length)
        found.append(piece if count > 0 else None)
    return found


def exact(number: float) -> Fraction:
    """A calculated length as the short decimal it stands for; noise beyond 1e-9 is dropped."""
    return Fraction(repr(round(number, 9)))
