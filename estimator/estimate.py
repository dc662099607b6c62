"""The pipeline, a line for each stage: from what was typed to every figure of the job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pandas as pd

from estimator.expressions.tables import Model
from estimator.expressions.value import Values, calculate
from estimator.problems import Problem, ProblemsFound
from estimator.progress import Progress, Stop
from estimator.project.records import Project
from estimator.quantities.findings import Check
from estimator.structure import LaidOut, laid_out, model_of

if TYPE_CHECKING:  # what is planned already is calculated without the planner
    from estimator.cut_plans import CutPlan

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

    laid = laid_out(project)
    return calculated(laid, plan_cuts(laid, progress, stop))


def calculate_book(project: Project, typed: dict[str, pd.DataFrame]) -> Estimate:
    """A workbook's figures under the plan it holds: its typed and planned columns, calculated."""
    model, checks = model_of(project)
    return Estimate(project, model, checks, (), typed, in_money(calculate(model, typed)))


def calculated(laid: LaidOut, plans: Sequence[CutPlan]) -> Estimate:
    """All values under the plans, and the figures kept as issued."""
    from estimator.cut_plans import with_plans

    model, typed = laid.model, with_plans(laid.typed, plans)
    issued = calculate(model, typed, [model["headline"]["now"]])["headline"]["now"]
    typed["headline"] = typed["headline"].assign(issued=issued.to_numpy())
    values = in_money(calculate(model, typed))
    return Estimate(laid.project, model, laid.checks, tuple(plans), typed, values)


def in_money(values: Values) -> Values:
    """The values, if their total can be told to the cent; raises ProblemsFound if not."""
    total = float(values["price"]["total"].iloc[0])
    if not abs(total) < LARGEST_TOTAL:  # nor is it, where a number ran over
        expected, fix = f"less than {LARGEST_TOTAL:,}", "Look for an amount with too many digits."
        raise ProblemsFound([Problem("Price, Quoted total", f"{total:g}", expected, fix)])
    return values
