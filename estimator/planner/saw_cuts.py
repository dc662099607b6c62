"""The cuts of a pattern in sequence: from the whole sheet to its pieces, alike ones together.

A guillotine pattern is a tree of rectangles, each cut off another from edge to edge; worked off
from the root, cuts that lie beside one another and are made alike need the saw to be set once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby
from typing import Literal

from estimator.planner.pattern import Box, Pattern, Piece, Section, Strip

Noun = Literal["sheet", "section", "strip", "piece", "pair"]


@dataclass(frozen=True)
class Cut:
    """A rectangle that is cut off another. along_x: the saw is set along the sheet's length."""

    noun: Noun
    box: Box
    along_x: bool
    inside: tuple[Cut, ...] = ()
    piece: Piece | None = None

    @property
    def set_to(self) -> Fraction:
        """What the saw is set to."""
        return self.box.length if self.along_x else self.box.width

    @property
    def other_side(self) -> Fraction:
        """The side that the saw is not set to."""
        return self.box.width if self.along_x else self.box.length

    @property
    def shape(self) -> tuple[object, ...]:
        """Equal for cuts that are made alike, wherever they lie."""
        piece = self.piece and (self.piece.part, self.piece.turned, self.piece.is_pair)
        inside = tuple(each.shape for each in self.inside)
        return (self.box.length, self.box.width, self.along_x, piece, inside)


@dataclass(frozen=True)
class Setting:
    """One setting of the saw.

    level: 0 the sheet, 1 what is cut from it, and so on. to: what the saw is set to. number: of
    rectangles cut so, from_each: out of each of several. cut: None for trimming the sheet's sides.
    last: how a piece is finished, once it is cut off: brought to its size, or a pair parted.
    """

    level: int
    to: Fraction
    cut: Cut | None = None
    number: int = 1
    from_each: bool = False
    last: Literal["", "sized", "parted"] = ""


def settings_of(pattern: Pattern) -> Iterator[Setting]:
    """The settings of the saw, in sequence; alike neighbours in one."""
    if pattern.trim:
        yield Setting(0, pattern.trim)
    yield from _settings(tree_of(pattern).inside, 1, 1)


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


def _settings(cuts: Sequence[Cut], parents: int, level: int) -> Iterator[Setting]:
    """parents: how many rectangles these cuts are repeated in."""
    for _, run in groupby(cuts, key=lambda cut: cut.shape):
        cut, *others = run
        number = len(others) + 1
        yield Setting(level, cut.set_to, cut, number, parents > 1)
        if cut.piece:
            yield from _last_settings(cut, cut.piece, level + 1)
        else:
            yield from _settings(cut.inside, number, level + 1)


def _last_settings(cut: Cut, piece: Piece, level: int) -> Iterator[Setting]:
    """A piece brought to width if its strip is wider, a pair parted."""
    if piece.trimmed:
        yield Setting(level, cut.other_side, cut, last="sized")
    if piece.is_pair:
        yield Setting(level, cut.other_side, cut, last="parted")
