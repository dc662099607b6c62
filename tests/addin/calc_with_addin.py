"""The real Calc with the built add-in, in a profile of its own, driven by scenarios."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from estimator.addin.build import build_extension
from estimator.addin.install import THIS_ENGINE
from tests.engines import programs
from tests.engines.running_calc import PLAIN_PATH, QUIET, calc_python

INSIDE = Path(__file__).with_name("inside.py")
SECONDS, SCENARIO_SECONDS = 2400, 600


@dataclass(frozen=True)
class CalcWithAddin:
    """A running Calc. folder: everything it writes is in here."""

    folder: Path
    pipe: str

    def do(self, scenario: str, **given: Any) -> dict[str, Any]:
        """Run a scenario of `inside.py`; what it saw."""
        command = [calc_python(), str(INSIDE), self.pipe, scenario, json.dumps(given)]
        printed = programs.run(command, SCENARIO_SECONDS, programs.environment(str(self.folder)))
        seen: dict[str, Any] = json.loads(printed.splitlines()[-1])
        return seen

    def written(self) -> Path:
        """The file that tells the installed add-in its version and its engine."""
        (found,) = self.folder.glob("profile/**/written.json")
        return found


@contextmanager
def calc_with_addin(folder: Path, *, display: str = "") -> Iterator[CalcWithAddin]:
    """Calc with the add-in installed, started anew since an extension is found at the start."""
    extension = folder / "fit-out.oxt"
    build_extension(extension, THIS_ENGINE)
    with _calc(folder, display="") as calc:
        assert calc.do("install", extension=str(extension)) == {"identifier": "estimator.fit-out"}
    with _calc(folder, display=display) as calc:
        yield calc


@contextmanager
def _calc(folder: Path, *, display: str) -> Iterator[CalcWithAddin]:
    pipe = f"fit-out-{uuid.uuid4().hex}"
    command = [
        *("timeout", "--kill-after=5", str(SECONDS)),  # the watchdog
        programs.program("soffice"),
        f"-env:UserInstallation={(folder / 'profile').as_uri()}",
        *(QUIET if not display else QUIET[1:]),
        f"--accept=pipe,name={pipe};urp;",
    ]
    # Without the estimator on the path: the add-in has to know where it is.
    surroundings = programs.environment(str(folder)) | {"PATH": PLAIN_PATH}
    surroundings |= {"DISPLAY": display} if display else {"SAL_USE_VCLPLUGIN": "svp"}
    log = (folder / "calc.log").open("a")
    process = subprocess.Popen(
        command, env=surroundings, start_new_session=True, stdout=log, stderr=log
    )
    calc = CalcWithAddin(folder, pipe)
    try:
        yield calc
        calc.do("close")
        process.wait(timeout=60)
    finally:
        _kill_group(process.pid)
        process.wait()
        log.close()


def _kill_group(leader: int) -> None:
    try:
        os.killpg(leader, signal.SIGKILL)
    except ProcessLookupError:
        return
