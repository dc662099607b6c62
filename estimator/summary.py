"""The job in a few lines of text, from the same figures as the workbook."""

from __future__ import annotations

from estimator.estimate import Estimate
from estimator.units import shown_unit


def summary_lines(estimate: Estimate) -> list[tuple[str, str]]:
    """Label and figure with its unit, in the order of the sheet Figures."""
    currency = estimate.project.project.currency
    values = estimate.values["summary"].iloc[0]
    return [
        (each.label, _shown(values[name], each.unit, currency))
        for name, each in estimate.model["summary"].definitions.items()
    ]


def _shown(value: object, unit: str, currency: str) -> str:
    if isinstance(value, str):
        return value
    number = float(value)  # type: ignore[arg-type]
    if unit == "money":
        return f"{currency} {number:,.2f}"
    shown = f"{number:,.0f}" if number == round(number) else f"{number:,.1f}"
    return f"{shown} {shown_unit(unit, currency)}".strip()
