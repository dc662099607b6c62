"""What a field may hold: keys, lengths, counts, numbers, shares, days, each with its refusal."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainSerializer
from pydantic_core import PydanticCustomError

from estimator.project.lengths import LengthError, parse_length
from estimator.project.locales import is_locale

LONGEST_TEXT = 500
PLAIN = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)")
KEY = re.compile(r"[A-Za-z][A-Za-z0-9-]{0,39}")


def _length(value: Any, info: Any) -> Any:
    try:
        return parse_length(value, (info.context or {}).get("unit", "in"))
    except LengthError as error:
        raise PydanticCustomError(
            "length",
            "{expected}. {fix}",
            {"expected": error.expected, "fix": error.fix},
        ) from None


def _key(value: Any) -> Any:
    text = str(value).strip() if isinstance(value, str) else value
    if not isinstance(text, str) or not KEY.fullmatch(text):
        raise PydanticCustomError(
            "key",
            "{expected}. {fix}",
            {
                "expected": "a short name of letters, digits and hyphens that begins with a letter",
                "fix": "Shorten it to at most 40 such characters, for instance shelf-24.",
            },
        )
    return text


def _locale(value: Any) -> Any:
    if not is_locale(value):
        raise PydanticCustomError(
            "locale",
            "{expected}. {fix}",
            {
                "expected": "a language and a country, such as en-US or de-DE",
                "fix": "Write the two letters of each with a hyphen between.",
            },
        )
    return value


def _optional_key(value: Any) -> Any:
    return "" if value is None or value == "" else _key(value)


def _count(value: Any) -> Any:
    if not _is_plain(value):
        raise PydanticCustomError("int_type", "a whole number")
    return value


def _is_plain(value: Any) -> bool:
    """Whether it is no truth value and, as text, digits only: not 1_000, not 1e3, not nan."""
    if isinstance(value, str):
        return PLAIN.fullmatch(value.strip()) is not None
    return not isinstance(value, bool)


def _day(value: Any) -> Any:
    """A number would be taken for seconds since 1970."""
    if isinstance(value, int | float):
        raise PydanticCustomError("date_type", "a date")
    return value


def _decimal(value: Any) -> Any:
    """A float as the decimal it prints, so that 0.1 stays one tenth."""
    if not _is_plain(value):
        raise PydanticCustomError("decimal_type", "a number")
    return Decimal(repr(value)) if isinstance(value, float) else value


Text = Annotated[str, Field(max_length=LONGEST_TEXT)]
Key = Annotated[str, BeforeValidator(_key)]
OptionalKey = Annotated[str, BeforeValidator(_optional_key)]
Length = Annotated[Fraction, BeforeValidator(_length), PlainSerializer(str)]
Count = Annotated[int, BeforeValidator(_count), Field(ge=0, le=10_000_000)]
Number = Annotated[Decimal, BeforeValidator(_decimal), Field(ge=0, le=Decimal(10) ** 12)]
Rate = Annotated[Decimal, BeforeValidator(_decimal), Field(ge=0, le=1)]
Day = Annotated[date, BeforeValidator(_day)]
YesNo = Literal["yes", "no"]
LocaleName = Annotated[str, BeforeValidator(_locale)]
RevisionLetter = Annotated[str, Field(pattern=r"^[A-Z]{1,3}$")]
