"""Sheets put together anew from the blocks of sheets met before, none making a piece in excess.

Filling finds good blocks, but one sheet at a time, and what it takes first spoils what comes last.
Here all blocks met compete at the prices of the day: sheets grow block by block, those that can
still come to most go on, and what a sheet may come to is limited by the best unbounded use of the
size left.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.planner.blocks import Block, blocks_of, pieces_in, room_for_blocks, sheet_of
from estimator.planner.columns import Column
from estimator.planner.grid import Frame, Ints, Job

WIDTH, TRIED = 200, 800  # unfinished sheets that go on, and that are looked at for it
CELLS = 1024  # of the room, for the limit on what a sheet may come to
WANTED = 20  # sheets per frame


class Known:
    """The blocks of one frame: what they are, what they take, and what they yield by part."""

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
        self.known = [Known(job) for _ in job.frames]
        self.spent = 0  # points looked at, for bounding the work

    def learn(self, columns: Iterable[Column]) -> None:
        """Remember the blocks of these columns."""
        blocks = [block for column in columns for block, _ in blocks_of(self.job, column)]
        for number, known in enumerate(self.known):
            known.add(block for block in blocks if block.frame == number)

    def sheets(self, left: Ints, prices: Ints, limits: Sequence[int]) -> list[Column]:
        """Sheets within ``left`` worth more than their stock's limit at these prices."""
        found: list[Column] = []
        for number, (frame, known) in enumerate(zip(self.job.frames, self.known, strict=True)):
            if known.blocks:
                found += self._sheets(number, frame, left, prices, limits[frame.stock])
        return found

    def _sheets(
        self, number: int, frame: Frame, left: Ints, prices: Ints, limit: int
    ) -> list[Column]:
        known = self.known[number]
        yields, sizes = known.yields, known.sizes
        worth = yields @ prices
        usable = np.flatnonzero((yields <= left).all(axis=1) & (worth > 0))
        usable = usable[np.argsort(-worth[usable] / sizes[usable], kind="stable")]
        if not len(usable):
            return []
        groups = self._grown(
            Blocks(sizes[usable], worth[usable], yields[usable]),
            room_for_blocks(frame),
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
            grown = grown.with_one_more(blocks, limit, room, least)
            good = np.flatnonzero(grown.worth > least)
            found += [(int(grown.worth[i]), grown.chosen[i].tolist()) for i in good]
        found.sort(key=lambda item: -item[0])
        return [group for _, group in found[:WANTED]]


@dataclass(frozen=True)
class Blocks:
    """Blocks that may be used, as arrays: sizes, worth, and pieces by block and part."""

    sizes: Ints
    worth: Ints
    yields: Ints

    def most_by_room(self, room: int) -> Ints:
        """What no group of blocks in a room is worth more than, by cells of the whole room."""
        sizes = np.maximum(1, self.sizes * CELLS // room)
        most = np.zeros(CELLS + 1, dtype=np.int64)
        for size in np.unique(sizes).tolist():
            worth, copies = int(self.worth[sizes == size].max()), 1
            while copies * size <= CELLS:
                gain = most[: CELLS + 1 - copies * size] + copies * worth
                np.maximum(most[copies * size :], gain, out=most[copies * size :])
                copies *= 2
        return most


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

    def with_one_more(self, blocks: Blocks, limit: Ints, room: int, least: int) -> Grown:
        """The groups with one more block, in the order of blocks, that may still come to more."""
        worth = self.worth[:, None] + blocks.worth
        rest = self.room[:, None] - blocks.sizes
        reach = worth + limit[np.maximum(rest, 0) * CELLS // room]
        may = (rest >= 0) & (reach > least)
        if self.chosen.shape[1]:
            may &= np.arange(len(blocks.sizes)) >= self.chosen[:, -1:]
        group, block = np.nonzero(may)
        best = _largest(reach[group, block], TRIED)
        group, block = group[best], block[best]
        left = self.left[group] - blocks.yields[block]
        proper = np.flatnonzero((left >= 0).all(axis=1))[:WIDTH]
        group, block = group[proper], block[proper]
        return Grown(
            worth[group, block],
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
