"""What a row of the sheet Checks is, and the words for its state."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.expressions.nodes import Expression

OK, REVIEW, FAIL = "OK", "Review", "Fail"


@dataclass(frozen=True)
class Check:
    """A row of the sheet Checks.

    count: 0 when OK. state: what it says otherwise. meaning, fix: for the person who reads it.
    which: names what it counted, the first of it at least.
    """

    name: str
    label: str
    count: Expression
    state: str
    meaning: str
    fix: str
    which: Expression | None = None
