"""Which move has which turn.

A long search is a portfolio of moves, since none of them is the best for every job. Refills are
quick and often enough; every fourth turn squeezes the plan at hand, every fourth dives, and after
each round all patterns met are combined. Deep dives come first where the target leaves little to
spare, and flat ones where a flat one is likely to do.
"""

from __future__ import annotations

from estimator.planner.search.combining import combine
from estimator.planner.search.deep_diving import deep_dive, deep_dive_for_one
from estimator.planner.search.diving import dive
from estimator.planner.search.ruin_and_recreate import ruin_and_recreate
from estimator.planner.search.state import Move
from estimator.planner.search.value_correction import refill

Schedule = tuple[Move, ...]
"""Moves by turn, from the beginning again after the last."""

# fmt: off
FIRST_IF_TIGHT: Schedule = (
    refill, refill, deep_dive_for_one, ruin_and_recreate,
    refill, refill, dive,              ruin_and_recreate,
    refill, refill, deep_dive_for_one, ruin_and_recreate,
    refill, refill, dive,              combine,
)
FIRST_IF_LOOSE: Schedule = (
    refill, refill, dive,              ruin_and_recreate,
    refill, refill, deep_dive_for_one, ruin_and_recreate,
    refill, refill, dive,              ruin_and_recreate,
    refill, refill, deep_dive_for_one, combine,
)
SECOND_IF_TIGHT: Schedule = (deep_dive,)
SECOND_IF_LOOSE: Schedule = (dive, deep_dive)
# fmt: on

DIVE_EVERY = 4
"""Turns of the first search for each dive in it; the second search makes as many dives."""


def first_schedule(loose: bool) -> Schedule:
    """Of the first search."""
    return FIRST_IF_LOOSE if loose else FIRST_IF_TIGHT


def second_schedule(loose: bool) -> Schedule:
    """Of the second search, which only dives."""
    return SECOND_IF_LOOSE if loose else SECOND_IF_TIGHT
