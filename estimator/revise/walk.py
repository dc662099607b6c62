"""The walk from one price to another: what each kind of change adds, by the tool's own calculation.

The groups of inputs are changed one after another, in the order of TABLES_OF, from what stood in
the old workbook to what stands in the new one; after each the price is calculated, and its move
is that group's step. The order is part of the answer: a dearer sheet costs more for more rooms.

- counts: under the old cut plan, as the old workbook itself would show it.
- scope: rates that only the new scope needs come in with it. Pieces that the old plan does not know
  are taken as the new plan has them.
- rates: all rates as they are now.
- plan: the new cut plan instead of the old one. What a workbook that was edited after planning had
  not laid out yet (new floors, new pieces) belongs here too.
- terms: all the rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pandas as pd

from estimator.estimate import in_money
from estimator.expressions.tables import Model
from estimator.expressions.value import Frames, calculate
from estimator.problems import Problem, raise_if_any
from estimator.project.records import RECORDS, Project, Record
from estimator.revise.changes import TABLES_OF, Group, identified
from estimator.structure import laid_out, model_of
from estimator.workbook.read import ReadBook

STEP_WORDS: Mapping[Group, str] = {
    "counts": "Rooms and floors, under the old cut plan.",
    "scope": "Room types, contents, rails, modules and parts; rates that only these need.",
    "rates": "Prices, packs, minutes, wages and freight.",
    "plan": "The new cut plan instead of the old one.",
    "terms": "Terms, limits and all the rest.",
}
CENT = Decimal("0.01")
PLANNED_BY_KEY = ("materials", "pieces")
"""The tables whose rows the planner writes into."""


@dataclass(frozen=True)
class Step:
    """What a group of changes adds to the price, in money to the cent."""

    group: Group
    amount: Decimal


@dataclass(frozen=True)
class Walk:
    """From the old total to the new: before + all steps = after, exactly."""

    before: Decimal
    steps: tuple[Step, ...]
    after: Decimal


def price_walk(old: ReadBook, new: ReadBook) -> Walk:
    """The walk between two workbooks' totals, tax included.

    Raises ProblemsFound when they count in different units or currencies, or a total on the way
    is beyond what money can be told in.
    """
    raise_if_any(_incomparable(old.project, new.project))
    before, after = (_total_shown(each) for each in (old, new))
    projects = _projects(old.project, new.project)
    old_first, new_first = (old.typed, new.typed), (new.typed, old.typed)
    laid_out = [_total(project, old_first) for project in projects[:-1]]
    laid_out += [_total(project, new_first) for project in projects[-2:]]
    amounts = [later - earlier for earlier, later in pairwise(laid_out)]
    steps = dict(zip(TABLES_OF, amounts, strict=True))
    steps["plan"] += (laid_out[0] - before) + (after - laid_out[-1])
    return Walk(before, tuple(Step(group, amount) for group, amount in steps.items()), after)


def _incomparable(old: Project, new: Project) -> list[Problem]:
    pairs = (
        ("Unit of length", old.project.unit, new.project.unit),
        ("Currency", old.project.currency, new.project.currency),
    )
    return [
        Problem(
            name, after, f"{before}, as in the older workbook", "Compare workbooks of one kind."
        )
        for name, before, after in pairs
        if before != after
    ]


# --- Projects on the way -------------------------------------------------------------------------


def _projects(old: Project, new: Project) -> list[Project]:
    """The old project, then with counts, scope and rates of the new one, then the new one."""
    counts = _taking(old, new, TABLES_OF["counts"])
    scope = _taking(counts, new, TABLES_OF["scope"])
    needed = scope.model_copy(
        update={table: _united(old, new, table) for table in TABLES_OF["rates"]}
    )
    return [old, counts, needed, _taking(needed, new, TABLES_OF["rates"]), new]


def _taking(project: Project, new: Project, tables: Sequence[str]) -> Project:
    return project.model_copy(update={table: getattr(new, table) for table in tables})


def _united(old: Project, new: Project, table: str) -> tuple[Record, ...]:
    """The old rows, and behind them those that only the new project has."""
    record = next(each for each in RECORDS if each.table == table)
    return tuple({**identified(new, record), **identified(old, record)}.values())


# --- What they cost ------------------------------------------------------------------------------


def _total_shown(book: ReadBook) -> Decimal:
    """The total as the workbook shows it."""
    model, _ = model_of(book.project)
    return _total_of(model, book.typed)


def _total(project: Project, plans: Sequence[Frames]) -> Decimal:
    """The total of a project laid out anew, under the first of the plans that knows a piece."""
    laid = laid_out(project)
    model, typed = laid.model, laid.typed
    planned = {table: _under(model, table, typed[table], plans) for table in PLANNED_BY_KEY}
    return _total_of(model, {**typed, **planned})


def _total_of(model: Model, typed: Frames) -> Decimal:
    values = in_money(calculate(model, typed, [model["price"]["total"]]))
    return Decimal(repr(float(values["price"]["total"].iloc[0]))).quantize(CENT)


def _under(model: Model, table: str, rows: pd.DataFrame, plans: Sequence[Frames]) -> pd.DataFrame:
    """The rows with their planned columns; those that were laid out stay."""
    planned = [each.name for each in model[table].definitions.values() if each.role == "planned"]
    open_columns = [name for name in planned if name not in rows or rows[name].isna().all()]
    known: dict[str, Any] = {}
    for plan in reversed(plans):
        known |= {row["key"]: row for row in plan[table].to_dict("records")}

    def column(name: str) -> list[Any]:
        blank = "" if model[table].definitions[name].is_text else 0
        return [known.get(key, {}).get(name) or blank for key in rows["key"]]

    return rows.assign(**{name: column(name) for name in open_columns})
