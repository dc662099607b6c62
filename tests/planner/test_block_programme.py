"""The whole-number programme: patterns taken apart and put together anew."""

from __future__ import annotations

from fractions import Fraction

import pytest

from estimator.planner.bound.column_generation import ColumnGeneration
from estimator.planner.columns import PatternColumn, make_column, make_section, make_strip
from estimator.planner.cutting import CutPart, Stock, plan_sheets
from estimator.planner.grid import FirstCut, Job, lay_out
from estimator.planner.search.block_programme import best_of_blocks, covers
from estimator.planner.search.state import PlanSearch
from estimator.planner.search.value_correction import fill

SHEET = Stock("sheet", 96, 48)


def job_of(parts: list[CutPart], stages: int, first_cut: FirstCut = "across") -> Job:
    return lay_out(parts, [SHEET], Fraction(0), Fraction(0), stages, [first_cut])


def sheet_of(job: Job, blocks: list[int], stages: int) -> PatternColumn:
    """A sheet of blocks that hold one piece each: strips, or with three stages sections."""
    grid = job.grids[0]
    strips = [make_strip(grid, [place]) for place in blocks]
    if stages == 2:
        return make_column(job, 0, [make_section(grid, strips)])
    return make_column(job, 0, [make_section(grid, [strip]) for strip in strips])


@pytest.mark.parametrize("first_cut", ["across", "along"])
@pytest.mark.parametrize("stages", [2, 3])
def test_a_sheet_nobody_met_is_made_of_blocks_that_were(stages: int, first_cut: FirstCut) -> None:
    """Halves of A and of B were met only with their like, and one of each is wanted."""
    length, width = (48, 48) if first_cut == "across" else (96, 24)
    parts = [CutPart("a", length, width, 1), CutPart("b", length - 1, width - 1, 1)]
    job = job_of(parts, stages, first_cut)
    met = [sheet_of(job, [place, place], stages) for place in (0, 1)]
    mix = best_of_blocks(ColumnGeneration(job), met, [1, 1], Fraction(1), nodes=10)
    assert mix.sheets is not None
    assert sum(mix.sheets.values()) == 1
    assert covers(mix.sheets, [1, 1])


def test_nothing_met_makes_nothing() -> None:
    parts = [CutPart("a", 20, 10, 1)]
    generation = ColumnGeneration(job_of(parts, 3))
    assert best_of_blocks(generation, [], [1], Fraction(1), nodes=10).sheets is None


def test_what_cannot_be_covered_is_not_called_a_mix() -> None:
    parts = [CutPart("a", 20, 10, 1), CutPart("b", 30, 10, 1)]
    job = job_of(parts, 3)
    met = [sheet_of(job, [0], 3)]
    mix = best_of_blocks(ColumnGeneration(job), met, [1, 1], Fraction(1), nodes=10)
    assert mix.sheets is None


def test_pricing_that_finds_what_is_known_already_comes_to_an_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A solver's tolerance can make a pattern of the pool look worth more than it costs."""
    priced, asked = ColumnGeneration._price, []

    def again(generation: ColumnGeneration, *given: object) -> object:
        bound, fresh = priced(generation, *given)  # type: ignore[arg-type]
        return bound, [*fresh, next(iter(generation.pool))]

    def patience() -> bool:
        asked.append(1)
        return len(asked) > 200

    monkeypatch.setattr(ColumnGeneration, "_price", again)
    parts = [CutPart("a", 20, 10, 30), CutPart("b", 33, 17, 20)]
    assert not plan_sheets(parts, [SHEET], kerf=Fraction(1, 8), stop=patience).stopped_early


@pytest.mark.parametrize("stages", [2, 3])
def test_a_mix_of_all_patterns_met_is_never_dearer_than_the_plan(stages: int) -> None:
    parts = [CutPart(f"p{i}", 11 + 3 * i, 5 + 2 * i % 9, 7 + i) for i in range(9)]
    job = lay_out(parts, [SHEET], Fraction(1, 8), Fraction(0), stages, ["across", "along"])
    generation, demand = ColumnGeneration(job), [part.demand for part in parts]
    search = PlanSearch(generation, generation.solve(demand), demand)
    plan = fill(search, search.rounded_down())
    columns = dict.fromkeys([*generation.pool, *search.met])
    mix = best_of_blocks(generation, columns, demand, search.target, nodes=100)
    assert mix.sheets is not None
    assert covers(mix.sheets, demand)
    assert sum(mix.sheets.values()) <= sum(plan.values())
