"""Strips in sheets as a constraint model in OR-tools; a strip is as broad as its broadest piece.

Two stages, symmetry broken, bounded in deterministic time. Run as a process of its own, for its
library and the planner's bring two versions of one solver that can't be loaded together: takes
JSON on standard input, gives the number of sheets or null.
"""

from __future__ import annotations

import json
import sys

from ortools.sat.python import cp_model

WORK = 20  # deterministic time units of the solver
STRIPS = 8  # strips in a sheet, at most


def fewest_sheets(
    pieces: list[tuple[int, int, int]], sheet: tuple[int, int], most: int
) -> int | None:
    """Fewest sheets found for pieces (length, width, demand), in at most ``most`` sheets."""
    length, width = sheet
    model = cp_model.CpModel()
    each = min(STRIPS, width // min(b for _, b, _ in pieces))
    strips = range(most * each)
    breadth = [model.new_int_var(0, width, f"breadth {s}") for s in strips]
    used = [model.new_bool_var(f"used {k}") for k in range(most)]
    cut = {}
    for i, (a, b, demand) in enumerate(pieces):
        for s in strips:
            cut[i, s] = model.new_int_var(0, min(demand, length // a), f"cut {i} {s}")
            some = model.new_bool_var(f"some {i} {s}")
            model.add(cut[i, s] == 0).only_enforce_if(~some)
            model.add(breadth[s] >= b).only_enforce_if(some)
        model.add(sum(cut[i, s] for s in strips) >= demand)
    for s in strips:
        model.add(sum(a * cut[i, s] for i, (a, _, _) in enumerate(pieces)) <= length)
    for k in range(most):
        mine = range(k * each, (k + 1) * each)
        model.add(sum(breadth[s] for s in mine) <= width * used[k])
        for s in mine[1:]:
            model.add(breadth[s] <= breadth[s - 1])
    for k in range(most - 1):
        model.add(used[k] >= used[k + 1])
    model.minimize(sum(used))
    return _solved(model)


def _solved(model: cp_model.CpModel) -> int | None:
    solver = cp_model.CpSolver()
    solver.parameters.max_deterministic_time = WORK
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    state = solver.solve(model)
    return round(solver.objective_value) if state in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None


if __name__ == "__main__":
    asked = json.load(sys.stdin)
    print(json.dumps(fewest_sheets(asked["pieces"], asked["sheet"], asked["most"])))
