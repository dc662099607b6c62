"""The linear programme for the rest of a demand, once some sheets are fixed.

A programme whose patterns make pieces in excess promises too much when the rest is a handful of
pieces. A deep one therefore allows only patterns within the rest. Those cannot be priced exactly;
they come from filling single sheets at the programme's dual values and from recombining blocks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.planner import tuning
from estimator.planner.bound.column_generation import LEAST_WORTH
from estimator.planner.bound.restricted_master import Floats, LinearSolution, RestrictedMaster
from estimator.planner.columns import PatternColumn
from estimator.planner.grid import Ints
from estimator.planner.search.filling import Wanted
from estimator.planner.search.state import PlanSearch, Sheets
from estimator.planner.tidying import leaner


@dataclass(frozen=True)
class Rest:
    """Pieces left to be made, the programme for them, and whether only patterns within it do.

    ``fills``: sheets filled per way of cutting in a round of finding patterns.
    """

    left: Ints
    programme: RestrictedMaster
    deep: bool
    fills: int = 0


def flat_rest(search: PlanSearch, left: Ints) -> Rest:
    """The rest with all patterns of the pool, in the search's own programme."""
    programme = search.generation.restricted_master
    programme.ask(left.tolist())
    return Rest(left, programme, deep=False)


def deep_rest(search: PlanSearch, left: Ints, fills: int) -> Rest:
    """The rest with patterns within it only, in a small programme of its own."""
    return Rest(left, search.generation.restricted_master.within(left), True, fills)


def solve_rest(search: PlanSearch, rest: Rest, enough: float = 0.0) -> LinearSolution:
    """The programme's answer, patterns being added to it until it needs ``enough`` or less."""
    solution = search.solved(rest.programme)
    search.learn_pool()
    idle = 0
    for turn in range(tuning.DIVE_ROUNDS):
        if solution.value <= enough:
            break
        found = (
            _patterns_within(search, solution.duals, rest, turn == 0, tuning.BLUR if idle else 0.0)
            if rest.deep
            else search.generation.quick_columns(solution.duals, tuning.DIVE_TRIES)
        )
        gained = _added(search, rest.programme, _gains(search, solution.duals, found))
        if gained:
            solution = search.solved(rest.programme)
        if rest.deep:
            solution, more = _recombined(search, rest, solution)
            gained = gained or more
        idle = 0 if gained else idle + 1
        if idle > (tuning.DIVE_IDLE if rest.deep else 0):
            break
    return solution


def _recombined(
    search: PlanSearch, rest: Rest, solution: LinearSolution
) -> tuple[LinearSolution, bool]:
    """The answer once blocks were recombined a few times, and whether that gave any pattern."""
    gained = False
    for _ in range(tuning.DIVE_REPEATS):
        duals = search.generation.whole_duals(solution.duals)
        fresh = search.recombiner.sheets(rest.left, duals, search.generation.limits)
        if not _added(search, rest.programme, fresh):
            break
        gained = True
        solution = search.solved(rest.programme)
    return solution, gained


def _patterns_within(
    search: PlanSearch, duals: Floats, rest: Rest, priced: bool, blur: float
) -> list[PatternColumn]:
    """Patterns that make no piece in excess of the rest, filled and, if asked for, priced."""
    found = search.generation.quick_columns(duals, tuning.DIVE_TRIES) if priced else []
    found = [_within(search, column, rest.left) for column in found]
    found += filled(search, duals, rest.left, blur, rest.fills)
    search.meet(found)
    return found


def _added(
    search: PlanSearch, programme: RestrictedMaster, columns: Sequence[PatternColumn]
) -> bool:
    """Whether any of the columns is new to the programme; the pool has them from then on."""
    search.generation.add(columns)
    return bool(programme.add(columns))


def _gains(
    search: PlanSearch, duals: Floats, columns: Iterable[PatternColumn]
) -> list[PatternColumn]:
    """Those of negative reduced cost."""
    return [
        column
        for column in columns
        if float(duals[column.parts] @ column.pieces) > float(search.costs[column.stock]) + 1e-7
    ]


def _within(search: PlanSearch, column: PatternColumn, left: Ints) -> PatternColumn:
    """The column without the pieces that the rest does not want."""
    excess = np.maximum(column.pieces - left[column.parts], 0)
    drop = dict(zip(column.parts.tolist(), excess.tolist(), strict=True))
    return leaner(search.job, column, drop) or column


def filled(
    search: PlanSearch, duals: Floats, left: Ints, most: float, fills: int
) -> list[PatternColumn]:
    """Sheets filled with pieces of the rest at these dual values, blurred up to so far."""
    columns = []
    scale = float(search.generation.scale)
    for filler, share in search.fillers:
        for turn in range(fills if share > tuning.WAY_IN_USE else 0):
            far = most * (turn + 1) / fills
            blur = [search.random.uniform(1 - far, 1 + far) for _ in duals]
            worth = np.maximum(duals * np.array(blur) * scale, LEAST_WORTH)
            column = filler.sheet(Wanted(left.copy(), worth.astype(np.int64)))
            columns += [column] if column is not None else []
    return columns


def whole_times(rest: Rest, solution: LinearSolution) -> Sheets:
    """The sheets that the programme wants in whole numbers, its fractions left out."""
    pool = zip(rest.programme.columns, solution.times.tolist(), strict=False)
    return Counter({column: int(n + 1e-6) for column, n in pool if n > 1 - 1e-6})
