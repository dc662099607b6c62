"""Answers to price requests, read back: bids, and everything that cannot be taken as one.

A line counts when its price, its pack and its lead time are there and are plain numbers. What the
supplier was not to change is compared with what was asked. A supplier's words stay words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.copies.requests import KINDS, Asked, asked_of, check_of, request_facts
from estimator.estimate import Estimate
from estimator.problems import Problem, ProblemsFound
from estimator.project.checks import strange_signs
from estimator.project.records import LONGEST_TEXT
from estimator.quantities.small_models.request import request_model
from estimator.workbook.stored import Cell, Stored, place, read_stored

MOST = {"price": 10**9, "pack": 10**7, "lead": 520}


@dataclass(frozen=True)
class Bid:
    """A complete line of an answer. price: of a pack, to the cent as offered."""

    item: str
    name: str
    supplier: str
    day: str
    price: Decimal
    pack: int
    lead: int
    remark: str
    quantity: int
    file: str


@dataclass(frozen=True)
class Received:
    """What came back: bids that can be compared, and what was wrong or missing."""

    bids: tuple[Bid, ...]
    problems: tuple[Problem, ...]


def receive(estimate: Estimate, paths: Sequence[Path]) -> Received:
    """Read filled requests against what the workbook asks for now. Nothing is raised."""
    bids: list[Bid] = []
    problems: list[Problem] = []
    asked = asked_of(estimate)
    for path in paths:
        try:
            answer = Answer(path, read_stored(path), estimate, asked)
            problems += answer.problems
            bids += _once(answer, bids, problems)
        except ProblemsFound as found:
            problems += found.problems
    return Received(tuple(bids), tuple(problems))


def _once(answer: Answer, before: Sequence[Bid], problems: list[Problem]) -> Iterator[Bid]:
    """The bids of an answer, less those that the same supplier has already made."""
    known = {(each.item, each.supplier.casefold()) for each in before}
    for bid in answer.bids:
        if (bid.item, bid.supplier.casefold()) in known:
            where = f"{answer.path.name}, {bid.item}"
            problems.append(Problem(
                where, bid.supplier, "one bid of a supplier for an item",
                "The first one read is kept; leave out the file that does not count.",
            ))  # fmt: skip
        else:
            yield bid


class Answer:
    """One file: its head is checked first, then its lines; problems gather on the way."""

    def __init__(
        self, path: Path, stored: Stored, estimate: Estimate, asked: Mapping[str, list[Asked]]
    ) -> None:
        self.path, self.stored = path, stored
        self.problems: list[Problem] = []
        self.bids: list[Bid] = []
        self._refuse_stranger()
        self.head = {name: self._words_of(f"request_{name}") for name in HEAD}
        kinds = {name: kind for kind, name in KINDS.items()}
        kind = kinds.get(self.head["kind"], "")
        self.lines = list(self._lines())
        self._check_unchanged()
        self.supplier = self._words_of("answer_supplier")
        self.day = day_of(self._words_of("answer_day"))
        if self._is_for(estimate, kind) and self._has_name():
            self._read_lines({each.key: each for each in asked.get(kind, [])})

    def _refuse_stranger(self) -> None:
        missing = [name for name in NEEDED if name not in self.stored.areas]
        if missing:
            raise ProblemsFound([Problem(
                self.path.name, f"no {', '.join(missing[:3])}", "a price request of this tool",
                "Ask the supplier for the workbook that was sent, filled in.",
            )])  # fmt: skip

    def _say(self, where: str, value: object, expected: str, fix: str) -> None:
        self.problems.append(Problem(f"{self.path.name}, {where}", str(value), expected, fix))

    # --- The head ---

    def _is_for(self, estimate: Estimate, kind: str) -> bool:
        """Whether it answers a request of this job; its currency may not be another."""
        before = len(self.problems)
        ours = request_facts(estimate, kind) if kind else {}
        for name in ("job", "currency"):
            if ours.get(name) != self.head[name]:
                self._say(
                    f"request, {name}", self.head[name], ours.get(name, "a known kind of goods"),
                    "Nothing of it is used. Send a new request, or ask for an unchanged answer.",
                )  # fmt: skip
        return len(self.problems) == before

    def _has_name(self) -> bool:
        if not self.supplier:
            self._say("Your firm", "", "the supplier's name", "Fill it in; nothing of it is used.")
        return bool(self.supplier)

    def _check_unchanged(self) -> None:
        """Whether what was asked still stands as it was sent."""
        as_read = [asked for asked, _ in self.lines]
        if check_of(self.head, as_read) != self.head["check"]:
            self._say(
                "what was asked", "changed since it was sent", "item, unit and quantity as sent",
                "Lines that differ from the workbook are listed; ask for an unchanged answer.",
            )  # fmt: skip

    # --- The lines ---

    def _lines(self) -> Iterator[tuple[Asked, int]]:
        """The lines as they stand in the file, with their rows."""
        for row in self.stored.areas["lines_key"].rows:
            texts = [self._text(self._cell(f"lines_{name}", row)) for name in ASKED_TEXTS]
            quantity = self._cell("lines_quantity", row).value
            whole = int(quantity) if isinstance(quantity, int | float) else 0
            if any(texts):
                key, name, sold_as, counted_in = texts
                yield Asked(key, name, sold_as, whole, counted_in), row

    def _read_lines(self, asked: Mapping[str, Asked]) -> None:
        answered = set()
        for line, row in self.lines:
            ours = asked.get(line.key)
            if ours is None:
                self._say(line.key, line.name, "an item that was asked for", "It is left out.")
                continue
            answered.add(ours.key)
            if self._same_goods(line, ours):
                self._read_line(ours, row)
        for each in asked.values():
            if each.key not in answered:
                self._say(each.key, "", f"a line for {each.name}", "The line is gone: ask for it.")

    def _same_goods(self, line: Asked, ours: Asked) -> bool:
        """Whether a price of the line is a price of what is needed."""
        if (line.counted_in, line.name, line.sold_as) != (ours.counted_in, ours.name, ours.sold_as):
            self._say(
                line.key, f"in {line.counted_in}: {line.sold_as}, {line.name}",
                f"in {ours.counted_in}: {ours.sold_as}, {ours.name}",
                "The line is left out: its price may be for something else.",
            )  # fmt: skip
            return False
        if line.quantity != ours.quantity:
            self._say(
                line.key, f"{line.quantity:,} {line.counted_in}", f"{ours.quantity:,}",
                "The bid is kept and priced for what is needed now; does it hold for that?",
            )  # fmt: skip
        return True

    def _read_line(self, ours: Asked, row: int) -> None:
        typed = {name: self._cell(f"lines_{name}", row) for name in MOST}
        if all(each.value is None and not each.formula for each in typed.values()):
            self._say(
                ours.key, "", "price, pack and lead time", "Not offered; others may offer it."
            )
            return
        numbers = {name: self._number(name, cell, row) for name, cell in typed.items()}
        remark = self._words("lines_remark", row)
        if None not in numbers.values():
            self.bids.append(Bid(
                ours.key, ours.name, self.supplier, self.day, numbers["price"] or Decimal(0),
                int(numbers["pack"] or 0), int(numbers["lead"] or 0), remark, ours.quantity,
                self.path.name,
            ))  # fmt: skip

    def _number(self, name: str, cell: Cell, row: int) -> Decimal | None:
        """A plain number within reason, or None and a problem."""
        value, least = cell.value, 0 if name == "lead" else 1
        where, label = self._where(f"lines_{name}", row), LABELS[name]
        good = isinstance(value, int | float) and not isinstance(value, bool) and not cell.formula
        number = Decimal(repr(value)) if good else Decimal(-1)
        in_reach = number > 0 if name == "price" else number >= least
        whole = number == number.to_integral_value() if number.is_finite() else False
        cents = number == round(number, 2) if number.is_finite() else False
        if good and in_reach and number <= MOST[name] and (cents if name == "price" else whole):
            return number
        shown = cell.formula or ("" if value is None else value)
        kind = "an amount of money, to the cent" if name == "price" else "a whole number"
        self._say(
            where, shown, f"{label}: {kind}", "Ask for the number itself; the line is left out."
        )
        return None

    # --- Cells ---

    def _cell(self, name: str, row: int) -> Cell:
        area = self.stored.areas[name]
        return self.stored.cell(area.sheet, row, area.left)

    def _where(self, name: str, row: int) -> str:
        area = self.stored.areas[name]
        return place(area.sheet, row, area.left)

    def _words_of(self, name: str) -> str:
        return self._words(name, self.stored.areas[name].top)

    def _words(self, name: str, row: int) -> str:
        """A supplier's words as words; a formula, signs that do not print or a flood is none."""
        cell = self._cell(name, row)
        words = self._text(cell)
        if cell.formula or strange_signs(words) or len(words) > LONGEST_TEXT:
            shown = cell.formula or words
            self._say(self._where(name, row), shown, "plain words", "It is left out.")
            return ""
        return words

    @staticmethod
    def _text(cell: Cell) -> str:
        value: Any = cell.value
        if isinstance(value, datetime):  # a day typed as one
            value = value.date()
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        return "" if value is None else str(value).strip()


def day_of(words: str) -> str:
    """A day that a program turned into its day number, as 2026-11-25; else the words."""
    if not (words.isascii() and words.isdigit() and 20_000 <= int(words) <= 80_000):
        return words
    return (date(1899, 12, 30) + timedelta(days=int(words))).isoformat()


HEAD = ("number", "kind", "job", "currency", "check")
ASKED_TEXTS = ("key", "name", "sold_as", "counted_in")
LABELS = {name: request_model()["lines"].definitions[name].label for name in MOST}
NEEDED = (
    *(f"request_{name}" for name in HEAD),
    "answer_supplier", "answer_day", "lines_quantity", "lines_remark",
    *(f"lines_{name}" for name in (*ASKED_TEXTS, *MOST)),
)  # fmt: skip
