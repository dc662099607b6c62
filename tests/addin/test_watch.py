"""Watching a workbook: the file is changed in the pauses, as another program would."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from estimator.addin.watch import saves, watch
from estimator.problems import Problem, ProblemsFound
from estimator.workbook.read import read_workbook
from estimator.workbook.write import write_workbook
from tests.workbook.estimates import estimated
from tests.workbook.hostile.packages import typed
from tests.workbook.projects import template


class EndOfTestError(Exception):
    """Raised in place of an interrupt."""


def pauses(*acts: Callable[[], object]) -> Callable[[], object]:
    """A pause that does one act after another, then ends the test."""
    coming: Iterator[Callable[[], object]] = iter(acts)

    def pause() -> None:
        act = next(coming, None)
        if act is None:
            raise EndOfTestError
        act()

    return pause


def nothing() -> None:
    """A pause in which nobody writes."""


def noticed(book: Path, *acts: Callable[[], object]) -> int:
    """How many saves are noticed while the acts go on."""
    found = 0
    try:
        for _ in saves(book, pauses(*acts)):
            found += 1
    except EndOfTestError:
        return found
    raise AssertionError("watching ended by itself")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    path.write_bytes(b"first")
    return path


def test_nothing_is_noticed_while_nobody_saves(book: Path) -> None:
    assert noticed(book, nothing, nothing, nothing) == 0


def test_a_save_is_noticed_once_when_it_has_settled(book: Path) -> None:
    save = lambda: book.write_bytes(b"second, longer")  # noqa: E731
    assert noticed(book, save) == 0
    assert noticed(book, lambda: book.write_bytes(b"third, longer yet"), nothing, nothing) == 1


def test_a_file_written_in_pieces_or_replaced_counts_once(book: Path) -> None:
    other = book.with_name("other")

    def replace() -> None:
        other.write_bytes(b"a whole new file")
        other.replace(book)

    in_pieces = (lambda: book.write_bytes(b"12"), lambda: book.write_bytes(b"12345678"), nothing)
    assert noticed(book, *in_pieces) == 1
    assert noticed(book, book.unlink, nothing, replace, nothing, nothing) == 1


def test_faults_are_said_and_the_next_save_is_waited_for(book: Path) -> None:
    said: list[str] = []
    answers = iter([ProblemsFound([Problem("Counts!B5", "x", "a number", "Type one.")]), None])

    def revise(path: Path) -> Path:
        fault = next(answers)
        if fault:
            raise fault
        return path.with_name("book rev B.xlsx")

    acts = (lambda: book.write_bytes(b"1"), nothing, lambda: book.write_bytes(b"22"), nothing)
    with pytest.raises(EndOfTestError):
        watch(book, revise, said.append, pauses(*acts))
    assert said == [
        "Counts!B5: found “x”; expected a number. Type one.",
        "Nothing was written; save again when it is fixed.",
        f"Wrote {book.with_name('book rev B.xlsx')}.",
    ]


def hears_interrupts() -> None:
    """As a command at a terminal does; what runs behind one is born deaf to them."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@pytest.mark.slow
def test_the_command_writes_a_planned_revision_at_each_save_and_ends_by_an_interrupt(
    tmp_path: Path,
) -> None:
    wall, saved = tmp_path / "Wall.xlsx", tmp_path / "elsewhere"
    write_workbook(estimated(template("one-wall")), wall)
    saved.mkdir()
    for number, rooms in enumerate((2, 3)):
        typed({"counts_rooms": rooms})(wall, saved / f"{number}.xlsx")
    command = [sys.executable, "-m", "estimator", "watch", str(wall)]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env=os.environ | {"PYTHONUNBUFFERED": "1"},
        preexec_fn=hears_interrupts,
    ) as watching:  # fmt: skip
        try:
            assert watching.stdout is not None
            assert watching.stdout.readline().startswith("Watching ")
            time.sleep(2)  # it looks at the file for the first time
            for number, letter in enumerate("BC"):
                shutil.copyfile(saved / f"{number}.xlsx", wall)
                written = tmp_path / f"Wall rev {letter}.xlsx"
                assert watching.stdout.readline() == f"Wrote {written}.\n"
                assert read_workbook(written).project.counts[0].rooms == number + 2
            watching.send_signal(signal.SIGINT)
            assert watching.wait(30) == 0
        finally:
            watching.kill()
    assert sorted(each.name for each in tmp_path.glob("*.xlsx")) == [
        "Wall rev B.xlsx", "Wall rev C.xlsx", "Wall.xlsx",
    ]  # fmt: skip
    assert not list(tmp_path.glob(".*")), "nothing half written is left"
