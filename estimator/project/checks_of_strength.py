"""Checks of what strength and access rest on: screws in their rail, spans, steps once."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.problems import Problem
from estimator.project.lengths import format_length
from estimator.project.records import Project
from estimator.project.rows import Places


def upper_screws_in_rail(project: Project, places: Places) -> Iterator[Problem]:
    """The upper screws stand on the rail, and are some of all."""
    unit = project.project.unit
    for number, each in enumerate(project.profiles):
        if each.screw_line >= each.width:
            found, width = (format_length(size, unit) for size in (each.screw_line, each.width))
            yield Problem(
                places("profiles", number, "screw_line"),
                f"{found} {unit}",
                f"less than the rail's width of {width} {unit}",
                "Measure from the rail's lower edge up to its upper screws.",
            )
        if each.upper_screws > each.screws_per_stud:
            yield Problem(
                places("profiles", number, "upper_screws"),
                str(each.upper_screws),
                f"at most {each.screws_per_stud}, all screws in a stud",
                "Count the screws of the upper row only.",
            )


def threads_on_screws(project: Project, places: Places) -> Iterator[Problem]:
    """A thread is no longer than its screw."""
    unit = project.project.unit
    for number, each in enumerate(project.screws):
        if each.thread > each.length:
            found, length = (format_length(size, unit) for size in (each.thread, each.length))
            expected = f"at most the screw's length of {length} {unit}"
            place = places("screws", number, "thread")
            yield Problem(place, f"{found} {unit}", expected, "Correct one of the two.")


def spans_on_parts(project: Project, places: Places) -> Iterator[Problem]:
    """A part spans no more than its own length."""
    unit = project.project.unit
    for number, each in enumerate(project.parts):
        if each.span > each.length:
            found, length = (format_length(size, unit) for size in (each.span, each.length))
            expected = f"at most the part's length of {length} {unit}"
            fix = "Measure the span along the grain, between the faces of the supports."
            yield Problem(places("parts", number, "span"), f"{found} {unit}", expected, fix)


def steps_once(project: Project, places: Places) -> Iterator[Problem]:
    """A step of a table stands once, or both would be added up."""
    for table, names in (("steps", ("from_rooms",)), ("reaches", ("approach", "over"))):
        seen: set[tuple[object, ...]] = set()
        for number, row in enumerate(project.rows(table)):
            step = tuple(getattr(row, name) for name in names)
            if step in seen:
                place = places(table, number, names[-1])
                yield Problem(place, str(step[-1]), "each step once", "Remove one of the two.")
            seen.add(step)


STRENGTH_CHECKS = (upper_screws_in_rail, threads_on_screws, spans_on_parts, steps_once)
