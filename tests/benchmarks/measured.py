"""What the benchmarks measured, and the tables of it in DEVELOPERS.md.

A benchmark records its rows in `measured/NAME.csv`. DEVELOPERS.md shows them between a line
`<!-- measured: NAME -->` and the end of the table below it; a test holds the two to each other.

Run: python -m tests.benchmarks.measured      (writes the tables anew)
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

import pandas as pd

FOLDER = Path(__file__).parent / "measured"
PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"
MARKED = re.compile(r"(<!-- measured: (?P<name>[a-z-]+) -->\n\n)(?:(?:\|.*\n)+\n)?")


def record(name: str, columns: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
    """Keep rows of a benchmark. Those of another run with the same first cell go."""
    path = FOLDER / f"{name}.csv"
    fresh = pd.DataFrame(rows, columns=list(columns)).astype(str)
    if path.exists():
        kept = pd.read_csv(path, dtype=str, keep_default_na=False)
        kept = kept[~kept[columns[0]].isin(fresh[columns[0]])]
        fresh = pd.concat([kept, fresh], ignore_index=True)
    fresh.to_csv(path, index=False)


def recorded(name: str) -> pd.DataFrame:
    """The rows of a benchmark, all as words."""
    return pd.read_csv(FOLDER / f"{name}.csv", dtype=str, keep_default_na=False)


def plain(name: str) -> pd.DataFrame:
    """The rows as they were recorded."""
    return recorded(name)


def jobs(words: str) -> pd.DataFrame:
    """The planner's jobs whose names hold the words: sheets (bound) and seconds, in one cell."""
    frame = recorded("planner-jobs")
    frame = frame[frame["job"].str.contains(words)]
    above = frame["above"].map(lambda sheets: f" +{sheets}" if sheets != "0" else "")
    frame["cell"] = frame["sheets"] + " (" + frame["bound"] + ")" + above + ", " + frame["s"] + " s"
    return frame


def published_jobs(_: str) -> pd.DataFrame:
    """An instance in each row, a way of cutting in each column."""
    return _across(jobs("gcut"), r"(?P<job>gcut\d+d) (?P<by>.+)")


def made_jobs(_: str) -> pd.DataFrame:
    """A kind of job in each row, a number of pieces in each column."""
    named = r"(?P<a>\w+) (?P<b>\d+ sizes) (?P<by>\d+ pieces) (?P<c>\d stages)"
    frame = jobs("sizes")
    parts = frame["job"].str.extract(named)
    frame["job"] = parts["a"] + " " + parts["b"] + " " + parts["c"] + " " + parts["by"]
    return _across(frame, r"(?P<job>.+ stages) (?P<by>.+)")


def _across(frame: pd.DataFrame, named: str) -> pd.DataFrame:
    parts = frame["job"].str.extract(named)
    table = frame.assign(job=parts["job"], by=parts["by"]).pivot_table(
        index="job", columns="by", values="cell", aggfunc="first", sort=False
    )
    return table.reset_index()


TABLES: dict[str, Callable[[str], pd.DataFrame]] = {
    "published-jobs": published_jobs,
    "made-jobs": made_jobs,
    "beside-another": plain,
}
"""How each table of DEVELOPERS.md comes from what was recorded."""


def table(name: str) -> str:
    """A table in Markdown."""
    frame = TABLES[name](name)
    lines = [list(frame.columns), ["---"] * len(frame.columns), *frame.to_numpy().tolist()]
    return "".join(f"| {' | '.join(map(str, line))} |\n" for line in lines)


def with_tables(page: str) -> str:
    """The page with every marked table as it was recorded."""
    return MARKED.sub(lambda found: f"{found[1]}{table(found['name'])}\n", page)


def marked(page: str) -> list[str]:
    """The names of the tables that a page shows."""
    return [found["name"] for found in MARKED.finditer(page)]


if __name__ == "__main__":
    PAGE.write_text(with_tables(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
