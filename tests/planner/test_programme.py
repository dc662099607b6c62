"""The whole-number programme: patterns taken apart and put together anew."""

from __future__ import annotations

from fractions import Fraction

import pytest

from estimator.planner.columns import Column, make_column, make_section, make_strip
from estimator.planner.cutting import Part, Stock, plan_sheets
from estimator.planner.grid import FirstCut, Job, lay_out
from estimator.planner.master import Master
from estimator.planner.programme import best_mix, covers
from estimator.planner.rounding import Rounder

SHEET = Stock("sheet", 96, 48)


def job_of(parts: list[Part], stages: int, first_cut: FirstCut = "across") -> Job:
    return lay_out(parts, [SHEET], Fraction(0), Fraction(0), stages, [first_cut])


def sheet_of(job: Job, blocks: list[int], stages: int) -> Column:
    """A sheet of blocks that hold one piece each: strips, or with three stages sections."""
    frame = job.frames[0]
    strips = [make_strip(frame, [place]) for place in blocks]
    if stages == 2:
        return make_column(job, 0, [make_section(frame, strips)])
    return make_column(job, 0, [make_section(frame, [strip]) for strip in strips])


@pytest.mark.parametrize("first_cut", ["across", "along"])
@pytest.mark.parametrize("stages", [2, 3])
def test_a_sheet_nobody_met_is_made_of_blocks_that_were(stages: int, first_cut: FirstCut) -> None:
    """Halves of A and of B were met only with their like, and one of each is wanted."""
    length, width = (48, 48) if first_cut == "across" else (96, 24)
    parts = [Part("a", length, width, 1), Part("b", length - 1, width - 1, 1)]
    job = job_of(parts, stages, first_cut)
    met = [sheet_of(job, [place, place], stages) for place in (0, 1)]
    mix = best_mix(Master(job), met, [1, 1], Fraction(1), nodes=10)
    assert mix.sheets is not None
    assert sum(mix.sheets.values()) == 1
    assert covers(mix.sheets, [1, 1])


def test_nothing_met_makes_nothing() -> None:
    parts = [Part("a", 20, 10, 1)]
    assert best_mix(Master(job_of(parts, 3)), [], [1], Fraction(1), nodes=10).sheets is None


def test_what_cannot_be_covered_is_not_called_a_mix() -> None:
    parts = [Part("a", 20, 10, 1), Part("b", 30, 10, 1)]
    job = job_of(parts, 3)
    mix = best_mix(Master(job), [sheet_of(job, [0], 3)], [1, 1], Fraction(1), nodes=10)
    assert mix.sheets is None


def test_pricing_that_finds_what_is_known_already_comes_to_an_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A solver's tolerance can make a pattern of the pool look worth more than it costs."""
    priced, asked = Master._price, []

    def again(master: Master, duals: object, care: object) -> object:
        bound, fresh = priced(master, duals, care)  # type: ignore[arg-type]
        return bound, [*fresh, next(iter(master.pool))]

    def patience() -> bool:
        asked.append(1)
        return len(asked) > 200

    monkeypatch.setattr(Master, "_price", again)
    parts = [Part("a", 20, 10, 30), Part("b", 33, 17, 20)]
    assert not plan_sheets(parts, [SHEET], kerf=Fraction(1, 8), stop=patience).stopped_early


@pytest.mark.parametrize("stages", [2, 3])
def test_a_mix_of_all_patterns_met_is_never_dearer_than_the_plan(stages: int) -> None:
    parts = [Part(f"p{i}", 11 + 3 * i, 5 + 2 * i % 9, 7 + i) for i in range(9)]
    job = lay_out(parts, [SHEET], Fraction(1, 8), Fraction(0), stages, ["across", "along"])
    master, demand = Master(job), [part.demand for part in parts]
    rounder = Rounder(master, master.solve(demand), demand)
    plan = rounder.fill(rounder.rounded_down())
    columns = dict.fromkeys([*master.pool, *rounder.met])
    mix = best_mix(master, columns, demand, rounder.target, nodes=100)
    assert mix.sheets is not None
    assert covers(mix.sheets, demand)
    assert sum(mix.sheets.values()) <= sum(plan.values())
