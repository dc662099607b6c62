"""Everything a person typed: all tables together, and the words that are no table's."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

from estimator.project.records.access import AccessLimits, LiftLimits, ReachStep, RoomStep
from estimator.project.records.facts import Facts
from estimator.project.records.modules import Module, Part
from estimator.project.records.offer import Alternate, Clause, Issued, Stage
from estimator.project.records.purchasing import (
    Container,
    Finish,
    FreightClass,
    Item,
    Material,
    Price,
)
from estimator.project.records.rails import Profile, RailRun
from estimator.project.records.record import Record
from estimator.project.records.rooms import Content, Floor, RoomCount, RoomType
from estimator.project.records.strength import Screw, StrengthLimits, Wall, Withdrawal
from estimator.project.records.terms import Terms
from estimator.project.records.work import Grade, Operation, Use

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

    def rows(self, table: str) -> tuple[Record, ...]:
        """The rows of a table; of a form, its one record."""
        value = getattr(self, table)
        return value if isinstance(value, tuple) else (value,)

    def keys(self, table: str) -> list[str]:
        """The keys of a table; none if its rows have no key."""
        return [row.key for row in self.rows(table) if hasattr(row, "key")]
