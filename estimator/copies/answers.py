"""Answers to price requests, read back: bids, and everything that cannot be taken as one.

A line counts when its price, its pack and its lead time are there and are plain numbers. What the
supplier was not to change is compared with what was asked. A supplier's words stay words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from estimator.copies.requests import KINDS, Asked, asked_of, check_of, request_facts
from estimator.documents.figures import whole
from estimator.estimate import Estimate
from estimator.problems import Problem, ProblemsFound
from estimator.project.checks import strange_signs
from estimator.project.records import LONGEST_TEXT
from estimator.quantities.small_models.request import request_model
from estimator.workbook.answered import (
    PACK,
    PRICE,
    WEEKS,
    day_of,
    plain_number,
    text_of,
    whole_number,
)
from estimator.workbook.stored import Cell, Stored, place, read_stored

NUMBERS = {"price": PRICE, "pack": PACK, "lead": WEEKS}


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
            problems.extend(answer.problems)
            bids.extend(_once(answer, bids, problems))
        except ProblemsFound as found:
            problems.extend(found.problems)
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
        ours = request_facts(estimate, kind) if kind else {}
        other = [name for name in ("job", "currency") if ours.get(name) != self.head[name]]
        for name in other:
            self._say(
                f"request, {name}", self.head[name], ours.get(name, "a known kind of goods"),
                "Nothing of it is used. Send a new request, or ask for an unchanged answer.",
            )  # fmt: skip
        return not other

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
            texts = [text_of(self._cell(f"lines_{name}", row)) for name in ASKED_TEXTS]
            quantity = whole_number(self._cell("lines_quantity", row))
            if any(texts):
                key, name, sold_as, counted_in = texts
                yield Asked(key, name, sold_as, quantity, counted_in), row

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
        typed = {name: self._cell(f"lines_{name}", row) for name in NUMBERS}
        if all(each.value is None and not each.formula for each in typed.values()):
            self._say(
                ours.key, "", "price, pack and lead time", "Not offered; others may offer it."
            )
            return
        price, pack, lead = (self._number(name, cell, row) for name, cell in typed.items())
        remark = self._words("lines_remark", row)
        if price is not None and pack is not None and lead is not None:
            self.bids.append(Bid(
                ours.key, ours.name, self.supplier, self.day, price, whole(pack), whole(lead),
                remark, ours.quantity, self.path.name,
            ))  # fmt: skip

    def _number(self, name: str, cell: Cell, row: int) -> Decimal | None:
        """A plain number within reason, or None and a problem."""
        allowed = NUMBERS[name]
        number = plain_number(cell, allowed)
        if number is None:
            shown = cell.formula or ("" if cell.value is None else cell.value)
            kind = "an amount of money, to the cent" if allowed.is_money else "a whole number"
            self._say(
                self._where(f"lines_{name}", row), shown, f"{LABELS[name]}: {kind}",
                "Ask for the number itself; the line is left out.",
            )  # fmt: skip
        return number

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
        words = text_of(cell)
        if cell.formula or strange_signs(words) or words[LONGEST_TEXT:]:
            shown = cell.formula or words
            self._say(self._where(name, row), shown, "plain words", "It is left out.")
            return ""
        return words


HEAD = ("number", "kind", "job", "currency", "check")
ASKED_TEXTS = ("key", "name", "sold_as", "counted_in")
LABELS = {name: request_model()["lines"].definitions[name].label for name in NUMBERS}
NEEDED = (
    *(f"request_{name}" for name in HEAD),
    "answer_supplier", "answer_day", "lines_quantity", "lines_remark",
    *(f"lines_{name}" for name in (*ASKED_TEXTS, *NUMBERS)),
)  # fmt: skip
