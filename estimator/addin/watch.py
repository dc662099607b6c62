"""A workbook watched while another program edits it: each save is noticed once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from estimator.problems import ProblemsFound

State = tuple[int, int]
"""When a file was last written, in nanoseconds, and its size."""


def saves(book: Path, pause: Callable[[], object]) -> Iterator[None]:
    """One None for each save of the book, without end.

    pause: waits between two looks. A save counts when two looks running find the same: programs
    write in pieces, or put another file in the old one's place.
    """
    known = last = _state(book)
    while True:
        pause()
        now = _state(book)
        if now is not None and now == last and now != known:
            known = now
            yield
        last = now


def _state(book: Path) -> State | None:
    """None while no such file stands there."""
    try:
        found = book.stat()
    except FileNotFoundError:
        return None
    return found.st_mtime_ns, found.st_size


def watch(
    book: Path,
    revise: Callable[[Path], Path],
    say: Callable[[str], object],
    pause: Callable[[], object],
) -> None:
    """Revise the book at each save and say what was written; ends only by an interrupt.

    revise: writes the next revision beside a book and returns its path. Faults of the book are
    said, and the next save is waited for: the person is still typing.
    """
    for _ in saves(book, pause):
        try:
            say(f"Wrote {revise(book)}.")
        except ProblemsFound as found:
            for problem in found.problems:
                say(str(problem))
            say("Nothing was written; save again when it is fixed.")
