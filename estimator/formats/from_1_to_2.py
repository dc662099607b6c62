"""From format 1, the workbooks of the first version, to format 2.

Their cut plans do not say what they were planned for. Those columns stay blank, and the check of
the plan fails until it is made again: nobody can know whether it still fits.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from estimator.formats.steps import Migration, in_each_row

RENAMED = {
    ("checks", "mend"): "fix",
    ("checks", "looking"): "reviewing",
    ("findings", "rows_reckoned"): "rows_calculated",
    ("findings", "sizes_current"): "plan_fits",
    ("summary", "looking"): "reviewing",
    ("state", "looking"): "reviewing",
    ("parts", "resized"): "changed",
    ("runs", "resized"): "changed",
}
FIGURES = {"looking": "reviewing"}
"""Rows of the panel of figures, by their keys."""


def _figure(row: Mapping[str, Any]) -> Mapping[str, Any]:
    key = row.get("key")
    return {**row, "key": FIGURES.get(key, key)} if isinstance(key, str) else row


FROM_1_TO_2 = Migration(
    renamed=RENAMED,
    gone=frozenset(),
    steps=(in_each_row("headline", _figure),),
)
