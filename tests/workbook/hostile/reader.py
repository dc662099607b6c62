"""Reads files one by one, each in a process of its own with bounds, and prints what was said.

Run as `python -m tests.workbook.hostile.reader FILE…`; prints a JSON object by file name.
"""

from __future__ import annotations

import json
import multiprocessing
import resource
import sys
import traceback
from pathlib import Path
from typing import Any

from estimator.problems import ProblemsFound
from estimator.workbook.read import read_workbook

SECONDS = 10
"""Of the processor; the process is ended when they are spent, which a test then reports."""


def outcome(path: Path) -> dict[str, Any]:
    """What is said of the file, and the most memory in bytes that reading it took."""
    try:
        book = read_workbook(path)
        words, trace = [*map(str, book.remarks), "read"], ""
    except ProblemsFound as found:
        words, trace = [str(each) for each in found.problems], ""
    except BaseException:
        words, trace = [], traceback.format_exc()
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    return {"words": words, "traceback": trace, "memory": most}


def read_bounded(path: Path, result: Any) -> None:
    """In a child: set the bound, read, hand over."""
    used = int(sum(resource.getrusage(resource.RUSAGE_SELF)[:2]))
    resource.setrlimit(resource.RLIMIT_CPU, (used + SECONDS, used + SECONDS))
    result.send(outcome(path))


def outcomes(paths: list[Path]) -> dict[str, dict[str, Any]]:
    """What came of each file; a child that was ended says so."""
    context = multiprocessing.get_context("fork")
    found = {}
    for path in paths:
        receiver, sender = context.Pipe(duplex=False)
        child = context.Process(target=read_bounded, args=(path, sender))
        child.start()
        sender.close()
        try:
            found[path.name] = receiver.recv()
        except EOFError:
            found[path.name] = {"words": [], "traceback": "ended", "memory": 0}
        child.join()
    return found


if __name__ == "__main__":
    json.dump(outcomes([Path(each) for each in sys.argv[1:]]), sys.stdout)
