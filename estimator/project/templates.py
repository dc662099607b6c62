"""Templates: a property names its kits and rooms, and all of them are read from TOML files.

    properties/NAME.toml   the job: facts, terms, floors, room counts, stages, scope, alternates
    rooms/NAME.toml        one room type with its rail runs and its contents
    kits/NAME.toml         modules with their parts and supplies, and rail profiles

Keys are the field names of the records. What belongs to a module or a room type stands under it
and need not name it again. Starting rates are added from the rates folder.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from estimator.data import data_folder
from estimator.problems import Problem, ProblemsFound, raise_if_any
from estimator.project.checks import check_project
from estimator.project.faults import listed, nearest, unknown_name
from estimator.project.lengths import LengthUnit
from estimator.project.rates import chosen_rates, read_rates
from estimator.project.records import FORMS, KEY, Project
from estimator.project.rows import Entry, Found, merged, project_from_rows, unit_of
from estimator.project.textfiles import read_text, shown

CHILDREN = {
    "modules": {"parts": "module", "uses": "per"},
    "types": {"runs": "room_type", "contents": "room_type"},
}
"""Tables whose rows stand under a row of another table, with the field that names that row."""

IN_KIT = ("profiles", "modules", "uses")
IN_LIMITS = ("strength", "access", "lifting")
IN_PROPERTY = ("project", "terms", "floors", "stages", "clauses", "alternates")
NAMED = {"kits": "a kit", "rooms": "a room"}
BESIDE_TABLES = ("title", "about", *NAMED, "counts", "overrides")

Document = Mapping[str, Any]


# --- What a caller asks for ---------------------------------------------------------------------


class Template(NamedTuple):
    """What the list of templates says of one."""

    name: str
    title: str
    about: str


def list_templates() -> list[Template]:
    """The property templates that come with the tool, by name."""
    paths = (data_folder("templates") / "properties").glob("*.toml")
    documents = {path.stem: read_toml(path)[0] for path in paths}
    return [
        Template(name, str(document.get("title", "")), str(document.get("about", "")))
        for name, document in sorted(documents.items())
    ]


def read_template(name_or_path: str | Path) -> Project:
    """The project that a property template describes, complete with starting rates, and checked.

    name_or_path: the name of a template that comes with the tool, or the path of a TOML file whose
    kits and rooms are looked up in the folders beside its own, then among those of the tool.
    Raises ProblemsFound with every fault of every file.
    """
    found = read_property(find_property(name_or_path))
    project = project_from_rows(found.raw(), found.place, found.problems)
    raise_if_any(check_project(project, found.place))
    return project


def find_property(name_or_path: str | Path) -> Path:
    """The property file of that name or path; raises ProblemsFound for an unknown name."""
    given = str(name_or_path)
    if isinstance(name_or_path, Path) or given.endswith(".toml") or "/" in given:
        return Path(name_or_path)
    library = Library((data_folder("templates"),))
    path = library.file("properties", given)
    if path is None:
        known = library.names("properties")
        fix = f"{nearest(given, known)} The path of a TOML file will do as well."
        raise ProblemsFound([Problem("template", given, f"one of {listed(known)}", fix)])
    return path


# --- Files --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Library:
    """Folders that hold templates; the first that has a name wins."""

    folders: tuple[Path, ...]

    def file(self, kind: str, name: str) -> Path | None:
        """The file of the property, room or kit of that name."""
        paths = (path for folder in self.folders for path in (folder / kind).glob("*.toml"))
        return next((path for path in paths if path.stem == name), None)

    def names(self, kind: str) -> list[str]:
        """All names of that kind."""
        paths = (path for folder in self.folders for path in (folder / kind).glob("*.toml"))
        return sorted({path.stem for path in paths})


def read_toml(path: Path) -> tuple[dict[str, Any], list[Problem]]:
    """What the TOML file holds, decimals exact, or why it cannot be read."""
    text, problems = read_text(path)
    try:
        return tomllib.loads(text, parse_float=Decimal), problems
    except (ValueError, RecursionError) as error:
        line = re.search(r"line (\d+)", str(error))
        number = int(line[1]) if line else 0
        value = text.splitlines()[number - 1] if number else ""
        place = f"{shown(path)}, line {number}" if number else shown(path)
        return {}, [Problem(place, value, "TOML", f"Correct the spelling here: {error}.")]


def read_property(path: Path) -> Found:
    """Everything that the property names, not yet checked, with starting rates and overrides.

    Raises ProblemsFound when the property's own file cannot be read.
    """
    document, problems = read_toml(path)
    raise_if_any(problems)
    place = shown(path)
    own = property_tables(document, place)
    unit = unit_of(own.raw())
    library = Library((path.resolve().parent.parent, data_folder("templates")))
    named = [
        read_named(library, kind, name, f"{place}, {kind}", unit)
        for kind in NAMED
        for name in texts(document.get(kind))
    ]
    job = merged([own, *named])
    rated = merged([job, chosen_rates(job, read_rates(unit)), read_limits(unit)])
    return overridden(rated, document.get("overrides", {}), f"{place}, overrides")


def read_limits(unit: LengthUnit) -> Found:
    """The forms of limits for projects in that unit, from the rates folder."""
    path = data_folder("rates") / unit / "limits.toml"
    document, problems = read_toml(path)
    return merged([Found(problems=problems), tables(document, IN_LIMITS, shown(path))])


def read_named(library: Library, kind: str, name: str, place: str, unit: LengthUnit) -> Found:
    """The kit or room of that name, which must be written in the property's unit."""
    path = library.file(kind, name)
    if path is None:
        known = library.names(kind)
        return Found(problems=[unknown_name(place, name, known, f"the name of {NAMED[kind]}")])
    document, problems = read_toml(path)
    if problems:
        return Found(problems=problems)
    in_unit = document.pop("unit", "")
    problems = [] if in_unit == unit else [_wrong_unit(f"{shown(path)}, unit", in_unit, unit)]
    if kind == "rooms":
        found = row("types", document, shown(path))
    else:
        found = tables(document, IN_KIT, shown(path))
    return merged([Found(problems=problems), found])


