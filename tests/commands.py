"""The installed command, run as a person runs it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path


def run(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """The command in a folder, with a plain terminal; a warning is a fault, as in the tests."""
    command = [sys.executable, "-W", "error", "-m", "estimator", *words]
    environment = {**os.environ, "NO_COLOR": "1", "COLUMNS": "200", "TERM": "dumb"}
    return subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False
    )
