"""Checks of money and supply: a price for everything from one upwards, cans, stages, scope."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from estimator.problems import Problem
from estimator.project.lengths import format_length
from estimator.project.lookup import by_key
from estimator.project.records import PALLET, Container, Project
from estimator.project.rows import Places

# --- Prices ---------------------------------------------------------------------------------------


def priced_from_one(project: Project, places: Places) -> Iterator[Problem]:
    """Every material and item, and a pallet, has a price that holds from the first one."""
    from_one = {row.item for row in project.prices if row.from_quantity == 1}
    fix = "Add a row to Prices whose From is 1; further rows are for larger quantities."
    for table in ("materials", "items"):
        for number, key in enumerate(project.keys(table)):
            if key not in from_one:
                yield Problem(
                    places(table, number, "key"), key, "a price from a quantity of 1", fix
                )
    if PALLET not in from_one:
        expected = f"a price from a quantity of 1 for {PALLET}, the freight of one"
        yield Problem(places("prices", len(project.prices), ""), "", expected, fix)


def breaks_once(project: Project, places: Places) -> Iterator[Problem]:
    """A price break stands once, or both would be added up."""
    seen: dict[tuple[str, int], int] = {}
    for number, row in enumerate(project.prices):
        earlier = seen.setdefault((row.item, row.from_quantity), number)
        if earlier != number:
            there = places("prices", earlier, "from_quantity")
            yield Problem(
                places("prices", number, "from_quantity"),
                f"{row.item} from {row.from_quantity:,} again",
                "one price for each item and quantity",
                f"Remove one of the two: the other stands at {there}.",
            )


# --- Finishes and their containers ----------------------------------------------------------------


def finishes_spread(project: Project, places: Places) -> Iterator[Problem]:
    """How far a finish goes is known: its spreading rate, or its solids and the dry film."""
    for number, row in enumerate(project.finishes):
        if not row.spread and not (row.solids and row.film):
            place = places("finishes", number, "spread")
            fix = "Type the spreading rate, or both solids and dry film, from the label."
            yield Problem(place, "", "a spreading rate, or solids and dry film", fix)


def containers_complete(project: Project, places: Places) -> Iterator[Problem]:
    """A finish is sold in a large container at least, and in each size once."""
    for number, finish in enumerate(project.finishes):
        sizes = [row.size for _, row in containers_of(project, finish.key)]
        if "large" not in sizes:
            fix = "Add a container of the size large; if there is only one, it is the large one."
            place = places("finishes", number, "key")
            yield Problem(place, finish.key, "a large container for this finish", fix)
        for size in sorted({size for size in sizes if sizes.count(size) > 1}):
            twice = [at for at, row in containers_of(project, finish.key) if row.size == size]
            expected = f"one {size} container of {finish.key}"
            fix = "Keep the one that is bought; sizes are large, medium and small."
            yield Problem(places("containers", twice[-1], "size"), size, expected, fix)


SIZES = ("small", "medium", "large")


def containers_ordered(project: Project, places: Places) -> Iterator[Problem]:
    """A larger container holds more and costs no more for its volume, so that large ones fill."""
    for finish in project.finishes:
        sold = sorted(
            containers_of(project, finish.key), key=lambda each: SIZES.index(each[1].size)
        )
        for (_, less), (number, more) in pairwise(sold):
            if more.holds <= less.holds:
                expected = f"more than the {less.size} container, which holds {less.holds}"
                fix = "Correct the volume or the size."
                yield Problem(places("containers", number, "holds"), str(more.holds), expected, fix)
            elif more.price * less.holds > less.price * more.holds:
                most = less.price * more.holds / less.holds
                expected = f"at most {most:.2f}, what as much costs in {less.key}"
                fix = "Correct the price, or leave out the container that nobody would buy."
                yield Problem(places("containers", number, "price"), str(more.price), expected, fix)


def containers_of(project: Project, finish: str) -> list[tuple[int, Container]]:
    """The containers of a finish, with their numbers."""
    rows = enumerate(project.containers)
    return [(number, row) for number, row in rows if row.finish == finish]


# --- Alternates, stages, scope --------------------------------------------------------------------


def alternate_sheets_same_size(project: Project, places: Places) -> Iterator[Problem]:
    """A material offered instead has the same form and size, so that the cut plan holds."""
    unit, materials = project.project.unit, by_key(project.materials)
    for number, row in enumerate(project.materials):
        instead = materials.get(row.stands_in_for)
        if instead is None:
            continue
        for name in ("form", "length", "width", "thickness"):
            own, other = getattr(row, name), getattr(instead, name)
            if own != other:
                found, expected = (
                    each if name == "form" else f"{format_length(each, unit)} {unit}"
                    for each in (own, other)
                )
                place = places("materials", number, name)
                fix = "Give both the same size, or offer the material in a project of its own."
                yield Problem(place, found, f"{expected}, as {instead.key}", fix)


def stages_whole(project: Project, places: Places) -> Iterator[Problem]:
    """Payment stages are numbered once each and add up to the whole price."""
    shares = sum(row.share for row in project.stages)
    if project.stages and shares != 1:
        place = places("stages", len(project.stages) - 1, "share")
        fix = "Change one of the shares."
        yield Problem(place, f"{shares:.2%} in all", "shares that add up to 100 %", fix)
    numbers = [row.number for row in project.stages]
    for at, number in enumerate(numbers):
        if number in numbers[:at]:
            fix = "Number the stages in their order."
            yield Problem(places("stages", at, "number"), str(number), "each number once", fix)


def only_allowances_have_sums(project: Project, places: Places) -> Iterator[Problem]:
    """A sum stands only where the price holds it."""
    for number, row in enumerate(project.clauses):
        if row.amount and row.kind != "allowance":
            fix = "Remove the sum, or make the line an allowance."
            place = places("clauses", number, "amount")
            yield Problem(place, str(row.amount), f"no sum for what is {row.kind}", fix)


PRICE_CHECKS = (
    priced_from_one,
    breaks_once,
    finishes_spread,
    containers_complete,
    containers_ordered,
    alternate_sheets_same_size,
    stages_whole,
    only_allowances_have_sums,
)
