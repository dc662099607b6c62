"""Whole sheets, as near to the proven bound as can be had.

The linear programme's answer rounded down covers most of the demand; the rest is filled sheet by
sheet. Then trials take turns until the rounded bound is reached: fill the rest anew with values
that favour parts lately cut with waste; dive, that is fix sheets one by one with the linear
programme solved anew for what is left, some dives ending in a whole-number programme for the last
sheets; squeeze, that is empty the emptiest sheet into others; and mix all patterns that a plan at
the rounded bound could hold.
Everything is bounded by counts of rounds, points and nodes, and random choices are seeded.
"""

from __future__ import annotations

import itertools
import math
import random
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from estimator.planner.columns import Column
from estimator.planner.diving import deep_dive, dive
from estimator.planner.few import fewest_sheets
from estimator.planner.filling import Filler, Wanted
from estimator.planner.grid import Ints
from estimator.planner.linear import Answer, Linear
from estimator.planner.master import LEAST_WORTH, Master, Progress, Relaxation, Stop
from estimator.planner.parts import NotEnoughStock
from estimator.planner.programme import best_mix
from estimator.planner.recombining import Recombiner
from estimator.planner.squeezing import squeeze
from estimator.planner.tidying import patterns_and_rest, without_surplus

Sheets = Counter[Column]
DIVE_EVERY = 4  # turns
SQUEEZES = 15  # changes tried in a turn
MIXED, BESIDES = 5, 100  # patterns per part, and more, that can still be mixed all at once
LOOSE = 0.5  # sheets to spare with which a flat dive is likely to do
OPENED = 12  # sheets of the programme made anew at most
TIGHT = 0.01  # of a sheet
MIX_NODES = 10
NODES = 200  # of the programme that finds a plan where limited stock defeats the filling


@dataclass(frozen=True)
class Effort:
    """How long to look for fewer sheets, and then for fewer patterns; counts, not seconds.

    ``two_searches``: whether a long search has a second one beside it, in a process of its own.
    """

    rounds: int = 200
    niceties: int = 6
    work: int = 54 * 10**8  # points of strips and sections looked at, for the bound as well
    two_searches: bool = True


