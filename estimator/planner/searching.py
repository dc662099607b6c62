"""The search for whole sheets, on two cores when it is long.

The first search fills, dives and squeezes by turns. A job that is not at the rounded bound after
some work gets a second search beside it, which only dives. The plan kept is that of the search that
came to the bound with less work. Work is counted, not timed, and each search has a pool of patterns
to itself, so that the plan does not depend on how quick the cores are.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.planner.columns import Column
from estimator.planner.companion import Companion, Limit
from estimator.planner.grid import Job
from estimator.planner.master import Master, Progress, Relaxation, Stop
from estimator.planner.rounding import DIVE_EVERY, Effort, Rounder, Sheets, never

FIRST = 2  # turns without a second search in any case
ALONE = 10**8  # points looked at before it begins, for the bound as well: about a quarter second
SEEDS = 1, 2  # of the first search and of the second


@dataclass(frozen=True)
class Task:
    """What a search starts from: the job, the patterns at hand, and the programme's answer."""

    job: Job
    columns: tuple[Column, ...]
    relaxation: Relaxation
    demand: tuple[int, ...]
    effort: Effort

    def rounder(self, seed: int) -> Rounder:
        """A search that has a pool of its own."""
        master = Master(self.job)
        master.add(self.columns)
        return Rounder(master, self.relaxation, self.demand, seed)


@dataclass(frozen=True)
class Find:
    """Sheets at the rounded bound, if any were found, and the work until then."""

    sheets: Sheets | None
    work: int


def fewest(
    master: Master,
    relaxation: Relaxation,
    demand: Sequence[int],
    effort: Effort,
    stop: Stop | None = None,
    progress: Progress | None = None,
) -> Sheets:
    """The best plan found for the demand; ends at the rounded bound, or when the effort is spent.

    The master keeps its pool as it is.
    """
    task = Task(master.job, tuple(master.pool), relaxation, tuple(demand), effort)
    rounder = task.rounder(SEEDS[0])
    sheets = rounder.first(effort, stop, progress)
    numbers = iter(range(effort.rounds))
    two = effort.two_searches and not master.limited
    alone = rounder.spent() + ALONE - relaxation.work if two else math.inf
    sheets = _turns(rounder, sheets, itertools.islice(numbers, FIRST), math.inf)
    sheets = _turns(rounder, sheets, numbers, alone)
    if two and rounder.may_go_on(sheets):
        return _beside(task, rounder, sheets, numbers)
    return rounder.nicest(sheets, task.effort.niceties)


def _turns(rounder: Rounder, sheets: Sheets, numbers: Iterator[int], most: float) -> Sheets:
    """The plan after turns, to the rounded bound or until so much work is spent in all."""
    while rounder.may_go_on(sheets) and rounder.spent() < most:
        number = next(numbers, None)
        if number is None:
            break
        sheets = rounder.turn(number, sheets)
    return sheets


def _beside(task: Task, rounder: Rounder, sheets: Sheets, numbers: Iterator[int]) -> Sheets:
    """The better of the first search's end and a second search beside it."""
    begun, stop = rounder.spent(), rounder.stop
    most = int(rounder.enough) - begun
    with Companion(dives, task, most) as second:

        def overtaken() -> bool:
            find = second.so_far
            lost = find is not None and find.sheets and find.work < rounder.spent() - begun
            return bool(lost) or stop()

        rounder.stop = overtaken
        sheets = _turns(rounder, sheets, numbers, math.inf)
        rounder.stop = stop
        at_bound = rounder.cost(sheets) <= rounder.target
        work = rounder.spent() - begun
        find = second.result(min(work, most) if at_bound else most, stop)
    if find and find.sheets and not (at_bound and work <= find.work):
        return find.sheets
    return rounder.nicest(sheets, task.effort.niceties)


def dives(task: Task, limit: Limit) -> Find:
    """The second search: dives until one comes to the rounded bound, or until the limit."""
    rounder = task.rounder(SEEDS[1])
    rounder.stop = lambda: rounder.spent() >= limit()
    for number in range(task.effort.rounds // DIVE_EVERY):
        if rounder.halted():
            break
        sheets = rounder.dived(number, deep=not rounder.loose or number % 2 == 1)
        if sheets is not None and rounder.cost(sheets) <= rounder.target:
            work = rounder.spent()
            rounder.stop = never  # how many patterns there are must not hang on the limit
            return Find(rounder.nicest(sheets, task.effort.niceties), work)
    return Find(None, rounder.spent())
