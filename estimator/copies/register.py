"""The register of what was issued: to whom, when, from which revision, and the file's digest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from itertools import count

from estimator.project.records import Issued, Project


@dataclass(frozen=True)
class Copy:
    """A file for somebody else. reader: who it is for. name: of the file, without a folder."""

    reader: str
    name: str
    content: bytes


def with_issued(project: Project, copies: Sequence[Copy], day: date) -> Project:
    """The project with a row of the register for each copy, numbered on within the revision."""
    revision = project.project.revision
    taken = {each.key.casefold() for each in project.issued}
    numbers = (n for n in count(1) if f"{revision}-{n}".casefold() not in taken)
    more = [
        Issued(
            key=f"{revision}-{next(numbers)}",
            to=copy.reader,
            day=day,
            revision=revision,
            file=copy.name,
            digest=sha256(copy.content).hexdigest(),
        )
        for copy in copies
    ]
    return project.model_copy(update={"issued": (*project.issued, *more)})
