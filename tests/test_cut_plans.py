"""Planning a whole project: progress that only goes on, and a stop that keeps a right plan."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from estimator.estimate import estimate
from estimator.project.templates import read_template
from estimator.workbook.read import read_workbook
from tests.planner.checking import plan_faults


def test_progress_names_each_material_and_never_goes_back() -> None:
    heard: list[tuple[str, float]] = []
    made = estimate(read_template("one-wall"), lambda words, done: heard.append((words, done)))
    shares = [done for _, done in heard]
    assert shares == sorted(shares)
    assert 0 <= shares[0] < shares[-1] <= 1
    for cut in made.plans:
        assert any(words.startswith(cut.material.name) for words, _ in heard)


def test_a_stop_at_once_keeps_plans_that_can_be_cut_and_says_so() -> None:
    project = read_template("one-wall")
    made = estimate(project, stop=lambda: True)
    assert all(cut.plan.stopped_early for cut in made.plans if cut.material.form == "sheet")
    for cut in made.plans:
        if cut.material.form == "sheet":
            terms = project.terms
            assert not plan_faults(cut.plan, cut.parts, terms.kerf, terms.trim, 3)
            assert cut.plan.bound <= cut.plan.sheets


@pytest.mark.slow
def test_ctrl_c_while_the_demo_is_planned_writes_the_best_plan_so_far(tmp_path: Path) -> None:
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "estimator", "start", "lodge.xlsx", "-t", "merrowby-lodge"]
    with subprocess.Popen(command, cwd=tmp_path, stderr=theirs, stdout=subprocess.PIPE) as process:
        os.close(theirs)
        said = _said_until(ours, "pricing patterns")
        process.send_signal(signal.SIGINT)
        said += _said_until(ours, None)
        assert process.wait(timeout=120) == 0
    assert "Stopped early: the best cut plan so far is kept" in " ".join(said.split())
    assert read_workbook(tmp_path / "lodge.xlsx").project.project.name


def _said_until(terminal: int, words: str | None) -> str:
    """What a program says on a terminal until these words, or until it ends."""
    said = ""
    while words is None or words not in said:
        try:
            heard = os.read(terminal, 4096)
        except OSError:  # Linux: the other side was closed
            break
        if not heard:
            break
        said += heard.decode(errors="replace")
    return said
