"""The next revision of a workbook: read, planned again, written beside the one before it.

The workbook that a person edited is only read. The next one is created under a name that nobody has
yet, whole or not at all, so that of two runs at once one is refused and nothing is ever mixed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from estimator.estimate import Estimate, estimate
from estimator.problems import Problem, ProblemsFound
from estimator.progress import Progress, Stop
from estimator.project.records import Project
from estimator.revise.carried import carried
from estimator.revise.compare import Comparison, comparison
from estimator.revise.left_behind import LeftBehind
from estimator.revise.walk import STEP_WORDS
from estimator.workbook.additions import History
from estimator.workbook.as_written import read_as_written
from estimator.workbook.read import ReadBook, read_book
from estimator.workbook.stored import Stored, read_stored
from estimator.workbook.typed import Remark
from estimator.workbook.write import write_workbook

REVISION_OF_NAME = re.compile(r"^(?P<book>.*?)(?: rev [A-Z]{1,3})?$", re.DOTALL)


@dataclass(frozen=True)
class Revision:
    """What was written, how it differs, what was said in reading, and what did not come along."""

    path: Path
    comparison: Comparison
    remarks: tuple[Remark, ...]
    left_behind: Sequence[LeftBehind]


def revise(
    path: Path,
    out: Path | None = None,
    *,
    today: date,
    progress: Progress | None = None,
    stop: Stop | None = None,
    pass_over_taken: bool = False,
) -> Revision:
    """Plan the workbook again and write its next revision, dated today, beside it or to `out`.

    pass_over_taken: take the next letter whose file does not stand yet, as for a workbook that is
    revised at each save.
    Raises ProblemsFound, and writes nothing, when the workbook cannot be read or the target stands
    already.
    """
    stored = read_stored(path)
    book = read_book(stored)
    project = next_project(book.project, today)
    target = out or next_path(path, project.project.revision)
    while pass_over_taken and target.exists():
        project = next_project(project, today)
        target = next_path(path, project.project.revision)
    _refuse_existing(target)
    return write_next(stored, book, estimate(project, progress, stop), target)


def write_next(stored: Stored, book: ReadBook, planned: Estimate, target: Path) -> Revision:
    """Write the workbook that follows one that was read: as planned, with all a person added to it.

    What changed is told from the older workbook as it was written, so that what a person typed into
    it since counts; from the workbook as it was read where that is lost.
    Raises ProblemsFound, and writes nothing, when the target stands already.
    """
    new = ReadBook(planned.project, planned.typed, ())
    compared, is_as_written = _compared(stored, book, new, target)
    own = carried(stored, book, planned)
    history = history_of(compared, is_as_written, own.left, book.remarks)
    try:
        write_workbook(planned, target, replace(own.additions, history=history))
    except FileExistsError:
        raise ProblemsFound([_existing(target)]) from None
    return Revision(target, compared, book.remarks, own.left)


def _compared(
    stored: Stored, book: ReadBook, new: ReadBook, target: Path
) -> tuple[Comparison, bool]:
    """With the workbook as it was written, and that it is so; with it as it was read where the
    former is lost, counted otherwise then, or comes to no price."""
    written, names = read_as_written(stored), (stored.archive.name, target.name)
    if written:
        with suppress(ProblemsFound):
            return comparison(written, new, *names), True
    return comparison(book, new, *names), False


def history_of(
    compared: Comparison,
    is_as_written: bool,
    left: Sequence[LeftBehind],
    remarks: Sequence[Remark],
) -> History:
    """What the sheet Changes says of how a revision came from the workbook before it."""
    return History(
        before=compared.old,
        after=compared.new,
        is_as_written=is_as_written,
        start=compared.walk.before,
        steps=tuple(
            (each.group, STEP_WORDS[each.group], each.amount) for each in compared.walk.steps
        ),
        changes=tuple(
            (each.group, each.table, each.row, each.field, each.before, each.after)
            for each in compared.changes
        ),
        said=(
            *((each.place, each.kind, each.words) for each in left),
            *((each.place, "read in another way", each.words) for each in remarks),
        ),
    )


def next_project(project: Project, today: date) -> Project:
    """The same project under the next letter, dated today."""
    facts = project.project
    update = {"revision": next_letter(facts.revision), "issued": today}
    return project.model_copy(update={"project": facts.model_copy(update=update)})


def next_letter(revision: str) -> str:
    """B after A, AA after Z."""
    stem, last = revision[:-1], revision[-1]
    if last != "Z":
        return stem + chr(ord(last) + 1)
    return (next_letter(stem) if stem else "A") + "A"


def next_path(path: Path, revision: str) -> Path:
    """`Lodge rev B.xlsx` beside `Lodge.xlsx` or `Lodge rev A.xlsx`."""
    found = REVISION_OF_NAME.fullmatch(path.stem)
    book = found["book"] if found else path.stem
    return path.with_name(f"{book} rev {revision}.xlsx")


def _refuse_existing(target: Path) -> None:
    if target.exists() or target.is_symlink():
        raise ProblemsFound([_existing(target)])
    if not target.parent.is_dir():
        fix = "Make the folder first, or name another file with -o."
        raise ProblemsFound([Problem(str(target.parent), "no such folder", "a folder", fix)])


def _existing(target: Path) -> Problem:
    fix = "Revise that one, move it away, or name another file with -o."
    return Problem(target.name, "a file that stands already", "a name that is free", fix)
