"""Estimates with real patterns, planned without the room mixes that take most of the time, and
projects whose every text is hostile."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

from pydantic import BeforeValidator
from pydantic.fields import FieldInfo

from estimator.cut_plans import CutPlan
from estimator.estimate import Estimate
from estimator.planner.cutting import Effort, Plan, Stock, plan_sheets
from estimator.project.records import RECORDS, Project, Record
from estimator.project.templates import read_template
from tests.workbook.estimates import estimated

LITTLE = Effort(rounds=2, niceties=0)


@cache
def plain(template: str) -> Estimate:
    """A template calculated, without patterns."""
    return estimated(read_template(template))


@cache
def sample(template: str) -> Estimate:
    """A template calculated, with real patterns."""
    return with_patterns(plain(template))


def with_patterns(estimate: Estimate) -> Estimate:
    """The estimate, each stand-in plan replaced by a plan of the same pieces."""
    terms = estimate.project.terms
    plans = []
    for plan in estimate.plans:
        trim = terms.trim if plan.material.form == "sheet" else 0
        stock = [Stock(plan.material.key, plan.material.length, plan.material.width)]
        found = plan_sheets(plan.parts, stock, kerf=terms.kerf, trim=trim, effort=LITTLE)
        plans.append(replace(plan, plan=found))
    return replace(estimate, plans=tuple(plans))


def as_cut_plan(plan: Plan, parts: Any) -> CutPlan:
    """A plan of made parts, dressed as that of a material."""
    return replace(sample("one-wall").plans[0], parts=tuple(parts), plan=plan)


def with_texts(project: Project, text: Callable[[str, str], str]) -> Project:
    """The project with every free text replaced. text: from table and field to the new text."""
    tables: dict[str, Any] = {}
    for record in RECORDS:
        rows = getattr(project, record.table)
        if isinstance(rows, Record):
            tables[record.table] = _with_texts(rows, text)
        else:
            tables[record.table] = tuple(_with_texts(row, text) for row in rows)
    return project.model_copy(update=tables)


def _with_texts(row: Record, text: Callable[[str, str], str]) -> Record:
    fields = type(row).model_fields.items()
    new = {name: text(row.table, name) for name, info in fields if _is_free_text(info)}
    return row.model_copy(update=new)


def _is_free_text(info: FieldInfo) -> bool:
    """Neither a key, nor a choice, nor letters of a fixed form."""
    bound = any(
        isinstance(each, BeforeValidator) or getattr(each, "pattern", None)
        for each in info.metadata
    )
    return info.annotation is str and not bound
