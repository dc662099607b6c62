"""All patterns met put into one whole-number programme, those that a cheaper plan could hold.

A pattern that costs more beyond its reduced cost than a cheaper plan has to spare cannot be in one
(reduced cost fixing: Nemhauser and Wolsey, "Integer and combinatorial optimization" (1988), from
memory).
"""

from __future__ import annotations

from estimator.planner import tuning
from estimator.planner.columns import PatternColumn
from estimator.planner.search.state import PlanSearch, Sheets


def combine(search: PlanSearch, now: Sheets) -> Sheets | None:
    """Move: the best plan of the patterns that a cheaper one could hold.

    Many of them are combined only if there is next to nothing to spare: they differ little then.
    """
    spare = float(search.cost(now) - search.generation.step - search.relaxation.least) + 1e-6
    every = {**search.generation.pool, **search.met}
    losses = {column: _reduced_cost(search, column) for column in every}
    good = sorted((c for c, loss in losses.items() if loss <= spare), key=losses.__getitem__)
    most = tuning.COMBINED * len(search.demand) + tuning.COMBINED_BESIDES
    if len(good) > most and spare > tuning.TIGHT * float(search.generation.step):
        return None
    return search.combined(good[:most], search.demand, search.target, tuning.COMBINED_NODES)


def _reduced_cost(search: PlanSearch, column: PatternColumn) -> float:
    """What a column costs beyond the proven dual values of its pieces."""
    bound = search.relaxation.bound
    worth = int((bound.duals[column.parts] * column.pieces).sum())
    return float(search.costs[column.stock] - worth * bound.shrink / bound.scale)
