"""Projects in which every secret is marked: words that stand out, numbers with odd digits."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from estimator.estimate import Estimate
from estimator.project.records import RECORDS, Project, Record
from tests.workbook.random_projects import Row

MARK = "Zqxj"
SECRET_WORDS = {
    "grades": ("name",),
    "operations": ("name",),
    "items": ("supplier", "name"),
    "containers": ("name",),
}
"""Beside every column named source. They are for the office and the shop."""
SECRET_NUMBERS = {
    "grades": ("wage", "burden"),
    "prices": ("price",),
    "containers": ("price",),
    "operations": ("minutes", "setup"),
    "terms": ("overhead", "contingency", "margin", "vehicle_rate", "lodging", "freight_base"),
}


def planted(project: Project) -> Project:
    """The project with every secret marked."""
    return project.model_copy(update={each.table: _marked(project, each) for each in RECORDS})


def _marked(project: Project, record: type[Record]) -> object:
    rows = getattr(project, record.table)
    if isinstance(rows, Record):
        return _with_secrets(rows, 1)
    return tuple(_with_secrets(row, number) for number, row in enumerate(rows, start=1))


def _with_secrets(row: Record, number: int) -> Record:
    words = (*SECRET_WORDS.get(row.table, ()), "source")
    update: Row = {
        name: f"{MARK} {row.table} {name} {number}"
        for name in words
        if name in type(row).model_fields
    }
    for at, name in enumerate(SECRET_NUMBERS.get(row.table, ()), start=1):
        update[name] = getattr(row, name) + Decimal(f"0.0{number % 90 + 10}7{at}31")
    return row.model_copy(update=update)


def words_kept_from(reader: str) -> list[str]:
    """The beginnings of the marks that a reader may not see: everything but what it needs."""
    shown = {
        "purchaser": (),
        "suppliers": ("items name", "containers name"),
        "shop": ("items name",),
        "site": ("items name",),
    }[reader]
    words = [f"{MARK} {table} {name}" for table, names in SECRET_WORDS.items() for name in names]
    sources = [f"{MARK} {each.table} source" for each in RECORDS]
    return [each for each in (*words, *sources) if each.removeprefix(f"{MARK} ") not in shown] + (
        [MARK] if reader == "purchaser" else []
    )


BY_READER = {"purchaser": 3, "suppliers": 5, "shop": 4, "site": 1}
"""Files that each reader gets of the demo, the quote as PDF among them."""


def secret_numbers(estimate: Estimate) -> Iterator[tuple[str, float]]:
    """What was planted, and every cost and share calculated from it, with its name."""
    values = estimate.values
    for table, names in SECRET_NUMBERS.items():
        for name in names:
            yield from ((f"{table}.{name}", float(each)) for each in values[table][name])
    for name in estimate.model["price"].definitions:
        if name not in SHOWN:
            yield f"price.{name}", float(values["price"][name].iloc[0])
    for table in ("types", "materials", "items", "finishes", "operations", "alternates", "grades"):
        for name, each in estimate.model[table].definitions.items():
            if "money" in each.unit and f"{table}.{name}" not in SHOWN:
                yield from ((f"{table}.{name}", float(value)) for value in values[table][name])


SHOWN = (
    "quoted", "sale_tax", "total", "allowances",
    "types.unit_price", "types.line_price", "alternates.difference",
    "target", "rounding",  # the price itself where no step rounds it, and what a step moves
)  # fmt: skip


ALTERNATES_TOLD = ("alternates.amount",)
"""The purchaser is offered them, on paper and in the workbook."""
PRICES_TOLD = ("types.add", "types.deduct", "stages.amount", *ALTERNATES_TOLD)
"""In a quote besides."""


def is_odd(number: float) -> bool:
    """Whether a number has digits enough to be told from a count or a size."""
    digits = f"{round(abs(number), 6):.10g}".replace(".", "").strip("0")
    return abs(number) > 1e-9 and len(digits) >= 5
