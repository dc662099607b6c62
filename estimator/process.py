"""How a short run of Python is kept short."""

from __future__ import annotations

import atexit
import gc

ALLOCATIONS = 400_000
"""Between two looks for garbage; a short command makes fewer, and has next to none."""


def collect_seldom() -> None:
    """Look for garbage seldom, and not at the end, when the system takes all memory back.

    A short command spends a quarter of its time on it otherwise.
    """
    gc.set_threshold(ALLOCATIONS)
    atexit.register(gc.freeze)
