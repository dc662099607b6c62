"""The demo, started cold: planned and written, in seconds.

Run: python -m tests.benchmarks.cold_demo [times]
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time


def main() -> None:
    print("| run | s | processor s |")
    print("|---|---|---|")
    for run in range(int(sys.argv[1]) if len(sys.argv) > 1 else 3):
        with tempfile.TemporaryDirectory() as folder:
            wall, processor = time.perf_counter(), _children()
            command = [sys.executable, "-m", "estimator", "demo"]
            subprocess.run(command, cwd=folder, check=True, capture_output=True)
            wall, processor = time.perf_counter() - wall, _children() - processor
        print(f"| {run + 1} | {wall:.1f} | {processor:.1f} |", flush=True)


def _children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    main()
