"""A cut plan as the shop reads it: patterns in shop order, each with its cuts in sequence.

Rows of words without any look; the workbook's sheet and the printed cut plan show the same ones.
What they tell was counted by the planner (`planner/shop_order.py`, `planner/saw_cuts.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.cut_plans import CutPlan
from estimator.drawing.pattern_shapes import PieceLabel
from estimator.planner.parts import CutPart, exact
from estimator.planner.pattern import Pattern
from estimator.planner.saw_cuts import Cut, Setting
from estimator.planner.shop_order import OrderedPattern
from estimator.project.lengths import LengthUnit, format_length, format_sides


@dataclass(frozen=True)
class Step:
    """One setting of the saw. level: 0 the sheet, 1 what is cut from it, and so on.

    size: lengths in the project's unit, as the trade writes them. piece: the key of the finished
    piece that the step gives, or an empty text.
    """

    level: int
    words: str
    size: str
    piece: str = ""


@dataclass(frozen=True)
class CutSheet:
    """A pattern as the shop reads it.

    number: from 1 in shop order. times: sheets cut so. stock: size of the sheet. pieces, in_all:
    how many of each one sheet gives, and all of them. count: pieces of one sheet, of all kinds.
    used: the share of the sheet that becomes pieces. offcuts: sizes worth keeping, largest first.
    """

    number: int
    times: int
    stock: str
    steps: tuple[Step, ...]
    pieces: Mapping[str, int]
    in_all: Mapping[str, int]
    count: int
    used: float
    offcuts: tuple[str, ...]
    pattern: Pattern


def piece_labels(
    plan: CutPlan, names: Mapping[str, str], unit: LengthUnit
) -> dict[str, PieceLabel]:
    """A label for each piece of a material, numbered in the plan's order. names: by piece key."""
    return {
        part.key: PieceLabel(number, names[part.key], size_of(part, unit))
        for number, part in enumerate(plan.parts, start=1)
    }


def cut_sheets(plan: CutPlan, unit: LengthUnit) -> list[CutSheet]:
    """The patterns of one material, most repeated first; empty when there is no pattern."""
    parts = {part.key: part for part in plan.parts}
    return [_cut_sheet(ordered, parts, unit) for ordered in plan.order.patterns]


def _cut_sheet(ordered: OrderedPattern, parts: Mapping[str, CutPart], unit: LengthUnit) -> CutSheet:
    pattern = ordered.pattern
    return CutSheet(
        number=ordered.number,
        times=ordered.times,
        stock=format_sides(pattern.length, pattern.width, unit),
        steps=tuple(_step(setting, parts, unit) for setting in ordered.settings),
        pieces=ordered.pieces,
        in_all=ordered.in_all,
        count=ordered.count,
        used=pattern.use,
        offcuts=tuple(format_sides(each.length, each.width, unit) for each in pattern.offcuts),
        pattern=pattern,
    )


def in_short(plan: CutPlan) -> str:
    """The plan in a line: how many, the proven least, and what that means."""
    found, above = plan.plan, plan.above_bound
    counted = "sheet" if plan.material.form == "sheet" else "length"
    proof = f"at most {above} above the least possible" if above else "no plan can use fewer"
    early = " Stopped early: plan again for a better one." if found.stopped_early else ""
    return (
        f"{several(found.sheets, counted)} in {several(plan.order.count, 'pattern')}; proven "
        f"least {found.bound:.2f}: {proof}.{early}"
    )


def by_floor(plan: CutPlan) -> str:
    """What planning the whole job saves over floor by floor; nothing to say of one floor."""
    first, *others = plan.batches or [""]
    if not others:
        return ""
    listed = ", ".join(f"{name} {plan.batches[name]:,}" for name in (first, *others))
    return (
        f"Floor by floor: {listed}; {plan.apart:,} in all. Planning the whole job together saves "
        f"{plan.saved:,}."
    )


def several(number: int, noun: str) -> str:
    """`1 sheet`, `2 sheets`."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def size_of(part: CutPart, unit: LengthUnit) -> str:
    """The size of one finished piece, along its grain first."""
    return format_sides(exact(part.length, part.key), exact(part.width, part.key), unit)


# --- A setting of the saw in words ---------------------------------------------------------------


def _step(setting: Setting, parts: Mapping[str, CutPart], unit: LengthUnit) -> Step:
    cut = setting.cut
    if cut is None:
        return Step(setting.level, "Trim all four sides", format_length(setting.to, unit))
    if setting.last == "sized":
        verb = "rip" if cut.along_x else "crosscut"
        return Step(setting.level, f"Then {verb} to size", format_length(setting.to, unit))
    if setting.last == "parted":
        return _parted(setting, cut, parts, unit)
    return _cut_off(setting, cut, parts, unit)


def _cut_off(setting: Setting, cut: Cut, parts: Mapping[str, CutPart], unit: LengthUnit) -> Step:
    verb = "Crosscut" if cut.along_x else "Rip"
    from_each = " from each" if setting.from_each else ""
    words = f"{verb} {several(setting.number, cut.noun)}{from_each}"
    piece = cut.piece
    if piece is None:
        return Step(setting.level, words, format_length(setting.to, unit))
    turned = ", turned" if piece.turned else ""
    if piece.is_pair:
        rough = format_sides(piece.box.length, piece.box.width, unit)
        return Step(setting.level, f"{words}{turned}", rough)
    return Step(setting.level, f"{words}{turned}", size_of(parts[piece.part], unit), piece.part)


def _parted(setting: Setting, cut: Cut, parts: Mapping[str, CutPart], unit: LengthUnit) -> Step:
    assert cut.piece is not None
    key = cut.piece.part
    words = "Part each pair by one angled rip"
    return Step(setting.level, words, size_of(parts[key], unit), key)
