"""Deep diving: patterns within the rest only, backtracking, and the last sheets all at once.

The first sheets of a plan lose next to nothing, the last ones much or little as chance will have
it. So the dive forks where few sheets are left: it comes back there and goes on several ways
(limited backtracking: Harvey and Ginsberg, "Limited discrepancy search" (1995), from memory). Each
end's last sheets come from a whole-number programme over the patterns found, and the ends share
the patterns that they meet. It finds more than a flat dive and takes longer.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from estimator.planner import tuning
from estimator.planner.bound.restricted_master import LinearSolution
from estimator.planner.columns import PatternColumn
from estimator.planner.search.dive_programme import (
    Rest,
    deep_rest,
    filled,
    flat_rest,
    solve_rest,
    whole_times,
)
from estimator.planner.search.diving import dive, first_sheets
from estimator.planner.search.state import PlanSearch, Sheets


@dataclass(frozen=True)
class Depth:
    """How deep dives go: down to ``fork`` sheets, and from there by so many ``ends`` to the last.

    ``fills``: sheets filled per way of cutting in a round. ``all_at_once``: whether the sheets from
    the fork on are also made by one programme.
    """

    fills: int
    fork: int
    ends: int
    last: int
    all_at_once: bool


# By trial. With sections the programme over all sheets from the fork on takes too long, and so does
# a late fork: there are more ends instead.
WITHOUT_SECTIONS = Depth(fills=2, fork=10, ends=6, last=3, all_at_once=True)
WITH_SECTIONS = Depth(fills=1, fork=5, ends=10, last=2, all_at_once=False)


def deep_dive_for_one(search: PlanSearch, now: Sheets) -> Sheets | None:
    """Move: a deep dive once a single sheet is to be saved, until then a flat one."""
    near = search.cost(now) <= search.target + max(search.costs)
    return deep_dive(search, now) if near else dive(search, now)


def deep_dive(search: PlanSearch, now: Sheets) -> Sheets | None:
    """Move: the best plan that the ends of a deep dive come to; one at the target ends it."""
    base = first_sheets(search)
    if search.generation.limited:
        return None
    depth = depth_of(search)
    fork = _forked(search, base, depth)
    if fork is None:
        return None
    plans: list[Sheets] = []
    for _ in range(depth.ends):
        sheets = _descended(search, fork, depth.last, depth.fills)
        plan = _finished(search, sheets, tuning.LAST_NODES, 1) if sheets is not None else None
        plans += [plan] if plan is not None else []
        if plan is not None and search.cost(plan) <= search.target:
            return plan
        if search.halted():
            break
    else:
        at_once = depth.all_at_once
        plan = (
            _finished(search, fork, tuning.FORK_NODES, tuning.FORK_GATHERINGS) if at_once else None
        )
        plans += [plan] if plan is not None else []
    return min(plans, key=search.rank, default=None)


def depth_of(search: PlanSearch) -> Depth:
    """How deep to dive, which hangs on whether there are sections."""
    sectioned = any(grid.sectioned for grid in search.job.grids)
    return WITH_SECTIONS if sectioned else WITHOUT_SECTIONS


def _forked(search: PlanSearch, base: Sheets, depth: Depth) -> Sheets | None:
    shallow = _descended(search, base, tuning.SHALLOW, None)
    return _descended(search, shallow, depth.fork, depth.fills) if shallow is not None else None


def _descended(search: PlanSearch, base: Sheets, last: int, fills: int | None) -> Sheets | None:
    """Sheets fixed until so many are left to be made; None if the target got out of reach.

    ``fills``: as ``Depth``; None for all patterns of the pool.
    """
    sheets = Counter(base)
    while (room := search.target - search.cost(sheets)) > last * max(search.costs):
        left = search.left(sheets)
        rest = flat_rest(search, left) if fills is None else deep_rest(search, left, fills)
        solution = solve_rest(search, rest, float(room) - tuning.EASE)
        if solution.value > float(room) + tuning.HOPE or search.halted():
            return None
        fixed = whole_times(rest, solution) or _by_looking_ahead(search, rest, solution)
        if not fixed:
            return None
        sheets.update(fixed)
    return sheets


def _by_looking_ahead(search: PlanSearch, rest: Rest, solution: LinearSolution) -> Sheets:
    """Of the likeliest sheets the one after which the programme needs least (strong diving)."""
    chance, programme = search.random.uniform, rest.programme
    pool = zip(programme.columns, solution.times.tolist(), strict=False)
    blurred = [
        (n + chance(0, tuning.LIKELY_BLUR), column) for column, n in pool if n > tuning.LIKELY_DEEP
    ]
    likely = sorted(blurred, key=lambda item: -item[0])[: tuning.LOOKED_AHEAD]

    def needs(column: PatternColumn) -> float:
        after = rest.left.copy()
        after[column.parts] = np.maximum(after[column.parts] - column.pieces, 0)
        programme.ask(after.tolist())
        if rest.deep:
            programme.allow(after)
        return search.solved(programme).value + chance(0, tuning.AT_RANDOM)

    return Counter([min((column for _, column in likely), key=needs)] if likely else [])


def _finished(search: PlanSearch, sheets: Sheets, nodes: int, gatherings: int) -> Sheets | None:
    """The plan with its last sheets, all made at once, if some are found."""
    left = search.left(sheets)
    fills = depth_of(search).fills
    for _ in range(gatherings):
        solution = solve_rest(search, deep_rest(search, left, fills))
        gathered = filled(search, solution.duals, left, tuning.WIDE_BLUR, tuning.GATHERED)
        search.meet(gathered)
    room = search.target - search.cost(sheets)
    spare = float(room) - solution.value + 1e-6
    if spare < 0:
        return None

    def good(column: PatternColumn) -> bool:
        worth = float(solution.duals[column.parts] @ column.pieces)
        reduced_cost = float(search.costs[column.stock]) - worth
        return reduced_cost <= spare and bool((column.pieces <= left[column.parts]).all())

    columns = [column for column in {**search.generation.pool, **search.met} if good(column)]
    last = search.combined(columns, left, room, nodes)
    return sheets + last if last is not None else None
