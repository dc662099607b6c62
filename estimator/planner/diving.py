"""Diving: fix sheets one after the other, with the linear programme solved anew for the rest.

Towards the end the rest is a handful of pieces, and a programme whose patterns make pieces in
excess promises too much. A deep dive therefore allows only patterns within the rest, found by
filling single sheets at the programme's prices and by putting blocks together anew; and its last
sheets come all at once, from a whole-number programme over the patterns found. Sheets begin to lose
when few are left, so the way from there is gone several times. It finds more and takes longer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from estimator.planner.columns import Column
from estimator.planner.filling import Wanted
from estimator.planner.grid import Ints
from estimator.planner.linear import Answer, Floats, Linear
from estimator.planner.master import LEAST_WORTH
from estimator.planner.tidying import leaner

if TYPE_CHECKING:
    from estimator.planner.rounding import Rounder, Sheets

TRIES = 4  # sheets found in a pricing
ROUNDS = 8  # of finding patterns before the next sheets are fixed
REPEATS = 3  # times in each that blocks are put together anew
IDLE = 1  # rounds that may find nothing
BLUR, WIDE = 0.1, 0.3  # of prices, when nothing else is found, and when patterns are gathered
GATHERED = 3  # sheets filled per frame when patterns are gathered for the last sheets
NODES, ALL_NODES = 100, 500  # of the programme for the last sheets, and for all from the fork
WAYS = 12  # sheets looked ahead from before one is fixed
SHALLOW = 16  # sheets left, above which a piece in excess does no harm
EASE = 0.5  # sheets to spare with which no better patterns are looked for
AT_RANDOM = 0.03  # of a sheet: choices this close are settled by chance
HOPE = 0.05  # sheets by which the programme may overrate what is needed on the way


@dataclass(frozen=True)
class Depth:
    """How deep dives go: down to ``fork`` sheets, and from there by so many ``ends`` to the last.

    ``fills``: sheets filled per frame in a round. ``all_at_once``: whether the sheets from the fork
    on are also made by one programme, which takes too long where there are sections.
    """

    fills: int
    fork: int
    ends: int
    last: int
    all_at_once: bool


FLAT = Depth(fills=2, fork=10, ends=6, last=3, all_at_once=True)
SECTIONED = Depth(fills=1, fork=5, ends=10, last=2, all_at_once=False)


def dive(rounder: Rounder, base: Sheets) -> Sheets:
    """The best plan met on a dive from the linear programme's sheets, a few of them left out."""
    master = rounder.master
    sheets = Counter(base)
    left = rounder.left(sheets)
    best = rounder.fill(sheets)
    # With limited stock the rest's programme would not know what is left of it.
    while left.any() and rounder.may_go_on(best) and not master.limited:
        programme = _programme(rounder, left, deep=False)
        answer = _solved(rounder, programme, left, deep=False)
        spare = float(rounder.target - rounder.cost(sheets)) - answer.value
        if spare < -1e-6:
            break  # this way does not come to the target any more
        rounder.values = np.maximum(answer.duals * float(master.scale), LEAST_WORTH)
        best = min(best, rounder.fill(sheets), key=rounder.rank)
        noise = max(0.0, spare) / (1 + answer.value)
        fixed = _whole(programme, answer) or _by_loss(rounder, programme, answer, left, noise)
        if not fixed:
            break
        sheets.update(fixed)
        left = rounder.left(sheets)
    return best


def deep_dive(rounder: Rounder, base: Sheets) -> Sheets | None:
    """The best plan that the ends of a deep dive come to, if any; one at the target ends it.

    The first sheets lose next to nothing, the last ones much or little as chance will have it, so
    that the dive forks; the ends share the patterns that they meet.
    """
    depth = _depth(rounder)
    if rounder.master.limited:
        return None
    shallow = _descend(rounder, base, SHALLOW, deep=False)
    fork = _descend(rounder, shallow, depth.fork, deep=True) if shallow is not None else None
    if fork is None:
        return None
    plans: list[Sheets] = []
    for _ in range(depth.ends):
        sheets = _descend(rounder, fork, depth.last, deep=True)
        plan = _finish(rounder, sheets, NODES, 1) if sheets is not None else None
        plans += [plan] if plan is not None else []
        if plan is not None and rounder.cost(plan) <= rounder.target:
            return plan
        if rounder.halted():
            break
    else:
        plan = _finish(rounder, fork, ALL_NODES, 3) if depth.all_at_once else None
        plans += [plan] if plan is not None else []
    return min(plans, key=rounder.rank, default=None)


def _descend(rounder: Rounder, base: Sheets, last: int, deep: bool) -> Sheets | None:
    """Fix sheets until so many are left to be made, or until the target is out of reach."""
    sheets = Counter(base)
    while (room := rounder.target - rounder.cost(sheets)) > last * max(rounder.costs):
        left = rounder.left(sheets)
        programme = _programme(rounder, left, deep)
        answer = _solved(rounder, programme, left, deep, float(room) - EASE)
        if answer.value > float(room) + HOPE or rounder.halted():
            return None
        fixed = _whole(programme, answer) or _by_looking_ahead(
            rounder, programme, answer, left, deep
        )
        if not fixed:
            return None
        sheets.update(fixed)
    return sheets


