"""The tables a person fills in, as typed records: what a row holds, in which unit, and why.

These classes are the one description of every input. The workbook's input columns, the checks of
what was typed and the reading of templates, rates and workbooks all follow from them. A unit in
braces is the project's: {length} is inches or millimetres, {run} feet or metres.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, ClassVar, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    model_validator,
)
from pydantic.fields import FieldInfo
from pydantic_core import PydanticCustomError

from estimator.project.lengths import LengthError, parse_length
from estimator.project.locales import customs_of, is_locale

LONGEST_TEXT = 500
PLAIN = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)")
KEY = re.compile(r"[A-Za-z][A-Za-z0-9-]{0,39}")


@dataclass(frozen=True)
class ColumnOf:
    """What the workbook needs to know of a field: header, unit, note, display, references."""

    label: str
    unit: str
    note: str
    show: str = ""
    refers_to: tuple[str, ...] = ()


def column(
    label: str,
    unit: str,
    note: str,
    *,
    default: Any = ...,
    show: str = "",
    refers_to: tuple[str, ...] = (),
) -> Any:
    """A field of a record with its place in the workbook; without a default it must be filled."""
    about = ColumnOf(label, unit, note, show, refers_to)
    return Field(default, json_schema_extra={"column": about})  # type: ignore[dict-item]


def _length(value: Any, info: Any) -> Any:
    try:
        return parse_length(value, (info.context or {}).get("unit", "in"))
    except LengthError as error:
        raise PydanticCustomError(
            "length",
            "{expected}. {fix}",
            {"expected": error.expected, "fix": error.fix},
        ) from None


def _key(value: Any) -> Any:
    text = str(value).strip() if isinstance(value, str) else value
    if not isinstance(text, str) or not KEY.fullmatch(text):
        raise PydanticCustomError(
            "key",
            "{expected}. {fix}",
            {
                "expected": "a short name of letters, digits and hyphens that begins with a letter",
                "fix": "Shorten it to at most 40 such characters, for instance shelf-24.",
            },
        )
    return text


def _locale(value: Any) -> Any:
    if not is_locale(value):
        raise PydanticCustomError(
            "locale",
            "{expected}. {fix}",
            {
                "expected": "a language and a country, such as en-US or de-DE",
                "fix": "Write the two letters of each with a hyphen between.",
            },
        )
    return value


def _optional_key(value: Any) -> Any:
    return "" if value is None or value == "" else _key(value)


def _count(value: Any) -> Any:
    if not _is_plain(value):
        raise PydanticCustomError("int_type", "a whole number")
    return value


def _is_plain(value: Any) -> bool:
    """Whether it is no truth value and, as text, digits only: not 1_000, not 1e3, not nan."""
    if isinstance(value, str):
        return PLAIN.fullmatch(value.strip()) is not None
    return not isinstance(value, bool)


def _day(value: Any) -> Any:
    """A number would be taken for seconds since 1970."""
    if isinstance(value, int | float):
        raise PydanticCustomError("date_type", "a date")
    return value


def _decimal(value: Any) -> Any:
    """A float as the decimal it prints, so that 0.1 stays one tenth."""
    if not _is_plain(value):
        raise PydanticCustomError("decimal_type", "a number")
    return Decimal(repr(value)) if isinstance(value, float) else value


Text = Annotated[str, Field(max_length=LONGEST_TEXT)]
Key = Annotated[str, BeforeValidator(_key)]
OptionalKey = Annotated[str, BeforeValidator(_optional_key)]
Length = Annotated[Fraction, BeforeValidator(_length), PlainSerializer(str)]
Count = Annotated[int, BeforeValidator(_count), Field(ge=0, le=10_000_000)]
Number = Annotated[Decimal, BeforeValidator(_decimal), Field(ge=0, le=Decimal(10) ** 12)]
Rate = Annotated[Decimal, BeforeValidator(_decimal), Field(ge=0, le=1)]
Day = Annotated[date, BeforeValidator(_day)]
YesNo = Literal["yes", "no"]


class Record(BaseModel):
    """A row of an input table. Where it was read is kept beside it, by table and row."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)

    table: ClassVar[str]
    title: ClassVar[str]
    sheet: ClassVar[str]
    about: ClassVar[str]

    @classmethod
    def columns(cls) -> Mapping[str, tuple[ColumnOf, FieldInfo]]:
        """The record's fields with what the workbook shows of each."""
        fields = cls.model_fields.items()
        return {name: (info.json_schema_extra["column"], info) for name, info in fields}  # type: ignore[index,misc]


