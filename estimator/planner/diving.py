"""Diving: fix sheets one after the other, with the linear programme solved anew for the rest.

Towards the end the rest is a handful of pieces, and a programme whose patterns make pieces in
excess promises too much. A deep dive therefore allows only patterns within the rest, found by
filling single sheets at the programme's prices; and its last sheets come all at once, from a
whole-number programme over the patterns found. It finds more and takes longer.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from estimator.planner.columns import Column
from estimator.planner.filling import Wanted
from estimator.planner.grid import Ints
from estimator.planner.master import LEAST_WORTH, Floats
from estimator.planner.tidying import leaner

if TYPE_CHECKING:
    from estimator.planner.rounding import Rounder, Sheets

GATHERED = 3  # sheets filled per frame for the last programme, at blurred prices
BLUR, WIDE = 0.1, 0.3  # how far, and how far when patterns are gathered for the last sheets
TRIES = 4  # sheets tried before the best one is fixed
HOPE = 0.2  # sheets by which such a programme may overrate what is needed


@dataclass(frozen=True)
class Depth:
    """How far dives go.

    ``rounds`` of pricing before the next sheets are fixed; ``fills`` of a sheet in each, per frame,
    when deep. ``last``: sheets that one whole-number programme makes, after so many ``gatherings``
    of patterns, of which it sees those that lose at most a ``share`` of what may be lost in all;
    ``nodes``: how far it is looked into.
    """

    rounds: int
    fills: int
    last: int
    gatherings: int
    share: float
    nodes: int


FLAT = Depth(rounds=12, fills=3, last=16, gatherings=30, share=1.0, nodes=500)
SECTIONED = Depth(rounds=3, fills=1, last=8, gatherings=8, share=0.4, nodes=40)


def dive(rounder: Rounder, base: Sheets, deep: bool = False) -> Sheets:
    """The best plan met on a dive from the linear programme's sheets, a few of them left out."""
    master, depth = rounder.master, _depth(rounder)
    sheets = Counter(base)
    left = rounder.left(sheets)
    best = rounder.fill(sheets)
    # With limited stock the rest's programme would not know what is left of it.
    while left.any() and rounder.may_go_on(best) and not master.limited:
        times, duals, value = _solve(rounder, left, deep)
        room = rounder.target - rounder.cost(sheets)
        spare = float(room) - value
        if spare < (-HOPE if deep else -1e-6):
            break  # this way hardly comes to the target any more
        if deep and room <= depth.last * max(rounder.costs):
            last = _last_sheets(rounder, left, room)
            return min(best, sheets + last, key=rounder.rank) if last else best
        if not deep:
            rounder.values = np.maximum(duals * float(master.scale), LEAST_WORTH)
            best = min(best, rounder.fill(sheets), key=rounder.rank)
        noise = max(0.0, spare) / (1 + value)
        choose = _by_looking_ahead if deep else _by_loss
        fixed = _whole(rounder, times) or choose(rounder, times, duals, left, noise)
        if not fixed:
            break
        sheets.update(fixed)
        left = rounder.left(sheets)
    return best


def _depth(rounder: Rounder) -> Depth:
    return SECTIONED if any(frame.sectioned for frame in rounder.job.frames) else FLAT


def _last_sheets(rounder: Rounder, left: Ints, room: Fraction) -> Sheets | None:
    """Sheets for all of the rest that cost no more than the room, if some are found."""
    depth = _depth(rounder)
    for _ in range(depth.gatherings):
        _, duals, value = _solve(rounder, left, deep=True)
        rounder.met.update(dict.fromkeys(_filled(rounder, duals, left, WIDE, GATHERED)))
    spare = float(room) - value
    if spare < -1e-6:
        return None

    def good(column: Column) -> bool:
        loss = float(rounder.costs[column.stock]) - float(duals[column.parts] @ column.pieces)
        proper = bool((column.pieces <= left[column.parts]).all())
        return proper and loss <= spare * depth.share + 1e-6

    columns = [column for column in {**rounder.master.pool, **rounder.met} if good(column)]
    return rounder.mixed(columns, left, room, depth.nodes)


def _solve(rounder: Rounder, left: Ints, deep: bool) -> tuple[Floats, Floats, float]:
    """The programme for the rest, patterns being generated within it."""
    master = rounder.master
    master.ask_rest(left, proper=deep)
    depth = _depth(rounder)
    for turn in range(depth.rounds):
        times, duals, value = master.solve_rest()
        found = master.quick_columns(duals, TRIES) if turn == 0 or not deep else []
        if deep:
            found = [_within(rounder, column, left) for column in found]
            found += _filled(rounder, duals, left, BLUR, depth.fills)
            rounder.met.update(dict.fromkeys(found))
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


def _filled(rounder: Rounder, duals: Floats, left: Ints, most: float, fills: int) -> list[Column]:
    """Sheets filled with pieces of the rest at these prices, and at prices blurred up to so far."""
    columns = []
    for filler, share in rounder.fillers:
        for turn in range(fills if share > 0.01 else 0):
            far = most * turn / max(1, fills - 1)
            blur = [rounder.random.uniform(1 - far, 1 + far) for _ in duals]
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
