"""What a user is told of a fault: where, what stands there, what is expected, how to fix it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One fault in what a person typed or handed over.

    place: sheet and cell, file and key, or the name of what was asked for.
    value: what stands there, as text.
    expected: what would be right.
    fix: what to do about it.
    """

    place: str
    value: str
    expected: str
    fix: str

    def told(self) -> str:
        """All but the place, as a sentence or two."""
        return f"found {shown(self.value)}; expected {self.expected}. {self.fix}"

    def __str__(self) -> str:
        return f"{self.place}: {self.told()}"


class ProblemsFound(Exception):
    """Raised at the end of a stage with every problem of the input, never at the first one."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    @property
    def counted(self) -> str:
        """How many there are, in words."""
        count = len(self.problems)
        return f"{count} {'fault' if count == 1 else 'faults'}"


def raise_if_any(problems: Iterable[Problem]) -> None:
    """Raise ProblemsFound when there is at least one problem."""
    found = tuple(problems)
    if found:
        raise ProblemsFound(found)


def shown(value: str, longest: int = 60) -> str:
    """The value on one line, quoted, and shortened so that a message stays readable."""
    line = " ".join(value.split()) if value.strip() else value
    short = line if len(line) <= longest else f"{line[:longest]}… ({len(value):,} characters)"
    return f"“{short}”" if short else "nothing"