class Facts(Record):
    """Who, where and when: the head of every sheet and of the quote."""

    table = "project"
    title = "Project"
    sheet = "Project"
    about = "Who the work is for, and the facts that head the quote."

    name: Text = column("Project", "text", "The name of the job, as the quote shows it.")
    client: Text = column("Client", "text", "Who asks for the work.", default="")
    place: Text = column("Place", "text", "Where the rooms are.", default="")
    prepared_by: Text = column("Prepared by", "text", "The shop that makes the offer.", default="")
    unit: Literal["in", "mm"] = column(
        "Unit of length", "text", "Lengths on every sheet are in inches (in) or millimetres (mm)."
    )
    locale: Annotated[str, BeforeValidator(_locale)] = column(
        "Locale",
        "text",
        "Language and country, such as en-US or de-DE: how dates and money are written.",
        default="en-US",
    )
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = column(
        "Currency",
        "text",
        "The three letters of the currency, such as USD; that of the country when left out.",
        default="USD",
    )
    paper: Literal["letter", "A4"] = column(
        "Paper",
        "text",
        "The paper that sheets and quote are set up for; that of the country when left out.",
        default="letter",
    )
    revision: Annotated[str, Field(pattern=r"^[A-Z]{1,3}$")] = column(
        "Revision", "text", "A letter that moves on with each issue.", default="A"
    )
    issued: Day = column("Date", "text", "The day of this revision, as 2026-11-25.")
    valid_days: Count = column("Valid for", "day", "How long the offer stands.", default=30)
    lead_weeks: Count = column(
        "Weeks to make",
        "week",
        "Weeks from order to first delivery, bought items aside.",
        default=8,
    )
    remark: Text = column("Remark", "text", "A line for the welcome sheet.", default="")

    @model_validator(mode="before")
    @classmethod
    def _by_country(cls, given: Any) -> Any:
        """Currency and paper as in the country of the locale, where they are left out."""
        if not isinstance(given, dict):
            return given
        spoken = "en-GB" if given.get("paper") == "A4" else "en-US"
        locale = given.get("locale", spoken)
        return {**customs_of(locale), "locale": locale, **given}


class Terms(Record):
    """The numbers that hold for the whole job."""

    table = "terms"
    title = "Terms"
    sheet = "Terms"
    about = "Numbers that hold for the whole job. No formula hides one: they all stand here."

    kerf: Length = column("Saw kerf", "{length}", "Width of the saw cut.")
    trim: Length = column("Edge trim", "{length}", "Cut off each edge of a sheet before use.")
    bevel_angle: Annotated[Number, Field(gt=0, lt=80)] = column(
        "Bevel angle", "degree", "Of the rail's edge, measured from square."
    )
    end_distance: Length = column(
        "End distance",
        "{length}",
        "The least from the end of a rail to a screw; a pieced run starts this far before a stud.",
    )
    crossing: YesNo = column(
        "Price the extra stud",
        "text",
        "yes: screws for the most studs a rail can cross; no: for the fewest it is sure to cross.",
        default="yes",
    )
    whole_last_sheet: YesNo = column(
        "Price the last sheet whole",
        "text",
        "yes: a part-used sheet is priced whole; no: the job pays for the share it uses.",
        default="yes",
    )
    waste_yield: Annotated[Rate, Field(gt=0)] = column(
        "Usual yield",
        "1",
        "Only for comparison: the share of a sheet that a rule of thumb takes as used.",
        show="percent",
    )
    overhead: Rate = column("Overhead", "1", "On direct cost.", show="percent")
    contingency: Rate = column(
        "Contingency", "1", "On direct cost and overhead, for what is not known.", show="percent"
    )
    margin: Annotated[Rate, Field(lt=Decimal("0.95"))] = column(
        "Margin on price", "1", "The share of the price that is left after cost.", show="percent"
    )
    purchase_tax: Rate = column(
        "Tax on purchases",
        "1",
        "Paid by the shop when it counts as the consumer of what it fixes to the building.",
        show="percent",
    )
    sale_tax: Rate = column(
        "Tax on the sale", "1", "Charged to the client on the taxed share below.", show="percent"
    )
    taxed_sale: Rate = column(
        "Taxed share of the sale",
        "1",
        "Which share of the price the sales tax falls on; ask the tax office, rules differ.",
        show="percent",
    )
    price_step: Annotated[Number, Field(gt=0)] = column(
        "Price step", "money", "Unit prices are rounded to the nearest multiple of this."
    )
    add_uplift: Rate = column(
        "Uplift on an added room", "1", "For rooms added after the order.", show="percent"
    )
    deduct_share: Rate = column(
        "Credit on a dropped room",
        "1",
        "The share of a room's variable price given back when it is dropped.",
        show="percent",
    )
    hours_per_day: Annotated[Number, Field(gt=0, le=24)] = column(
        "Working day", "hour/day", "Paid hours of one person on site in a day."
    )
    site_crew: Annotated[Count, Field(gt=0)] = column(
        "Site crew", "person", "People on site together."
    )
    trips_per_floor: Number = column("Trips per floor", "trip/floor", "Deliveries for each floor.")
    distance: Number = column("Distance", "{distance}/trip", "There and back, for each trip.")
    vehicle_rate: Number = column(
        "Vehicle", "money/{distance}", "Fuel, wear and driver's allowance."
    )
    lodging: Number = column(
        "Lodging and meals", "money/person/day", "For each crew member and day; 0 when near home."
    )
    packing_share: Rate = column(
        "Packing", "1", "Weight of packing as a share of the goods.", show="percent"
    )
    packed_density: Annotated[Number, Field(gt=0)] = column(
        "Packed density", "{density}", "Weight of a packed pallet over its outer space."
    )
    pallet_load: Annotated[Number, Field(gt=0)] = column(
        "Pallet load", "{weight}/pallet", "The most one pallet carries."
    )
    pallet_space: Annotated[Number, Field(gt=0)] = column(
        "Pallet space", "{space}/pallet", "The outer space of one loaded pallet."
    )
    freight_base: Number = column("Freight, base", "money/trip", "For each trip, however full.")
    spread_least: Number = column(
        "Least spreading rate", "{spread}", "A finish below this is marked: is the unit right?"
    )
    spread_most: Number = column(
        "Most spreading rate", "{spread}", "A finish above this is marked: is the unit right?"
    )
    lift_limit: Annotated[Number, Field(gt=0)] = column(
        "Single lift", "{weight}", "A heavier module or sheet needs two people or a lift."
    )
    band_tolerance: Annotated[Rate, Field(gt=0)] = column(
        "Tolerance of the purchaser's price",
        "1",
        "How far price per room times rooms may stray from a new estimate before one is needed.",
        default=Decimal("0.01"),
        show="percent",
    )
    cents: Literal[2] = column(
        "Decimals of money", "1", "Money is rounded to cents, halves up.", default=2, show="whole"
    )
    guard: Literal[6] = column(
        "Decimals kept",
        "1",
        "Before rounding up to whole units, noise beyond so many decimals is dropped.",
        default=6,
        show="whole",
    )
    doubling: Literal[2] = column(
        "Repetition step",
        "1",
        "A repetition rate is the time left each time the number of rooms grows by this factor.",
        default=2,
        show="whole",
    )


