"""A person at LibreOffice Calc: open a workbook, type into cells, read others, save it."""

from __future__ import annotations

import json
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.engines import programs
from tests.engines.calc import ALWAYS_RECALCULATE, QUIET
from tests.engines.cells import Place, Value

DEBIAN_PYTHON = "/usr/bin/python3"
"""The Python that Debian's python3-uno belongs to; it can talk to a running Calc."""
Typing = Mapping[Place, float | str]


def typed_in_calc(
    path: Path, turns: Sequence[Typing], read: Sequence[Place], saved: Path | None = None
) -> list[list[Value]]:
    """What Calc shows in the cells `read` after each turn of typing; the file saved at the end.

    Each turn types on top of the turns before. Text goes in as a person types it, so that Calc
    takes =1+1 for a formula.
    """
    with tempfile.TemporaryDirectory(prefix="typing-", ignore_cleanup_errors=True) as name:
        scratch = Path(name)
        user = scratch / "profile" / "user"
        user.mkdir(parents=True)
        (user / "registrymodifications.xcu").write_text(ALWAYS_RECALCULATE)
        work = {
            "office": [
                programs.program("soffice"), f"-env:UserInstallation={user.parent.as_uri()}",
                *QUIET, f"--accept=pipe,name=typing{time.time_ns()};urp;",
            ],
            "book": str(path),
            "turns": [[[*place, value] for place, value in turn.items()] for turn in turns],
            "read": [list(place) for place in read],
            "saved": str(saved) if saved else "",
            "answer": str(scratch / "answer.json"),
        }  # fmt: skip
        (scratch / "work.json").write_text(json.dumps(work))
        script = Path(__file__).with_name("typing_script.py")
        surroundings = programs.environment(str(scratch)) | {"SAL_USE_VCLPLUGIN": "svp"}
        programs.run([DEBIAN_PYTHON, str(script), str(scratch / "work.json")], 240, surroundings)
        answer: list[list[Value]] = json.loads((scratch / "answer.json").read_text())
        return answer
