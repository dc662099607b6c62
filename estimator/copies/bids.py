"""Bids compared, and the awarded ones put into the rates of a project."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

import pandas as pd

from estimator.copies.answers import Bid
from estimator.documents.figures import rows, to_cents
from estimator.expressions.value import calculate
from estimator.problems import Problem, raise_if_any
from estimator.project.checks import check_project
from estimator.project.frames import plain
from estimator.project.records import PALLET, Facts, Price, Project
from estimator.project.rows import in_words
from estimator.quantities.small_models.bids import AWARDED, LOWEST, bids_model
from estimator.workbook.small_book import KEY, Cover, book_bytes, frame


def compare(bids: Sequence[Bid], awarded: Sequence[Bid] = ()) -> pd.DataFrame:
    """The bids by item, the lowest amount first: columns as in `bids_model`, one row each."""
    model, ordered = bids_model(), _by_amount(bids)
    return calculate(model, {"bids": _frame(ordered, awarded)})["bids"]


def bids_book(bids: Sequence[Bid], awarded: Sequence[Bid], facts: Facts) -> bytes:
    """The comparison as a workbook for the office, live."""
    model = bids_model()
    cover = Cover(
        f"Bids: {facts.name}",
        "Answers to price requests, side by side. For the office only.",
        (("Revision", facts.revision), ("Currency", facts.currency)),
        ("Bids: every complete line, by item; the lowest amount and the award are marked.",),
        KEY,
    )
    return book_bytes(model, {"bids": _frame(_by_amount(bids), awarded)}, facts, cover)


def _frame(bids: Sequence[Bid], awarded: Sequence[Bid]) -> pd.DataFrame:
    rows: list[dict[str, Any]] = [
        {
            "item": each.item, "name": each.name, "supplier": each.supplier,
            "quantity": each.quantity, "price": plain(each.price), "pack": each.pack,
            "lead": each.lead, "remark": each.remark,
            "awarded": AWARDED if each in awarded else "",
        }
        for each in bids
    ]  # fmt: skip
    return frame(bids_model(), "bids", rows)


def _by_amount(bids: Sequence[Bid]) -> list[Bid]:
    """By item, then by amount, then by lead time."""
    amounts = calculate(bids_model(), {"bids": _frame(bids, ())})["bids"]["amount"].tolist()
    items = list(dict.fromkeys(each.item for each in bids))
    keyed = [(items.index(b.item), amount, b.lead, at) for at, (b, amount) in
             enumerate(zip(bids, amounts, strict=True))]  # fmt: skip
    return [bids[at] for *_, at in sorted(keyed)]


def _rates(bids: Iterable[Bid]) -> dict[str, Decimal]:
    """By item, the price of one to the cent."""
    bought = list(bids)
    found = rows(calculate(bids_model(), {"bids": _frame(bought, ())})["bids"])
    return {each["item"]: to_cents(each["rate"]) for each in found}


def wanted_awards(words: Sequence[str]) -> dict[str, str]:
    """The supplier wanted by item, from words such as glue=Yard; lowest asks for none.

    Raises ProblemsFound for other words.
    """
    raise_if_any(
        Problem("award", each, "lowest, or ITEM=SUPPLIER", "Write it so.")
        for each in words
        if each != LOWEST and not all(part.strip() for part in each.partition("="))
    )
    pairs = (each.partition("=") for each in words if each != LOWEST)
    return {item.strip(): supplier.strip() for item, _, supplier in pairs}


def choose_awards(bids: Sequence[Bid], wanted: Mapping[str, str]) -> list[Bid]:
    """The bid taken for each item: of the supplier wanted for it, else the lowest, else the sooner.

    wanted: supplier by item. Raises ProblemsFound for an item or a supplier without a bid.
    """
    found: dict[str, Bid] = {}
    asked = {item.casefold(): supplier.casefold() for item, supplier in wanted.items()}
    for bid in _by_amount(bids):
        supplier = asked.get(bid.item.casefold())
        if supplier in (None, bid.supplier.casefold()):
            found.setdefault(bid.item, bid)
    taken = {item.casefold() for item in found}
    offers = ", ".join(f"{bid.item}={bid.supplier}" for bid in bids[:6])
    raise_if_any(
        Problem(f"award {item}", supplier, f"an item and a supplier with a bid, such as {offers}",
                "Name one of those.")
        for item, supplier in wanted.items()
        if item.casefold() not in taken
    )  # fmt: skip
    return list(found.values())


def award(project: Project, awarded: Sequence[Bid]) -> Project:
    """The project with the awarded prices as its rates, supplier and date in their source.

    A bid is for the quantity asked, so that it replaces all breaks of the item. Raises
    ProblemsFound where the project would no longer be sound.
    """
    by_item = {each.item: each for each in awarded}
    rates = _rates(awarded)
    changed = project.model_copy(update={
        "prices": _prices(project, by_item, rates),
        "items": tuple(_item(each, by_item) for each in project.items),
        "materials": tuple(_sourced(each, by_item) for each in project.materials),
        "containers": tuple(_container(each, by_item, rates) for each in project.containers),
    })  # fmt: skip
    raise_if_any(check_project(changed, in_words))
    return changed


def source_of(bid: Bid) -> str:
    """Where an awarded price comes from."""
    return f"bid of {bid.supplier[:400]}, {bid.day[:40] or 'undated'}"


def _prices(
    project: Project, by_item: Mapping[str, Bid], rates: Mapping[str, Decimal]
) -> tuple[Price, ...]:
    packed = {each.key for each in project.items}
    priced = packed | {each.key for each in project.materials} | {PALLET}
    kept: list[Price] = []
    for price in project.prices:
        bid = by_item.get(price.item)
        if bid is None or price.item not in priced:
            kept.append(price)
        elif all(each.item != price.item for each in kept):
            of = bid.price if price.item in packed else rates[price.item]
            update = {"from_quantity": 1, "price": of, "source": source_of(bid)}
            kept.append(price.model_copy(update=update))
    return tuple(kept)


def _item(item: Any, by_item: Mapping[str, Bid]) -> Any:
    bid = by_item.get(item.key)
    if bid is None:
        return item
    update = {
        "pack": bid.pack,
        "lead_weeks": bid.lead,
        "supplier": bid.supplier,
        "source": source_of(bid),
    }
    return item.model_copy(update=update)


def _sourced(material: Any, by_item: Mapping[str, Bid]) -> Any:
    bid = by_item.get(material.key)
    return material.model_copy(update={"source": source_of(bid)}) if bid else material


def _container(container: Any, by_item: Mapping[str, Bid], rates: Mapping[str, Decimal]) -> Any:
    bid = by_item.get(container.key)
    if bid is None:
        return container
    return container.model_copy(update={"price": rates[bid.item], "source": source_of(bid)})
