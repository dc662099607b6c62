"""The add-in put into LibreOffice by its own installer, unopkg."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from estimator.addin import NAME
from estimator.addin.build import build_extension
from estimator.problems import Problem, ProblemsFound

PLACES = (
    "/Applications/LibreOffice.app/Contents/MacOS",
    "C:/Program Files/LibreOffice/program",
    "/usr/lib/libreoffice/program",
    "/opt/libreoffice/program",
)
SECONDS = 180
THIS_ENGINE = (sys.executable, "-P", "-m", "estimator.addin.engine")
"""Written into the installed add-in: a program started from a menu has another search path."""


def install_extension() -> str:
    """Build the add-in for this estimator and install it; what the installer said.

    For the person who runs it; run as root, for everyone, since root's own kind is refused.
    Raises ProblemsFound when there is no installer or it fails.
    """
    installer = _installer()
    for_whom = ["--shared"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    with tempfile.TemporaryDirectory(prefix="estimator-") as folder:
        path = Path(folder) / NAME
        build_extension(path, THIS_ENGINE)
        command = [installer, "add", "--force", "--suppress-license", *for_whom, str(path)]
        done = subprocess.run(
            command,
            capture_output=True,
            text=True,
            timeout=SECONDS,
            check=False,
            env=_surroundings(),
        )
    said = (done.stdout + done.stderr).strip()
    if done.returncode:
        fix = "Close LibreOffice and try again, or add the file of `estimator addin build` by hand."
        raise ProblemsFound([Problem(installer, said, "the add-in to be taken", fix)])
    return said


def _installer() -> str:
    found = shutil.which("unopkg") or shutil.which("unopkg", path=os.pathsep.join(PLACES))
    if found is None:
        fix = "Install LibreOffice, or add the file of `estimator addin build` by hand."
        raise ProblemsFound([Problem("unopkg", "no such program", "LibreOffice's installer", fix)])
    return found


def _surroundings() -> dict[str, str]:
    """LibreOffice brings its own Python, which would take up this one's settings."""
    own = ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV")
    return {name: text for name, text in os.environ.items() if name not in own}
