"""Price requests, filled in LibreOffice Calc as a supplier would, read back, compared, awarded."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.copies.answers import Bid, receive
from estimator.copies.bids import award, bids_book, choose_awards, compare, source_of
from estimator.copies.requests import asked_of, request_book
from estimator.estimate import Estimate
from estimator.problems import ProblemsFound
from estimator.project.templates import read_template
from estimator.quantities.small_models.bids import AWARDED, LOWEST
from estimator.quantities.small_models.request import COMPLETE, request_model
from estimator.workbook.layout import form_rows, lay_out
from tests.copies.estimates import level
from tests.copies.in_calc import Typing, typed_in_calc
from tests.copies.parts import parts_of
from tests.copies.requests import HOSTILE, filled
from tests.engines import cells


@pytest.fixture(scope="module")
def estimate() -> Estimate:
    return level(read_template("merrowby-lodge"))


def sent(estimate: Estimate, kind: str, folder: Path) -> tuple[Path, filled]:
    lines = asked_of(estimate)[kind]
    path = folder / f"{kind}.xlsx"
    path.write_bytes(request_book(estimate, kind, lines))
    return path, filled(len(lines))


def returned(path: Path, typing: Typing, name: str) -> Path:
    saved = path.with_name(name)
    typed_in_calc(path, [typing], [], saved)
    return saved


class TestRequests:
    def test_every_thing_bought_is_asked_for_once(self, estimate: Estimate) -> None:
        asked = [line for lines in asked_of(estimate).values() for line in lines]
        assert len({line.key for line in asked}) == len(asked)
        buy = estimate.values["buy"]
        bought = buy[(buy["cost"] > 0)]
        assert set(bought["key"]) | {"pallet"} == {line.key for line in asked}

    def test_quantities_tie_to_the_workbook(self, estimate: Estimate) -> None:
        sheets = {line.key: line.quantity for line in asked_of(estimate)["sheets"]}
        orders = estimate.values["materials"].set_index("key")["order"]
        assert sheets == {key: orders[key] for key in sheets}


class TestAnswers:
    def test_filled_in_calc_comes_back_exact(self, estimate: Estimate, tmp_path: Path) -> None:
        path, cell = sent(estimate, "fasteners", tmp_path)
        lines = asked_of(estimate)["fasteners"]
        typing = dict(cell.head("North Yard (invented)"))
        for row in range(len(lines)):
            typing |= cell.priced(row, round(7.35 + row * 1.17, 2), 50 + row, row)
        read = [cell.line("state", 0), cell.line("amount", 0)]
        saved = tmp_path / "north.xlsx"
        ((state, amount),) = typed_in_calc(path, [typing], read, saved)
        received = receive(estimate, [saved])
        assert received.problems == ()
        for row, (bid, line) in enumerate(zip(received.bids, lines, strict=True)):
            assert (bid.item, bid.quantity) == (line.key, line.quantity)
            assert bid.price == Decimal(str(round(7.35 + row * 1.17, 2)))
            assert (bid.pack, bid.lead) == (50 + row, row)
            assert (bid.supplier, bid.day) == ("North Yard (invented)", "2026-04-02")
        first = compare(received.bids).iloc[0]
        assert (state, amount) == (COMPLETE, first["amount"])

    def test_partial_changed_and_edited_answers_are_listed(
        self, estimate: Estimate, tmp_path: Path
    ) -> None:
        path, cell = sent(estimate, "fasteners", tmp_path)
        lines = asked_of(estimate)["fasteners"]
        typing = {
            **cell.head("East Yard (invented)"),
            **cell.priced(0, 10, 100, 1),
            cell.line("price", 1): 12.5,  # no pack, no lead time
            **cell.priced(2, 8, 100, 2),
            cell.line("counted_in", 2): "pound",
            **cell.priced(3, 9, 100, 2),
            cell.line("quantity", 3): 7,
            **cell.priced(4, -3, 100, 2),
            **cell.priced(5, 3.333, 100, 2),
            **cell.priced(6, 3, 2.5, 2),
            cell.line("price", 7): "about 20",
            cell.line("pack", 7): 1,
            cell.line("lead", 7): 1,
        }
        received = receive(estimate, [returned(path, typing, "east.xlsx")])
        assert [bid.item for bid in received.bids] == [lines[0].key, lines[3].key]
        told = "\n".join(map(str, received.problems))
        assert "what was asked: found “changed since it was sent”" in told
        assert f"{lines[2].key}: found" in told
        assert "in pound" in told
        assert f"{lines[3].key}: found “7 each”" in told
        for row, name in (
            (1, "pack"),
            (1, "lead"),
            (4, "price"),
            (5, "price"),
            (6, "pack"),
            (7, "price"),
        ):
            assert f"Items!{cell.line(name, row)[1]}: found" in told, (row, name)
        assert f"{lines[8].key}: found nothing; expected price, pack and lead time" in told

    def test_counts_that_moved_since_are_listed(self, estimate: Estimate, tmp_path: Path) -> None:
        path, cell = sent(estimate, "sheets", tmp_path)
        saved = returned(path, {**cell.head("West"), **cell.priced(0, 70, 1, 1)}, "west.xlsx")
        fewer = estimate.project.counts[0].model_copy(update={"rooms": 2})
        moved = level(
            estimate.project.model_copy(update={"counts": (fewer, *estimate.project.counts[1:])})
        )
        received = receive(moved, [saved])
        assert received.bids[0].quantity == asked_of(moved)["sheets"][0].quantity
        told = str(received.problems[0])
        assert "does it hold for that?" in told
        assert "changed since it was sent" not in "\n".join(map(str, received.problems))

    def test_another_file_another_job_no_name_and_twice(
        self, estimate: Estimate, tmp_path: Path
    ) -> None:
        path, cell = sent(estimate, "bought", tmp_path)
        line = cell.priced(0, 30, 10, 2)
        nameless = returned(path, line, "nameless.xlsx")
        good = returned(path, {**line, **cell.head("South")}, "good.xlsx")
        again = returned(path, {**line, **cell.head("South")}, "again.xlsx")
        foreign = returned(
            path,
            {**line, **cell.head("South"), ("Request", currency_cell()): "XYZ"},
            "foreign.xlsx",
        )
        stray = tmp_path / "stray.xlsx"
        stray.write_bytes(bids_book([], [], estimate.project.project))
        text = tmp_path / "text.xlsx"
        text.write_text("no workbook")
        received = receive(estimate, [nameless, good, again, foreign, stray, text])
        assert [bid.file for bid in received.bids] == ["good.xlsx"]
        told = "\n".join(map(str, received.problems))
        for part in (
            "nameless.xlsx, Your firm: found nothing",
            "again.xlsx, coat-hook: found “South”",
            "foreign.xlsx, request, currency: found “XYZ”; expected USD",
            "stray.xlsx: found “no request_number",
            "text.xlsx: found",
        ):
            assert part in told, part

    def test_hostile_words_stay_words(self, estimate: Estimate, tmp_path: Path) -> None:
        path, cell = sent(estimate, "bought", tmp_path)
        typing = {
            **cell.priced(0, 30, 10, 2),
            **cell.priced(1, 30, 10, 2),
            cell.answer("supplier"): "'" + HOSTILE,
            cell.line("remark", 0): "'" + HOSTILE,
            cell.line("remark", 1): '=HYPERLINK("http://bad.invalid","x")',
        }
        received = receive(estimate, [returned(path, typing, "hostile.xlsx")])
        assert received.bids[0].supplier == HOSTILE
        assert received.bids[0].remark == HOSTILE
        assert received.bids[1].remark == ""
        assert any("HYPERLINK" in each.value for each in received.problems)
        book = tmp_path / "bids.xlsx"
        book.write_bytes(bids_book(received.bids, received.bids, estimate.project.project))
        assert HOSTILE in cells.values(book).values()
        parts = parts_of(book.read_bytes())
        formulas = re.findall(r"<f>([^<]*)</f>", "".join(parts.values()))
        assert len(formulas) == 12
        assert not any("HYPERLINK" in each for each in formulas)
        assert not any("<script" in text or "<hyperlink" in text for text in parts.values())
        assert not any(
            'Type="' in t and "/hyperlink" in t for n, t in parts.items() if n.endswith(".rels")
        )
        changed = level(award(estimate.project, received.bids))
        supplier = {each.key: each.supplier for each in changed.project.items}[
            received.bids[0].item
        ]
        assert supplier == HOSTILE


def currency_cell() -> str:
    placed = lay_out(request_model(), {"request": 1, "answer": 1, "lines": 1, "sums": 1}).placed
    return f"B{form_rows(placed['request'])['currency'] + 1}"


def bid(
    item: str, supplier: str, price: str, pack: int = 1, lead: int = 1, quantity: int = 100
) -> Bid:
    return Bid(
        item,
        item,
        supplier,
        "2026-04-02",
        Decimal(price),
        pack,
        lead,
        "",
        quantity,
        f"{supplier}.xlsx",
    )


class TestComparison:
    def test_lowest_is_by_what_is_paid_in_whole_packs(self) -> None:
        """61 for 30 is 2.03 each but 4 packs are needed; 2.10 each singly is cheaper in all."""
        bids = [bid("felt-pad", "A", "61", 30), bid("felt-pad", "B", "2.10")]
        rows = compare(bids).to_dict("records")
        assert [(row["supplier"], row["amount"], row["lowest"]) for row in rows] == [
            ("B", 210.0, LOWEST),
            ("A", 244.0, ""),
        ]
        assert rows[1]["each"] < rows[0]["each"]

    def test_of_equal_bids_the_sooner_is_taken(self) -> None:
        bids = [bid("glue", "A", "5", lead=3), bid("glue", "B", "5", lead=1)]
        assert [each.supplier for each in choose_awards(bids, {})] == ["B"]
        assert [each.supplier for each in choose_awards(bids, {"glue": "a"})] == ["A"]
        assert list(compare(bids, choose_awards(bids, {}))["awarded"]) == [AWARDED, ""]

    def test_an_award_without_a_bid_is_refused(self) -> None:
        with pytest.raises(ProblemsFound, match="award glue"):
            choose_awards([bid("glue", "A", "5")], {"glue": "Z"})


class TestAward:
    def test_prices_reach_the_rates_with_supplier_and_date(self, estimate: Estimate) -> None:
        taken = [
            bid("birch-ply", "Yard", "75.50"),
            bid("wall-screw", "Fix", "9.90", 200, 2),
            bid("oil-gallon", "Paint", "88.00"),
            bid("pallet", "Haul", "120.00"),
        ]
        changed = award(estimate.project, taken)
        prices = {
            each.item: each
            for each in changed.prices
            if each.item in ("birch-ply", "wall-screw", "pallet")
        }
        assert {key: (each.from_quantity, each.price) for key, each in prices.items()} == {
            "birch-ply": (1, Decimal("75.50")),
            "wall-screw": (1, Decimal("9.90")),
            "pallet": (1, Decimal("120.00")),
        }
        assert prices["birch-ply"].source == source_of(taken[0]) == "bid of Yard, 2026-04-02"
        screw = next(each for each in changed.items if each.key == "wall-screw")
        assert (screw.pack, screw.lead_weeks, screw.supplier) == (200, 2, "Fix")

    def test_the_bid_is_what_the_workbook_then_pays(self, estimate: Estimate) -> None:
        lines = {line.key: line for lines in asked_of(estimate).values() for line in lines}
        taken = [
            bid("birch-ply", "Yard", "75.55", quantity=lines["birch-ply"].quantity),
            bid("wall-screw", "Fix", "9.93", 200, quantity=lines["wall-screw"].quantity),
        ]
        amounts = dict(zip(*compare(taken)[["item", "amount"]].to_numpy().T, strict=True))
        changed = level(award(estimate.project, taken)).values
        for table in ("materials", "items"):
            costs = changed[table].set_index("key")["cost"]
            for item in amounts.keys() & set(costs.index):
                assert costs[item] == amounts[item]

    def test_a_price_that_breaks_the_project_is_refused(self, estimate: Estimate) -> None:
        """A gallon at a thousand times the price of a quart: then nobody buys gallons."""
        with pytest.raises(ProblemsFound):
            award(estimate.project, [bid("oil-gallon", "Paint", "99000.00")])
