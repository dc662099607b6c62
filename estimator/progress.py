"""How long work tells how far it is, and how it is asked to end early."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[str, float], None]
"""Told what is being done, and which share of it is done, from 0 to 1."""
Stop = Callable[[], bool]
"""Asked whether to end early with the best so far."""


def in_silence(doing: str, done: float) -> None:
    """The progress of work that nobody waits for."""


def within(progress: Progress | None, first: float, last: float, words: str = "") -> Progress:
    """A progress from 0 to 1 told as the part from first to last of a longer one, never back."""
    reached = first

    def tell(doing: str, done: float) -> None:
        nonlocal reached
        reached = max(reached, first + (last - first) * done)
        if progress:
            progress(f"{words}: {doing}" if words else doing, reached)

    return tell
