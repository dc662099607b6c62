"""What one room of a type needs in hardware: put on in the shop, and taken along to the site."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil

from estimator.documents.figures import rows
from estimator.documents.rooms import modules_in_room
from estimator.estimate import Estimate

CARRIED = ("fastener", "hardware", "bought")
SHOP, SITE = "shop", "site"


@dataclass(frozen=True)
class KitLine:
    """So many of an item for one room; where: put on in the shop, or used on site."""

    item: str
    name: str
    count: int
    where: str


def kit_of(estimate: Estimate, room_type: str) -> list[KitLine]:
    """The kit of one room, without what is lost: what goes into a module in the shop first."""
    drivers = _drivers(estimate, room_type)
    modules = modules_in_room(estimate.project, room_type)
    amounts: defaultdict[tuple[str, str], float] = defaultdict(float)
    for use in estimate.project.uses:
        where = SHOP if use.per in modules else SITE
        amount = float(use.amount) * drivers.get(use.per, 0.0)
        amounts[(where, use.item)] += amount
    return sorted(_lines(estimate, amounts), key=lambda line: line.where)


def _lines(estimate: Estimate, amounts: Mapping[tuple[str, str], float]) -> Iterator[KitLine]:
    items = {each.key: each for each in estimate.project.items}
    for (where, key), amount in amounts.items():
        item = items[key]
        if item.kind in CARRIED and amount > 0:
            yield KitLine(item.key, item.name, ceil(round(amount, 6)), where)


def _drivers(estimate: Estimate, room_type: str) -> dict[str, float]:
    """How many there are in one room of each thing that a use may be for."""
    modules = modules_in_room(estimate.project, room_type)
    runs = [each for each in rows(estimate.values["runs"]) if each["room_type"] == room_type]
    found: defaultdict[str, float] = defaultdict(float, modules)
    found[room_type] += 1
    for run in runs:
        found[run["profile"]] += _feet(estimate, run["length"])
        found["rail"] += _feet(estimate, run["length"])
        found["pieces"] += run["pieces"]
        found["studs"] += run["fixings"]
        found["screws"] += run["screws"]
    found["modules"] += sum(modules.values())
    found["rooms"] += 1
    return found


def _feet(estimate: Estimate, length: float) -> float:
    """A length in the unit that rail is bought by: feet, or metres."""
    return length / (12 if estimate.project.project.unit == "in" else 1000)
