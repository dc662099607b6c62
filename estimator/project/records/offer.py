"""What the quote says beside its price: stages, scope, alternates, copies issued."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from estimator.project.records.fields import Count, Day, Key, Number, Rate, RevisionLetter, Text
from estimator.project.records.record import Record, column


class Stage(Record):
    """A part of the price that falls due."""

    table = "stages"
    title = "Payment stages"
    sheet = "Terms"
    about = "When the price falls due; the shares add up to 100 %."

    number: Annotated[Count, Field(gt=0)] = column("Stage", "1", "In order.", show="whole")
    name: Text = column("When", "text", "As the quote shows it.")
    share: Rate = column("Share", "1", "Of the quoted total.", show="percent")


class Clause(Record):
    """A line of what the price covers and what it does not."""

    table = "clauses"
    title = "Scope"
    sheet = "Scope"
    about = "What is in the price, what is not, and sums allowed for what is not settled."

    kind: Literal["included", "excluded", "allowance", "caution"] = column(
        "Kind", "text", "included, excluded, allowance or caution."
    )
    text: Text = column("Text", "text", "As the quote shows it.")
    amount: Number = column(
        "Allowance", "money", "A sum in the price, for an allowance only.", default=0
    )


class Alternate(Record):
    """Something offered instead, with its difference in price."""

    table = "alternates"
    title = "Alternates"
    sheet = "Alternates"
    about = "Other materials or finishes, and what each would add to or take off the price."

    key: Key = column("Alternate", "text", "A short name.")
    name: Text = column("Name", "text", "As the quote shows it.")
    instead: Key = column(
        "Instead of",
        "text",
        "The material or finish in the price.",
        refers_to=("materials", "finishes"),
    )
    offered: Key = column(
        "Offered", "text", "The material or finish offered.", refers_to=("materials", "finishes")
    )


class Issued(Record):
    """A file that left the office."""

    table = "issued"
    title = "Issued copies"
    sheet = "Changes"
    about = "What was sent, to whom and from which revision; the digest tells whether a file is it."

    key: Key = column("Number", "text", "A short name, such as A-1.")
    to: Text = column("To", "text", "Who it was made for.")
    day: Day = column("Date", "text", "The day it was made, as 2026-11-25.")
    revision: RevisionLetter = column("Revision", "text", "The revision it was made from.")
    file: Text = column("File", "text", "Its name.")
    digest: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")] = column(
        "Digest", "text", "SHA-256 of the file, in hexadecimal."
    )
