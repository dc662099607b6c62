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


def _shown(value: float | str, unit: str, currency: str) -> str:
    """Words as they are, money with its cents, other figures to one decimal where they have one."""
    if isinstance(value, str):
        return value
    if unit == "money":
        return f"{currency} {value:,.2f}"
    shown = f"{value:,.1f}".removesuffix(".0")
    return f"{shown} {shown_unit(unit, currency)}".strip()
