"""The quote says what the workbook says, to whom it may be said, and nothing else."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest

from estimator.documents.figures import figures_of, to_cents
from estimator.documents.quote import quote_html
from estimator.project.records import Project
from estimator.project.templates import read_template
from tests.documents.reading import amount, foreign, table_rows, text_of
from tests.documents.samples import plain, with_texts
from tests.workbook.estimates import estimated, with_counts

TEMPLATES = ("merrowby-lodge", "one-wall", "one-wall-metric", "three-hundred-rooms")


@pytest.mark.parametrize("template", TEMPLATES)
class TestFiguresAreTheWorkbooks:
    def test_rooms_and_prices(self, template: str) -> None:
        estimate = plain(template)
        made = estimate.values["types"].query("rooms > 0")
        *rooms, before_tax, tax, total = table_rows(quote_html(estimate), "Price per room")
        printed = [[amount(cell) for cell in row[1:]] for row in rooms]
        columns = ["counted", "unit_price", "line_price"]
        assert printed == [list(map(to_cents, row)) for row in made[columns].to_numpy()]
        price = estimate.values["price"].iloc[0]
        assert amount(before_tax[-1]) == to_cents(price["quoted"])
        assert amount(tax[-1]) == to_cents(price["sale_tax"])
        assert amount(total[-1]) == to_cents(price["total"])

    def test_lines_add_up_to_the_total(self, template: str) -> None:
        page = quote_html(plain(template))
        *rooms, before_tax, tax, total = table_rows(page, "Price per room")
        assert sum(amount(row[-1]) for row in rooms) == amount(before_tax[-1])
        assert amount(before_tax[-1]) + amount(tax[-1]) == amount(total[-1])

    def test_stages_add_up_to_the_total(self, template: str) -> None:
        estimate = plain(template)
        stages = table_rows(quote_html(estimate), "When")
        printed = [amount(row[-1]) for row in stages]
        assert printed == list(map(to_cents, estimate.values["stages"]["amount"]))
        assert sum(printed) == to_cents(estimate.values["price"]["total"].iloc[0])

    def test_changes_of_count_and_alternates(self, template: str) -> None:
        estimate = plain(template)
        page, made = quote_html(estimate), estimate.values["types"].query("rooms > 0")
        printed = [[amount(cell) for cell in row[1:]] for row in table_rows(page, "One more adds")]
        assert printed == [list(map(to_cents, row)) for row in made[["add", "deduct"]].to_numpy()]
        differences = map(to_cents, estimate.values["alternates"]["difference"])
        alternates = table_rows(page, "Effect on the price")
        signs = {"adds": 1, "takes off": -1}
        assert [signs[row[1]] * amount(row[2]) for row in alternates] == list(differences)

    def test_schedule_has_every_module_of_a_room(self, template: str) -> None:
        estimate = plain(template)
        first = estimate.project.types[0].key
        rows = table_rows(quote_html(estimate), "Module")
        contents = estimate.project.contents
        each = sum(content.each for content in contents if content.room_type == first)
        assert sum(amount(row[2]) for row in rows) == each


def test_it_says_when_where_and_for_whom() -> None:
    text = text_of(quote_html(plain("merrowby-lodge")))
    for expected in (
        "Merrowby Lodge (invented)", "Merrowby Lodging Group (invented)",
        "Plumb Line Workshop (invented)", "March 2, 2026", "April 1, 2026", "Revision A",
        "10 weeks", "Longest lead time of what is bought: 4 weeks", "valid for 30 days",
        "14 × 7 × 11 in", "Wallboard alone never carries a rail", "For the client", "For the shop",
        "1 mock-up room",
    ):  # fmt: skip
        assert expected in text


def test_paper_chooses_how_days_and_money_are_written() -> None:
    text = text_of(quote_html(plain("one-wall-metric")))
    assert "2 March 2026" in text
    assert re.search(r"€[0-9,]+\.[0-9]{2}", text)


def test_an_offer_that_outlives_the_calendar_has_no_last_day() -> None:
    project = read_template("one-wall")
    facts = project.project.model_copy(update={"valid_days": 9_999_999})
    quoted = quote_html(estimated(project.model_copy(update={"project": facts})))
    assert "Valid until –" in text_of(quoted)


# --- Checks --------------------------------------------------------------------------------------


def test_a_failing_check_forbids_sending() -> None:
    estimate = plain("merrowby-lodge")
    assert "Not to be sent" not in quote_html(estimate)
    broken = with_counts(estimate, {("king", "F1"): -1})
    text = text_of(quote_html(broken))
    assert "Not to be sent" in text
    assert "Counts are whole numbers" in text


def test_a_check_that_wants_a_look_is_told_to_the_shop_only() -> None:
    estimate = plain("merrowby-lodge")
    checks = estimate.values["checks"]
    looking = checks[checks["state"] == "Review"]
    assert len(looking), "the demo has a check that wants a look"
    page = quote_html(estimate)
    assert "Before you send this" in text_of(page)
    assert not any(label in page for label in looking["label"])


# --- What must not be told -----------------------------------------------------------------------

FORBIDDEN_WORDS = (
    "cost",
    "wage",
    "margin",
    "markup",
    "contingency",
    "overhead",
    "burden",
    "supplier",
)
MARK = "MARKED-FOR-THE-OFFICE"
SECRET_COLUMNS = {
    "price": (
        "materials", "finish", "supplies", "purchase_tax", "shop", "site", "travel", "freight",
        "direct", "overhead", "contingency", "cost", "target", "margin", "markup", "traced",
        "by_weight", "by_area", "rounding", "fixed", "varying",
    ),
    "types": ("traced", "direct", "part", "variable"),
    "labour": ("shop_hours", "shop_cost", "site_hours", "site_cost", "setup_cost", "travel"),
    "grades": ("wage", "burden", "loaded"),
    "operations": ("cost", "setup_cost", "hours"),
    "materials": ("cost", "price_each"),
    "items": ("cost", "price_each"),
    "finishes": ("cost",),
    "containers": ("price",),
    "prices": ("price",),
    "alternates": ("cost",),
    "freight": ("cost", "price_each", "base"),
    "terms": ("overhead", "contingency", "margin", "purchase_tax", "add_uplift", "vehicle_rate"),
}  # fmt: skip


def marked(project: Project) -> Project:
    """The project with odd rates and prices, and a mark in every text that is for the office."""
    terms = {
        "overhead": "0.1373",
        "contingency": "0.0619",
        "margin": "0.2177",
        "purchase_tax": "0.0831",
    }
    odd = project.terms.model_copy(update={name: Decimal(rate) for name, rate in terms.items()})
    prices = [p.model_copy(update={"price": p.price + Decimal("0.37")}) for p in project.prices]
    grades = [g.model_copy(update={"wage": g.wage + Decimal("0.73")}) for g in project.grades]
    update: dict[str, Any] = {"terms": odd, "prices": tuple(prices), "grades": tuple(grades)}
    for table in ("operations", "grades", "materials", "items", "prices", "finishes", "containers"):
        rows = update.get(table, getattr(project, table))
        new = {"source": MARK} | ({"supplier": MARK} if table == "items" else {})
        update[table] = tuple(row.model_copy(update=new) for row in rows)
    return project.model_copy(update=update)


@pytest.mark.parametrize("template", TEMPLATES)
def test_no_figure_of_the_office_is_on_the_quote(template: str) -> None:
    estimate = estimated(marked(read_template(template)))
    page = quote_html(estimate)
    assert MARK not in page
    shown = set(re.findall(r"[0-9][0-9,]*(?:\.[0-9]+)?%?", text_of(page)))
    secret = {
        text
        for table, columns in SECRET_COLUMNS.items()
        for value in estimate.values[table][list(columns)].to_numpy().ravel()
        if value % 1  # whole numbers are too common to be told apart
        for text in spellings(float(value))
    }
    assert len(secret) > 100, "the marks were planted"
    assert not shown & secret


def spellings(value: float) -> set[str]:
    """A value as it might be printed, with two decimals at least."""
    texts = {f"{value:.2f}", f"{value:,.2f}", f"{value:.4f}", repr(value)}
    return texts | {f"{value * 100:.1f}%", f"{value * 100:.2f}%"} if value < 1 else texts


@pytest.mark.parametrize("template", TEMPLATES)
def test_no_word_of_the_office_is_on_the_quote(template: str) -> None:
    page = quote_html(plain(template)).lower()
    text = text_of(page)
    assert [word for word in FORBIDDEN_WORDS if re.search(rf"\b{word}s?\b", text)] == []


# --- Hostile text --------------------------------------------------------------------------------

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</style><svg onload=alert(1)>",
    "{{ 7 * 7 }}{% raw %}",
    "]]><!-- &amp; &lt;b&gt;",
)


@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_text_stays_text(hostile: str) -> None:
    project = with_texts(read_template("merrowby-lodge"), lambda table, field: hostile)
    page = quote_html(estimated(project))
    assert foreign(page) == []
    assert text_of(page).count(" ".join(hostile.split())) > 20


def test_very_long_texts_are_carried_whole() -> None:
    project = with_texts(read_template("one-wall"), lambda table, field: "W" * 500)
    assert "W" * 500 in text_of(quote_html(estimated(project)))


def test_money_keeps_its_cents() -> None:
    facts = read_template("one-wall").project
    show = figures_of(facts)
    assert [show.money(each) for each in (0.0, 1.005, 1234.5, -12.0)] == [
        "$0.00", "$1.01", "$1,234.50", "-$12.00"
    ]  # fmt: skip
    yen = figures_of(facts.model_copy(update={"currency": "JPY"}))
    assert yen.money(1234.5) == "¥1,234.50"
