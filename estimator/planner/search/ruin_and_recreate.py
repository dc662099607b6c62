"""Ruin and recreate: take a few sheets out of a plan and fill them again, at other values.

Schrimpf, Schneider, Stamm-Wilbrandt and Dueck, "Record breaking optimization results using the ruin
and recreate principle", Journal of Computational Physics 159 (2000), from memory. Here the emptiest
sheet is squeezed into others: it and a few wasteful ones are taken out and filled at blurred dual
values. A change that leaves less in the emptiest sheet is kept, now and then one that leaves a
little more.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from estimator.planner import tuning
from estimator.planner.search.filling import Wanted
from estimator.planner.search.state import PlanSearch, Sheets
from estimator.planner.search.value_correction import completed


def ruin_and_recreate(search: PlanSearch, now: Sheets) -> Sheets:
    """Move: the best plan met in some changes of a few sheets each."""
    best = now
    for _ in range(tuning.CHANGES):
        if search.cost(best) <= search.target:
            break
        changed = _recreated(search, _ruined(search, now))
        cost, emptiest = search.rank(changed)
        allowed = search.rank(now)[1] + search.random.expovariate(1 / tuning.GIVE)
        if cost < search.cost(now) or (cost == search.cost(now) and emptiest < allowed):
            now = changed
        best = min(best, now, key=search.rank)
    return best


def _ruined(search: PlanSearch, sheets: Sheets) -> Sheets:
    """The plan without its emptiest sheet and a few others, wasteful ones more often than not."""
    fewer = Counter(sheets)
    fewer[min(sheets, key=search.fullness)] -= 1
    few = search.random.choice(tuning.RUINED)
    return search.thinned(+fewer, few, few)


def _recreated(search: PlanSearch, sheets: Sheets) -> Sheets:
    """The plan completed at blurred dual values."""
    blur = search.random.choice(tuning.RUIN_BLURS)
    blurred = [search.random.uniform(1 - blur, 1 + blur) for _ in search.duals]
    worth = (search.duals * np.array(blurred)).astype(np.int64)
    return completed(search, sheets, Wanted(search.left(sheets), worth))
