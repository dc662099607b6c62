"""Sequential value correction: fill sheets one after another, and correct what pieces are worth.

A part that was cut with waste gains value, so that the next fill takes it earlier, while there is
still something to put beside it: Mukhacheva and Zalgaller, "Linear programming cutting problems",
International Journal of Software Engineering and Knowledge Engineering 3 (1993); Belov and
Scheithauer, "Setup and open-stacks minimization in one-dimensional stock cutting", INFORMS Journal
on Computing 19 (2007); both from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from estimator.planner import tuning
from estimator.planner.columns import PatternColumn
from estimator.planner.parts import NotEnoughStock
from estimator.planner.search.filling import Wanted
from estimator.planner.search.state import PlanSearch, Sheets


def refill(search: PlanSearch, now: Sheets) -> Sheets:
    """Move: the linear programme's sheets, a few left out, and the rest filled at new values."""
    return fill(search, search.thinned(search.rounded_down(), *tuning.LEFT_OUT))


def fill(search: PlanSearch, base: Sheets) -> Sheets:
    """The plan completed, and the values corrected by how well that went."""
    wanted = Wanted(search.left(base), search.values.astype(np.int64))
    sheets = completed(search, base, wanted)
    _correct(search, (sheets - base).elements())
    return sheets


def completed(search: PlanSearch, base: Sheets, wanted: Wanted) -> Sheets:
    """The plan with sheets added until nothing is wanted; their patterns are remembered.

    First patterns of the linear programme, as long as one fits within what is wanted: it wastes
    next to nothing, and sheets filled one by one waste more the longer that goes on.
    """
    sheets = base + _of_programme(search, wanted, base)
    while wanted.left.any():
        column = _next_sheet(search, wanted, sheets)
        sheets[column] += 1
        search.met[column] = None
    return sheets


def _of_programme(search: PlanSearch, wanted: Wanted, base: Sheets) -> Sheets:
    """Patterns without waste, the most valuable first, as far as they make nothing in excess."""
    patterns, yields = search.wasteless
    worth = yields @ wanted.worth
    fit = np.arange(len(patterns))
    sheets: Sheets = Counter()
    while True:
        fit = fit[(yields[fit] <= wanted.left).all(axis=1)]
        search.looked_at(yields[fit])
        if search.generation.limited:
            stored = (_in_store(search, patterns[at].stock, base + sheets) for at in fit.tolist())
            fit = fit[np.fromiter(stored, np.bool_, len(fit))]
        if not len(fit):
            return sheets
        best = int(fit[worth[fit].argmax()])
        sheets[patterns[best]] += 1
        wanted.left -= yields[best]


def _next_sheet(search: PlanSearch, wanted: Wanted, sheets: Sheets) -> PatternColumn:
    weights = [
        share if _in_store(search, search.job.grids[i].stock, sheets) else 0.0
        for i, (_, share) in enumerate(search.fillers)
    ]
    while any(weights):
        chosen = search.random.choices(range(len(weights)), weights)[0]
        column = search.fillers[chosen][0].sheet(wanted)
        if column is not None:
            return column
        weights[chosen] = 0.0
    raise NotEnoughStock("the stock on hand does not yield the parts")


def _in_store(search: PlanSearch, stock: int, sheets: Sheets) -> bool:
    on_hand = search.job.stock[stock].on_hand
    return on_hand is None or on_hand > sum(n for c, n in sheets.items() if c.stock == stock)


def _correct(search: PlanSearch, fresh: Iterable[PatternColumn]) -> None:
    """Parts cut in a wasteful sheet gain value, those in a full one lose it."""
    for column in fresh:
        full = max(search.fullness(column), tuning.LEAST_FULLNESS)
        pull = search.random.uniform(*tuning.PULL)
        raised = search.duals[column.parts] / (full * full)
        search.values[column.parts] += pull * (raised - search.values[column.parts])