class Floor(Record):
    """A floor of the building, in the order in which it is fitted."""

    table = "floors"
    title = "Floors"
    sheet = "Floors"
    about = "The floors, in the order in which they are fitted."

    key: Key = column("Floor", "text", "A short name, such as F1.")
    name: Text = column("Name", "text", "As the quote shows it.")


class RoomType(Record):
    """A room as the prototype proved it: all rooms of a type get the same furniture."""

    table = "types"
    title = "Room types"
    sheet = "Room types"
    about = "The kinds of room. How many there are stands on the sheet Counts."

    key: Key = column("Room type", "text", "A short name, such as king.")
    name: Text = column("Name", "text", "As the quote shows it.")
    description: Text = column("Description", "text", "What the room is.", default="")
    mock_ups: Count = column(
        "Mock-ups",
        "room",
        "Rooms fitted for approval beside those counted; their price is spread over the rest.",
        default=0,
    )
    guest_room: YesNo = column(
        "Guest room",
        "text",
        "yes for a room that is let; no for a lobby or a corridor.",
        default="yes",
    )
    mobility: Literal["no", "tub", "roll-in"] = column(
        "Mobility features",
        "text",
        "no; tub: accessible without a roll-in shower; roll-in: accessible with one.",
        default="no",
    )
    communication: YesNo = column(
        "Communication features",
        "text",
        "yes when fitted with visible alarms and the like.",
        default="no",
    )
    wall_area: Number = column(
        "Wall area",
        "{area}",
        "Of all walls of one room, for the share that is covered; blank: not calculated.",
        default=0,
    )


class RoomCount(Record):
    """How many rooms of a type there are on a floor."""

    table = "counts"
    title = "Room counts"
    sheet = "Counts"
    about = "Type the number of rooms of each type on each floor; everything else follows."

    room_type: Key = column("Room type", "text", "The room type.", refers_to=("types",))
    floor: Key = column("Floor", "text", "The floor.", refers_to=("floors",))
    rooms: Count = column("Rooms", "room", "How many rooms.")


class Content(Record):
    """A module that every room of a type has."""

    table = "contents"
    title = "Room contents"
    sheet = "Contents"
    about = "Which modules hang in a room of each type, how many, and on which rail."

    room_type: Key = column("Room type", "text", "The room type.", refers_to=("types",))
    module: Key = column("Module", "text", "The module.", refers_to=("modules",))
    each: Count = column("In each room", "module/room", "How many in one room.")
    run: OptionalKey = column(
        "On rail run", "text", "The rail run it hangs on.", default="", refers_to=("runs",)
    )


class RailRun(Record):
    """A length of rail on a wall of every room of a type."""

    table = "runs"
    title = "Rail runs"
    sheet = "Rails"
    about = "The rails of each room type. Long runs are pieced with the joints on studs."

    key: Key = column("Rail run", "text", "A short name, such as king-bed-wall.")
    room_type: Key = column("Room type", "text", "The room type.", refers_to=("types",))
    profile: Key = column("Profile", "text", "The rail profile.", refers_to=("profiles",))
    length: Annotated[Length, Field(gt=0)] = column("Length", "{length}", "The whole run.")
    bottom: Length = column("Bottom edge", "{length}", "Height of its bottom edge over the floor.")
    spacing: Annotated[Length, Field(gt=0)] = column(
        "Stud spacing", "{length}", "Middle to middle; verify on site."
    )
    wall: Literal["wood", "steel", "masonry"] = column(
        "Wall",
        "text",
        "wood studs, steel studs (need backing) or masonry (need anchors).",
        default="wood",
    )
    over: Literal["furniture", "path", "aside"] = column(
        "Stands over",
        "text",
        "What is below: furniture where heads are (bed, seat, desk), a path that people walk, or "
        "neither (aside).",
        default="aside",
    )
    approach: Literal["side", "forward"] = column(
        "Reached from the",
        "text",
        "How a person in a wheelchair comes up to it: side or forward.",
        default="side",
    )
    obstacle: Length = column(
        "Reached over",
        "{length}",
        "Depth of what one reaches over, at most 34 in high; blank when nothing is in the way.",
        default=Fraction(0),
    )


