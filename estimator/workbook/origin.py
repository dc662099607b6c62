"""Which version of the tool a workbook is of, and what it was made of then.

The number of its format stands on the hidden sheet, where a name points to it, and among the
document's properties, for a person may delete the sheet. Workbooks of format 1 have no number.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from estimator import __version__
from estimator.formats.description import Description, described, read_description, shipped
from estimator.formats.migrations import FORMAT
from estimator.problems import Problem, ProblemsFound
from estimator.quantities import define_model
from estimator.workbook.stored import Stored

FORMAT_NAME, VERSION_NAME, DESCRIPTION_NAME = "book_format", "book_version", "book_description"
PROPERTIES = {FORMAT_NAME: "estimator format", VERSION_NAME: "estimator version"}
"""By what a document's properties call them."""
VERSION = re.compile(r"[0-9]+(\.[0-9A-Za-z]+)*")
UNDO = "Undo what removed its hidden sheet, or go back to the revision before."


@dataclass(frozen=True)
class Origin:
    """Where a workbook comes from. number: of its format. version: of the tool, "" if unknown."""

    number: int
    version: str
    description: Description

    @property
    def is_older(self) -> bool:
        """Whether the workbook is of a format before the present one."""
        return self.number < FORMAT


def origin_of(stored: Stored) -> Origin:
    """Of a workbook that was opened; raises ProblemsFound if only a newer version can read it."""
    number, version = _number(stored), _version(stored)
    if number > FORMAT:
        raise ProblemsFound([_too_new(stored.archive.name, number, version)])
    description = shipped(number) if number == 1 else _own_description(stored, number)
    return Origin(number, version, _spelt_out(description, stored))


def _too_new(name: str, number: int, version: str) -> Problem:
    found = f"a workbook of format {number}, written by version {version or 'unknown'}"
    expected = f"format {FORMAT} at most, which version {__version__} writes"
    wanted = f"version {version} of the estimator, or a later one" if version else "a later version"
    return Problem(name, found, expected, f"Install {wanted}; it reads older workbooks too.")


def _number(stored: Stored) -> int:
    for found in _said(stored, FORMAT_NAME):
        if isinstance(found, int | float) and not isinstance(found, bool) and found >= 1:
            return int(found)
    return 1


def _version(stored: Stored) -> str:
    for found in _said(stored, VERSION_NAME):
        if isinstance(found, str) and VERSION.fullmatch(found) and len(found) < 20:
            return found
    return ""


def _said(stored: Stored, name: str) -> Iterator[Any]:
    """What stands in the cell of that name, then what the property says."""
    area = stored.areas.get(name)
    if area is not None:
        yield stored.cell(area.sheet, area.top, area.left).value
    yield stored.properties.get(PROPERTIES[name])


def _own_description(stored: Stored, number: int) -> Description:
    """The one that the workbook carries; of the present format also as it would be."""
    area = stored.areas.get(DESCRIPTION_NAME)
    if area is not None:
        pieces = (stored.cell(area.sheet, row, area.left).value for row in area.rows)
        try:
            return read_description("".join(map(str, pieces)))
        except (ValueError, RecursionError):
            pass
    if number == FORMAT:
        return described(define_model("in", ("F1",))[0], {})
    found = "no description of its tables"
    expected = f"that of a workbook of format {number}"
    raise ProblemsFound([Problem(stored.archive.name, found, expected, UNDO)])


def _spelt_out(description: Description, stored: Stored) -> Description:
    """With the workbook's own currency and floors in the tool's words."""
    words = {
        sheet: tuple(each for every in said for each in _spellings(every, stored))
        for sheet, said in description.words.items()
    }
    return replace(description, words=words)


def _spellings(words: str, stored: Stored) -> list[str]:
    for mark, name in _MARKS.items():
        if mark in words:
            area = stored.areas.get(name)
            cells = (
                []
                if area is None
                else [
                    stored.cell(area.sheet, row, column).value
                    for row in area.rows
                    for column in area.columns
                ]
            )
            return [words.replace(mark, str(each)) for each in cells if each is not None]
    return [words]


_MARKS: Mapping[str, str] = {"{axis}": "counts_axis", "{currency}": "project_currency"}
"""What differs between workbooks in the tool's words, by the name of the cells that hold it."""
