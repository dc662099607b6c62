"""Estimates under a stand-in plan that is as near to its bound as a real one is."""

from __future__ import annotations

import numpy as np

from estimator.estimate import Estimate, calculate_book
from estimator.price_band.band import Band, Search
from estimator.project.records import Project
from tests.workbook.estimates import estimated


def level(project: Project) -> Estimate:
    """Under a plan that takes what the live count would order once counts move.

    Real plans are at most a sheet or two off; the stand-in for the workbook's tests is further
    away, so that its price would jump with the first room changed.
    """
    rough = estimated(project)
    materials = rough.values["materials"]
    ordered = np.ceil(np.round(materials["bound"] * (1 + materials["margin_share"]), 6))
    planned = np.where(materials["bound"] > 0, ordered + materials["margin_whole"], 0)
    typed = rough.typed["materials"].assign(planned=planned)
    return calculate_book(rough.project, {**rough.typed, "materials": typed})


def as_quoted(estimate: Estimate) -> Band:
    """A band without width, for tests that are not about it."""
    search = Search(estimate, 0.01)
    return search.band(None, search.average())
