"""How long a workbook takes, its planning left out; `--benchmark-enable` to measure.

Nothing passes or fails by the clock. The ratios stand in the extra information of each benchmark;
tests/benchmarks/workbook_table.py prints them.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from estimator.project.templates import read_template
from tests.benchmarks.workbook_table import (
    DEMO,
    FEW,
    MANY,
    MOST_TIMES_BARE,
    MOST_TIMES_FEW_ROOMS,
    against_bare,
    build,
    collect,
    many_against_few,
    with_rooms,
    write_bare,
)

Measure = Callable[[Path], tuple[float, float]]


def tell_ratio(benchmark: BenchmarkFixture, measure: Measure, most: float, folder: Path) -> None:
    """Put the ratio beside the benchmark, where timing is asked for."""
    if benchmark.enabled:
        first, second = measure(folder)
        benchmark.extra_info |= {"ratio": round(first / second, 2), "target at most": most}


@pytest.mark.benchmark(group="the demo")
def test_building_the_demo(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    project = read_template(DEMO)
    benchmark(build, project, tmp_path / "book.xlsx")
    tell_ratio(benchmark, against_bare, MOST_TIMES_BARE, tmp_path)
    assert openpyxl.load_workbook(tmp_path / "book.xlsx", read_only=True).sheetnames


@pytest.mark.benchmark(group="the demo")
def test_writing_its_cells_with_the_bare_file_writer(
    benchmark: BenchmarkFixture, tmp_path: Path
) -> None:
    build(read_template(DEMO), tmp_path / "book.xlsx")
    copy = collect(tmp_path / "book.xlsx")
    assert copy.cells > 5_000
    benchmark(write_bare, copy, tmp_path / "bare.xlsx")
    assert collect(tmp_path / "bare.xlsx").contents() == copy.contents()


@pytest.mark.benchmark(group="rooms")
@pytest.mark.parametrize("rooms", [FEW, MANY])
def test_more_rooms_of_the_same_types(
    rooms: int, benchmark: BenchmarkFixture, tmp_path: Path
) -> None:
    project = with_rooms(read_template(DEMO), rooms)
    benchmark(build, project, tmp_path / "book.xlsx")
    if rooms == MANY:
        tell_ratio(benchmark, many_against_few, MOST_TIMES_FEW_ROOMS, tmp_path)
    assert sum(row.rooms for row in project.counts) == rooms
