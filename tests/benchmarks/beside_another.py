"""What a user waits for, here and in another checkout beside it.

Each step is done by both in turn, and the best of all turns counts, so that what else the machine
does is left out. Seconds are of the clock, and of the processor on both cores together; planning in
place is timed inside Calc, from the click to the plan in the cells. What was measured is recorded
for the table of DEVELOPERS.md. Each checkout needs its own `.venv`.

Run: python -m tests.benchmarks.beside_another OTHER_CHECKOUT [times [words of a step]]
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from openpyxl import load_workbook

from tests.benchmarks.measured import record

HERE = Path(__file__).parents[2]
DEMO, WALL, HOUSE = "merrowby-lodge", "one-wall", "three-hundred-rooms"
MORE = [("counts_rooms", 0, 12), ("counts_rooms", 1, 3)]
"""Rooms of the demo's first two types on the first floor."""
IN_CALC = """
import sys, tempfile
from pathlib import Path
from tests.addin import calc_with_addin
calc_with_addin.INSIDE = Path(sys.argv[1])
with tempfile.TemporaryDirectory() as folder, calc_with_addin.calc_with_addin(Path(folder)) as calc:
    print(calc.do("plan", book=sys.argv[2], inputs=eval(sys.argv[3]))["seconds"])
"""
Seconds = tuple[float, float | None]
"""Of the clock, and of the processor where it was measured."""
COLUMNS = ("step", "s there", "s here", "share", "processor s there", "here", "share of it")


def commands() -> dict[str, Callable[[Path, Path], Seconds]]:
    """Each step by its name: it is given a checkout and a folder of that checkout's workbooks."""

    def estimator(*words: str) -> Callable[[Path, Path], Seconds]:
        return lambda checkout, folder: _timed(checkout, folder, "-m", "estimator", *words)

    return {
        "cold demo": estimator("demo"),
        "revise the demo with other counts": estimator("revise", "moved.xlsx"),
        "plan in place in Calc": _in_calc,
        "three hundred rooms": estimator("start", "house.xlsx", "--template", HOUSE),
        "check": estimator("check", "wall.xlsx"),
        "quote": estimator("quote", "wall.xlsx"),
        "explain": estimator("explain", "price.total"),
    }


def _in_calc(checkout: Path, folder: Path) -> Seconds:
    inside = HERE / "tests" / "addin" / "inside.py"
    book = str(folder / f"{DEMO}.xlsx")
    printed = _run(checkout, checkout, "-c", IN_CALC, str(inside), book, repr(MORE))
    return float(printed.splitlines()[-1]), None


def _timed(checkout: Path, folder: Path, *words: str) -> Seconds:
    before = set(folder.iterdir())
    wall, processor = time.perf_counter(), _processor()
    _run(checkout, folder, *words)
    spent = time.perf_counter() - wall, _processor() - processor
    for fresh in set(folder.iterdir()) - before:
        subprocess.run(["rm", "-r", str(fresh)], check=True)
    return spent


def _run(checkout: Path, folder: Path, *words: str) -> str:
    command = [str(checkout / ".venv" / "bin" / "python"), *words]
    done = subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True)
    return done.stdout


def _processor() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _prepare(checkout: Path, folder: Path) -> None:
    """The workbooks that the steps are done on, written by the checkout itself."""
    folder.mkdir()
    for name, template in ((f"{DEMO}.xlsx", DEMO), ("wall.xlsx", WALL)):
        _run(checkout, folder, "-m", "estimator", "start", name, "--template", template)
    book = load_workbook(folder / f"{DEMO}.xlsx")
    for name, below, rooms in MORE:
        sheet, cell = next(iter(book.defined_names[name].destinations))
        first = book[sheet][cell.replace("$", "").partition(":")[0]]
        book[sheet].cell(first.row + below, first.column, rooms)
    book.save(folder / "moved.xlsx")


def _row(step: str, turns: list[tuple[Seconds, Seconds]]) -> tuple[str, ...]:
    wall = [min(turn[side][0] for turn in turns) for side in (0, 1)]
    cells = [f"{wall[0]:.2f}", f"{wall[1]:.2f}", f"{wall[1] / wall[0]:.2f}"]
    spent = [[turn[side][1] for turn in turns] for side in (0, 1)]
    there, here = (min((each for each in side if each is not None), default=0.0) for side in spent)
    cells += [f"{there:.2f}", f"{here:.2f}", f"{here / there:.2f}"] if there else ["", "", ""]
    return step, *cells


def main() -> None:
    other = Path(sys.argv[1]).resolve()
    times = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    with tempfile.TemporaryDirectory() as top:
        pairs = [(other, Path(top) / "there"), (HERE, Path(top) / "here")]
        for checkout, folder in pairs:
            _prepare(checkout, folder)
        rows = []
        print(" | ".join(COLUMNS))
        for step, command in commands().items():
            if not all(word in step for word in sys.argv[3:]):
                continue
            turns = []
            for _ in range(times):
                there, here = (command(*pair) for pair in pairs)
                turns.append((there, here))
            rows.append(_row(step, turns))
            print(" | ".join(rows[-1]), flush=True)
    record("beside-another", COLUMNS, rows)


if __name__ == "__main__":
    main()
