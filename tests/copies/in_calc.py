"""A person at LibreOffice Calc: open a workbook, type into cells, read others, save it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.engines import calc
from tests.engines.cells import Place, Value

SCRIPT = Path(__file__).with_name("typing_script.py")
SECONDS = 240
Typing = Mapping[Place, float | str]


def typed_in_calc(
    path: Path, turns: Sequence[Typing], read: Sequence[Place], saved: Path | None = None
) -> list[list[Value]]:
    """What Calc shows in the cells `read` after each turn of typing; the file saved at the end.

    Each turn types on top of the turns before. Text goes in as a person types it, so that Calc
    takes =1+1 for a formula.
    """
    answer: list[list[Value]] = calc.do(
        SCRIPT,
        SECONDS,
        book=str(path),
        turns=[[[*place, value] for place, value in turn.items()] for turn in turns],
        read=[list(place) for place in read],
        saved=str(saved) if saved else "",
    )
    return answer
