"""Price requests: what is asked of suppliers, a workbook for each kind of goods.

A request says what is needed, how many and when. No price, no other supplier and nothing of the
offer to the client is in it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import astuple, dataclass
from hashlib import sha256
from typing import Any

from estimator.documents.figures import figures_of, only, rows, whole
from estimator.estimate import Estimate
from estimator.project.lengths import format_sides
from estimator.project.records import PALLET
from estimator.quantities.days import needed_by
from estimator.quantities.small_models.request import request_model
from estimator.workbook.small_book import KEY, Cover, book_bytes, frame

KINDS = {
    "sheets": "Sheets and lengths",
    "fasteners": "Fasteners, hardware and supplies",
    "finish": "Finish",
    "bought": "Bought items",
    "freight": "Freight",
}


@dataclass(frozen=True)
class Asked:
    """One line of a request. quantity: whole, in what `counted_in` says."""

    key: str
    name: str
    sold_as: str
    quantity: int
    counted_in: str


def asked_of(estimate: Estimate) -> dict[str, list[Asked]]:
    """The lines by kind, for the counts as they stand; without kinds that are not needed."""
    found = {
        kind: [each for each in lines(estimate) if each.quantity] for kind, lines in LINES.items()
    }
    return {kind: each for kind, each in found.items() if each}


def request_book(estimate: Estimate, kind: str, lines: list[Asked]) -> bytes:
    """One request as a file's bytes."""
    facts = estimate.project.project
    model = request_model()
    request = request_facts(estimate, kind)
    row = {**request, "check": check_of(request, lines)}
    asked = [{name: getattr(each, name) for name in Asked.__annotations__} for each in lines]
    tables: Mapping[str, list[dict[str, Any]]] = {
        "request": [row], "answer": [{}], "lines": asked, "sums": [{}],
    }  # fmt: skip
    typed = {name: frame(model, name, content) for name, content in tables.items()}
    cover = Cover(
        f"Price request: {KINDS[kind]}",
        "Please answer in this workbook and send it back.",
        (("Request", request["number"]), ("From", request["shop"]), ("Job", request["job"]),
         ("Delivery to", request["place"]), ("Needed by", request["needed_by"]),
         ("Currency", request["currency"])),
        ("Request: fill in your firm and the date of your offer.",
         "Items: for each item the price of a pack, how many are in a pack, and the lead time in "
         "weeks. Leave an item blank that you do not offer.",
         "Prices are without tax, delivered to the place named. Please change nothing else: what "
         "is wanted otherwise goes into the remark."),
        KEY,
    )  # fmt: skip
    return book_bytes(model, typed, facts, cover)


def request_facts(estimate: Estimate, kind: str) -> dict[str, str]:
    """The head of a request; its number names revision and kind."""
    facts = estimate.project.project
    return {
        "number": f"{facts.revision}-{kind}",
        "kind": KINDS[kind],
        "shop": facts.prepared_by,
        "job": facts.name,
        "place": facts.place,
        "needed_by": figures_of(facts).day(needed_by(facts)),
        "currency": facts.currency,
    }


def check_of(request: Mapping[str, str], lines: list[Asked]) -> str:
    """A short digest of what was asked, by which a change to it is noticed."""
    head = [request[name] for name in ("number", "kind", "currency")]
    return sha256(repr((head, [astuple(each) for each in lines])).encode()).hexdigest()[:16]


# --- What is asked for, kind by kind -------------------------------------------------------------


def _sheets(estimate: Estimate) -> Iterator[Asked]:
    unit = estimate.project.project.unit
    for row, each in zip(
        rows(estimate.values["materials"]), estimate.project.materials, strict=True
    ):
        if not each.stands_in_for:
            sold_as = f"{each.form} of {format_sides(each.length, each.width, unit)} {unit}"
            yield Asked(each.key, each.name, sold_as, whole(row["order"]), each.form)


def _items(*kinds: str) -> Callable[[Estimate], Iterator[Asked]]:
    def lines(estimate: Estimate) -> Iterator[Asked]:
        for row in rows(estimate.values["items"]):
            if row["kind"] in kinds:
                sold_as = f"pack of {whole(row['pack']):,}"
                yield Asked(row["key"], row["name"], sold_as, whole(row["whole"]), "each")

    return lines


def _finish(estimate: Estimate) -> Iterator[Asked]:
    offered = {each.key for each in estimate.project.finishes if each.stands_in_for}
    volume = figures_of(estimate.project.project).volume_unit
    for row in rows(estimate.values["containers"]):
        if row["finish"] not in offered:
            held = f"container of {row['holds']:g} {volume}"
            yield Asked(row["key"], row["name"], held, whole(row["count"]), "container")


def _freight(estimate: Estimate) -> Iterator[Asked]:
    freight, unit = only(estimate.values["freight"]), figures_of(estimate.project.project)
    name = f"Pallet of furniture, about {freight['pallet_weight']:,.0f} {unit.weight_unit}"
    yield Asked(PALLET, name, "one pallet, delivered", whole(freight["pallets"]), "pallet")


LINES: Mapping[str, Callable[[Estimate], Iterator[Asked]]] = {
    "sheets": _sheets,
    "fasteners": _items("fastener", "hardware", "glue", "abrasive", "blade", "packing"),
    "finish": _finish,
    "bought": _items("bought"),
    "freight": _freight,
}
