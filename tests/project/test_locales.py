"""Locales: what is customary where currency and paper are left out."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from estimator.project.locales import customs_of, is_locale
from estimator.project.records import Facts


def facts(**given: str) -> Facts:
    return Facts.model_validate({"name": "x", "unit": "in", "issued": "2026-03-02", **given})


@pytest.mark.parametrize(
    ("locale", "currency", "paper"),
    [
        ("en-US", "USD", "letter"),
        ("en-CA", "CAD", "letter"),
        ("es-MX", "MXN", "letter"),
        ("en-GB", "GBP", "A4"),
        ("de-DE", "EUR", "A4"),
        ("de-CH", "CHF", "A4"),
        ("ja-JP", "JPY", "A4"),
    ],
)
def test_currency_and_paper_of_the_country(locale: str, currency: str, paper: str) -> None:
    """Currencies by Unicode CLDR as Babel has them; paper by CLDR's list, from memory."""
    assert customs_of(locale) == {"currency": currency, "paper": paper}
    made = facts(locale=locale)
    assert (made.locale, made.currency, made.paper) == (locale, currency, paper)


def test_what_is_given_stands() -> None:
    made = facts(locale="de-DE", currency="USD", paper="letter")
    assert (made.currency, made.paper) == ("USD", "letter")


def test_left_out_it_follows_the_paper() -> None:
    assert facts().locale == "en-US"
    assert facts(paper="A4").locale == "en-GB"


@pytest.mark.parametrize("wrong", ["", "de", "de_DE", "DE-de", "xx-DE", "German", "en-US-x", 7])
def test_other_words_are_no_locale(wrong: object) -> None:
    assert not is_locale(wrong)
    assert customs_of(wrong) == {}
    with pytest.raises(ValidationError, match="a language and a country"):
        facts(locale=wrong)  # type: ignore[arg-type]
