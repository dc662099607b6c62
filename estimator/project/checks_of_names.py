"""Checks of keys and of what names them: once each, no name with two meanings, nothing missing."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.problems import Problem
from estimator.project.faults import unknown_name
from estimator.project.lookup import by_key, every_row, names_in
from estimator.project.records import MEASURES, PALLET, RECORDS, Finish, Material, Project
from estimator.project.rows import Places

IN_ONE_COLUMN = (
    "modules", "types", "profiles", "materials", "items", "finishes", "containers",
)  # fmt: skip
"""Tables whose keys may stand in the same column, so that one key must not mean two things."""


def keys_once(project: Project, places: Places) -> Iterator[Problem]:
    """A key stands once in its table; a spreadsheet compares without regard to case."""
    for record in RECORDS:
        first: dict[str, int] = {}
        for number, key in enumerate(project.keys(record.table)):
            earlier = first.setdefault(key.casefold(), number)
            if earlier != number:
                there = places(record.table, earlier, "key")
                yield Problem(
                    places(record.table, number, "key"),
                    key,
                    f"a key that no other row of {record.title} has",
                    f"Change it or remove the row: it already stands at {there}.",
                )


def keys_mean_one_thing(project: Project, places: Places) -> Iterator[Problem]:
    """Where one column may name rows of several tables, a name belongs to one of them only."""
    taken = {name: f"the measure {name}" for name in MEASURES} | {PALLET: "the word for freight"}
    for table in IN_ONE_COLUMN:
        own: dict[str, str] = {}
        for number, key in enumerate(project.keys(table)):
            place = places(table, number, "key")
            if key.casefold() in taken:
                fix = f"Choose another: it is {taken[key.casefold()]}."
                yield Problem(place, key, "a name for one thing only", fix)
            own[key.casefold()] = f"the key at {place}"
        taken |= own


def references_known(project: Project, places: Places) -> Iterator[Problem]:
    """Everything that a row names exists, spelt as its key is."""
    for table, number, row in every_row(project):
        for name, (about, _) in row.columns().items():
            value = getattr(row, name)
            if about.refers_to and value:
                known = [key for each in about.refers_to for key in names_in(project, each)]
                if value not in known:
                    yield unknown_name(places(table, number, name), value, known, "one of")


def counts_complete(project: Project, places: Places) -> Iterator[Problem]:
    """Every room type has its row of counts, and no pair of type and floor stands twice."""
    seen: dict[tuple[str, str], int] = {}
    for number, row in enumerate(project.counts):
        pair = (row.room_type, row.floor)
        earlier = seen.setdefault(pair, number)
        if earlier != number:
            there = places("counts", earlier, "rooms")
            yield Problem(
                places("counts", number, "rooms"),
                f"{row.room_type} on {row.floor} again",
                "one count for each room type and floor",
                f"Add it to the count at {there}.",
            )
    counted = {room_type for room_type, _ in seen}
    for number, each in enumerate(project.types):
        if each.key not in counted:
            fix = "Add its counts; type 0 where there are none."
            yield Problem(places("types", number, "key"), each.key, "a row of room counts", fix)


def contents_on_own_rails(project: Project, places: Places) -> Iterator[Problem]:
    """What hangs in a room hangs on a rail of the same room type."""
    runs = by_key(project.runs)
    for number, row in enumerate(project.contents):
        run = runs.get(row.run)
        if run and run.room_type != row.room_type:
            own = [each.key for each in project.runs if each.room_type == row.room_type]
            what = f"a rail run of {row.room_type}, not of {run.room_type}"
            yield unknown_name(places("contents", number, "run"), row.run, own, what)


def alternates_alike(project: Project, places: Places) -> Iterator[Problem]:
    """An alternate offers one thing for another of its kind, and the thing offered says so."""
    for table, stock in replaceable(project).items():
        for number, row in enumerate(project.alternates):
            offered = stock.get(row.offered)
            if offered and row.instead not in stock:
                place = places("alternates", number, "instead")
                fix = f"Name one of the {table}, or offer something else."
                yield Problem(place, row.instead, f"the same kind of thing as {row.offered}", fix)
            elif offered and offered.stands_in_for != row.instead:
                place = places(table, project.keys(table).index(row.offered), "stands_in_for")
                expected = f"{row.instead}, since {row.key} offers {row.offered} instead of it"
                yield Problem(place, offered.stands_in_for, expected, f"Write {row.instead} here.")


def stand_ins_replaced_once(project: Project, places: Places) -> Iterator[Problem]:
    """What is only offered instead of something is not itself replaced."""
    for table, stock in replaceable(project).items():
        for number, row in enumerate(getattr(project, table)):
            replaced = stock.get(row.stands_in_for)
            if replaced and replaced.stands_in_for:
                place = places(table, number, "stands_in_for")
                fix = f"Name what is in the price, such as {replaced.stands_in_for}, or nothing."
                yield Problem(place, replaced.key, "what is in the price itself", fix)


def stand_ins_unused(project: Project, places: Places) -> Iterator[Problem]:
    """What is only offered instead of something is in no part or rail that is priced."""
    for table, stock in replaceable(project).items():
        name = "material" if table == "materials" else "finish"
        for user in ("parts", "profiles"):
            for number, row in enumerate(project.rows(user)):
                used = stock.get(getattr(row, name))
                if used and used.stands_in_for:
                    fix = f"Use {used.stands_in_for}; {used.key} is priced beside it."
                    yield Problem(places(user, number, name), used.key, "what is in the price", fix)


def replaceable(project: Project) -> dict[str, dict[str, Material | Finish]]:
    """By table, the rows that may be offered instead of one another, by folded key."""
    materials: tuple[Material | Finish, ...] = project.materials
    finishes: tuple[Material | Finish, ...] = project.finishes
    return {"materials": by_key(materials), "finishes": by_key(finishes)}


NAME_CHECKS = (
    keys_once,
    keys_mean_one_thing,
    references_known,
    counts_complete,
    contents_on_own_rails,
    alternates_alike,
    stand_ins_replaced_once,
    stand_ins_unused,
)
