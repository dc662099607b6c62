"""Who, where and when."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from estimator.project.locales import customs_of
from estimator.project.records.fields import Count, Day, LocaleName, RevisionLetter, Text
from estimator.project.records.record import Record, column


class Facts(Record):
    """Who, where and when: the head of every sheet and of the quote."""

    table = "project"
    title = "Project"
    sheet = "Project"
    about = "Who the work is for, and the facts that head the quote."

    name: Text = column("Project", "text", "The name of the job, as the quote shows it.")
    client: Text = column("Client", "text", "Who asks for the work.", default="")
    place: Text = column("Place", "text", "Where the rooms are.", default="")
    prepared_by: Text = column("Prepared by", "text", "The shop that makes the offer.", default="")
    unit: Literal["in", "mm"] = column(
        "Unit of length", "text", "Lengths on every sheet are in inches (in) or millimetres (mm)."
    )
    locale: LocaleName = column(
        "Locale",
        "text",
        "Language and country, such as en-US or de-DE: how dates and money are written.",
        default="en-US",
    )
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = column(
        "Currency",
        "text",
        "The three letters of the currency, such as USD; that of the country when left out.",
        default="USD",
    )
    paper: Literal["letter", "A4"] = column(
        "Paper",
        "text",
        "The paper that sheets and quote are set up for; that of the country when left out.",
        default="letter",
    )
    revision: RevisionLetter = column(
        "Revision", "text", "A letter that moves on with each issue.", default="A"
    )
    issued: Day = column("Date", "text", "The day of this revision, as 2026-11-25.")
    valid_days: Count = column(
        "Valid for", "day", "How long the offer stands.", default=30, sensible=(0, 3650)
    )
    lead_weeks: Count = column(
        "Weeks to make",
        "week",
        "Weeks from order to first delivery, bought items aside.",
        default=8,
        sensible=(0, 520),
    )
    remark: Text = column("Remark", "text", "A line for the welcome sheet.", default="")

    @model_validator(mode="before")
    @classmethod
    def _by_country(cls, given: Any) -> Any:
        """Currency and paper as in the country of the locale, where they are left out."""
        if not isinstance(given, dict):
            return given
        spoken = "en-GB" if given.get("paper") == "A4" else "en-US"
        locale = given.get("locale", spoken)
        return {**customs_of(locale), "locale": locale, **given}
