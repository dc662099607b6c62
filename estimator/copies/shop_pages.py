"""The shop's lists as a page for print: parts by floor and room type, kits, finish schedule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from estimator.copies.kits import KitLine, beside_kits, kit_of
from estimator.copies.shop import finish_rows
from estimator.documents.cut_list import CutLine, cut_list
from estimator.documents.figures import Figures, figures_of, rows
from estimator.documents.pages import page
from estimator.estimate import Estimate
from estimator.project.lengths import format_sides
from estimator.quantities.kits import SHOP


@dataclass(frozen=True)
class Piece:
    """A line of a part list, in words."""

    key: str
    name: str
    material: str
    size: str
    count: str
    work: str


@dataclass(frozen=True)
class PartList:
    """What is cut for the rooms of one type on a floor, module by module."""

    floor: str
    room_type: str
    rooms: int
    groups: tuple[tuple[str, tuple[Piece, ...]], ...]


@dataclass(frozen=True)
class Kit:
    """The hardware of one room: put on in the shop, and packed for the site."""

    room_type: str
    rooms: str
    shop: tuple[KitLine, ...]
    site: tuple[KitLine, ...]


@dataclass(frozen=True)
class Coated:
    """A line of the finish schedule, in words."""

    what: str
    pieces: str
    sides: str
    area: str


@dataclass(frozen=True)
class Schedule:
    """A finish with all that gets it. area: of all of it, for one coat."""

    finish: str
    coats: str
    coated: tuple[Coated, ...]
    area: str


def shop_html(estimate: Estimate) -> str:
    """The page, with nothing that is fetched."""
    facts = estimate.project.project
    show = figures_of(facts)
    return page(
        "shop.html.j2",
        facts=facts,
        issued=show.day(facts.issued),
        unit=show.unit_words,
        area_unit=show.area_unit,
        lists=list(_part_lists(estimate, show)),
        kits=list(_kits(estimate, show)),
        beside=list(beside_kits(estimate)),
        finishes=list(_finishes(estimate, show)),
        cautions=[each.text for each in estimate.project.clauses if each.kind == "caution"],
    )


def _part_lists(estimate: Estimate, show: Figures) -> Iterator[PartList]:
    names = {each.key: each.name for each in estimate.project.floors}
    for bundle, lines in groupby(cut_list(estimate), key=lambda line: line.bundle):
        floor = names.get(bundle.floor, bundle.floor)
        yield PartList(floor, bundle.room_type, bundle.rooms, tuple(_groups(lines, show)))


def _groups(lines: Any, show: Figures) -> Iterator[tuple[str, tuple[Piece, ...]]]:
    for what_for, pieces in groupby(lines, key=lambda line: line.what_for):
        yield what_for, tuple(_piece(each, show) for each in pieces)


def _piece(line: CutLine, show: Figures) -> Piece:
    size = format_sides(line.length, line.width, show.unit)
    work = ", ".join(each for each in ("bevelled" if line.bevelled else "", line.finish) if each)
    return Piece(line.key, line.name, line.material, size, show.count(line.count), work)


def _kits(estimate: Estimate, show: Figures) -> Iterator[Kit]:
    for room in rows(estimate.values["types"]):
        lines = kit_of(estimate, room["key"]) if room["rooms"] else []
        if lines:
            yield Kit(
                room["name"],
                show.count(room["rooms"]),
                tuple(each for each in lines if each.where == SHOP),
                tuple(each for each in lines if each.where != SHOP),
            )


def _finishes(estimate: Estimate, show: Figures) -> Iterator[Schedule]:
    """Each finish with its coats and what gets it."""
    schedule = list(finish_rows(estimate))
    for finish in rows(estimate.values["finishes"]):
        lines = tuple(_coated(each, show) for each in schedule if each["key"] == finish["key"])
        if lines:
            coats, area = show.count(finish["coats"]), show.tenths(finish["area"])
            yield Schedule(finish["name"], coats, lines, area)


def _coated(row: dict[str, Any], show: Figures) -> Coated:
    return Coated(row["what"], show.count(row["pieces"]), row["sides"], show.tenths(row["area"]))
