"""The commands as a person runs them: words, exit codes, and nothing written when it goes wrong."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import pytest

import estimator
from estimator.cli import app
from estimator.explain import explain
from estimator.quantities import define_model
from estimator.workbook.read import read_workbook
from tests.commands import run

README = Path(__file__).parents[1] / "README.md"


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a workbook started from the one-wall template."""
    folder = tmp_path_factory.mktemp("started")
    result = run("start", "wall.xlsx", "--template", "one-wall", folder=folder)
    assert result.returncode == 0, result.stderr
    return folder


def command_names() -> list[str]:
    return sorted(
        each.name or (each.callback.__name__ if each.callback else "")
        for each in app.registered_commands
    )


def test_a_started_workbook_is_dated_today(started: Path) -> None:
    issued = read_workbook(started / "wall.xlsx").project.project.issued
    assert date.today() - issued <= timedelta(days=1)


@pytest.mark.parametrize("command", ["quote", "check", "revise"])
def test_a_total_beyond_money_is_told(command: str, started: Path) -> None:
    """Each number is within its bounds; together they have more digits than a cell tells."""
    book = openpyxl.load_workbook(started / "wall.xlsx")
    for name in ("terms_distance", "terms_vehicle_rate"):
        (where,) = book.defined_names[name].destinations
        book[where[0]][where[1].replace("$", "")] = 10**12
    book.save(started / "dear.xlsx")
    result = run(command, "dear.xlsx", folder=started)
    assert result.returncode == 2
    assert "Price, Quoted total" in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("name", command_names())
def test_every_command_has_help_and_a_line_in_the_readme(name: str, tmp_path: Path) -> None:
    shown = run(name, "--help", folder=tmp_path)
    assert shown.returncode == 0
    assert len(shown.stdout.split()) > 10
    assert f"`estimator {name}" in README.read_text(encoding="utf-8")


def test_start_says_where_the_workbook_is(started: Path) -> None:
    assert (started / "wall.xlsx").stat().st_size > 10_000


def test_nothing_is_written_over(started: Path) -> None:
    before = (started / "wall.xlsx").read_bytes()
    result = run("start", "wall.xlsx", "--template", "one-wall", folder=started)
    assert result.returncode == 2
    assert "nothing is written over" in result.stderr.casefold()
    assert (started / "wall.xlsx").read_bytes() == before


def test_check_is_fine_for_a_fresh_workbook(started: Path) -> None:
    result = run("check", "wall.xlsx", folder=started)
    assert result.returncode == 0, result.stdout + result.stderr
    assert "OK" in result.stdout


def test_the_quote_and_the_cut_plan_stand_beside_the_workbook(started: Path) -> None:
    assert run("quote", "wall.xlsx", folder=started).returncode == 0
    assert run("cuts", "wall.xlsx", folder=started).returncode == 0
    written = {each.name for each in started.iterdir()}
    assert "wall quote.html" in written
    assert any("cut" in name and name.endswith(".html") for name in written)
    assert any(name.endswith(".csv") for name in written)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("check", "missing.xlsx"), "missing.xlsx"),
        (("quote", "missing.xlsx"), "missing.xlsx"),
        (("start", "no/such/folder/a.xlsx", "-t", "one-wall"), "Make the folder first"),
        (("start", "a.xlsx", "-t", "one-wal"), "one-wall"),
        (("explain", "feet of rial"), "expected the name or label of a quantity"),
    ],
)
def test_faults_become_lines(words: tuple[str, ...], expected: str, tmp_path: Path) -> None:
    result = run(*words, folder=tmp_path)
    assert result.returncode == 2
    assert expected in result.stderr
    assert "Traceback" not in result.stderr + result.stdout
    assert not list(tmp_path.iterdir())


def test_a_file_that_is_no_workbook_is_said_to_be_none(tmp_path: Path) -> None:
    (tmp_path / "note.xlsx").write_text("only words")
    result = run("check", "note.xlsx", folder=tmp_path)
    assert result.returncode == 2
    assert "Traceback" not in result.stderr


def test_explain_gives_definition_unit_and_formula(tmp_path: Path) -> None:
    result = run("explain", "types.unit_price", folder=tmp_path)
    assert result.returncode == 0
    for word in ("Price per room", "money/room", "=ROUND(", "Fed by", "Feeds"):
        assert word in result.stdout


def test_explain_says_where_a_quantity_is_defined() -> None:
    """Every quantity leads to a line that holds its name, every input to its record."""
    model, _ = define_model("in", ("F1",))
    top = Path(estimator.__file__).parents[1]
    looked_at = 0
    for table in model:
        for definition in table.definitions.values():
            (found,) = explain(model, f"{table.name}.{definition.name}")
            place = found.defined_at
            if definition.role == "quantity":
                file, line = place.split(":")
                assert len((top / file).read_text(encoding="utf-8").splitlines()) >= int(line)
                assert file.startswith("estimator/quantities/")
                looked_at += 1
            elif definition.role in ("input", "block"):
                assert place.startswith("estimator/project/records/")
    assert looked_at > 300


def test_the_order_quantity_is_found_at_once() -> None:
    model, _ = define_model("in", ("F1",))
    assert "materials.order" in [each.name for each in explain(model, "order quantity")]


def test_templates_lists_them(tmp_path: Path) -> None:
    result = run("templates", folder=tmp_path)
    assert {"merrowby-lodge", "one-wall", "three-hundred-rooms"} <= set(result.stdout.split())


@pytest.mark.slow
def test_the_first_half_hour_of_the_readme_runs_as_written(tmp_path: Path) -> None:
    blocks = re.findall(r"```sh\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    lines = [line.strip() for block in blocks for line in block.splitlines()]
    walked = [line for line in lines if line.startswith(".venv/bin/estimator ")]
    assert len(walked) >= 5
    for line in walked:
        words = re.findall(r'"[^"]*"|\S+', line)[1:]
        result = run(*(word.strip('"') for word in words), folder=tmp_path)
        assert result.returncode == 0, (line, result.stderr)
