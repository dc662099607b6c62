"""The search for whole sheets, on two cores when it is long.

The first search makes its moves by turns. A job that is not at the rounded bound after some work
gets a second search beside it, which only dives. The plan kept is that of the search which came to
the bound with less work. Work is counted, not timed, and each search has a pool of patterns to
itself, so that the plan does not depend on how quick the cores are. Searches beside each other:
Huberman, Lukose and Hogg, "An economics approach to hard computational problems", Science 275
(1997), from memory.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction

from estimator.planner import tuning
from estimator.planner.bound.column_generation import ColumnGeneration, Relaxation
from estimator.planner.columns import PatternColumn
from estimator.planner.companion import Companion, Limit
from estimator.planner.grid import Job
from estimator.planner.parts import NotEnoughStock, Report, Stop
from estimator.planner.search.exact import fewest_sheets
from estimator.planner.search.schedule import first_schedule, second_schedule
from estimator.planner.search.state import Effort, Move, PlanSearch, Sheets, never
from estimator.planner.search.value_correction import fill
from estimator.planner.tidying import patterns_and_rest, without_surplus


@dataclass(frozen=True)
class Task:
    """What a search starts from: the job, the patterns at hand, and the programme's answer."""

    job: Job
    columns: tuple[PatternColumn, ...]
    relaxation: Relaxation
    demand: tuple[int, ...]
    effort: Effort

    def search(self, seed: int) -> PlanSearch:
        """A search that has a pool of its own."""
        generation = ColumnGeneration(self.job)
        generation.add(self.columns)
        return PlanSearch(generation, self.relaxation, self.demand, seed)


@dataclass(frozen=True)
class Find:
    """Sheets at the rounded bound, if any were found, and the work until then."""

    sheets: Sheets | None
    work: int


def fewest(
    generation: ColumnGeneration,
    relaxation: Relaxation,
    demand: Sequence[int],
    effort: Effort,
    stop: Stop | None = None,
    report: Report | None = None,
) -> Sheets:
    """The best plan found for the demand; ends at the rounded bound, or when the effort is spent.

    The pool of ``generation`` stays as it is.
    """
    task = Task(generation.job, tuple(generation.pool), relaxation, tuple(demand), effort)
    search = task.search(tuning.SEEDS[0])
    search.stop = stop or search.stop
    sheets = _first_plan(search, effort)
    moves = itertools.islice(itertools.cycle(first_schedule(search.loose)), effort.rounds)
    two = effort.two_searches and not generation.limited
    alone = search.spent() + tuning.ALONE if two else math.inf
    first = itertools.islice(moves, tuning.FIRST_TURNS)
    sheets = _turns(search, sheets, first, math.inf, report)
    sheets = _turns(search, sheets, moves, alone, report)
    if two and search.may_go_on(sheets):
        return _beside(task, search, sheets, moves, report)
    return _nicest(search, sheets, effort.niceties)


def _first_plan(search: PlanSearch, effort: Effort) -> Sheets:
    """The first plan, which is the cheapest there is if the pieces are few."""
    sheets = _filled(search)
    least = _least(search) if search.may_go_on(sheets) else None
    search.enough = search.spent() + effort.work - search.relaxation.work
    if least:
        search.target = search.cost(least)
    return least or sheets


def _filled(search: PlanSearch) -> Sheets:
    try:
        return fill(search, search.rounded_down())
    except NotEnoughStock:
        pool, nodes = search.generation.pool, tuning.RESCUE_NODES
        found = search.combined(pool, search.demand, search.target, nodes)
        if found is None:
            raise
        return found


def _least(search: PlanSearch) -> Sheets | None:
    """The cheapest sheets there are, if the pieces are few enough to tell."""
    steps = [int(cost / search.generation.step) for cost in search.costs]
    return fewest_sheets(search.job, search.demand.tolist(), steps)


def _turns(
    search: PlanSearch, sheets: Sheets, moves: Iterator[Move], most: float, report: Report | None
) -> Sheets:
    """The plan after moves, to the rounded bound or until so much work is spent in all."""
    while search.may_go_on(sheets) and search.spent() < most:
        move = next(moves, None)
        if move is None:
            break
        if report:
            report("whole sheets", float(search.relaxation.least / search.cost(sheets)))
        with suppress(NotEnoughStock):
            sheets = min(move(search, sheets) or sheets, sheets, key=search.rank)
    return sheets


def _beside(
    task: Task, search: PlanSearch, sheets: Sheets, moves: Iterator[Move], report: Report | None
) -> Sheets:
    """The better of the first search's end and a second search beside it."""
    begun, stop = search.spent(), search.stop
    most = int(search.enough) - begun
    with Companion(dives, task, most) as second:

        def overtaken() -> bool:
            find = second.so_far
            lost = find is not None and find.sheets and find.work < search.spent() - begun
            return bool(lost) or stop()

        search.stop = overtaken
        sheets = _turns(search, sheets, moves, math.inf, report)
        search.stop = stop
        at_bound = search.cost(sheets) <= search.target
        work = search.spent() - begun
        find = second.result(min(work, most) if at_bound else most, stop)
    if find and find.sheets and not (at_bound and work <= find.work):
        return find.sheets
    return _nicest(search, sheets, task.effort.niceties)


def dives(task: Task, limit: Limit) -> Find:
    """The second search: dives until one comes to the rounded bound, or until the limit."""
    search = task.search(tuning.SEEDS[1])
    search.stop = lambda: search.spent() >= limit()
    moves = itertools.cycle(second_schedule(search.loose))
    for move in itertools.islice(moves, task.effort.rounds):
        if search.halted():
            break
        sheets = move(search, Sheets())
        if sheets is not None and search.cost(sheets) <= search.target:
            work = search.spent()
            search.stop = never  # how many patterns there are must not hang on the limit
            return Find(_nicest(search, sheets, task.effort.niceties), work)
    return Find(None, search.spent())


def _nicest(search: PlanSearch, best: Sheets, niceties: int) -> Sheets:
    """Of plans at the same cost the one with the fewest patterns, then the largest rest."""
    demand = search.demand.tolist()
    nicest = without_surplus(search.job, best, demand)

    def nicety(sheets: Sheets) -> tuple[Fraction, int, Fraction]:
        return search.cost(sheets), *patterns_and_rest(search.job, sheets)

    for _ in range(niceties):
        if search.halted():
            break
        with suppress(NotEnoughStock):
            base = search.thinned(search.rounded_down(), *tuning.LEFT_OUT_FOR_NICETY)
            trial = fill(search, base)
            if search.cost(trial) <= search.cost(nicest):
                nicest = min(nicest, without_surplus(search.job, trial, demand), key=nicety)
    return nicest