def _wrong_unit(place: str, value: object, unit: LengthUnit) -> Problem:
    return Problem(
        place,
        str(value),
        f"{unit}, the unit of the property",
        "Name a kit or room in that unit; its lengths and weights are taken as they stand.",
    )


# --- From a document to rows --------------------------------------------------------------------


def property_tables(document: Document, place: str) -> Found:
    """The property's own tables, its counts, and what is wrong with their shape."""
    problems = [
        _wrong_shape(f"{place}, {name}", document.get(name, ""), "text between quotation marks")
        for name in ("title", "about")
        if not isinstance(document.get(name), str)
    ]
    problems += [
        _wrong_shape(f"{place}, {kind}", document.get(kind, ""), 'names, as in ["king", "double"]')
        for kind in NAMED
        if not texts(document.get(kind))
    ]
    inside = {name: value for name, value in document.items() if name not in BESIDE_TABLES}
    counted = counts(document.get("counts", {}), f"{place}, counts")
    own = tables(inside, IN_PROPERTY, place, beside=BESIDE_TABLES)
    return merged([Found(problems=problems), own, counted])


def texts(value: object) -> list[str]:
    """The texts of a list that holds nothing else; otherwise none."""
    every = value if isinstance(value, list) else []
    return every if all(isinstance(each, str) for each in every) else []


def tables(
    document: Document, known: Sequence[str], place: str, beside: Sequence[str] = ()
) -> Found:
    """The rows of all tables of a document, which must be among the known ones.

    beside: what else such a document may hold, for the message.
    """
    strange = [
        unknown_name(f"{place}, {name}", name, (*beside, *known), "one of")
        for name in document
        if name not in known
    ]
    found = (rows(name, document[name], f"{place}, {name}") for name in known if name in document)
    return merged([Found(problems=strange), *found])


def rows(table: str, value: object, place: str) -> Found:
    """The rows of one table: a form is one table, all else a list of tables, numbered from 1."""
    if table in {form.table for form in FORMS}:
        return row(table, value, place)
    if not isinstance(value, list):
        return Found(problems=[_wrong_shape(place, value, f"rows, each headed [[{table}]]")])
    return merged(row(table, each, f"{place} {number}") for number, each in enumerate(value, 1))


def row(table: str, value: object, place: str) -> Found:
    """A row, and the rows of other tables that stand under it."""
    if not isinstance(value, dict):
        return Found(problems=[_wrong_shape(place, value, "a table of fields")])
    under = CHILDREN.get(table, {})
    own = Entry(place, {name: each for name, each in value.items() if name not in under})
    children = (
        belonging(rows(child, value[child], f"{place}, {child}"), child, {field: key_of(value)})
        for child, field in under.items()
        if child in value
    )
    return merged([Found({table: [own]}), *children])


def key_of(fields: Document) -> str:
    """The row's key; while that is wrong, a name that is right, so that it is said only once."""
    key = fields.get("key")
    return key if isinstance(key, str) and KEY.fullmatch(key) else "unnamed"


def belonging(found: Found, table: str, owner: Document) -> Found:
    """The rows with the field that names the row under which they stand."""
    under = [Entry(each.place, {**owner, **each.fields}) for each in found.entries(table)]
    return Found({**found.tables, table: under}, found.problems)


def counts(value: object, place: str) -> Found:
    """Room counts, written as a table of floors for each room type."""
    if not isinstance(value, dict):
        return Found(problems=[_wrong_shape(place, value, "a table for each room type")])
    return merged(counts_of(name, floors, f"{place}, {name}") for name, floors in value.items())


def counts_of(room_type: str, floors: object, place: str) -> Found:
    """The counts of one room type by floor."""
    if not isinstance(floors, dict):
        return Found(problems=[_wrong_shape(place, floors, "a table of floors, as in F1 = 6")])
    entries = [
        Entry(
            f"{place}, {floor}",
            {"room_type": room_type, "floor": floor, "rooms": rooms},
            {"rooms": f"{place}, {floor}"},
        )
        for floor, rooms in floors.items()
    ]
    return Found({"counts": entries})


def _wrong_shape(place: str, value: object, expected: str) -> Problem:
    return Problem(place, str(value), expected, "Write it in that form; other templates show how.")


# --- Overrides ----------------------------------------------------------------------------------


def overridden(found: Found, value: object, place: str) -> Found:
    """What was found, with fields replaced as [overrides.TABLE.KEY] says."""
    for table, key, change in changes(value):
        at = f"{place}, {table}, {key}"
        keys = {str(each.fields.get("key")): each for each in found.entries(table)}
        if key not in keys or not isinstance(change, dict):
            problem = unknown_name(at, key, keys, f"a key of the table {table} and its new fields")
            found = merged([found, Found(problems=[problem])])
            continue
        old = keys[key]
        new = Entry(old.place, {**old.fields, **change}, {name: f"{at}, {name}" for name in change})
        entries = [new if each is old else each for each in found.entries(table)]
        found = Found({**found.tables, table: entries}, found.problems)
    return found


def changes(value: object) -> Iterator[tuple[str, str, object]]:
    """Table, key and new fields of every override."""
    for table, keys in value.items() if isinstance(value, dict) else []:
        for key, change in keys.items() if isinstance(keys, dict) else [("", keys)]:
            yield table, key, change
