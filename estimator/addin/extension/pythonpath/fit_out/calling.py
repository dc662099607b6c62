"""The estimator, found and asked: a process that takes a JSON line and answers in JSON lines."""

import json
import os
import shutil
import subprocess
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import IO, Any, Callable, Dict, List

Fields = Dict[str, Any]
Report = Callable[[float, str], None]

WRITTEN = Path(__file__).with_name("written.json")
"""Written when the add-in is built: its version, and the command of the estimator it came from."""

NAME = "estimator"
ON_THE_PATH = (NAME, "addin", "engine")
FIX_MISSING = (
    "Install the estimator (its README says how), run `estimator addin install`, "
    "then start Calc again."
)
FIX_ENDED = (
    "Try again. If it ends again, run `estimator addin install` with the estimator that you use, "
    "then start Calc again."
)


class NoAnswerError(Exception):
    """The estimator could not be asked or gave no answer; says why and what to do, line by line."""


class GivenUpError(Exception):
    """The work was given up because the user asked for it."""


def version() -> str:
    """Of this add-in."""
    return str(_written()["version"])


def _written() -> Fields:
    return dict(json.loads(WRITTEN.read_text(encoding="utf-8")))


def engine_command() -> List[str]:
    """The command that starts the engine: the one written here if it still stands, else the PATH's.

    Raises NoAnswerError when there is neither.
    """
    written = list(_written()["engine"])
    if written and shutil.which(written[0]):
        return written
    found = shutil.which(NAME)
    if found:
        return [found, *ON_THE_PATH[1:]]
    places = "on the search path" if not written else f"at {written[0]} and on the search path"
    raise NoAnswerError(f"The estimator was not found; looked {places}.\n{FIX_MISSING}")


class Engine:
    """One question to the estimator, in a process of its own."""

    def __init__(self, command: List[str]) -> None:
        self._errors: IO[bytes] = tempfile.TemporaryFile()  # noqa: SIM115 - kept open
        self._asked_to_stop = False
        self._given_up = False
        try:
            self._process = subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=self._errors,
                env=surroundings(),
                cwd=str(Path.home()),
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            )
        except OSError as error:
            words = "The estimator could not be started ({}: {}).\n{}"
            raise NoAnswerError(words.format(command[0], error.strerror, FIX_MISSING)) from error

    @property
    def number(self) -> int:
        """The process's number."""
        return self._process.pid

    def ask(self, request: Fields, report: Report) -> Fields:
        """The answer's last line: {"done": …} or {"refused": …}. Calls `report` meanwhile.

        Raises NoAnswerError when the process ends before it, GivenUpError after a second `stop`.
        """
        try:
            self._send(dict(request, version=version()))
            for line in self._process.stdout or ():
                said = _read(line)
                if "progress" in said:
                    report(float(said["progress"]), str(said["words"]))
                elif said:
                    return said
        except OSError:
            pass  # it ended while it was written to; said below
        finally:
            self._end()
        if self._given_up:
            raise GivenUpError
        raise NoAnswerError(self._last_words())

    def stop(self) -> None:
        """Ask for the best that was found so far; the second time, give up."""
        if self._asked_to_stop:
            self.give_up()
        else:
            self._asked_to_stop = True
            with suppress(OSError):  # it may just have ended by itself
                self._send({"command": "stop"})

    def give_up(self) -> None:
        """End the process; nothing comes of the work."""
        self._given_up = True
        self._process.kill()

    def _send(self, request: Fields) -> None:
        pipe = self._process.stdin
        if pipe is not None:
            pipe.write((json.dumps(request) + "\n").encode("utf-8"))
            pipe.flush()

    def _end(self) -> None:
        for pipe in (self._process.stdin, self._process.stdout):
            with suppress(OSError):  # what was still to be written to a dead process is of no use
                if pipe is not None:
                    pipe.close()
        try:
            self._process.wait(timeout=5)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()

    def _last_words(self) -> str:
        self._errors.seek(0)
        lines = self._errors.read().decode("utf-8", "replace").strip().splitlines()
        last = " It said last: " + lines[-1][:200] if lines else ""
        words = "The estimator ended ({}) before it answered; nothing was changed.{}\n{}"
        return words.format(self._process.returncode, last, FIX_ENDED)


def _read(line: bytes) -> Fields:
    """An answer's line; nothing for a line that is none, such as a library's greeting."""
    try:
        said = json.loads(line.decode("utf-8"))
    except ValueError:
        return {}
    return said if isinstance(said, dict) else {}


def surroundings() -> Dict[str, str]:
    """The environment without what Calc sets for its own Python."""
    own = ("PYTHONPATH", "PYTHONHOME", "PYTHONSTARTUP", "VIRTUAL_ENV")
    return {name: text for name, text in os.environ.items() if name not in own}


def ask_quietly(request: Fields) -> Fields:
    """Ask without a report, for what takes a moment."""
    return Engine(engine_command()).ask(request, lambda share, words: None)
