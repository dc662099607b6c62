"""The number of the present format, and the way to it from each format before.

A format is a shape of workbooks: which tables and columns they have, and what these hold. Its
number moves on when a released version would no longer read the workbooks of the one before it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import reduce

from estimator.formats.description import Description
from estimator.formats.from_1_to_2 import FROM_1_TO_2
from estimator.formats.steps import Migration, Tables

FORMAT = 2
MIGRATIONS: Mapping[int, Migration] = {1: FROM_1_TO_2}
"""By the number of the format that each starts from."""


def _way(number: int) -> list[Migration]:
    return [MIGRATIONS[each] for each in range(number, FORMAT)]


def rows_of_today(tables: Tables, number: int) -> Tables:
    """The rows of a workbook of that format as the present format has them."""
    return reduce(lambda rows, each: each.rows(rows), _way(number), tables)


def description_of_today(description: Description, number: int) -> Description:
    """A workbook of that format with its columns under their present names."""
    return reduce(lambda found, each: each.description(found), _way(number), description)


def name_of_today(name: str, number: int) -> str:
    """A defined name of a workbook of that format under its present name."""
    return reduce(lambda found, each: each.name(found), _way(number), name)
