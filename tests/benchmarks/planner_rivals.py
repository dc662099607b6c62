"""The planner beside general-purpose packers on the same jobs, given as plain data.

rectpack: all eighteen of its guillotine packers in three sort orders, without turning, for it
can't be told which parts may turn. OR-tools: a constraint model (see constraint_model). Kerf is
added to pieces and sheet, as it is in the planner.

Needs the bench extra (rectpack, ortools). Run: python -m tests.benchmarks.planner_rivals
"""

from __future__ import annotations

import itertools
import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import ParamSpec, TypeVar

import rectpack
from rectpack import guillotine

from estimator.cut_plans import BESIDES, needs_of_floors
from estimator.estimate import estimate
from estimator.planner.cutting import CutPart, Stock, plan_sheets
from estimator.planner.grid import common_divisor
from estimator.project.templates import read_template
from tests.benchmarks.measured import record


@dataclass(frozen=True)
class RivalJob:
    """A job as plain data: (key, length, width, demand) of the parts, and a sheet."""

    name: str
    parts: tuple[tuple[str, Fraction, Fraction, int], ...]
    sheet: tuple[Fraction, Fraction]
    kerf: Fraction


def whole(job: RivalJob) -> tuple[list[tuple[int, int, int]], tuple[int, int]]:
    """Pieces (length, width, demand) and sheet in whole numbers, kerf added."""
    unit = common_divisor(side + job.kerf for _, a, b, _ in job.parts for side in (a, b))
    pieces = [
        (int((a + job.kerf) / unit), int((b + job.kerf) / unit), n) for _, a, b, n in job.parts
    ]
    length, width = (int((side + job.kerf) / unit) for side in job.sheet)
    return pieces, (length, width)


def packers() -> list[type]:
    """rectpack's eighteen: how a free rectangle is chosen, and how the rest of it is split."""
    choices = ("Bssf", "Blsf", "Baf")
    splits = ("Sas", "Las", "Slas", "Llas", "Maxas", "Minas")
    return [getattr(guillotine, f"Guillotine{c}{s}") for c in choices for s in splits]


def by_rectpack(job: RivalJob) -> int | None:
    """Fewest sheets over all of rectpack's guillotine packers and sort orders."""
    pieces, (length, width) = whole(job)
    found = []
    for algorithm, order in itertools.product(
        packers(), (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE)
    ):
        packer = rectpack.newPacker(
            mode=rectpack.PackingMode.Offline,
            bin_algo=rectpack.PackingBin.BFF,
            pack_algo=algorithm,
            sort_algo=order,
            rotation=False,
        )
        for number, (a, b, demand) in enumerate(pieces):
            for _ in range(demand):
                packer.add_rect(a, b, number)
        packer.add_bin(length, width, count=float("inf"))
        packer.pack()
        if len(packer.rect_list()) == sum(demand for _, _, demand in pieces):
            found.append(len(packer))
    return min(found, default=None)


def by_constraints(job: RivalJob, most: int) -> int | None:
    """Fewest sheets of the constraint model, asked in a process of its own (see there)."""
    pieces, sheet = whole(job)
    asked = json.dumps({"pieces": pieces, "sheet": sheet, "most": most})
    command = [sys.executable, "-m", "tests.benchmarks.constraint_model"]
    done = subprocess.run(command, input=asked, capture_output=True, text=True, check=True)
    answer: int | None = json.loads(done.stdout)
    return answer


def by_planner(job: RivalJob) -> tuple[int, float]:
    """The planner's sheets and bound."""
    parts = [CutPart(key, a, b, n) for key, a, b, n in job.parts]
    plan = plan_sheets(parts, [Stock("sheet", *job.sheet)], kerf=job.kerf)
    return plan.sheets, plan.bound


Given = ParamSpec("Given")
Result = TypeVar("Result")


def timed(
    function: Callable[Given, Result], *args: Given.args, **kwargs: Given.kwargs
) -> tuple[Result, float]:
    start = time.perf_counter()
    result = function(*args, **kwargs)
    return result, time.perf_counter() - start


def demo_jobs() -> Iterator[RivalJob]:
    """Each sheet material of the demo: the pieces of its least floor, and of the whole lodge.

    As plain rectangles: no turning and no shared rips, for the packers know neither.
    """
    made = estimate(read_template("merrowby-lodge"))
    floors = needs_of_floors(made.model, made.typed)
    for cut in made.plans:
        material = cut.material
        if material.form == "sheet":
            own = {floor: {p.key: need[p.key] for p in cut.parts} for floor, need in floors.items()}
            del own[BESIDES]
            least = min(own, key=lambda floor: sum(own[floor].values()))
            trim = 2 * made.project.terms.trim
            sheet = (material.length - trim, material.width - trim)
            for name, demand in ((f"floor {least}", own[least]), ("whole lodge", cut.demand)):
                parts = tuple(
                    (part.key, Fraction(part.length), Fraction(part.width), demand[part.key])
                    for part in cut.parts
                    if demand[part.key]
                )
                job = f"{material.key}, {name}"
                yield RivalJob(job, parts, sheet, made.project.terms.kerf)


COLUMNS = ("job", "pieces", "bound", "planner", "planner s", "rectpack", "rectpack s",
           "constraint model", "model s")  # fmt: skip


def main() -> None:
    """Print and record the table of the demo's materials."""
    rows = []
    print(" | ".join(COLUMNS))
    for job in demo_jobs():
        (sheets, bound), own_time = timed(by_planner, job)
        packed, pack_time = timed(by_rectpack, job)
        modelled, model_time = timed(by_constraints, job, max(packed or 0, 2 * sheets))
        pieces = sum(n for _, _, _, n in job.parts)
        own = (f"{bound:.2f}", str(sheets), f"{own_time:.1f}")
        others = (str(packed or "none"), f"{pack_time:.1f}", str(modelled or "none"))
        rows.append((job.name, str(pieces), *own, *others, f"{model_time:.1f}"))
        print(" | ".join(rows[-1]), flush=True)
    record("planner-rivals", COLUMNS, rows)


if __name__ == "__main__":
    main()