class Profile(Record):
    """A rail profile: its section, what it is ripped from or bought as, how it is fixed."""

    table = "profiles"
    title = "Rail profiles"
    sheet = "Rails"
    about = "How a rail is made: ripped from a sheet, or bought in lengths."

    key: Key = column("Profile", "text", "A short name.")
    name: Text = column("Name", "text", "As shown.")
    material: Key = column(
        "Material", "text", "The sheet or the bought length.", refers_to=("materials",)
    )
    width: Annotated[Length, Field(gt=0)] = column("Width", "{length}", "Of its long face.")
    bevelled: YesNo = column(
        "Bevelled", "text", "yes: two pieces share one angled rip of the sheet.", default="yes"
    )
    screws_per_stud: Count = column("Screws per stud", "each/stud", "In every stud crossed.")
    upper_screws: Count = column(
        "Upper screws", "each/stud", "Of those, how many stand in the upper row and take the pull."
    )
    screw_line: Annotated[Length, Field(gt=0)] = column(
        "Upper screws at", "{length}", "Height of the upper row over the rail's lower edge."
    )
    screw: Key = column(
        "Screw", "text", "Which screw holds it, of the sheet Limits.", refers_to=("screws",)
    )
    finish: OptionalKey = column(
        "Finish", "text", "The finish, if any.", default="", refers_to=("finishes",)
    )
    faces: Annotated[Count, Field(le=2)] = column("Faces finished", "face", "0, 1 or 2.", default=1)


class Module(Record):
    """A thing that hangs on a rail."""

    table = "modules"
    title = "Modules"
    sheet = "Modules"
    about = "The things that hang on the rails, with their outer sizes and spares."

    key: Key = column("Module", "text", "A short name, such as shelf-24.")
    name: Text = column("Name", "text", "As the quote shows it.")
    width: Annotated[Length, Field(gt=0)] = column("Width", "{length}", "Along the wall.")
    height: Annotated[Length, Field(gt=0)] = column("Height", "{length}", "Up the wall.")
    depth: Annotated[Length, Field(gt=0)] = column("Depth", "{length}", "Out from the wall.")
    above: Length = column(
        "Top over rail",
        "{length}",
        "How far its top stands over the rail's upper edge: the cleat above its bevel, and what "
        "lies on it.",
        default=Fraction(0),
    )
    purpose: Literal["reached", "mirror", "counter-mirror", "seen"] = column(
        "Purpose",
        "text",
        "reached: taken from by hand; mirror; counter-mirror: over a basin or counter; seen: none "
        "of these.",
        default="reached",
    )
    sill: Length = column(
        "Used from",
        "{length}",
        "How far a mirror's glass, or the lowest thing reached, stands over its lower edge.",
        default=Fraction(0),
    )
    locked: YesNo = column(
        "Locked", "text", "yes: a screw or catch keeps it on its rail.", default="no"
    )
    load: Number = column("Hung load", "{weight}/module", "What it is expected to carry.")
    spares: Rate = column(
        "Spares",
        "1",
        "Extra pieces kept by the property, rounded up.",
        default=Decimal(0),
        show="percent",
    )
    bought_weight: Number = column(
        "Bought weight",
        "{weight}/module",
        "Of glass, metal and hardware, beside its parts.",
        default=0,
    )
    description: Text = column("Description", "text", "For the purchaser.", default="")


class Part(Record):
    """A rectangle cut from a sheet, or a length cut from a bought length, for a module."""

    table = "parts"
    title = "Parts"
    sheet = "Parts"
    about = "What each module is made of, as cut."

    key: Key = column("Part", "text", "A short name, such as shelf-24-top.")
    module: Key = column("Module", "text", "The module it belongs to.", refers_to=("modules",))
    name: Text = column("Name", "text", "What it is.")
    material: Key = column("Material", "text", "What it is cut from.", refers_to=("materials",))
    length: Annotated[Length, Field(gt=0)] = column("Length", "{length}", "Along the grain.")
    width: Annotated[Length, Field(gt=0)] = column("Width", "{length}", "Across the grain.")
    each: Annotated[Count, Field(gt=0)] = column("In each module", "part/module", "How many.")
    grain: Literal["along", "any"] = column(
        "Grain",
        "text",
        "along: keep the length along the grain; any: may be turned.",
        default="along",
    )
    bevelled: YesNo = column(
        "Bevelled", "text", "yes: one long edge is bevelled, two share an angled rip.", default="no"
    )
    finish: OptionalKey = column(
        "Finish", "text", "The finish, if any.", default="", refers_to=("finishes",)
    )
    faces: Annotated[Count, Field(le=2)] = column(
        "Faces finished", "face/part", "0, 1 or 2.", default=2
    )
    long_edges: Annotated[Count, Field(le=2)] = column(
        "Long edges finished", "edge/part", "0, 1 or 2.", default=2
    )
    short_edges: Annotated[Count, Field(le=2)] = column(
        "Short edges finished", "edge/part", "0, 1 or 2.", default=2
    )
    span: Length = column(
        "Clear span",
        "{length}",
        "Between its supports, if it carries things as a shelf does; blank: it does not.",
        default=Fraction(0),
    )
    bears: Number = column(
        "Bears",
        "{weight}/{run}",
        "Load along the span; blank: the module's whole load, spread over it.",
        default=0,
    )


class Use(Record):
    """So much of an item for each of something."""

    table = "uses"
    title = "Hardware and supplies"
    sheet = "Hardware"
    about = "What is used for each module, room, foot of rail or other measure of the job."

    per: Key = column(
        "For each",
        "text",
        "A module, a room type, a rail profile, a material, or a measure of the sheet Measures.",
        refers_to=("modules", "types", "profiles", "materials", "measures"),
    )
    item: Key = column("Item", "text", "What is used.", refers_to=("items",))
    amount: Number = column("How much", "each/measure", "In the item's own unit.")


