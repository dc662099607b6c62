"""What the short commands cost, in processor seconds, here and in another checkout beside it.

Run: python -m tests.benchmarks.short_commands [other checkout] [times]

The two take turns, and the best of all turns counts, so that what else the machine does is left
out. The workbook is of the template one-wall, written by each checkout for itself.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parents[2]
COMMANDS = (("--version",), ("explain", "price.total"), ("check", "wall.xlsx"),
            ("quote", "wall.xlsx"))  # fmt: skip


def main() -> None:
    other = Path(sys.argv[1]).resolve() if len(sys.argv) > 1 else None
    times = int(sys.argv[2]) if len(sys.argv) > 2 else 10
    checkouts = [each for each in (other, HERE) if each]
    with tempfile.TemporaryDirectory() as top:
        folders = [Path(top) / str(number) for number in range(len(checkouts))]
        for folder, checkout in zip(folders, checkouts, strict=True):
            folder.mkdir()
            _run(checkout, folder, "start", "wall.xlsx", "--template", "one-wall")
        print("| command | there | here | share |" if other else "| command | here |")
        print("|---|---|---|---|" if other else "|---|---|")
        for command in COMMANDS:
            turns = [
                [_run(*each, *command) for each in zip(checkouts, folders, strict=True)]
                for _ in range(times)
            ]
            best = [min(column) for column in zip(*turns, strict=True)]
            figures = [f"{each:.3f}" for each in best]
            figures += [f"{best[1] / best[0]:.2f}"] if other else []
            print(f"| {command[0]} | {' | '.join(figures)} |", flush=True)


def _run(checkout: Path, folder: Path, *words: str) -> float:
    """Processor seconds of one run; its documents are taken away again."""
    before = _children()
    command = [sys.executable, "-m", "estimator", *words]
    environment = {**os.environ, "PYTHONPATH": str(checkout)}
    subprocess.run(command, cwd=folder, env=environment, check=True, capture_output=True)
    for document in folder.glob("*.html"):
        document.unlink()
    return _children() - before


def _children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    main()
