"""Sheets put together anew from the blocks of sheets met before, none making a piece in excess.

Filling finds good blocks, but one sheet at a time, and what it takes first spoils what comes last.
Here all blocks met compete at the dual values of the day: sheets grow block by block, those that
can still come to most go on, and what a sheet may come to is limited by the best unbounded use of
the size left. A filtered beam search: Ow and Morton, "Filtered beam search in scheduling",
International Journal of Production Research 26 (1988), from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.planner import tuning
from estimator.planner.blocks import Block, blocks_of, pieces_in, room_for_blocks, sheet_of
from estimator.planner.bound.knapsack import doubled
from estimator.planner.columns import PatternColumn
from estimator.planner.grid import Ints, Job, SheetGrid

NEVER = -(2**40)  # what is worth less than any sheet costs


class Known:
    """The blocks of one grid: what they are, what they take, and what they yield by part."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.blocks: dict[Block, None] = {}
        self.sizes: Ints = np.zeros(0, dtype=np.int64)
        self.yields: Ints = np.zeros((0, len(job.parts)), dtype=np.int64)

    def add(self, blocks: Iterable[Block]) -> None:
        """Remember those that are new."""
        fresh = [block for block in dict.fromkeys(blocks) if block not in self.blocks]
        yields = np.zeros((len(fresh), len(self.job.parts)), dtype=np.int64)
        for row, block in zip(yields, fresh, strict=True):
            for part, pieces in pieces_in(self.job, block).items():
                row[part] = pieces
        self.blocks.update(dict.fromkeys(fresh))
        self.sizes = np.append(self.sizes, [block.size for block in fresh]).astype(np.int64)
        self.yields = np.vstack([self.yields, yields])


class Recombiner:
    """Remembers the blocks of columns and puts columns together from them."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.known = [Known(job) for _ in job.grids]
        self.spent = 0  # points looked at, for bounding the work

    def learn(self, columns: Iterable[PatternColumn]) -> None:
        """Remember the blocks of these columns."""
        blocks = [block for column in columns for block, _ in blocks_of(self.job, column)]
        for number, known in enumerate(self.known):
            known.add(block for block in blocks if block.grid == number)

    def sheets(self, left: Ints, duals: Ints, limits: Sequence[int]) -> list[PatternColumn]:
        """Sheets within ``left`` worth more than their stock's limit at these duals."""
        found: list[PatternColumn] = []
        for number, (grid, known) in enumerate(zip(self.job.grids, self.known, strict=True)):
            if known.blocks:
                found += self._sheets(number, grid, left, duals, limits[grid.stock])
        return found

    def _sheets(
        self, number: int, grid: SheetGrid, left: Ints, duals: Ints, limit: int
    ) -> list[PatternColumn]:
        known = self.known[number]
        yields, sizes = known.yields, known.sizes
        worth = yields @ duals
        usable = np.flatnonzero((yields <= left).all(axis=1) & (worth > 0))
        usable = usable[np.argsort(-worth[usable] / sizes[usable], kind="stable")]
        if not len(usable):
            return []
        groups = self._grown(
            Blocks(sizes[usable], worth[usable], yields[usable]),
            room_for_blocks(grid),
            left,
            limit,
        )
        blocks = list(known.blocks)
        return [sheet_of(self.job, number, [blocks[usable[i]] for i in group]) for group in groups]

    def _grown(self, blocks: Blocks, room: int, left: Ints, least: int) -> list[list[int]]:
        """Groups of blocks that are worth more than ``least``, the best first."""
        limit = blocks.most_by_room(room)
        grown = Grown.empty(room, left)
        found: list[tuple[int, list[int]]] = []
        while len(grown.worth):
            self.spent += len(grown.worth) * len(blocks.sizes) * 4
            grown = grown.with_one_more(blocks, limit, least)
            good = np.flatnonzero(grown.worth > least)
            found += [(int(grown.worth[i]), grown.chosen[i].tolist()) for i in good]
        found.sort(key=lambda item: -item[0])
        return [group for _, group in found[: tuning.SHEETS_WANTED]]


@dataclass(frozen=True)
class Blocks:
    """Blocks that may be used, as arrays: sizes, worth, and pieces by block and part."""

    sizes: Ints
    worth: Ints
    yields: Ints

    def most_by_room(self, room: int) -> Ints:
        """What no group of blocks in a room is worth more than, by rooms up to the whole one.

        Calculated by cells of the whole room. The last entry, which is that of room -1, is so low
        that a group which overran the sheet comes to nothing.
        """
        cells = tuning.RECOMBINING_CELLS
        sizes = np.maximum(1, self.sizes * cells // room)
        most = np.zeros(cells + 1, dtype=np.int64)
        for size in np.unique(sizes).tolist():
            worth = int(self.worth[sizes == size].max())
            for copies in doubled(cells // size):
                gain = most[: cells + 1 - copies * size] + copies * worth
                np.maximum(most[copies * size :], gain, out=most[copies * size :])
        return np.append(most[np.arange(room + 1) * cells // room], NEVER)


@dataclass(frozen=True)
class Grown:
    """Groups of blocks, as arrays: worth, room left, pieces left, and the blocks chosen."""

    worth: Ints
    room: Ints
    left: Ints
    chosen: Ints

    @classmethod
    def empty(cls, room: int, left: Ints) -> Grown:
        """The group without blocks."""
        return cls(
            np.zeros(1, dtype=np.int64),
            np.array([room]),
            left[None, :],
            np.zeros((1, 0), dtype=np.int64),
        )

    def with_one_more(self, blocks: Blocks, limit: Ints, least: int) -> Grown:
        """The groups with one more block, in the order of blocks, that may still come to more."""
        many = len(blocks.sizes)
        rest = np.maximum(self.room[:, None] - blocks.sizes, -1)
        reach = limit[rest] + blocks.worth
        reach += self.worth[:, None]
        may = reach > least
        if self.chosen.shape[1]:
            may &= np.arange(many) >= self.chosen[:, -1:]
        open_ = np.flatnonzero(may)
        best = open_[_largest(reach.ravel()[open_], tuning.GROUPS_TRIED)]
        group, block = best // many, best % many
        left = self.left[group] - blocks.yields[block]
        proper = np.flatnonzero((left >= 0).all(axis=1))[: tuning.GROUPS_KEPT]
        group, block = group[proper], block[proper]
        return Grown(
            self.worth[group] + blocks.worth[block],
            rest[group, block],
            left[proper],
            np.hstack([self.chosen[group], block[:, None]]),
        )


def _largest(values: Ints, most: int) -> Ints:
    """The places of the largest values, largest first, and of equal ones the first."""
    places = np.arange(len(values))
    if len(values) > most:  # a threshold first, which is quicker than sorting everything
        places = np.flatnonzero(values >= np.partition(values, -most)[-most])
    return places[np.argsort(-values[places], kind="stable")][:most]
