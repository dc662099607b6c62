"""Says what is wrong with a plan, from its boxes alone; shares no code with the planner.

The cuts are found again from where the pieces lie: wherever a straight line with room for the
saw passes all boxes of a group, the group can be parted there. Parting wherever possible is never
worse than parting less, so that a pattern is within its stages if this succeeds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class WantedPart:
    length: Fraction
    width: Fraction
    demand: int
    may_turn: bool
    shares_rip: Fraction | None


@dataclass(frozen=True)
class Placed:
    part: str
    x: Fraction
    y: Fraction
    length: Fraction
    width: Fraction
    turned: bool
    is_pair: bool


@dataclass(frozen=True)
class CutSheet:
    length: Fraction
    width: Fraction
    first_cut: str
    placed: tuple[Placed, ...]
    times: int


def faults(
    sheets: Sequence[CutSheet],
    parts: Mapping[str, WantedPart],
    kerf: Fraction,
    trim: Fraction,
    stages: int,
) -> list[str]:
    """Every fault of a plan, in words; an empty list if there is none."""
    found: list[str] = []
    made: Counter[str] = Counter()
    for number, sheet in enumerate(sheets):
        found += [f"pattern {number}: {fault}" for fault in sheet_faults(sheet, parts, kerf, trim)]
        if not within_stages(sheet, kerf, stages):
            found.append(f"pattern {number}: not cut edge to edge in {stages} stages")
        for placed in sheet.placed:
            made[placed.part] += (2 if placed.is_pair else 1) * sheet.times
    for key, part in parts.items():
        if made[key] < part.demand:
            found.append(f"{key}: {made[key]} made, {part.demand} wanted")
    return found


def sheet_faults(
    sheet: CutSheet, parts: Mapping[str, WantedPart], kerf: Fraction, trim: Fraction
) -> list[str]:
    found = []
    for placed in sheet.placed:
        if not true_to_size(placed, parts[placed.part]):
            found.append(f"{placed.part} is {placed.length} x {placed.width}")
        if placed.turned and not parts[placed.part].may_turn:
            found.append(f"{placed.part} lies against its grain")
        inside = (
            placed.x >= trim
            and placed.y >= trim
            and placed.x + placed.length <= sheet.length - trim
            and placed.y + placed.width <= sheet.width - trim
        )
        if not inside:
            found.append(f"{placed.part} at {placed.x}, {placed.y} is beyond the trimmed sheet")
    for i, one in enumerate(sheet.placed):
        for other in sheet.placed[i + 1 :]:
            if not apart(one, other, kerf):
                found.append(f"{one.part} and {other.part} are nearer than a kerf")
    return found


def true_to_size(placed: Placed, part: WantedPart) -> bool:
    width = part.shares_rip if placed.is_pair else part.width
    size = (placed.width, placed.length) if placed.turned else (placed.length, placed.width)
    return size == (part.length, width)


def apart(one: Placed, other: Placed, kerf: Fraction) -> bool:
    return (
        one.x + one.length + kerf <= other.x
        or other.x + other.length + kerf <= one.x
        or one.y + one.width + kerf <= other.y
        or other.y + other.width + kerf <= one.y
    )


def within_stages(sheet: CutSheet, kerf: Fraction, stages: int) -> bool:
    """Whether ``stages`` rounds of parting, in turn across and along, single out every box."""
    groups: list[Sequence[Placed]] = [sheet.placed]
    across = sheet.first_cut == "across"
    for _ in range(stages):
        groups = [part for group in groups for part in parted(group, kerf, across)]
        across = not across
    return all(len(group) == 1 for group in groups)


def parted(group: Sequence[Placed], kerf: Fraction, across: bool) -> list[list[Placed]]:
    """The group's boxes parted by every straight cut that passes between them."""

    def start(box: Placed) -> Fraction:
        return box.x if across else box.y

    def end(box: Placed) -> Fraction:
        return box.x + box.length if across else box.y + box.width

    parts: list[list[Placed]] = []
    reach = None
    for box in sorted(group, key=start):
        if reach is None or start(box) >= reach + kerf:
            parts.append([])
            reach = end(box)
        parts[-1].append(box)
        reach = max(reach, end(box))
    return parts
