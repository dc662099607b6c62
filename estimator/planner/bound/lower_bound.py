"""The lower bound: dual values under which no pattern is worth more than it costs.

Whatever is wanted, its worth at such values is a proven least cost, since every plan is made of
patterns. Values that some pattern overruns are scaled down until none does: Farley, "A note on
bounding a class of linear programming problems, including cutting stock problems", Operations
Research 38 (1990), from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.planner.grid import Ints


@dataclass(frozen=True)
class DualBound:
    """Feasible dual values: cost >= sum(dual value * demand) - credit for any demand whatever."""

    duals: Ints  # per part, in units of 1 / scale
    credit: Fraction  # what limited stock takes off, in cost
    scale: Fraction  # dual units in one unit of cost
    shrink: Fraction  # factor (at most 1) that makes the dual values feasible

    def dual_value(self, part: int) -> Fraction:
        """The dual value of one piece, in cost."""
        return int(self.duals[part]) * self.shrink / self.scale

    def of(self, demand: Sequence[int]) -> Fraction:
        """The least cost at which this demand can be met."""
        total = sum(int(p) * int(d) for p, d in zip(self.duals, demand, strict=True))
        return max(Fraction(0), total * self.shrink / self.scale - self.credit)

    def dual_floats(self, keys: Sequence[str]) -> dict[str, float]:
        """Dual values by key, each a hair below its exact one so that float sums stay bounds."""
        hair = 1 - Fraction(1, 10**13)
        return {key: below(self.dual_value(part) * hair) for part, key in enumerate(keys)}


def below(value: Fraction) -> float:
    """The float at or just below an exact value."""
    near = float(value)
    return near if Fraction(near) <= value else math.nextafter(near, -math.inf)


def above(value: Fraction) -> float:
    """The float at or just above an exact value."""
    near = float(value)
    return near if Fraction(near) >= value else math.nextafter(near, math.inf)
