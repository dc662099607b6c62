"""What a person added to a workbook beyond its inputs, by name, so that none of it is lost unsaid."""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from openpyxl import load_workbook
from openpyxl.workbook.workbook import Workbook

from estimator.workbook.write import SHEETS


@dataclass(frozen=True)
class LeftBehind:
    """A thing of the old workbook that the new one does not have.

    place: the sheet, or sheet and cell. what: what it is, in words.
    """

    place: str
    what: str

    def __str__(self) -> str:
        return f"{self.place}: {self.what}"


OURS = frozenset(name for name, *_ in SHEETS)
