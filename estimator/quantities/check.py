"""What a row of the sheet Checks is, and the words for its state."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.expressions.nodes import Expression

FINE, LOOK, FAIL = "fine", "look", "FAIL"


@dataclass(frozen=True)
class Check:
    """A row of the sheet Checks.

    count: 0 when fine. state: what it says otherwise. meaning, mend: for the person who reads it.
    """

    name: str
    label: str
    count: Expression
    state: str
    meaning: str
    mend: str
