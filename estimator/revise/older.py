"""A workbook of an older format under the names of the present one.

Its tables and columns keep their cells and their words; only what they are called is today's, so
that it can be held against the next workbook.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from estimator.formats.description import Description
from estimator.formats.migrations import description_of_today, name_of_today
from estimator.workbook.origin import origin_of
from estimator.workbook.stored import Stored


@dataclass(frozen=True)
class Renamed:
    """stored: with today's names. description: of the workbook as it was written, with today's
    names. renamed: what became of the names that are others now, by what they were, without case.
    """

    stored: Stored
    description: Description
    renamed: Mapping[str, str]


def under_names_of_today(stored: Stored) -> Renamed:
    """Of a workbook that was opened; raises ProblemsFound if only a newer version can read it."""
    origin = origin_of(stored)
    known = origin.description.names()
    now = {name: name_of_today(name, origin.number) for name in stored.names if name in known}
    return Renamed(
        replace(
            stored,
            names={now.get(name, name): text for name, text in stored.names.items()},
            areas={now.get(name, name): area for name, area in stored.areas.items()},
        ),
        description_of_today(origin.description, origin.number),
        {name.casefold(): new for name, new in now.items() if name != new},
    )
