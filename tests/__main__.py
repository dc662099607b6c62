"""Run every check of the project: `python -m tests`, from the top of the checkout.

Programs that the tests drive are installed first where that is possible (Debian, as root);
elsewhere a missing one ends the run at once, saying what to install. All checks then run to the
end; the exit code is the worst of theirs.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

TOP = Path(__file__).parents[1]

# Debian package, and the command that shows it is there (None: only the package list knows).
NEEDED = {
    "libreoffice-calc": "soffice",
    "libreoffice-script-provider-python": None,
    "python3-uno": None,
    "chromium": "chromium",
    "poppler-utils": "pdftoppm",
    "fonts-dejavu": None,
    "fonts-liberation": None,
    "imagemagick": "convert",
    "xdotool": "xdotool",
    "xvfb": "Xvfb",
}
IN_THIS_ORDER = "--no-loadscope-reorder"  # slow files first: tests/conftest.py
CHECKS = (
    ("ruff", "format", "--check", "."),
    ("ruff", "check", "."),
    ("mypy",),
    ("pytest", "--numprocesses=auto", "--maxprocesses=4", "--dist=loadfile", IN_THIS_ORDER),
)


def main() -> int:
    """Install or ask for what is missing, run the checks, print and return the worst result."""
    missing = [package for package, command in NEEDED.items() if not _is_there(package, command)]
    if missing and not _install(missing):
        print(
            "The tests need programs that are not installed here. On Debian or Ubuntu, as root:\n"
            f"  apt-get install --no-install-recommends {' '.join(missing)}",
            file=sys.stderr,
        )
        return 1
    results = [(check, _run(sys.executable, "-m", *check)) for check in CHECKS]
    for check, code in results:
        print(f"{' '.join(check)}: {'fine' if code == 0 else f'FAILED ({code})'}")
    return max(abs(code) for _, code in results)


def _is_there(package: str, command: str | None) -> bool:
    if command is not None and shutil.which(command):
        return True
    if shutil.which("dpkg-query") is None:
        return command is None  # no package list to ask: the commands alone decide
    asked = ["dpkg-query", "--show", "--showformat=${db:Status-Status}", package]
    answer = subprocess.run(asked, capture_output=True, text=True, check=False)
    return answer.stdout == "installed"


def _install(packages: list[str]) -> bool:
    if shutil.which("apt-get") is None or os.geteuid() != 0:
        return False
    os.environ["DEBIAN_FRONTEND"] = "noninteractive"
    _run("apt-get", "update", "--quiet")
    install = ("apt-get", "install", "--quiet", "--yes", "--no-install-recommends")
    return _run(*install, *packages) == 0 and all(_is_there(p, NEEDED[p]) for p in packages)


def _run(*command: str) -> int:
    print(f"\n$ {' '.join(command)}", flush=True)
    return subprocess.run(command, cwd=TOP, stdin=subprocess.DEVNULL, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
