"""A Calc that runs as long as the tests do and works through one script after another.

To start it takes as long as to calculate a small workbook. It stands behind `serving.py`, which
ends, and Calc with it, as soon as this process does.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import tempfile
import threading
import uuid
from pathlib import Path
from typing import Any

from tests.engines import programs

SERVING = Path(__file__).with_name("serving.py")
QUIET = ("--headless", "--norestore", "--nologo", "--nodefault", "--nolockcheck")
START_SECONDS = 500
PLAIN_PATH = "/usr/bin:/bin"
"""Where the system's Python is found; a checkout's own environment may stand before it."""


class RunningCalc:
    """A Calc with a profile of its own."""

    def __init__(self, settings: str) -> None:
        """Start it. settings: the registry modifications of its profile."""
        self._scratch = tempfile.TemporaryDirectory(prefix="calc-", ignore_cleanup_errors=True)
        self.folder = Path(self._scratch.name)
        (self.folder / "profile" / "user").mkdir(parents=True)
        (self.folder / "profile" / "user" / "registrymodifications.xcu").write_text(settings)
        self._log = (self.folder / "calc.log").open("w")
        self._process = subprocess.Popen(
            [calc_python(), str(SERVING), *self._command()],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=self._log,
            env=programs.environment(str(self.folder)) | {"SAL_USE_VCLPLUGIN": "svp"},
            start_new_session=True,
            text=True,
        )
        self._started = False

    def _command(self) -> tuple[str, ...]:
        pipe, home = f"tests-{uuid.uuid4().hex}", (self.folder / "profile").as_uri()
        listen = f"--accept=pipe,name={pipe};urp;"
        return pipe, programs.program("soffice"), f"-env:UserInstallation={home}", *QUIET, listen

    def do(self, script: Path, seconds: float, **given: Any) -> Any:
        """What the script's `do` returns within the time; ProgramFailedError if it fails."""
        answer = self._answer(json.dumps([str(script), given]), seconds)
        if not answer:
            self.end()
            raise programs.ProgramFailedError(
                f"Calc ended, or did not end within {seconds:g} s, at {script.name} {given}"
            )
        fault, returned = json.loads(answer)
        if fault:
            raise programs.ProgramFailedError(f"{script.name} failed in Calc:\n{fault}")
        return returned

    def _answer(self, asked: str, seconds: float) -> str:
        """A line, or nothing if it ends or is ended first."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        watchdog = threading.Timer(seconds + (0 if self._started else START_SECONDS), self._kill)
        watchdog.start()
        try:
            self._process.stdin.write(f"{asked}\n")
            self._process.stdin.flush()
            return self._process.stdout.readline()
        except BrokenPipeError:
            return ""
        finally:
            self._started = True
            watchdog.cancel()

    @property
    def runs(self) -> bool:
        """Whether it can be asked."""
        return self._process.poll() is None

    def _kill(self) -> None:
        programs.kill_group(self._process.pid)

    def end(self) -> None:
        """End it whatever it does, and take its files away."""
        self._kill()
        self._process.communicate()
        self._log.close()
        self._scratch.cleanup()


_RUNNING: dict[str, RunningCalc] = {}


def running_calc(settings: str) -> RunningCalc:
    """The one of these settings, started when it is first asked for."""
    if settings in _RUNNING and not _RUNNING[settings].runs:
        _RUNNING.pop(settings).end()
    if settings not in _RUNNING:
        _RUNNING[settings] = RunningCalc(settings)
    return _RUNNING[settings]


def end_all() -> None:
    """End every one, at the end of the tests."""
    while _RUNNING:
        _RUNNING.popitem()[1].end()


def calc_python() -> str:
    """The Python that Calc uses: its own where it brings one, else the system's."""
    beside = Path(programs.program("soffice")).resolve().parent / "python"
    found = str(beside) if beside.exists() else shutil.which("python3", path=PLAIN_PATH)
    if found is None:
        raise programs.ProgramMissingError("LibreOffice's Python is not installed: python3-uno")
    return found
