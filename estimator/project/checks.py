"""Checks of a whole project: what no single field shows. Each check is a function in a list.

What moves with the room counts, such as whether the screws hold, is checked live in the workbook.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterator

from estimator.problems import Problem
from estimator.project.checks_of_bounds import BOUND_CHECKS
from estimator.project.checks_of_names import NAME_CHECKS
from estimator.project.checks_of_prices import PRICE_CHECKS
from estimator.project.checks_of_sizes import SIZE_CHECKS
from estimator.project.checks_of_strength import STRENGTH_CHECKS
from estimator.project.lookup import every_row
from estimator.project.records import RECORDS, Project
from estimator.project.rows import Places

Check = Callable[[Project, Places], Iterator[Problem]]


def check_project(project: Project, places: Places) -> list[Problem]:
    """Every fault of the project that no single field shows, in the order of CHECKS.

    places: from a table, a row counted from 0 and a field to where it was read.
    """
    return [problem for check in CHECKS for problem in check(project, places)]


MAY_BE_EMPTY = (
    "uses", "finishes", "containers", "freight_classes", "clauses", "alternates", "issued",
    "steps", "reaches",
)  # fmt: skip


def tables_filled(project: Project, places: Places) -> Iterator[Problem]:
    """No table is empty without which nothing can be made or priced."""
    for record in RECORDS:
        if record.table not in MAY_BE_EMPTY and not project.rows(record.table):
            expected = f"at least one row of {record.title}"
            place = places(record.table, 0, "")
            yield Problem(place, "", expected, f"Add one. {record.about}")


def texts_plain(project: Project, places: Places) -> Iterator[Problem]:
    """No text holds signs that a workbook or a printed page cannot show."""
    for table, number, row in every_row(project):
        for name, value in row:
            for sign in strange_signs(value)[:1]:
                yield Problem(
                    places(table, number, name),
                    f"U+{ord(sign):04X} in: {str(value).replace(sign, '�')}",
                    "text without control characters",
                    "Type the text again; of these, only a line break is allowed.",
                )


def strange_signs(value: object) -> list[str]:
    """Control characters other than a line break, halves of signs, and what is no sign at all."""
    return [
        sign
        for sign in (value if isinstance(value, str) else "")
        if sign != "\n" and (unicodedata.category(sign) in ("Cc", "Cs") or sign in "\ufffe\uffff")
    ]


CHECKS: tuple[Check, ...] = (
    tables_filled,
    texts_plain,
    *NAME_CHECKS,
    *BOUND_CHECKS,
    *SIZE_CHECKS,
    *STRENGTH_CHECKS,
    *PRICE_CHECKS,
)
