"""How long a workbook takes: `python -m tests.benchmarks.workbook_table` prints two ratios.

The demo with its planning left out, against writing the same cells with the bare file writer
(at most 4 times); and 10,000 rooms against 10 rooms of the same types (at most 1.3 times). Each
time is the best of several, the two sides taken in turn, so that a busy machine troubles both.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import openpyxl
import xlsxwriter
from openpyxl.cell.cell import Cell

from estimator.project.records import Project
from estimator.project.templates import read_template
from estimator.workbook.write import write_workbook
from tests.workbook.estimates import estimated

DEMO = "merrowby-lodge"
ROUNDS = 7
MOST_TIMES_BARE, MOST_TIMES_FEW_ROOMS = 4.0, 1.3
FEW, MANY = 10, 10_000


def build(project: Project, path: Path) -> None:
    """Everything from the project to the file, under the stand-in plan."""
    path.unlink(missing_ok=True)
    write_workbook(estimated(project), path)


def with_rooms(project: Project, rooms: int) -> Project:
    """The project with so many rooms in all, shared out evenly over its types and floors."""
    each, over = divmod(rooms, len(project.counts))
    counts = tuple(
        row.model_copy(update={"rooms": each + (at < over)})
        for at, row in enumerate(project.counts)
    )
    assert sum(row.rooms for row in counts) == rooms
    return project.model_copy(update={"counts": counts})


# --- The same cells with the bare file writer -----------------------------------------------------


@dataclass(frozen=True)
class Written:
    """A cell to write: where, what, the value a formula caches, and the number of its look."""

    row: int
    column: int
    content: Any
    cached: Any
    look: int


@dataclass(frozen=True)
class Copy:
    """All cells of a workbook by sheet, and its looks."""

    sheets: dict[str, Sequence[Written]]
    looks: Sequence[dict[str, Any]]

    @property
    def cells(self) -> int:
        """How many there are."""
        return sum(len(cells) for cells in self.sheets.values())

    def contents(self) -> dict[str, list[tuple[Any, ...]]]:
        """The cells without their looks, of which the copy keeps only what takes time."""
        return {
            title: [(cell.row, cell.column, cell.content, cell.cached) for cell in cells]
            for title, cells in self.sheets.items()
        }


def collect(path: Path) -> Copy:
    """Every cell of a workbook that holds something or has a look of its own."""
    live, cached = (openpyxl.load_workbook(path, data_only=only) for only in (False, True))
    numbers: dict[int, int] = {}
    looks: list[dict[str, Any]] = []
    sheets: dict[str, list[Written]] = {sheet.title: [] for sheet in live.worksheets}
    for sheet in live.worksheets:
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.has_style):
            assert isinstance(cell, Cell)
            if cell.style_id not in numbers:
                numbers[cell.style_id] = len(looks)
                looks.append(look_of(cell))
            shown = cached[sheet.title][cell.coordinate].value if cell.data_type == "f" else None
            where = (cell.row - 1, cell.column - 1)
            sheets[sheet.title].append(Written(*where, cell.value, shown, numbers[cell.style_id]))
    return Copy(dict(sheets), looks)


def look_of(cell: Cell) -> dict[str, Any]:
    """The cell's format, as the file writer names its properties."""
    look: dict[str, Any] = {
        "font_name": cell.font.name,
        "font_size": cell.font.size,
        "bold": bool(cell.font.bold),
        "num_format": cell.number_format,
        "text_wrap": bool(cell.alignment.wrap_text),
        "locked": bool(cell.protection.locked),
        "border": 1 if cell.border.left.style else 0,
    }
    if cell.fill.fill_type == "solid":
        look["bg_color"] = f"#{cell.fill.start_color.rgb[2:]}"
    return look


def write_bare(copy: Copy, path: Path) -> None:
    """The cells, with their looks and cached values, and nothing else."""
    with xlsxwriter.Workbook(path) as book:
        looks = [book.add_format(look) for look in copy.looks]
        for title, cells in copy.sheets.items():
            sheet = book.add_worksheet(title)
            for cell in cells:
                write_cell(sheet, cell, looks[cell.look])


def write_cell(sheet: Any, cell: Written, look: Any) -> None:
    """One cell by the method that its kind of content has."""
    match cell.content:
        case None:
            sheet.write_blank(cell.row, cell.column, None, look)
        case str() as words if words.startswith("="):
            shown = "" if cell.cached is None else cell.cached  # an empty text is read as None
            sheet.write_formula(cell.row, cell.column, words, look, shown)
        case str() as words:
            sheet.write_string(cell.row, cell.column, words, look)
        case number:
            sheet.write_number(cell.row, cell.column, float(number), look)


# --- Ratios ---------------------------------------------------------------------------------------


def ratio(
    slow: Callable[[], object], fast: Callable[[], object], rounds: int = ROUNDS
) -> tuple[float, float]:
    """The best time of each, in seconds."""
    times = [(seconds(slow), seconds(fast)) for _ in range(rounds)]
    return min(first for first, _ in times), min(second for _, second in times)


def seconds(call: Callable[[], object]) -> float:
    """How long it takes once."""
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def against_bare(folder: Path, rounds: int = ROUNDS) -> tuple[float, float]:
    """The demo's workbook, and its cells alone."""
    project, path = read_template(DEMO), folder / "demo.xlsx"
    build(project, path)
    copy = collect(path)
    return ratio(
        lambda: build(project, path), lambda: write_bare(copy, folder / "bare.xlsx"), rounds
    )


def many_against_few(folder: Path, rounds: int = ROUNDS) -> tuple[float, float]:
    """The demo's workbook with many rooms, and with few."""
    project = read_template(DEMO)
    few, many = (with_rooms(project, rooms) for rooms in (FEW, MANY))
    return ratio(
        lambda: build(many, folder / "many.xlsx"),
        lambda: build(few, folder / "few.xlsx"),
        rounds,
    )


def main() -> None:
    """Print both ratios with their targets."""
    with TemporaryDirectory() as folder:
        for title, measure, most in (
            ("the demo, times its bare cells", against_bare, MOST_TIMES_BARE),
            (f"{MANY:,} rooms, times {FEW} rooms", many_against_few, MOST_TIMES_FEW_ROOMS),
        ):
            first, second = measure(Path(folder))
            print(
                f"{title}: {first * 1000:.0f} ms / {second * 1000:.0f} ms = "
                f"{first / second:.2f} (target: at most {most:g})"
            )


if __name__ == "__main__":
    main()
