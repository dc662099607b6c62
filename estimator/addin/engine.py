"""The engine behind the add-in: a JSON object for each line, in on standard input, out on output.

A request is {"command": …, "version": …} and what the command takes (see `answers`). While it is
worked on come lines {"progress": 0..1, "words": …}; the last line of an answer is {"done": {…}},
or {"refused": {"words": […], "place": …}} when the caller's workbook has to be fixed first. A line
{"command": "stop"} that comes meanwhile asks for the best that was found so far.
"""

from __future__ import annotations

import json
import os
import sys
import time
import traceback
from collections.abc import Callable, Mapping
from queue import SimpleQueue
from threading import Event, Thread
from typing import IO, Any

from estimator import __version__
from estimator.addin.answers import ANSWERS, Request
from estimator.addin.refusals import RefusedError, refused_by
from estimator.problems import ProblemsFound

BETWEEN_REPORTS = 0.2
"""Seconds; the planner reports far more often than a status bar can show."""

Say = Callable[[Mapping[str, Any]], None]


def main() -> None:
    """Serve requests until standard input ends.

    Standard output belongs to the answers alone: whatever a library prints goes to the errors.
    """
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    try:
        serve(sys.stdin, answers)
    except BrokenPipeError:
        sys.exit(1)  # the caller has gone


def serve(requests: IO[str], answers: IO[str]) -> None:
    """Answer every request in turn."""
    waiting: SimpleQueue[str | None] = SimpleQueue()
    stop = Event()
    Thread(target=_listen, args=(requests, waiting, stop), daemon=True).start()

    def say(words: Mapping[str, Any]) -> None:
        answers.write(json.dumps(words) + "\n")
        answers.flush()

    while (line := waiting.get()) is not None:
        stop.clear()
        say(answered(line, say, stop))


def _listen(requests: IO[str], waiting: SimpleQueue[str | None], stop: Event) -> None:
    for line in requests:
        if _command(line) == "stop":
            stop.set()
        else:
            waiting.put(line)
    waiting.put(None)


def _command(line: str) -> str:
    try:
        return str(json.loads(line)["command"])
    except (ValueError, TypeError, KeyError):
        return ""


def answered(line: str, say: Say, stop: Event) -> dict[str, Any]:
    """The last line of the answer. A fault of ours is told too, so that the caller never waits."""
    try:
        return {"done": _answer(line, say, stop)}
    except RefusedError as refused:
        return {"refused": {"words": refused.words, "place": refused.place}}
    except ProblemsFound as found:
        return {"refused": refused_by(found)}
    except Exception as error:
        traceback.print_exc()
        words = f"The estimator failed, and nothing was changed ({type(error).__name__}: {error})."
        return {"refused": {"words": [words], "place": None}}


def _answer(line: str, say: Say, stop: Event) -> dict[str, Any]:
    name = _command(line)
    if name not in ANSWERS:
        known = ", ".join(ANSWERS)
        raise RefusedError(
            f"The engine was asked for {name or 'something unreadable'}; it knows {known}."
        )
    fields = json.loads(line)
    _check_version(str(fields.get("version", "none")))
    return ANSWERS[name](Request(fields, _reporter(say), stop.is_set))


def _check_version(asked_by: str) -> None:
    if asked_by != __version__:
        raise RefusedError(
            f"This add-in is of version {asked_by}, the estimator that it calls is {__version__}.",
            "Run `estimator addin install` with that estimator, then start Calc again.",
        )


def _reporter(say: Say) -> Callable[[str, float], None]:
    """Says how far the work is when the words change, and now and then between."""
    last, at = "", 0.0

    def report(words: str, share: float) -> None:
        nonlocal last, at
        now = time.monotonic()
        if words != last or now - at >= BETWEEN_REPORTS:
            last, at = words, now
            say({"progress": round(share, 3), "words": words})

    return report


if __name__ == "__main__":
    main()
