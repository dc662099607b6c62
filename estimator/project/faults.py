"""What a fault of a typed row is called: the wording of every message about a single field."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from typing import Any

from pydantic_core import ErrorDetails

from estimator.problems import Problem
from estimator.project.lengths import date_hint, looks_like_date
from estimator.project.records import FieldAbout, Record

Words = tuple[str, str]
"""What is expected, and how to fix it."""


def problem_of(
    error: ErrorDetails, record: type[Record], place_of: Callable[[str], str]
) -> Problem:
    """The problem that a validation error of one field of a record comes to.

    place_of: from the name of a field to where it was read.
    """
    name = str(error["loc"][0])
    place = place_of(name)
    kind, value = error["type"], error.get("input")
    if kind == "missing":
        return blank_problem(place, record.columns()[name][0])
    if kind == "extra_forbidden":
        return unknown_name(place, name, record.columns(), "a field of this table")
    about = record.columns()[name][0]
    for beginning, words in WORDS:
        if kind.startswith(beginning):
            return Problem(place, str(value), *words(error.get("ctx", {}), value, about))
    expected = f"{about.label}: {about.note.rstrip('.')}"
    return Problem(place, str(value), expected, f"{error['msg']}.")


def blank_problem(place: str, about: FieldAbout) -> Problem:
    """A field that must be filled in and is not."""
    return Problem(place, "", f"a value for {about.label}", f"Fill it in: {about.note}")


def unknown_name(place: str, name: str, known: Iterable[str], what: str) -> Problem:
    """A name that is not one of the known ones, with the nearest of them."""
    names = list(known)
    return Problem(place, name, f"{what}: {listed(names)}", nearest(name, names))


def nearest(name: str, known: Iterable[str]) -> str:
    """The sentence that says which known name was probably meant."""
    by_folded = {each.casefold(): each for each in known}
    close = get_close_matches(name.casefold(), by_folded, n=1)
    if close:
        return f"Did you mean {by_folded[close[0]]}?"
    return (
        "Write one of these, or remove it." if by_folded else "There are none yet; add one first."
    )


def listed(names: Iterable[str], most: int = 12) -> str:
    """The names on one line, the first of them when there are many."""
    every = list(names)
    more = f" and {len(every) - most:,} more" if len(every) > most else ""
    return ", ".join(every[:most]) + more if every else "none known"


# --- Wording by kind of fault -------------------------------------------------------------------

Context = Mapping[str, Any]


def _own(ctx: Context, value: object, about: FieldAbout) -> Words:
    return ctx["expected"], ctx["fix"]


def _choice(ctx: Context, value: object, about: FieldAbout) -> Words:
    choices = ctx["expected"].replace("'", "")
    names = choices.replace(" or ", ", ").split(", ")
    return choices, f"{about.label}: {about.note} {nearest(str(value), names)}"


def _number(ctx: Context, value: object, about: FieldAbout) -> Words:
    return f"a number for {about.label}", _how_to_type(value)


def _whole(ctx: Context, value: object, about: FieldAbout) -> Words:
    return f"a whole number for {about.label}", _how_to_type(value)


def _how_to_type(value: object) -> str:
    if isinstance(value, bool):
        return "Yes and no, true and false are no numbers: type the number."
    if looks_like_date(value):
        return date_hint(value)
    if isinstance(value, str) and value.lstrip().startswith(("=", "+", "-", "@")):
        return "Type the result itself: what is typed in is a plain number, zero or more."
    return "Type digits only, with a point before decimals and no unit or currency sign."


def _bound(words: str) -> Callable[[Context, object, FieldAbout], Words]:
    def bounded(ctx: Context, value: object, about: FieldAbout) -> Words:
        limit = Decimal(re.sub(r"Decimal\('(.*)'\)", r"\1", str(next(iter(ctx.values())))))
        return f"{words} {limit:,} for {about.label}", f"Correct the number. {about.note}"

    return bounded


def _too_long(ctx: Context, value: object, about: FieldAbout) -> Words:
    return f"at most {ctx['max_length']} characters for {about.label}", "Shorten it."


def _text(ctx: Context, value: object, about: FieldAbout) -> Words:
    return f"text for {about.label}", "Type it as text; in a template, between quotation marks."


def _as_noted(ctx: Context, value: object, about: FieldAbout) -> Words:
    return f"{about.label}: {about.note.rstrip('.')}", "Type it in that form."


def _date(ctx: Context, value: object, about: FieldAbout) -> Words:
    return f"a date for {about.label}", f"Type year, month and day as {date(2026, 11, 25)}."


WORDS: tuple[tuple[str, Callable[[Context, object, FieldAbout], Words]], ...] = (
    ("length", _own),
    ("key", _own),
    ("literal_error", _choice),
    ("greater_than_equal", _bound("at least")),
    ("greater_than", _bound("more than")),
    ("less_than_equal", _bound("at most")),
    ("less_than", _bound("less than")),
    ("int_", _whole),
    ("decimal_", _number),
    ("finite_number", _number),
    ("number", _number),
    ("string_too_long", _too_long),
    ("string_pattern", _as_noted),
    ("string_", _text),
    ("date", _date),
)
"""By how the name of the fault begins, the first that fits."""
