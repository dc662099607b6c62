"""What the engine can be asked: one function for each command, from a request to plain data."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator.addin.refusals import Place, RefusedError, at_most, place_at
from estimator.progress import within

if TYPE_CHECKING:
    from estimator.explain import Explanation
    from estimator.revise.compare import Comparison
    from estimator.revise.left_behind import LeftBehind
    from estimator.workbook.stored import Stored


@dataclass(frozen=True)
class Request:
    """What was asked, how to report progress, and how to know that an early end is wanted."""

    fields: Mapping[str, Any]
    report: Callable[[str, float], None]
    stop: Callable[[], bool]

    def path(self, name: str = "path") -> Path:
        """A file's path out of the request."""
        return Path(str(self.fields[name]))


PLANNED = 0.9
"""The share of the work that is done once the sheets are planned."""


def plan(request: Request) -> dict[str, Any]:
    """path: the workbook. The cells, rows and drawings that a new plan changes, and its words."""
    from estimator.addin.cut_plan_sheet import cut_plan_sheet
    from estimator.addin.renewal import refuse_older, renewal
    from estimator.documents.cut_sheets import in_short
    from estimator.estimate import estimate
    from estimator.workbook.read import read_book
    from estimator.workbook.stored import read_stored

    request.report("reading the workbook", 0.0)
    stored = read_stored(request.path())
    book = read_book(stored)
    refuse_older(stored)
    made = estimate(book.project, within(request.report, 0, PLANNED), request.stop)
    request.report("preparing the sheets", PLANNED)
    changes = renewal(stored, made)
    lines = [f"{each.material.name}: {in_short(each)}" for each in made.plans]
    return {
        "words": at_most([*lines, *map(str, book.remarks)]),
        "insert": changes.insert,
        "cells": changes.cells,
        "remove": changes.remove,
        "sheet": cut_plan_sheet(made),
    }


def check(request: Request) -> dict[str, Any]:
    """path: the workbook. Its checks with their states, and the cell of the first that fails."""
    from estimator.estimate import calculate_book
    from estimator.workbook.read import read_workbook
    from estimator.workbook.stored import read_stored

    book = read_workbook(request.path())
    rows = calculate_book(book.project, book.typed).values["checks"].to_dict("records")
    wanting = [each for each in rows if each["state"] != "OK"]
    first = next((each for each in rows if each["failing"]), None)
    lines = [
        f"{each['state']}: {each['label']} ({_found(each)}). {each['meaning']} {each['fix']}"
        for each in wanting
    ]
    place = _check_cell(read_stored(request.path()), first["key"]) if first else None
    checks = [{name: each[name] for name in ("key", "label", "state")} for each in rows]
    words = at_most([*lines, *map(str, book.remarks)]) or ["All checks are OK."]
    return {"words": words, "checks": checks, "place": place}


def _found(check: Mapping[Any, Any]) -> str:
    """How many a check counted, and which where it says so."""
    return ": ".join(filter(None, (f"{check['found']:,.0f}", check["which"])))


def _check_cell(stored: Stored, key: str) -> Place | None:
    """Where the state of a check stands; None when its table was taken out of the workbook."""
    keys, states = stored.areas.get("checks_key"), stored.areas.get("checks_state")
    if keys is None or states is None:
        return None
    rows = [row for row in keys.rows if stored.cell(keys.sheet, row, keys.left).value == key]
    return place_at(states.sheet, rows[0], states.left) if rows else None


def explain(request: Request) -> dict[str, Any]:
    """names: the defined names at the cell, nearest first; unit: the project's. What it holds."""
    from estimator.explain import explain as explained
    from estimator.expressions.formula import range_name
    from estimator.quantities import define_model

    model, _ = define_model("mm" if request.fields.get("unit") == "mm" else "in", ("F1",))
    columns = {range_name(model[each.table][each.name]): each for each in model.order}
    for name in request.fields["names"]:
        if name in columns:
            found = explained(model, f"{columns[name].table}.{columns[name].name}")[0]
            return {"words": _explanation(found)}
    raise RefusedError("No quantity stands in this cell. Select a cell of a table, or its header.")


def _explanation(found: Explanation) -> list[str]:
    lines = [
        ("", found.title),
        ("It is ", f"{found.role}, in {found.unit}."),
        ("", found.note),
        ("Definition: ", found.in_words),
        ("Formula: ", found.formula),
        ("Fed by: ", ", ".join(found.inputs)),
        ("Feeds: ", ", ".join(found.feeds)),
    ]
    return [f"{head}{text}" for head, text in lines if text]


def revise(request: Request) -> dict[str, Any]:
    """path: the workbook as it stands; name: the file whose next revision is written beside it."""
    from estimator.revise.revise import next_path, next_project
    from estimator.revise.revise import revise as revised
    from estimator.workbook.read import read_workbook

    today = date.today()
    next_one = next_project(read_workbook(request.path()).project, today)
    target = next_path(request.path("name"), next_one.project.revision)
    made = revised(
        request.path(), target, today=today, progress=request.report, stop=request.stop
    )  # fmt: skip
    left = _not_carried(made.left_behind)
    told = [*price_walk_lines(made.comparison), *left, *map(str, made.remarks)]
    return {"words": [f"Wrote {made.path}.", *at_most(told)], "written": str(made.path)}


def compare(request: Request) -> dict[str, Any]:
    """path: the workbook as it stands; other: the earlier one. What changed, and the price walk."""
    from estimator.revise.compare import compare as compared

    found = compared(request.path("other"), request.path())
    changes = [
        f"{e.table}, {e.row} {e.field}: {e.before or '–'} → {e.after or '–'}" for e in found.changes
    ]
    told = changes or ["Nothing that is typed was changed."]
    return {"words": [*price_walk_lines(found), *at_most(told)]}


def price_walk_lines(found: Comparison) -> list[str]:
    """The earlier total, what each kind of change adds, and the total now."""
    walk, currency = found.walk, found.currency
    return [
        f"Before, {found.old}: {currency} {walk.before:,.2f}.",
        *(f"{each.group}: {each.amount:+,.2f}" for each in walk.steps if each.amount),
        f"Now, {found.new}: {currency} {walk.after:,.2f}.",
    ]


def copies(request: Request) -> dict[str, Any]:
    """path: the workbook; name: its own file, the same unless something in it is not saved."""
    from estimator.copies.issue import issue
    from estimator.estimate import estimate

    if request.fields["path"] != request.fields["name"]:
        raise RefusedError(
            "Save this workbook as an Excel workbook (.xlsx) first.",
            "The copies are made from its file, with the next revision beside it.",
        )
    left: list[LeftBehind] = []
    written = issue(
        request.path(),
        ("purchaser", "suppliers"),
        date.today(),
        lambda project: estimate(project, request.report, request.stop),
        tell=left.extend,
    )
    return {"words": [*(f"Wrote {each.name}." for each in written), *_not_carried(left)]}


def _not_carried(left: Sequence[LeftBehind]) -> list[str]:
    """What the next revision does not have, by name."""
    return at_most([f"It does not have {each}." for each in left])


ANSWERS: Mapping[str, Callable[[Request], dict[str, Any]]] = {
    "plan": plan,
    "check": check,
    "explain": explain,
    "revise": revise,
    "compare": compare,
    "copies": copies,
}
