"""What hangs in a room."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from estimator.project.records import Project


def modules_in_room(project: Project, room_type: str) -> Mapping[str, int]:
    """How many of each module hang in one room of a type, on all its rails; by key."""
    found: Counter[str] = Counter()
    for content in project.contents:
        if content.room_type == room_type:
            found[content.module] += content.each
    return found