class Rounder:
    """Searches whole-number plans for one demand."""

    def __init__(
        self,
        master: Master,
        relaxation: Relaxation,
        demand: Sequence[int],
        seed: int = 1,
    ) -> None:
        self.master = master
        self.job = master.job
        self.demand: Ints = np.array(demand, dtype=np.int64)
        self.relaxation = relaxation
        self.random = random.Random(seed)
        self.columns = list(master.pool)
        self.prices: Ints = np.maximum(relaxation.bound.prices, LEAST_WORTH)
        self.values = self.prices.astype(float)
        self.costs = master.costs
        self.met: dict[Column, None] = {}
        self.recombiner = Recombiner(self.job)
        self.learned = 0  # columns of the pool
        self.stop: Stop = never
        self.progress: Progress | None = None
        self.enough: float = math.inf  # points to look at before the search ends
        self.programmed = 0  # points' worth of work in programmes
        self.fillers = self._fillers()
        self.target = math.ceil(relaxation.least / master.step) * master.step
        self.loose = self.target - relaxation.least > LOOSE * max(self.costs)

    def _fillers(self) -> list[tuple[Filler, float]]:
        """A filler per frame with its share in the linear programme."""
        spans: list[Counter[int]] = [Counter() for _ in self.job.frames]
        shares = [1e-3] * len(self.job.frames)
        for column, times in zip(self.columns, self.relaxation.times.tolist(), strict=True):
            if times > 1e-9:
                shares[column.frame] += times
                for section, many in column.sections:
                    spans[column.frame][section.span] += math.ceil(times * many)
        return [
            (Filler(pricer, [span for span, _ in seen.most_common(24)]), share)
            for pricer, seen, share in zip(self.master.pricers, spans, shares, strict=True)
        ]

    def meet(self, columns: Iterable[Column]) -> None:
        """Remember columns, and their blocks, for mixing."""
        fresh = [column for column in columns if column not in self.met]
        self.met.update(dict.fromkeys(fresh))
        self.recombiner.learn(fresh)

    def learn_pool(self) -> None:
        """Remember the blocks of the columns that came into the pool."""
        self.recombiner.learn(itertools.islice(self.master.pool, self.learned, None))
        self.learned = len(self.master.pool)

    def cost(self, sheets: Mapping[Column, int]) -> Fraction:
        """What the sheets cost."""
        return self.master.cost(sheets)

    def first(self, effort: Effort, stop: Stop | None, progress: Progress | None) -> Sheets:
        """The first plan, which is the cheapest there is if the pieces are few."""
        self.stop, self.progress = stop or self.stop, progress
        sheets = self._first()
        least = self._least() if self.may_go_on(sheets) else None
        self.enough = self.spent() + effort.work - self.relaxation.work
        if least:
            self.target = self.cost(least)
        return least or sheets

    def turn(self, number: int, now: Sheets) -> Sheets:
        """The better of a plan and of what this turn makes of it."""
        if self.progress:
            self.progress("whole sheets", float(self.relaxation.least / self.cost(now)))
        with suppress(NotEnoughStock):
            return min(self._trial(number, now), now, key=self.rank)
        return now

    def may_go_on(self, best: Sheets) -> bool:
        """Whether there is something left to be found, work left to find it, and no stop."""
        return self.cost(best) > self.target and not self.halted()

    def halted(self) -> bool:
        """Whether the work is used up, or somebody said stop."""
        return self.spent() >= self.enough or self.stop()

    def spent(self) -> int:
        """Points looked at so far, or what took as long."""
        filled = sum(filler.spent for filler, _ in self.fillers)
        return self.master.spent() + filled + self.recombiner.spent + self.programmed

    def _first(self) -> Sheets:
        try:
            return self.fill(self.rounded_down())
        except NotEnoughStock:
            mix = self.mixed(self.master.pool, self.demand, self.target, NODES)
            if mix is None:
                raise
            return mix

    def _least(self) -> Sheets | None:
        """The cheapest sheets there are, if the pieces are few enough to tell."""
        steps = [int(cost / self.master.step) for cost in self.costs]
        return fewest_sheets(self.job, self.demand.tolist(), steps)

    def _trial(self, turn: int, now: Sheets) -> Sheets:
        """Fills, dives and squeezes by turns; now and then a mix.

        Every other dive is a deep one once a single sheet is to be saved, and comes first unless
        there is sheet to spare.
        """
        if turn % 16 == 15:
            return self._mix_of_all(now) or now
        match turn % DIVE_EVERY:
            case 0 | 1:
                return self.fill(self.thinned(self.rounded_down(), 0, 3))
            case 2:
                near = self.cost(now) <= self.target + max(self.costs)
                return self.dived(turn // DIVE_EVERY, near and (turn % 8 == 2) != self.loose) or now
            case _:
                return squeeze(self, now, SQUEEZES)

    def dived(self, number: int, deep: bool) -> Sheets | None:
        """What a dive comes to, if to anything; later ones open more of the programme's sheets."""
        opened = min(number // 2, OPENED)
        base = self.thinned(self.rounded_down(), opened, opened + 2)
        return deep_dive(self, base) if deep else dive(self, base)

    def _mix_of_all(self, now: Sheets) -> Sheets | None:
        """The best mix of the patterns that a cheaper plan could hold.

        Many of them are mixed only if there is next to nothing to spare: they differ little then.
        """
        spare = float(self.cost(now) - self.master.step - self.relaxation.least) + 1e-6
        losses = {column: self._loss(column) for column in {**self.master.pool, **self.met}}
        good = sorted((c for c, loss in losses.items() if loss <= spare), key=losses.__getitem__)
        most = MIXED * len(self.demand) + BESIDES
        if len(good) > most and spare > TIGHT * float(self.master.step):
            return None
        return self.mixed(good[:most], self.demand, self.target, MIX_NODES)

    def _loss(self, column: Column) -> float:
        """What a column costs beyond the proven prices of its pieces."""
        bound = self.relaxation.bound
        worth = int((bound.prices[column.parts] * column.pieces).sum())
        return float(self.costs[column.stock] - worth * bound.shrink / bound.scale)

    def nicest(self, best: Sheets, niceties: int) -> Sheets:
        """Of plans at the same cost the one with the fewest patterns, then the largest rest."""
        demand = self.demand.tolist()
        nicest = without_surplus(self.job, best, demand)
        for _ in range(niceties):
            if self.halted():
                break
            with suppress(NotEnoughStock):
                trial = self.fill(self.thinned(self.rounded_down(), 0, 2))
                if self.cost(trial) <= self.cost(nicest):
                    tidy = without_surplus(self.job, trial, demand)
                    nicest = min(nicest, tidy, key=self._nicety)
        return nicest

    def _nicety(self, sheets: Sheets) -> tuple[Fraction, int, Fraction]:
        return self.cost(sheets), *patterns_and_rest(self.job, sheets)

    def rounded_down(self) -> Sheets:
        """The linear programme's sheets without their fractions."""
        times = np.floor(self.relaxation.times + 1e-7).astype(int)
        return Counter({c: int(n) for c, n in zip(self.columns, times, strict=True) if n > 0})

    def thinned(self, sheets: Sheets, least: int, most: int) -> Sheets:
        """The plan without a few sheets, wasteful ones more often than not."""
        kinds = list(sheets)
        weights = [sheets[column] * (1.02 - self.fullness(column)) for column in kinds]
        fewer = Counter(sheets)
        for _ in range(self.random.randint(least, most) if kinds else 0):
            taken = self.random.choices(kinds, weights)[0]
            fewer[taken] = max(0, fewer[taken] - 1)
        return +fewer

    def answer(self, programme: Linear) -> Answer:
        """The programme's answer, its work counted."""
        answer = programme.solve()
        self.programmed += answer.work
        return answer

    def mixed(
        self, columns: Iterable[Column], demand: Ints, target: Fraction, nodes: int
    ) -> Sheets | None:
        """The best mix of these columns' blocks for a demand, if one was found."""
        mix = best_mix(self.master, columns, demand.tolist(), target, nodes)
        self.programmed += mix.work
        return mix.sheets

    def fullness(self, column: Column) -> float:
        """The worth of a column's pieces as a share of its cost."""
        worth = float((self.prices[column.parts] * column.pieces).sum())
        cost = float(self.costs[column.stock] * self.master.scale)
        return min(1.0, worth / cost) if cost else 1.0

    def fill(self, base: Sheets) -> Sheets:
        """The plan completed, and the values corrected by how well that went."""
        sheets = self.completed(base, Wanted(self.left(base), self.values.astype(np.int64)))
        self._correct((sheets - base).elements())
        return sheets

    def completed(self, base: Sheets, wanted: Wanted) -> Sheets:
        """The plan with sheets added until nothing is wanted; their patterns are remembered."""
        sheets = Counter(base)
        while wanted.left.any():
            column = self._next_sheet(wanted, sheets)
            sheets[column] += 1
            self.met[column] = None
        return sheets

    def left(self, sheets: Sheets) -> Ints:
        """Pieces still wanted beside what these sheets yield."""
        left = self.demand.copy()
        for column, times in sheets.items():
            left[column.parts] -= times * column.pieces
        return np.maximum(left, 0)

    def _next_sheet(self, wanted: Wanted, sheets: Sheets) -> Column:
        weights = [
            share if self._in_store(self.job.frames[i].stock, sheets) else 0.0
            for i, (_, share) in enumerate(self.fillers)
        ]
        while any(weights):
            chosen = self.random.choices(range(len(weights)), weights)[0]
            column = self.fillers[chosen][0].sheet(wanted)
            if column is not None:
                return column
            weights[chosen] = 0.0
        raise NotEnoughStock("the stock on hand does not yield the parts")

    def _in_store(self, stock: int, sheets: Sheets) -> bool:
        on_hand = self.job.stock[stock].on_hand
        return on_hand is None or on_hand > sum(n for c, n in sheets.items() if c.stock == stock)

    def _correct(self, fresh: Iterable[Column]) -> None:
        """Parts cut in a wasteful sheet gain value, those in a full one lose it."""
        for column in fresh:
            full = max(self.fullness(column), 0.05)
            pull = self.random.uniform(0.2, 0.6)
            raised = self.prices[column.parts] / (full * full)
            self.values[column.parts] += pull * (raised - self.values[column.parts])

    def rank(self, sheets: Sheets) -> tuple[Fraction, float]:
        """Cheaper first; then the emptier the emptiest sheet the better: it may go next."""
        return self.cost(sheets), min((self.fullness(c) for c in sheets), default=0.0)


def never() -> bool:
    """Nobody says stop."""
    return False
