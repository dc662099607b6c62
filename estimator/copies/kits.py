"""What one room of a type needs in hardware, as the sheet Hardware kits has it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from estimator.documents.figures import rows, whole
from estimator.estimate import Estimate


@dataclass(frozen=True)
class KitLine:
    """So many of an item for one room; where: put on in the shop, or used on site."""

    item: str
    name: str
    count: int
    where: str


@dataclass(frozen=True)
class BesideLine:
    """So many of an item that are in no room's kit: for the spares, and for the job as a whole."""

    item: str
    name: str
    for_spares: int
    for_job: int


def kit_of(estimate: Estimate, room_type: str) -> list[KitLine]:
    """The kit of one room, without what is lost: what goes into a module in the shop first."""
    return [
        KitLine(each["item"], each["name"], whole(each["kit"]), each["where"])
        for each in rows(estimate.values["kits"])
        if each["room_type"] == room_type and each["kit"] > 0
    ]


def beside_kits(estimate: Estimate) -> Iterator[BesideLine]:
    """The hardware that is in no room's kit."""
    for each in rows(estimate.values["items"]):
        line = BesideLine(
            each["key"], each["name"], whole(each["spare_kit"]), whole(each["job_kit"])
        )
        if line.for_spares or line.for_job:
            yield line
