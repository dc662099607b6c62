"""Diving: fix sheets one after the other, with the linear programme solved anew for the rest.

Sadykov, Vanderbeck, Pessoa, Tahiri and Uchoa, "Primal heuristics for branch and price: the assets
of diving methods", INFORMS Journal on Computing 31 (2019), from memory. A flat dive goes down one
way to the end and fills the rest at every step; deep dives are in a module of their own.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from estimator.planner import tuning
from estimator.planner.bound.column_generation import LEAST_WORTH
from estimator.planner.bound.restricted_master import LinearSolution
from estimator.planner.columns import PatternColumn
from estimator.planner.search.dive_programme import Rest, flat_rest, solve_rest, whole_times
from estimator.planner.search.filling import Wanted
from estimator.planner.search.state import PlanSearch, Sheets
from estimator.planner.search.value_correction import fill


def dive(search: PlanSearch, now: Sheets) -> Sheets:
    """Move: the best plan met on a dive from the linear programme's sheets."""
    sheets = first_sheets(search)
    best = fill(search, sheets)
    left = search.left(sheets)
    # With limited stock the rest's programme would not know what is left of it.
    while left.any() and search.may_go_on(best) and not search.generation.limited:
        rest = flat_rest(search, left)
        solution = solve_rest(search, rest)
        spare = float(search.target - search.cost(sheets)) - solution.value
        if spare < -1e-6:
            break  # this way does not come to the target any more
        scale = float(search.generation.scale)
        search.values = np.maximum(solution.duals * scale, LEAST_WORTH)
        best = min(best, fill(search, sheets), key=search.rank)
        noise = max(0.0, spare) / (1 + solution.value)
        fixed = whole_times(rest, solution) or _by_reduced_cost(search, rest, solution, noise)
        if not fixed:
            break
        sheets.update(fixed)
        left = search.left(sheets)
    return best


def first_sheets(search: PlanSearch) -> Sheets:
    """What a dive begins with: the programme's sheets, of which later dives leave out more."""
    opened = min(search.dives // 2, tuning.OPENED)
    search.dives += 1
    return search.thinned(search.rounded_down(), opened, opened + 2)


def _by_reduced_cost(
    search: PlanSearch, rest: Rest, solution: LinearSolution, noise: float
) -> Sheets:
    """The sheet of least reduced cost within the rest, of the programme's and of filled ones."""
    duals = solution.duals
    pool = zip(rest.programme.columns, solution.times.tolist(), strict=False)
    tries = [column for column, n in pool if n > tuning.LIKELY]
    scale = float(search.generation.scale)
    worth = np.maximum(duals * scale, LEAST_WORTH).astype(np.int64)
    for filler, share in search.fillers:
        use = share > tuning.WAY_IN_USE
        column = filler.sheet(Wanted(rest.left.copy(), worth)) if use else None
        tries += [column] if column is not None else []

    def loss(column: PatternColumn) -> float:
        kept = np.minimum(column.pieces, rest.left[column.parts])
        blur = search.random.uniform(0, noise)
        return float(search.costs[column.stock]) - float(duals[column.parts] @ kept) + blur

    return Counter([min(tries, key=loss)] if tries else [])
