"""The limits that every project starts with are the published ones, in inches and millimetres."""

from __future__ import annotations

from fractions import Fraction

import pytest

from estimator.project.templates import read_template

INCHES, METRIC = (read_template(name) for name in ("one-wall", "one-wall-metric"))
PUBLISHED = {
    "reach_low": 15,  # 308.2.1, 308.3.1
    "mirror": 35,  # 603.3
    "counter_mirror": 40,  # 603.3
    "juts_most": 4,  # 307.2
    "juts_above": 27,  # 307.2
    "juts_upto": 80,  # 307.2
}
"""2010 ADA Standards, inches."""


@pytest.mark.parametrize("name", PUBLISHED)
def test_access(name: str) -> None:
    assert getattr(INCHES.access, name) == PUBLISHED[name]
    assert getattr(METRIC.access, name) == PUBLISHED[name] * Fraction("25.4")


def test_the_lifting_equation() -> None:
    """10 in, 30 in, 0.0075, 0.82, 1.8 in (textbook reprints); 0.0032 from memory; 51 lb, 23 kg."""
    for project, inch in ((INCHES, Fraction(1)), (METRIC, Fraction("25.4"))):
        lift = project.lifting
        assert (lift.near, lift.knuckle) == (10 * inch, 30 * inch)
        assert lift.travel_more == Fraction("1.8") * inch
        multipliers = (lift.per_height, lift.travel_share, lift.per_degree)
        assert [float(each) for each in multipliers] == [0.0075, 0.82, 0.0032]
    assert [each.terms.lift_limit for each in (INCHES, METRIC)] == [51, 23]


def test_shelves() -> None:
    """0.02 and 1/32 in per foot, creep of a half (secondary sources); beam on two supports."""
    for project in (INCHES, METRIC):
        strength = project.strength
        assert 12 / float(strength.first_sag) == 0.02
        assert 12 / float(strength.lasting_sag) == 1 / 32
        assert float(strength.creep) == 0.5
        assert float(strength.sag_form) == 5 / 384 * 12
        assert float(strength.bending_form) == 1 / 8 * 6
