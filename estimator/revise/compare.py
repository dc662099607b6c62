"""Two workbooks compared: what was changed, and the walk from the one price to the other."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from estimator.problems import Problem, ProblemsFound, raise_if_any
from estimator.revise.changes import Change, changes_between
from estimator.revise.walk import Walk, price_walk
from estimator.workbook.read import ReadBook, read_workbook


@dataclass(frozen=True)
class Comparison:
    """Every change of input, and what the changes come to in money."""

    old: str
    new: str
    currency: str
    changes: tuple[Change, ...]
    walk: Walk

    def as_json(self) -> dict[str, Any]:
        """Plain data for other programs; money as text, so that no cent is lost."""
        walk = {
            "before": str(self.walk.before),
            "steps": [
                {"group": each.group, "amount": str(each.amount)} for each in self.walk.steps
            ],
            "after": str(self.walk.after),
        }
        return asdict(self) | {"walk": walk, "changes": [asdict(each) for each in self.changes]}


def compare(old: Path, new: Path) -> Comparison:
    """Compare two workbooks; raises ProblemsFound with the faults of both."""
    books: list[ReadBook] = []
    faults: list[Problem] = []
    for path in (old, new):
        try:
            books.append(read_workbook(path))
        except ProblemsFound as found:
            faults += [_within(path, each) for each in found.problems]
    raise_if_any(faults)
    return comparison(books[0], books[1], old.name, new.name)


def comparison(old: ReadBook, new: ReadBook, old_name: str, new_name: str) -> Comparison:
    """Compare what was read from two workbooks."""
    changes = changes_between(old.project, new.project)
    currency = new.project.project.currency
    return Comparison(old_name, new_name, currency, changes, price_walk(old, new))


def _within(path: Path, fault: Problem) -> Problem:
    """The fault with the workbook's name, unless that is its place already."""
    place = fault.place if fault.place.startswith(path.name) else f"{path.name}, {fault.place}"
    return Problem(place, fault.value, fault.expected, fault.fix)
