"""What hangs in a room; keys that differ only in case are one key, as a spreadsheet has it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from estimator.project.records import Module, Project


def same(one: str, other: str) -> bool:
    """Whether two keys are one."""
    return one.casefold() == other.casefold()


def modules_of(project: Project) -> dict[str, Module]:
    """The modules by their keys, casefolded."""
    return {each.key.casefold(): each for each in project.modules}


def modules_in_room(project: Project, room_type: str) -> Mapping[str, int]:
    """How many of each module hang in one room of a type, on all its rails; by casefolded key."""
    found: Counter[str] = Counter()
    for content in project.contents:
        if same(content.room_type, room_type):
            found[content.module.casefold()] += content.each
    return found
