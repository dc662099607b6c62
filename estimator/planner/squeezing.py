"""Squeezing: empty the emptiest sheet of a plan into the others, a few of them at a time.

The emptiest sheet and a few wasteful ones are taken out and filled again at blurred prices. A
change that leaves less in the emptiest sheet is kept, now and then one that leaves a little more.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np

from estimator.planner.filling import Wanted

if TYPE_CHECKING:
    from estimator.planner.rounding import Rounder, Sheets

FEW = (2, 3, 4)  # sheets taken out beside the emptiest
BLURS = (0.0, 0.02, 0.05, 0.1)
GIVE = 0.02  # of a sheet, by which the emptiest may become fuller, on average


def squeeze(rounder: Rounder, sheets: Sheets, tries: int) -> Sheets:
    """The best plan met in so many changes of a few sheets each."""
    now = best = sheets
    for _ in range(tries):
        if rounder.cost(best) <= rounder.target:
            break
        changed = _refilled(rounder, _opened(rounder, now))
        cost, emptiest = rounder.rank(changed)
        allowed = rounder.rank(now)[1] + rounder.random.expovariate(1 / GIVE)
        if cost < rounder.cost(now) or (cost == rounder.cost(now) and emptiest < allowed):
            now = changed
        best = min(best, now, key=rounder.rank)
    return best


def _opened(rounder: Rounder, sheets: Sheets) -> Sheets:
    """The plan without its emptiest sheet and a few others, wasteful ones more often than not."""
    fewer = Counter(sheets)
    fewer[min(sheets, key=rounder.fullness)] -= 1
    few = rounder.random.choice(FEW)
    return rounder.thinned(+fewer, few, few)


def _refilled(rounder: Rounder, sheets: Sheets) -> Sheets:
    """The plan completed at blurred prices."""
    blur = rounder.random.choice(BLURS)
    blurred = [rounder.random.uniform(1 - blur, 1 + blur) for _ in rounder.prices]
    worth = (rounder.prices * np.array(blurred)).astype(np.int64)
    return rounder.completed(sheets, Wanted(rounder.left(sheets), worth))