class Operation(Record):
    """A kind of work: what drives it and how long it takes."""

    table = "operations"
    title = "Operations"
    sheet = "Operations"
    about = "Work in the shop and on site: minutes for each of what drives it, and setting up."

    key: Key = column("Operation", "text", "A short name.")
    name: Text = column("Name", "text", "What is done.")
    where: Literal["shop", "site"] = column("Where", "text", "shop or site.")
    per: Key = column(
        "For each",
        "text",
        "A module, a room type, a rail profile, a material, or a measure of the sheet Measures.",
        refers_to=("modules", "types", "profiles", "materials", "measures"),
    )
    minutes: Number = column("Minutes each", "min/measure", "Of the crew, for the first room.")
    setup: Number = column("Setup", "min/batch", "Minutes of the crew to set up once.")
    setup_per: Key = column(
        "Set up for each", "text", "A measure of the sheet Measures.", refers_to=("measures",)
    )
    crew: Annotated[Count, Field(gt=0)] = column("Crew", "person", "People working together.")
    repetition: Annotated[Rate, Field(ge=Decimal("0.5"))] = column(
        "Repetition rate",
        "1",
        "Average time over all rooms, each time their number doubles (cumulative average).",
        show="percent",
    )
    grade: Key = column("Grade", "text", "Who does it.", refers_to=("grades",))
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Grade(Record):
    """What an hour of somebody costs."""

    table = "grades"
    title = "Wages"
    sheet = "Rates"
    about = "Wages with what comes on top of them."

    key: Key = column("Grade", "text", "A short name.")
    name: Text = column("Name", "text", "Who.")
    wage: Number = column("Wage", "money/hour/person", "Paid to one person for an hour.")
    burden: Annotated[Number, Field(le=5)] = column(
        "On top", "1", "Taxes, insurance, leave and benefits, on the wage.", show="percent"
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Material(Record):
    """A sheet or a bought length that parts and rails are cut from."""

    table = "materials"
    title = "Materials"
    sheet = "Materials"
    about = "Sheets and bought lengths: size, how many are needed, how many to order."

    key: Key = column("Material", "text", "A short name.")
    name: Text = column("Name", "text", "As shown.")
    form: Literal["sheet", "length"] = column("Form", "text", "sheet, or length (of bought rail).")
    length: Annotated[Length, Field(gt=0)] = column("Length", "{length}", "Along the grain.")
    width: Annotated[Length, Field(gt=0)] = column(
        "Width", "{length}", "Across; of a length, its width."
    )
    thickness: Annotated[Length, Field(gt=0)] = column("Thickness", "{length}", "As it measures.")
    density: Number = column("Density", "{density}", "Weight over space.")
    stiffness: Number = column(
        "Stiffness",
        "{stress}",
        "Modulus of elasticity along the grain; blank: not known, its shelves are not calculated.",
        default=0,
        show="whole",
    )
    bending: Number = column(
        "Bending allowed",
        "{stress}",
        "Greatest stress in bending, its factor of safety taken off; blank: not known.",
        default=0,
        show="whole",
    )
    emission: Literal["none", "ask", "stated"] = column(
        "Emission label",
        "text",
        "none: no glued panel; ask: the supplier has not said; stated: label or certificate seen.",
        default="ask",
    )
    stands_in_for: OptionalKey = column(
        "Alternate for",
        "text",
        "If this is only offered instead of another material of the same size: that material.",
        default="",
        refers_to=("materials",),
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Item(Record):
    """A thing bought in packs: fastener, hardware, glue, abrasive, blade, bought item."""

    table = "items"
    title = "Items"
    sheet = "Items"
    about = "What is bought by the pack: how much is used, lost, and ordered."

    key: Key = column("Item", "text", "A short name.")
    name: Text = column("Name", "text", "As shown on the buy list.")
    kind: Literal["fastener", "hardware", "glue", "abrasive", "blade", "bought", "packing"] = (
        column("Kind", "text", "fastener, hardware, glue, abrasive, blade, bought or packing.")
    )
    pack: Annotated[Count, Field(gt=0)] = column(
        "In a pack", "each/pack", "How many are sold together."
    )
    loss: Rate = column("Loss", "1", "Dropped, bent, spilt or left over.", show="percent")
    lead_weeks: Count = column("Lead time", "week", "Weeks from order to arrival.", default=0)
    supplier: Text = column("Supplier", "text", "Who sells it.", default="")
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Price(Record):
    """A price from a quantity upwards: of a sheet, a length, or a pack."""

    table = "prices"
    title = "Prices"
    sheet = "Prices"
    about = "What a sheet, a length or a pack costs from a quantity upwards; the first row from 1."

    item: Key = column(
        "Item", "text", "A material, an item, or pallet for freight.",
        refers_to=("materials", "items", "freight"),
    )  # fmt: skip
    from_quantity: Annotated[Count, Field(gt=0)] = column(
        "From", "measure", "The least quantity that gets this price.", show="whole"
    )
    price: Number = column("Price", "money/measure", "For each, from that quantity on.")
    source: Text = column("Source", "text", "Where the figure comes from.", default="")


class Finish(Record):
    """An oil, a varnish or a paint."""

    table = "finishes"
    title = "Finishes"
    sheet = "Finish"
    about = "Finishes: how far they go, and the cheapest containers that hold enough."

    key: Key = column("Finish", "text", "A short name.")
    name: Text = column("Name", "text", "As shown.")
    coats: Annotated[Count, Field(gt=0)] = column("Coats", "coat", "How many.")
    spread: Number = column(
        "Spreading rate",
        "{spread}",
        "Area from one volume, one coat; blank to use solids.",
        default=0,
    )
    solids: Rate = column(
        "Solids", "1", "Share of the volume that stays; with a dry film.", default=0, show="percent"
    )
    film: Number = column("Dry film", "{film}", "Thickness of one dry coat.", default=0)
    loss: Rate = column("Loss", "1", "Left in cans, brushes and rags, wiped off.", show="percent")
    stands_in_for: OptionalKey = column(
        "Alternate for",
        "text",
        "If this is only offered instead of another finish: that finish.",
        default="",
        refers_to=("finishes",),
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Container(Record):
    """A size in which a finish is sold."""

    table = "containers"
    title = "Containers"
    sheet = "Finish"
    about = "The sizes a finish is sold in; the larger one must not cost more for its volume."

    key: Key = column("Container", "text", "A short name.")
    finish: Key = column("Finish", "text", "The finish.", refers_to=("finishes",))
    name: Text = column("Name", "text", "As shown on the buy list.")
    size: Literal["large", "medium", "small"] = column("Size", "text", "large, medium or small.")
    holds: Annotated[Number, Field(gt=0)] = column("Holds", "{volume}/container", "Its volume.")
    price: Number = column("Price", "money/container", "For one.")
    source: Text = column("Source", "text", "Where the figure comes from.", default="")


class FreightClass(Record):
    """A class of freight, from a density upwards."""

    table = "freight_classes"
    title = "Freight classes"
    sheet = "Rates"
    about = "Classes by density, for a carrier's quotation; rules of the carrier may override them."

    from_density: Number = column("From", "lb/ft**3", "Least density of the class.")
    freight_class: Number = column("Class", "1", "As carriers number it.", show="decimal")
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Stage(Record):
    """A part of the price that falls due."""

    table = "stages"
    title = "Payment stages"
    sheet = "Terms"
    about = "When the price falls due; the shares add up to 100 %."

    number: Annotated[Count, Field(gt=0)] = column("Stage", "1", "In order.", show="whole")
    name: Text = column("When", "text", "As the quote shows it.")
    share: Rate = column("Share", "1", "Of the quoted total.", show="percent")


class Clause(Record):
    """A line of what the price covers and what it does not."""

    table = "clauses"
    title = "Scope"
    sheet = "Scope"
    about = "What is in the price, what is not, and sums allowed for what is not settled."

    kind: Literal["included", "excluded", "allowance", "caution"] = column(
        "Kind", "text", "included, excluded, allowance or caution."
    )
    text: Text = column("Text", "text", "As the quote shows it.")
    amount: Number = column(
        "Allowance", "money", "A sum in the price, for an allowance only.", default=0
    )


class Alternate(Record):
    """Something offered instead, with its difference in price."""

    table = "alternates"
    title = "Alternates"
    sheet = "Alternates"
    about = "Other materials or finishes, and what each would add to or take off the price."

    key: Key = column("Alternate", "text", "A short name.")
    name: Text = column("Name", "text", "As the quote shows it.")
    instead: Key = column(
        "Instead of",
        "text",
        "The material or finish in the price.",
        refers_to=("materials", "finishes"),
    )
    offered: Key = column(
        "Offered", "text", "The material or finish offered.", refers_to=("materials", "finishes")
    )


class Issued(Record):
    """A file that left the office."""

    table = "issued"
    title = "Issued copies"
    sheet = "Changes"
    about = "What was sent, to whom and from which revision; the digest tells whether a file is it."

    key: Key = column("Number", "text", "A short name, such as A-1.")
    to: Text = column("To", "text", "Who it was made for.")
    day: Day = column("Date", "text", "The day it was made, as 2026-11-25.")
    revision: Annotated[str, Field(pattern=r"^[A-Z]{1,3}$")] = column(
        "Revision", "text", "The revision it was made from."
    )
    file: Text = column("File", "text", "Its name.")
    digest: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")] = column(
        "Digest", "text", "SHA-256 of the file, in hexadecimal."
    )


class StrengthLimits(Record):
    """The numbers that checks of rails, cleats and shelves compare with."""

    table = "strength"
    title = "Limits of strength"
    sheet = "Limits"
    about = "What rails, cleats and shelves are checked by. A licensed engineer decides what holds."

    load_at: Annotated[Rate, Field(gt=0)] = column(
        "Load acts at",
        "1",
        "Share of a module's depth, out from the wall; half when the load lies evenly.",
        show="decimal",
    )
    lean: Number = column(
        "Lean", "{weight}", "Of one person on the front edge of one module of a rail; own choice."
    )
    duration: Annotated[Number, Field(gt=0, le=2)] = column(
        "Duration of load",
        "1",
        "Factor on what a screw holds: 0.9 for a lasting load, 1 for ten years (NDS 2.3.2).",
        show="decimal",
    )
    full_depth: Annotated[Number, Field(gt=0)] = column(
        "Full depth", "1", "Diameters of a screw in the stud for its whole shear value (NDS: 10)."
    )
    least_depth: Number = column(
        "Least depth",
        "1",
        "Diameters of a screw in the stud below which it counts for nothing (NDS: 6).",
    )
    first_sag: Annotated[Number, Field(gt=0)] = column(
        "Span over first sag",
        "1",
        "A shelf may sag this fraction of its span at first; 600 is 0.02 in per foot.",
        show="whole",
    )
    lasting_sag: Annotated[Number, Field(gt=0)] = column(
        "Span over lasting sag",
        "1",
        "A shelf may sag this fraction of its span in the end; 384 is 1/32 in per foot, just seen.",
        show="whole",
    )
    creep: Number = column(
        "Creep", "1", "What a lasting load adds to the first sag.", show="percent"
    )
    sag_form: Annotated[Number, Field(gt=0)] = column(
        "Form of sag",
        "1",
        "Sag is this × load × span^4 over (stiffness × width × thickness^3); 5/384 × 12 on two "
        "supports.",
    )
    bending_form: Annotated[Number, Field(gt=0)] = column(
        "Form of bending",
        "1",
        "Stress is this × load × span² over (width × thickness²); 6/8 on two supports.",
    )
    cube: Literal[3] = column(
        "Power of span", "1", "Sag as a share of the span grows with this power of it.",
        default=3, show="whole",
    )  # fmt: skip
    engagement: Length = column(
        "Least engagement", "{length}", "How far cleat and rail must hook; own choice."
    )
    tug: Number = column(
        "Tug", "{weight}", "Outward at a module's lower edge, which must not swing it off the wall."
    )


class AccessLimits(Record):
    """The numbers that checks of heights, reach and accessible rooms compare with."""

    table = "access"
    title = "Limits of access"
    sheet = "Limits"
    about = "From the 2010 ADA Standards; elsewhere other rules hold, and the authority decides."

    reach_low: Length = column("Lowest reach", "{length}", "308.2.1 and 308.3.1: 15 in.")
    mirror: Length = column("Mirror", "{length}", "603.3: its glass begins at most 35 in high.")
    counter_mirror: Length = column(
        "Mirror over a counter", "{length}", "603.3: its glass begins at most 40 in high."
    )
    juts_most: Length = column(
        "Juts out", "{length}", "307.2: at most 4 in over a path, between the two heights below."
    )
    juts_above: Length = column("Juts out over", "{length}", "307.2: over 27 in a cane misses it.")
    juts_upto: Length = column("Juts out up to", "{length}", "307.2: over 80 in heads clear it.")
    both_share: Rate = column(
        "Rooms counted twice",
        "1",
        "224.5: the share of rooms with mobility features that may count among those with "
        "communication features.",
        show="percent",
    )
    head_room: Length = column(
        "Head room", "{length}", "A module over furniture begins at least so high; own choice."
    )
    covered: Rate = column(
        "Wall covered",
        "1",
        "Over this share a wall's finish class is asked for (from memory: 10 % for trim).",
        show="percent",
    )


class LiftLimits(Record):
    """How one person lifts a module to its rail, for the revised lifting equation."""

    table = "lifting"
    title = "Single lift"
    sheet = "Limits"
    about = (
        "For the revised lifting equation (NIOSH 94-110): one person, both hands, a good grip, now "
        "and then. Its load constant stands on Terms."
    )

    hold: Annotated[Length, Field(gt=0)] = column(
        "Held out", "{length}", "H: hands in front of the ankles."
    )
    start: Length = column("Lifted from", "{length}", "V: height of the hands at first.")
    travel: Annotated[Length, Field(gt=0)] = column("Lifted by", "{length}", "D: how far upwards.")
    twist: Annotated[Number, Field(le=135)] = column("Twist", "degree", "A: of the body.")
    near: Length = column("Near", "{length}", "HM is this over H: 10 in.")
    knuckle: Length = column("Knuckle height", "{length}", "The best height to lift from: 30 in.")
    per_height: Number = column(
        "Less for height", "1/in", "VM is 1 less this for each inch from there: 0.0075."
    )
    travel_share: Number = column("Share for travel", "1", "DM is this and what follows: 0.82.")
    travel_more: Length = column("And for travel", "{length}", "This over D: 1.8 in.")
    per_degree: Number = column(
        "Less for twist", "1/degree", "AM is 1 less this for each degree: 0.0032."
    )


class Wall(Record):
    """What a screw finds in a kind of wall."""

    table = "walls"
    title = "Walls"
    sheet = "Limits"
    about = "What screws find behind the wallboard. Verify on site."

    key: Literal["wood", "steel", "masonry"] = column("Wall", "text", "wood, steel or masonry.")
    gravity: Annotated[Number, Field(le=2)] = column(
        "Specific gravity",
        "1",
        "G of the studs' wood; 0 where a wood screw has no published value: ask.",
        show="decimal",
    )
    board: Length = column("Wallboard", "{length}", "What the screw passes and is not held by.")
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Withdrawal(Record):
    """What a kind of screw holds against being pulled out of side grain."""

    table = "withdrawal"
    title = "Withdrawal"
    sheet = "Limits"
    about = (
        "Pounds that each inch of thread holds in side grain: a number times powers of the wood's "
        "specific gravity G and of the diameter D in inches."
    )

    key: Key = column("Kind of screw", "text", "A short name, such as wood.")
    pounds: Number = column("Number", "lb/in", "2850 for wood screws, 1800 for lag screws.")
    of_gravity: Number = column("Power of G", "1", "2 or 1.5.", show="decimal")
    of_diameter: Number = column("Power of D", "1", "1 or 0.75.", show="decimal")
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class Screw(Record):
    """A screw that fixes rails, by the item that is bought."""

    table = "screws"
    title = "Rail screws"
    sheet = "Limits"
    about = "The screws that fix rails to studs, by the key of the item that is bought."

    key: Key = column("Item", "text", "The item, of the sheet Items.", refers_to=("items",))
    kind: Key = column("Kind", "text", "Wood screw or lag screw.", refers_to=("withdrawal",))
    diameter: Annotated[Length, Field(gt=0)] = column("Diameter", "{length}", "Of its thread.")
    length: Annotated[Length, Field(gt=0)] = column("Length", "{length}", "From head to tip.")
    thread: Annotated[Length, Field(gt=0)] = column(
        "Thread", "{length}", "Length of its thread; of a lag screw without its tip."
    )
    lateral: Number = column(
        "Shear", "{weight}/each", "What one carries across, deep enough in the stud, rail outside."
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class RoomStep(Record):
    """How many accessible rooms are needed, from a number of guest rooms upwards."""

    table = "steps"
    title = "Accessible rooms by number of guest rooms"
    sheet = "Limits"
    about = (
        "2010 ADA Standards, tables 224.2 and 224.4: a number, a share of all rounded up, and more "
        "for each so many rooms begun. Each column is rounded up, which never gives less in all "
        "than the table's total."
    )

    from_rooms: Annotated[Count, Field(gt=0)] = column(
        "From", "room", "Guest rooms in the property.", show="whole"
    )
    tub: Count = column("Without roll-in", "room", "With mobility features and a tub.", default=0)
    roll_in: Count = column(
        "With roll-in", "room", "With mobility features and a roll-in shower.", default=0
    )
    communication: Count = column(
        "Communication", "room", "With communication features.", default=0
    )
    tub_share: Rate = column("Without, share", "1", "Of all.", default=0, show="percent")
    roll_in_share: Rate = column("With, share", "1", "Of all.", default=0, show="percent")
    communication_share: Rate = column(
        "Communication, share", "1", "Of all.", default=0, show="percent"
    )
    each: Count = column("For each", "room", "So many rooms begun, from this step on.", default=0)
    tub_more: Count = column("Without, more", "room", "For each of these.", default=0)
    roll_in_more: Count = column("With, more", "room", "For each of these.", default=0)
    communication_more: Count = column(
        "Communication, more", "room", "For each of these.", default=0
    )
    source: Text = column("Source", "text", "Where the figures come from.", default="")


class ReachStep(Record):
    """How high one reaches over something, from a depth upwards."""

    table = "reaches"
    title = "Highest reach"
    sheet = "Limits"
    about = "2010 ADA Standards, 308.2 and 308.3: the highest reach over something of a depth."

    approach: Literal["side", "forward"] = column("Approach", "text", "side or forward.")
    over: Length = column("Over more than", "{length}", "Depth of what one reaches over.")
    highest: Length = column("Highest", "{length}", "0 where it is not allowed.")
    source: Text = column("Source", "text", "Where the figures come from.", default="")


RECORDS: tuple[type[Record], ...] = (
    Facts, Terms, Floor, RoomType, RoomCount, Content, RailRun, Profile, Module, Part, Use,
    Operation, Grade, Material, Item, Price, Finish, Container, FreightClass, Stage, Clause,
    Alternate, Issued, StrengthLimits, AccessLimits, LiftLimits, Wall, Withdrawal, Screw,
    RoomStep, ReachStep,
)  # fmt: skip

FORMS = (Facts, Terms, StrengthLimits, AccessLimits, LiftLimits)
MEASURES = (
    "job", "rooms", "floors", "trips", "modules", "parts", "sheets", "cuts", "bevel", "rail",
    "pieces", "studs", "screws", "edges", "area", "coats", "materials",
)  # fmt: skip
PALLET = "pallet"
"""The word under which the prices hold what the freight of a pallet costs."""


class Project(BaseModel):
    """Everything a person typed. Rows keep their order."""

    model_config = ConfigDict(frozen=True)

    project: Facts
    terms: Terms
    floors: tuple[Floor, ...]
    types: tuple[RoomType, ...]
    counts: tuple[RoomCount, ...]
    contents: tuple[Content, ...]
    runs: tuple[RailRun, ...]
    profiles: tuple[Profile, ...]
    modules: tuple[Module, ...]
    parts: tuple[Part, ...]
    uses: tuple[Use, ...]
    operations: tuple[Operation, ...]
    grades: tuple[Grade, ...]
    materials: tuple[Material, ...]
    items: tuple[Item, ...]
    prices: tuple[Price, ...]
    finishes: tuple[Finish, ...]
    containers: tuple[Container, ...]
    freight_classes: tuple[FreightClass, ...]
    stages: tuple[Stage, ...]
    clauses: tuple[Clause, ...]
    alternates: tuple[Alternate, ...]
    issued: tuple[Issued, ...]
    strength: StrengthLimits
    access: AccessLimits
    lifting: LiftLimits
    walls: tuple[Wall, ...]
    withdrawal: tuple[Withdrawal, ...]
    screws: tuple[Screw, ...]
    steps: tuple[RoomStep, ...]
    reaches: tuple[ReachStep, ...]
