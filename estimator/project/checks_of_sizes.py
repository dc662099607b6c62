"""Checks of sizes: parts and rails fit their stock, bevels leave wood."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import radians, tan
from typing import NamedTuple

from estimator.problems import Problem
from estimator.project.lengths import LengthUnit, format_length
from estimator.project.lookup import by_key
from estimator.project.records import Material, Part, Profile, Project
from estimator.project.rows import Places

# --- Parts and rails in their stock ---------------------------------------------------------------


class Size(NamedTuple):
    """Along the grain and across it."""

    length: Fraction
    width: Fraction

    def holds(self, other: Size) -> bool:
        """Whether the other lies in this one as it stands."""
        return other.length <= self.length and other.width <= self.width

    def turned(self) -> Size:
        """The same, its grain across."""
        return Size(self.width, self.length)

    def text(self, unit: LengthUnit) -> str:
        """Both lengths, with the unit."""
        length, width = (format_length(each, unit) for each in self)
        return f"{length} x {width} {unit}"


def usable(material: Material, trim: Fraction) -> Size:
    """What can be cut from one: a sheet is trimmed on all four edges, a bought length is not."""
    off = 2 * trim if material.form == "sheet" else 0
    nothing = Fraction(0)
    return Size(max(material.length - off, nothing), max(material.width - off, nothing))


def sheets_outlast_trim(project: Project, places: Places) -> Iterator[Problem]:
    """Trimming leaves something of every sheet."""
    unit, trim = project.project.unit, project.terms.trim
    for number, each in enumerate(project.materials):
        if not min(usable(each, trim)):
            whole = Size(each.length, each.width).text(unit)
            expected = f"more than twice the edge trim of {format_length(trim, unit)} {unit}"
            fix = "Correct the sheet's size or the edge trim."
            yield Problem(places("materials", number, "length"), whole, expected, fix)


def parts_fit(project: Project, places: Places) -> Iterator[Problem]:
    """Every part can be cut from its sheet, turned if its grain allows, or from its length."""
    unit, trim = project.project.unit, project.terms.trim
    materials = by_key(project.materials)
    for number, part in enumerate(project.parts):
        material = materials.get(part.material)
        if material is None:
            continue
        room, size = usable(material, trim), Size(part.length, part.width)
        may_turn = part.grain == "any" and material.form == "sheet"
        if not room.holds(size) and not (may_turn and room.holds(size.turned())):
            kept = "in either direction" if may_turn else "along the grain"
            yield Problem(
                places("parts", number, "length"),
                size.text(unit),
                f"at most {room.text(unit)} {kept}, which {material.key} gives after trimming",
                "Make the part smaller or of several pieces, or choose a larger sheet.",
            )


def rails_fit(project: Project, places: Places) -> Iterator[Problem]:
    """A rail is no wider than its sheet gives; it is pieced along its length."""
    unit, trim = project.project.unit, project.terms.trim
    materials = by_key(project.materials)
    for number, profile in enumerate(project.profiles):
        material = materials.get(profile.material)
        if material and profile.width > usable(material, trim).width:
            yield Problem(
                places("profiles", number, "width"),
                f"{format_length(profile.width, unit)} {unit}",
                f"at most the width of {usable(material, trim).text(unit)}, "
                f"which {material.key} gives after trimming",
                "Make the rail narrower, or choose a wider sheet.",
            )


def lengths_used_whole(project: Project, places: Places) -> Iterator[Problem]:
    """A bought length is cut to length only: its width is that of what is made of it."""
    unit, materials = project.project.unit, by_key(project.materials)
    for table, number, row in cut_from_stock(project):
        material = materials.get(row.material)
        if material is None or material.form == "sheet":
            continue
        if row.width != material.width:
            expected = f"{format_length(material.width, unit)} {unit}, the width of {material.key}"
            found = f"{format_length(row.width, unit)} {unit}"
            fix = "Type the same width, or cut it from a sheet."
            yield Problem(places(table, number, "width"), found, expected, fix)
        if row.bevelled == "yes":
            fix = "A bought length comes as it is: type no, or cut it from a sheet."
            yield Problem(places(table, number, "bevelled"), "yes", f"no for {material.key}", fix)


def bevels_leave_wood(project: Project, places: Places) -> Iterator[Problem]:
    """The narrow face of a bevelled piece, its width less thickness times tan angle, is left."""
    unit, angle = project.project.unit, float(project.terms.bevel_angle)
    materials = by_key(project.materials)
    for table, number, row in cut_from_stock(project):
        material = materials.get(row.material)
        if row.bevelled == "no" or material is None:
            continue
        lost = float(material.thickness) * tan(radians(angle))
        if float(row.width) <= lost:
            thick = f"{format_length(material.thickness, unit)} {unit}"
            expected = f"more than {lost:.3g} {unit}, what a bevel takes off in {thick}"
            found = f"{format_length(row.width, unit)} {unit}"
            fix = "Make it wider; a bevel that runs out over the whole face holds nothing."
            yield Problem(places(table, number, "width"), found, expected, fix)


def cut_from_stock(project: Project) -> Iterator[tuple[str, int, Part | Profile]]:
    """Table, number and row of everything that is cut from a material."""
    for number, part in enumerate(project.parts):
        yield "parts", number, part
    for number, profile in enumerate(project.profiles):
        yield "profiles", number, profile


def kerf_below_sizes(project: Project, places: Places) -> Iterator[Problem]:
    """The saw cut is narrower than everything that is cut."""
    unit, kerf = project.project.unit, project.terms.kerf
    expected = f"more than the saw kerf of {format_length(kerf, unit)} {unit}"
    fix = "Correct the size, or the kerf among the terms."
    for table, number, row in cut_from_stock(project):
        sizes = (
            {"length": row.length, "width": row.width}
            if isinstance(row, Part)
            else {"width": row.width}
        )
        for name, size in sizes.items():
            if size <= kerf:
                found = f"{format_length(size, unit)} {unit}"
                yield Problem(places(table, number, name), found, expected, fix)


# --- Rail runs ------------------------------------------------------------------------------------


def runs_hold_screws(project: Project, places: Places) -> Iterator[Problem]:
    """A run is longer than what must stay free of screws at both ends."""
    unit, end = project.project.unit, project.terms.end_distance
    for number, run in enumerate(project.runs):
        if run.length <= 2 * end:
            expected = f"more than twice the end distance of {format_length(end, unit)} {unit}"
            found = f"{format_length(run.length, unit)} {unit}"
            fix = "Correct the length, or the end distance among the terms."
            yield Problem(places("runs", number, "length"), found, expected, fix)


def joints_reach_studs(project: Project, places: Places) -> Iterator[Problem]:
    """A run that is pieced has stock long enough to reach from one stud to the next."""
    unit, terms = project.project.unit, project.terms
    materials, profiles = by_key(project.materials), by_key(project.profiles)
    for number, run in enumerate(project.runs):
        profile = profiles.get(run.profile)
        material = materials.get(profile.material) if profile else None
        if material is None:
            continue
        stock = usable(material, terms.trim).length
        if run.length > stock and terms.end_distance + run.spacing > stock:
            spacing, longest = (format_length(each, unit) for each in (run.spacing, stock))
            end = format_length(terms.end_distance, unit)
            yield Problem(
                places("runs", number, "spacing"),
                f"{spacing} {unit}",
                f"with the end distance of {end} {unit}, at most {longest} {unit}, "
                f"the longest piece of {material.key}",
                "Use longer stock, or backing that gives a joint something to stand on.",
            )


SIZE_CHECKS = (
    sheets_outlast_trim,
    parts_fit,
    rails_fit,
    lengths_used_whole,
    bevels_leave_wood,
    kerf_below_sizes,
    runs_hold_screws,
    joints_reach_studs,
)
