"""What lies side by side across the first cuts: sections or, with two stages, strips.

What a block needs of the sheet is its size alone, so that blocks of different sheets can change
places and be put together anew.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from estimator.planner.columns import (
    PatternColumn,
    SectionCut,
    StripCut,
    make_column,
    make_section,
    yields_of,
)
from estimator.planner.grid import Job, SheetGrid


@dataclass(frozen=True)
class Block:
    """A section, or a strip with two stages, and the size that it takes of the sheet."""

    grid: int
    size: int
    cut: SectionCut | StripCut


def room_for_blocks(grid: SheetGrid) -> int:
    """The size that the blocks of a sheet may take together."""
    return grid.span.capacity if grid.sectioned else grid.breadth.capacity


def blocks_of(job: Job, column: PatternColumn) -> Iterator[tuple[Block, int]]:
    """A sheet's blocks, with how many of each."""
    for section, times in column.sections:
        if job.grids[column.grid].sectioned:
            yield Block(column.grid, section.span, section), times
        else:
            for strip, many in section.strips:
                yield Block(column.grid, strip.breadth, strip), times * many


def pieces_in(job: Job, block: Block) -> Counter[int]:
    """Pieces by part in a block."""
    strips = block.cut.strips if isinstance(block.cut, SectionCut) else ((block.cut, 1),)
    return yields_of(job, job.grids[block.grid], strips)


def sheet_of(job: Job, number: int, blocks: Iterable[Block]) -> PatternColumn:
    """The sheet that holds these blocks, cut as grid ``number`` says."""
    sections: list[SectionCut] = []
    strips: list[StripCut] = []
    for block in blocks:
        if isinstance(block.cut, SectionCut):
            sections.append(block.cut)
        else:
            strips.append(block.cut)
    if strips:
        sections.append(make_section(job.grids[number], strips))
    return make_column(job, number, sections)
