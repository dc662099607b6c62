"""A plan as it is worked off: its patterns in order, what each gives, and what all of them use."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from estimator.planner.cutting import Plan
from estimator.planner.pattern import Pattern, pieces_of
from estimator.planner.saw_cuts import Setting, settings_of


@dataclass(frozen=True)
class OrderedPattern:
    """A pattern in its place. number: from 1. times: sheets cut so. pieces: of one, by key."""

    number: int
    times: int
    pattern: Pattern
    pieces: Mapping[str, int]

    @property
    def in_all(self) -> Mapping[str, int]:
        """Pieces by key from all sheets cut so."""
        return {key: pieces * self.times for key, pieces in self.pieces.items()}

    @property
    def count(self) -> int:
        """Pieces from one sheet, of all kinds."""
        return sum(self.pieces.values())

    @property
    def settings(self) -> tuple[Setting, ...]:
        """How the saw is set, one setting after another."""
        return tuple(settings_of(self.pattern))


@dataclass(frozen=True)
class ShopOrder:
    """All patterns of a plan, the most repeated first."""

    patterns: tuple[OrderedPattern, ...]

    @property
    def count(self) -> int:
        """How many patterns there are."""
        return len(self.patterns)

    @property
    def sheets(self) -> int:
        """How many sheets are cut by them."""
        return sum(each.times for each in self.patterns)

    @property
    def use(self) -> float:
        """The share of all sheets' area that becomes parts; 0 where there is no sheet."""
        if not self.patterns:
            return 0.0
        return sum(each.pattern.use * each.times for each in self.patterns) / self.sheets

    @property
    def cuts_each(self) -> float:
        """Cuts per piece: one for each section, strip and piece; a pair counts as a piece."""
        cuts = sum(_cuts_in(each.pattern) * each.times for each in self.patterns)
        pieces = sum(_pieces_in(each.pattern) * each.times for each in self.patterns)
        return cuts / pieces if pieces else 0.0


def shop_order(plan: Plan) -> ShopOrder:
    """The patterns of a plan in the order in which a shop cuts them."""
    ordered = sorted(plan.patterns, key=lambda item: item[1], reverse=True)
    return ShopOrder(
        tuple(
            OrderedPattern(number, times, pattern, dict(pattern.yields))
            for number, (pattern, times) in enumerate(ordered, start=1)
        )
    )


def above_bound(plan: Plan) -> int:
    """By how many sheets a plan of sheets at cost 1 may exceed the fewest at most.

    The bound is the float at or just below its exact value: there is no noise to round away first.
    """
    return plan.sheets - math.ceil(plan.bound)


def _pieces_in(pattern: Pattern) -> int:
    return sum(1 for _ in pieces_of(pattern))


def _cuts_in(pattern: Pattern) -> int:
    strips = sum(len(section.strips) for section in pattern.sections)
    return len(pattern.sections) + strips + _pieces_in(pattern)
