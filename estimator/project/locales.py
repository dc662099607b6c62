"""What is customary in a country: its currency and its paper, by a locale such as en-US."""

from __future__ import annotations

import re
from typing import Any

from babel import Locale
from babel.core import UnknownLocaleError
from babel.numbers import get_territory_currencies

LOCALE = re.compile(r"[a-z]{2,3}-[A-Z]{2}")
LETTER = frozenset(
    ("BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE")
)
"""Countries whose paper is US letter; elsewhere A4 (Unicode CLDR, supplemental paperSize: from
memory)."""


def is_locale(value: Any) -> bool:
    """Whether it is a language and a country that dates and money can be written for."""
    if not isinstance(value, str) or not LOCALE.fullmatch(value):
        return False
    try:
        Locale.parse(value, sep="-")
    except (UnknownLocaleError, ValueError):
        return False
    return True


def customs_of(locale: Any) -> dict[str, str]:
    """Currency and paper of the locale's country; nothing for what is no locale."""
    if not is_locale(locale):
        return {}
    country = locale.partition("-")[2]
    used = get_territory_currencies(country)
    paper = {"paper": "letter" if country in LETTER else "A4"}
    return paper | ({"currency": used[0]} if used else {})