def _depth(rounder: Rounder) -> Depth:
    return SECTIONED if any(frame.sectioned for frame in rounder.job.frames) else FLAT


def _finish(rounder: Rounder, sheets: Sheets, nodes: int, gatherings: int) -> Sheets | None:
    """The plan with its last sheets, all made at once, if some are found."""
    left = rounder.left(sheets)
    for _ in range(gatherings):
        answer = _solved(rounder, _programme(rounder, left, deep=True), left, deep=True)
        rounder.meet(_filled(rounder, answer.duals, left, WIDE, GATHERED))
    room = rounder.target - rounder.cost(sheets)
    spare = float(room) - answer.value + 1e-6
    if spare < 0:
        return None

    def good(column: Column) -> bool:
        loss = float(rounder.costs[column.stock]) - float(
            answer.duals[column.parts] @ column.pieces
        )
        return loss <= spare and bool((column.pieces <= left[column.parts]).all())

    columns = [column for column in {**rounder.master.pool, **rounder.met} if good(column)]
    last = rounder.mixed(columns, left, room, nodes)
    return sheets + last if last is not None else None


def _programme(rounder: Rounder, left: Ints, deep: bool) -> Linear:
    """The programme for the rest, in a deep dive only with patterns within it."""
    programme = rounder.master.linear
    if deep:
        return programme.within(left)
    programme.ask(left.tolist())
    return programme


def _solved(
    rounder: Rounder, programme: Linear, left: Ints, deep: bool, enough: float = 0.0
) -> Answer:
    """The programme's answer, patterns being added to it until it needs ``enough`` or less."""
    answer = rounder.answer(programme)
    rounder.learn_pool()
    idle = 0
    for turn in range(ROUNDS):
        if answer.value <= enough:
            break
        found = (
            _patterns_within(rounder, answer.duals, left, turn == 0, BLUR if idle else 0.0)
            if deep
            else rounder.master.quick_columns(answer.duals, TRIES)
        )
        gained = _added(rounder, programme, _gains(rounder, answer.duals, found))
        if gained:
            answer = rounder.answer(programme)
        for _ in range(REPEATS if deep else 0):
            prices = rounder.master.whole_prices(answer.duals)
            fresh = rounder.recombiner.sheets(left, prices, rounder.master.limits)
            if not _added(rounder, programme, fresh):
                break
            gained = True
            answer = rounder.answer(programme)
        idle = 0 if gained else idle + 1
        if idle > (IDLE if deep else 0):
            break
    return answer


def _patterns_within(
    rounder: Rounder, duals: Floats, left: Ints, priced: bool, blur: float
) -> list[Column]:
    """Patterns that make no piece in excess of the rest, filled and, if asked for, priced."""
    found = rounder.master.quick_columns(duals, TRIES) if priced else []
    found = [_within(rounder, column, left) for column in found]
    found += _filled(rounder, duals, left, blur, _depth(rounder).fills)
    rounder.meet(found)
    return found


def _added(rounder: Rounder, programme: Linear, columns: Sequence[Column]) -> bool:
    """Whether any of the columns is new to the programme; the pool has them from then on."""
    rounder.master.add(columns)
    return bool(programme.add(columns))


def _gains(rounder: Rounder, duals: Floats, columns: Iterable[Column]) -> list[Column]:
    """Those that are worth more than they cost."""
    return [
        column
        for column in columns
        if float(duals[column.parts] @ column.pieces) > float(rounder.costs[column.stock]) + 1e-7
    ]


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
            far = most * (turn + 1) / fills
            blur = [rounder.random.uniform(1 - far, 1 + far) for _ in duals]
            worth = np.maximum(duals * np.array(blur) * float(rounder.master.scale), LEAST_WORTH)
            column = filler.sheet(Wanted(left.copy(), worth.astype(np.int64)))
            columns += [column] if column is not None else []
    return columns


def _whole(programme: Linear, answer: Answer) -> Sheets:
    """The sheets that the programme wants in whole numbers, its fractions left out."""
    pool = zip(programme.columns, answer.times.tolist(), strict=False)
    return Counter({column: int(n + 1e-6) for column, n in pool if n > 1 - 1e-6})


def _by_looking_ahead(
    rounder: Rounder, programme: Linear, answer: Answer, left: Ints, deep: bool
) -> Sheets:
    """Of the likeliest sheets the one after which the programme needs least."""
    pool = zip(programme.columns, answer.times.tolist(), strict=False)
    blurred = [(n + rounder.random.uniform(0, 0.3), column) for column, n in pool if n > 0.05]
    likely = sorted(blurred, key=lambda item: -item[0])[:WAYS]

    def needs(column: Column) -> float:
        rest = left.copy()
        rest[column.parts] = np.maximum(rest[column.parts] - column.pieces, 0)
        programme.ask(rest.tolist())
        if deep:
            programme.allow(rest)
        return rounder.answer(programme).value + rounder.random.uniform(0, AT_RANDOM)

    return Counter([min((column for _, column in likely), key=needs)] if likely else [])


def _by_loss(
    rounder: Rounder, programme: Linear, answer: Answer, left: Ints, noise: float
) -> Sheets:
    """The sheet that loses least against the duals, out of the programme's and filled ones."""
    pool, duals = zip(programme.columns, answer.times.tolist(), strict=False), answer.duals
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
