"""Only the figures a test asks for, calculated without planning a sheet."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

import pandas as pd

from estimator.expressions.tables import Model
from estimator.expressions.value import calculate
from estimator.project.records import Project
from estimator.quantities import define_model
from estimator.quantities.findings import Check
from estimator.structure import lay_out_rows
from estimator.units import LengthUnit

Figures = dict[str, list[Any]]


@cache
def model_of(unit: LengthUnit, floors: tuple[str, ...]) -> tuple[Model, tuple[Check, ...]]:
    return define_model(unit, floors)


def laid_out(project: Project) -> tuple[Model, dict[str, pd.DataFrame]]:
    """The model and what a project types into it."""
    model, checks = model_of(project.project.unit, tuple(each.key for each in project.floors))
    return model, lay_out_rows(project, model, checks)


def figures(
    project: Project, table: str, *names: str, counts: Mapping[str, float] | None = None
) -> Figures:
    """Columns of a table, row by row. counts: other rooms on the first floor, by type."""
    model, typed = laid_out(project)
    if counts is not None:
        grid = typed["counts"].copy()
        first = model["counts"].axis[0]
        grid[first] = [counts.get(key, 0) for key in grid["room_type"]]
        typed = {**typed, "counts": grid}
    found = calculate(model, typed, [model[table][name] for name in names])[table]
    return {name: found[name].tolist() for name in names}


@cache
def safety_checks() -> tuple[str, ...]:
    """The names of the checks of strength, access and materials, in order."""
    _, checks = model_of("in", ("F1",))
    names = [each.name for each in checks]
    return tuple(names[names.index("rails_hold") :])


def not_ok(project: Project) -> dict[str, tuple[str, float]]:
    """State and count of every check of strength, access and materials that is not OK."""
    rows = pd.DataFrame(figures(project, "checks", "key", "state", "found"))
    kept = rows[rows["key"].isin(safety_checks()) & (rows["state"] != "OK")]
    rows_kept = zip(kept["key"], kept["state"], kept["found"], strict=True)
    return {key: (state, found) for key, state, found in rows_kept}
