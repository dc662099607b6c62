"""Write the workbook of the present format that is kept: `python -m tests.formats.write`.

For when the format's number has moved on, and, until a version of it is released, when its tables
have changed. Those of older formats are never written again.
"""

from __future__ import annotations

from pathlib import Path

from estimator.estimate import estimate
from estimator.formats.migrations import FORMAT
from estimator.project.templates import read_template
from estimator.workbook.write import write_workbook

HERE = Path(__file__).parent
TEMPLATE = "one-wall"


def kept(number: int) -> list[Path]:
    """The workbooks of a format."""
    return sorted(HERE.glob(f"format-{number}-*.xlsx"))


def main() -> None:
    """Write it over the one that was kept of the same format."""
    path = HERE / f"format-{FORMAT}-{TEMPLATE}.xlsx"
    path.unlink(missing_ok=True)
    write_workbook(estimate(read_template(TEMPLATE)), path)
    print(path)


if __name__ == "__main__":
    main()
