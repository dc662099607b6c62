"""A cut plan as the shop works it off: patterns in shop order, each with its cuts in sequence.

Plain rows without any look; the workbook's sheet and the printed cut plan show the same ones.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from estimator.cut_plans import CutPlan
from estimator.planner.parts import Part
from estimator.planner.pattern import Box, Pattern, Piece, Section, Strip
from estimator.project.lengths import LengthUnit, format_length


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

    number: from 1 in shop order. times: sheets cut so. stock: size of the sheet. pieces: how many
    of each one sheet gives. used: the share of the sheet that becomes pieces. offcuts: sizes worth
    keeping, largest first.
    """

    number: int
    times: int
    stock: str
    steps: tuple[Step, ...]
    pieces: Mapping[str, int]
    used: float
    offcuts: tuple[str, ...]
    pattern: Pattern


def cut_sheets(plan: CutPlan, unit: LengthUnit) -> list[CutSheet]:
    """The patterns of one material, most repeated first; empty when there is no pattern."""
    order = sorted(plan.plan.patterns, key=lambda item: -item[1])
    parts = {part.key: part for part in plan.parts}
    return [
        CutSheet(
            number,
            times,
            sides(pattern.length, pattern.width, unit),
            tuple(steps_of(pattern, parts, unit)),
            dict(pattern.yields),
            pattern.use,
            tuple(sides(each.length, each.width, unit) for each in pattern.offcuts),
            pattern,
        )
        for number, (pattern, times) in enumerate(order, start=1)
    ]


def above_least(plan: CutPlan) -> int:
    """By how many sheets the plan may exceed the proven least number at most."""
    return plan.plan.sheets - math.ceil(round(plan.plan.bound, 6))


def in_short(plan: CutPlan) -> str:
    """The plan in a line: how many, the proven least, and what that means."""
    found, counted = plan.plan, "sheet" if plan.material.form == "sheet" else "length"
    gap = above_least(plan)
    proof = "no plan can use fewer" if gap == 0 else f"at most {gap} above the least possible"
    early = " Stopped early: plan again for a better one." if found.stopped_early else ""
    return (
        f"{several(found.sheets, counted)} in {several(len(found.patterns), 'pattern')}; proven "
        f"least {found.bound:.2f}: {proof}.{early}"
    )


def by_floor(plan: CutPlan) -> str:
    """What planning the whole job saves over floor by floor; nothing to say of one floor."""
    batches = {name: count for name, count in plan.by_floor.items() if count}
    if len(batches) < 2:
        return ""
    apart = sum(batches.values())
    listed = ", ".join(f"{name} {count:,}" for name, count in batches.items())
    return (
        f"Floor by floor: {listed}; {apart:,} in all. Planning the whole job together saves "
        f"{apart - plan.plan.sheets:,}."
    )


def several(number: int, noun: str) -> str:
    """`1 sheet`, `2 sheets`."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def sides(length: Fraction, width: Fraction, unit: LengthUnit) -> str:
    """`24 × 10`: along the grain first."""
    return f"{format_length(length, unit)} × {format_length(width, unit)}"


def size_of(part: Part, unit: LengthUnit) -> str:
    """The size of one finished piece, along its grain first."""
    return sides(Fraction(part.length), Fraction(part.width), unit)


# --- The cuts in sequence ----------------------------------------------------------------------


@dataclass(frozen=True)
class Cut:
    """A rectangle that is cut off another. along_x: the saw is set along the sheet's length."""

    noun: str
    box: Box
    along_x: bool
    inside: tuple[Cut, ...] = ()
    piece: Piece | None = None

    @property
    def set_to(self) -> Fraction:
        """What the saw is set to."""
        return self.box.length if self.along_x else self.box.width

    @property
    def shape(self) -> tuple[object, ...]:
        """Equal for cuts that are made alike, wherever they lie."""
        piece = self.piece and (self.piece.part, self.piece.turned, self.piece.is_pair)
        inside = tuple(each.shape for each in self.inside)
        return (self.box.length, self.box.width, self.along_x, piece, inside)


def steps_of(pattern: Pattern, parts: Mapping[str, Part], unit: LengthUnit) -> Iterator[Step]:
    """The cuts of a pattern from the whole sheet to its pieces; alike neighbours in one step."""
    if pattern.trim:
        yield Step(0, "Trim all four sides", format_length(pattern.trim, unit))
    yield from _steps(tree_of(pattern).inside, 1, 1, parts, unit)


def tree_of(pattern: Pattern) -> Cut:
    """The usable sheet with all that is cut from it, less the cuts that need not be made."""
    across = pattern.first_cut == "across"
    strips_along_x = across != (pattern.stages == 3)
    trim = pattern.trim
    usable = Box(trim, trim, pattern.length - 2 * trim, pattern.width - 2 * trim)
    sections = tuple(_section(each, across, strips_along_x) for each in pattern.sections)
    return _merged(Cut("sheet", usable, across, sections))


def _section(section: Section, along_x: bool, strips_along_x: bool) -> Cut:
    strips = tuple(_strip(each, strips_along_x) for each in section.strips)
    return _merged(Cut("section", section.box, along_x, strips))


def _strip(strip: Strip, along_x: bool) -> Cut:
    pieces = tuple(
        Cut("pair" if each.is_pair else "piece", each.box, not along_x, piece=each)
        for each in strip.pieces
    )
    return _merged(Cut("strip", strip.box, along_x, pieces))


def _merged(cut: Cut) -> Cut:
    """What is all there is in a rectangle, and fills it, needs no cut of its own."""
    if len(cut.inside) != 1:
        return cut
    (only,) = cut.inside
    if only.box != cut.box:
        return cut
    if cut.noun == "sheet":
        return replace(cut, inside=only.inside or cut.inside)
    return replace(only, along_x=cut.along_x)


def _steps(
    cuts: Sequence[Cut], parents: int, level: int, parts: Mapping[str, Part], unit: LengthUnit
) -> Iterator[Step]:
    """parents: how many rectangles these cuts are repeated in."""
    for _, run in groupby(cuts, key=lambda cut: cut.shape):
        alike = list(run)
        cut, number = alike[0], len(alike)
        verb = "Crosscut" if cut.along_x else "Rip"
        noun = cut.noun if number == 1 else f"{cut.noun}s"
        words = f"{verb} {number} {noun}{' from each' if parents > 1 else ''}"
        if cut.piece:
            yield from _last_steps(words, cut, cut.piece, level, parts, unit)
        else:
            yield Step(level, words, format_length(cut.set_to, unit))
            yield from _steps(cut.inside, number, level + 1, parts, unit)


def _last_steps(
    words: str, cut: Cut, piece: Piece, level: int, parts: Mapping[str, Part], unit: LengthUnit
) -> Iterator[Step]:
    """A piece as it leaves the saw, brought to width if its strip is wider, a pair parted."""
    size = size_of(parts[piece.part], unit)
    rough = sides(piece.box.length, piece.box.width, unit) if piece.is_pair else size
    turned = ", turned" if piece.turned else ""
    yield Step(level, words + turned, rough, "" if piece.is_pair else piece.part)
    if piece.trimmed:
        other = cut.box.width if cut.along_x else cut.box.length
        verb = "rip" if cut.along_x else "crosscut"
        yield Step(level + 1, f"Then {verb} to size", format_length(other, unit))
    if piece.is_pair:
        yield Step(level + 1, "Part each pair by one angled rip", size, piece.part)
