"""The pipeline, a line for each stage: from what was typed to every figure of the job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pandas as pd

from estimator.expressions.tables import Model
from estimator.expressions.value import Values, calculate
from estimator.problems import Problem, ProblemsFound
from estimator.project.records import Project
from estimator.quantities import define_model
from estimator.quantities.findings import Check
from estimator.structure import RAIL_PIECES, add_pieces, lay_out_rows

if TYPE_CHECKING:  # what is planned already is calculated without the planner
    from estimator.cut_plans import CutPlan, Progress, Stop

LARGEST_TOTAL = 10**13
"""With its cents it has the 15 digits that a cell of a spreadsheet tells."""


@dataclass(frozen=True)
class Estimate:
    """A project with its definitions, its cut plans and all its values.

    typed: the input and planned columns by table. values: every column by table.
    """

    project: Project
    model: Model
    checks: tuple[Check, ...]
    plans: tuple[CutPlan, ...]
    typed: dict[str, pd.DataFrame]
    values: Values


def estimate(
    project: Project, progress: Progress | None = None, stop: Stop | None = None
) -> Estimate:
    """Plan the sheets and calculate everything."""
    from estimator.cut_plans import plan_cuts

    model, checks = define_model(project.project.unit, [floor.key for floor in project.floors])
    typed = lay_out_rows(project, model, checks)
    lengths = calculate(model, typed, [model["runs"][name] for name in RAIL_PIECES])
    typed = add_pieces(typed, project, lengths)
    plans = plan_cuts(project, model, typed, progress, stop)
    return calculated(project, model, checks, typed, plans)


def calculate_book(project: Project, typed: dict[str, pd.DataFrame]) -> Estimate:
    """A workbook's figures under the plan it holds: its typed and planned columns, calculated."""
    model, checks = define_model(project.project.unit, [floor.key for floor in project.floors])
    return Estimate(project, model, tuple(checks), (), typed, in_money(calculate(model, typed)))


def calculated(
    project: Project,
    model: Model,
    checks: Sequence[Check],
    typed: dict[str, pd.DataFrame],
    plans: Sequence[CutPlan],
) -> Estimate:
    """All values under the plans, and the figures kept as issued."""
    from estimator.cut_plans import with_plans

    typed = with_plans(typed, plans)
    issued = calculate(model, typed, [model["headline"]["now"]])["headline"]["now"]
    typed["headline"] = typed["headline"].assign(issued=issued.to_numpy())
    values = in_money(calculate(model, typed))
    return Estimate(project, model, tuple(checks), tuple(plans), typed, values)


def in_money(values: Values) -> Values:
    """The values, if their total can be told to the cent; raises ProblemsFound if not."""
    total = float(values["price"]["total"].iloc[0])
    if not abs(total) < LARGEST_TOTAL:  # nor is it, where a number ran over
        expected, fix = f"less than {LARGEST_TOTAL:,}", "Look for an amount with too many digits."
        raise ProblemsFound([Problem("Price, Quoted total", f"{total:g}", expected, fix)])
    return values
