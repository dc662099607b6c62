"""Days of an offer. The algebra has no calendar; these are counted by Python's."""

from __future__ import annotations

from datetime import date, timedelta

from estimator.project.records import Facts


def last_day(facts: Facts) -> date | None:
    """The last day on which the offer stands; None where the calendar ends before it."""
    return _after(facts.issued, timedelta(days=facts.valid_days))


def needed_by(facts: Facts) -> date | None:
    """Half way to the first delivery: what comes in then can still be worked on.

    None where the calendar ends before it.
    """
    return _after(facts.issued, timedelta(weeks=facts.lead_weeks) // 2)


def _after(day: date, time: timedelta) -> date | None:
    try:
        return day + time
    except OverflowError:
        return None
