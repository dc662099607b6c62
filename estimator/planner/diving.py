"""Diving: fix sheets one after the other, with the linear programme solved anew for the rest.

Towards the end the rest is a handful of pieces, and a programme whose patterns make pieces in
excess promises too much. A proper dive therefore allows only patterns within the rest, found by
filling single sheets at the programme's prices; it guides better and takes longer.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np

from estimator.planner.columns import Column
from estimator.planner.filling import Wanted
from estimator.planner.grid import Ints
from estimator.planner.master import LEAST_WORTH, Floats
from estimator.planner.tidying import leaner

if TYPE_CHECKING:
    from estimator.planner.rounding import Rounder, Sheets

ROUNDS = 12  # of pricing before the next sheets are fixed,
ROUNDS_SECTIONED = 4  # with three stages, where pricing takes longer
FILLS = 3  # sheets filled per frame and round of a proper dive, at blurred prices
BLUR = 0.05
TRIES = 4  # sheets tried before the best one is fixed
HOPE = 0.2  # sheets by which a proper programme may overrate what is needed


def dive(rounder: Rounder, base: Sheets, proper: bool) -> Sheets:
    """The best plan met on a dive from the linear programme's sheets, a few of them left out."""
    master = rounder.master
    sheets = Counter(base)
    left = rounder.left(sheets)
    best = rounder.fill(sheets)
    # With limited stock the rest's programme would not know what is left of it.
    while left.any() and rounder.cost(best) > rounder.target and not master.limited:
        times, duals, value = _solve(rounder, left, proper)
        spare = float(rounder.target - rounder.cost(sheets)) - value
        if spare < (-HOPE if proper else -1e-6):
            break  # this way hardly comes to the target any more
        rounder.values = np.maximum(duals * float(master.scale), LEAST_WORTH)
        best = min(best, rounder.fill(sheets), key=rounder.rank)
        noise = max(0.0, spare) / (1 + value)
        choose = _by_looking_ahead if proper else _by_loss
        fixed = _whole(rounder, times) or choose(rounder, times, duals, left, noise)
        if not fixed:
            break
        sheets.update(fixed)
        left = rounder.left(sheets)
    return best


def _solve(rounder: Rounder, left: Ints, proper: bool) -> tuple[Floats, Floats, float]:
    """The programme for the rest, patterns being generated within it."""
    master = rounder.master
    sectioned = any(frame.sectioned for frame in master.job.frames)
    master.ask_rest(left, proper)
    for _ in range(ROUNDS_SECTIONED if sectioned else ROUNDS):
        times, duals, value = master.solve_rest()
        found = master.quick_columns(duals, TRIES)
        if proper:
            found = [_within(rounder, column, left) for column in found]
            found += _filled(rounder, duals, left)
        gains = [
            column
            for column in found
            if float(duals[column.parts] @ column.pieces)
            > float(rounder.costs[column.stock]) + 1e-7
        ]
        if not master.add(gains):
            break
    return times, duals, value


def _within(rounder: Rounder, column: Column, left: Ints) -> Column:
    """The column without the pieces that the rest does not want."""
    excess = np.maximum(column.pieces - left[column.parts], 0)
    drop = dict(zip(column.parts.tolist(), excess.tolist(), strict=True))
    return leaner(rounder.job, column, drop) or column


def _filled(rounder: Rounder, duals: Floats, left: Ints) -> list[Column]:
    """Sheets filled with pieces of the rest at these prices, and at prices near them."""
    columns = []
    for filler, share in rounder.fillers:
        for turn in range(FILLS if share > 0.01 else 0):
            blur = [rounder.random.uniform(1 - BLUR * turn, 1 + BLUR * turn) for _ in duals]
            worth = np.maximum(duals * np.array(blur) * float(rounder.master.scale), LEAST_WORTH)
            column = filler.sheet(Wanted(left.copy(), worth.astype(np.int64)))
            columns += [column] if column is not None else []
    return columns


def _whole(rounder: Rounder, times: Floats) -> Sheets:
    """The sheets that the programme wants in whole numbers, its fractions left out."""
    pool = zip(rounder.master.pool, times.tolist(), strict=False)
    return Counter({column: int(n + 1e-6) for column, n in pool if n > 1 - 1e-6})


def _by_looking_ahead(
    rounder: Rounder, times: Floats, duals: Floats, left: Ints, noise: float
) -> Sheets:
    """Of the likeliest sheets the one after which the programme needs least."""
    pool = zip(rounder.master.pool, times.tolist(), strict=False)
    blurred = [(n + rounder.random.uniform(0, 0.3), column) for column, n in pool if n > 0.05]
    likely = sorted(blurred, key=lambda item: -item[0])[:TRIES]

    def needs(column: Column) -> float:
        rest = left.copy()
        rest[column.parts] = np.maximum(rest[column.parts] - column.pieces, 0)
        rounder.master.ask_rest(rest, proper=True)
        return rounder.master.solve_rest()[2] + rounder.random.uniform(0, 0.3 * noise)

    return Counter([min((column for _, column in likely), key=needs)] if likely else [])


def _by_loss(rounder: Rounder, times: Floats, duals: Floats, left: Ints, noise: float) -> Sheets:
    """The sheet that loses least against the duals, out of the programme's and filled ones."""
    pool = zip(rounder.master.pool, times.tolist(), strict=False)
    tries = [column for column, n in pool if n > 0.2]
    worth = np.maximum(duals * float(rounder.master.scale), LEAST_WORTH).astype(np.int64)
    for filler, share in rounder.fillers:
        column = filler.sheet(Wanted(left.copy(), worth)) if share > 0.01 else None
        tries += [column] if column is not None else []

    def loss(column: Column) -> float:
        kept = np.minimum(column.pieces, left[column.parts])
        blur = rounder.random.uniform(0, noise)
        return float(rounder.costs[column.stock]) - float(duals[column.parts] @ kept) + blur

    return Counter([min(tries, key=loss)] if tries else [])
