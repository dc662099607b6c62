"""What one dowel carries across a joint, by the yield limit equations, with a gap between members.

The equations of NDS table 12.3.1A without a gap, and of the technical report on dowel equations
with one, are from memory; without a gap they are those that an open-source structural library
gives for NDS 2018. They are the source of the shear values among the rates, and nothing else.
"""

from __future__ import annotations

from math import sqrt


def yield_limit(
    root: float, bending: float, gravity: float, side_gravity: float, side: float, gap: float,
    depth: float,
) -> float:  # fmt: skip
    """Pounds, for a small dowel. root: root diameter, in. bending: its yield strength, psi.

    gravity, side_gravity: of main and side member. side: thickness of the side member, in. depth:
    in the main member, in.
    """
    main_per_inch = bearing(gravity) * root
    side_per_inch = bearing(side_gravity) * root
    moment = bending * root**3 / 6
    divisor = 2.2 if root <= 0.17 else 10 * root + 0.5

    def mode(a: float, b: float, c: float) -> float:
        return (-b + sqrt(b * b - 4 * a * c)) / (2 * a)

    whole_side, whole_main = 1 / (4 * side_per_inch), 1 / (4 * main_per_inch)
    side_moment, main_moment = side_per_inch * side**2 / 4, main_per_inch * depth**2 / 4
    modes = (
        main_per_inch * depth,
        side_per_inch * side,
        mode(whole_side + whole_main, side / 2 + gap + depth / 2, -side_moment - main_moment),
        mode(2 * whole_side + whole_main, gap + depth / 2, -moment - main_moment),
        mode(whole_side + 2 * whole_main, side / 2 + gap, -side_moment - moment),
        mode(2 * whole_side + 2 * whole_main, gap, -2 * moment),
    )
    return min(modes) / divisor


def bearing(gravity: float) -> float:
    """Dowel bearing strength of wood under a small dowel, psi; 16,600, not 16,000 (from memory)."""
    return 16_600 * gravity**1.84
