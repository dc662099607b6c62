"""From the planner's plan to the checker's plain boxes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from estimator.planner.cutting import CutPart, Plan, placements
from tests.planner.checker import CutSheet, Placed, WantedPart, faults


def plan_faults(
    plan: Plan, parts: Sequence[CutPart], kerf: Fraction, trim: Fraction, stages: int
) -> list[str]:
    """What the checker finds wrong with a plan for these parts."""
    sheets = [
        CutSheet(
            pattern.length,
            pattern.width,
            pattern.first_cut,
            tuple(Placed(*placement) for placement in placements(pattern)),
            times,
        )
        for pattern, times in plan.patterns
    ]
    wanted = {
        part.key: WantedPart(
            Fraction(part.length),
            Fraction(part.width),
            part.demand,
            part.may_turn,
            None if part.shares_rip is None else Fraction(part.shares_rip),
        )
        for part in parts
    }
    return faults(sheets, wanted, Fraction(kerf), Fraction(trim), stages)
