"""The tables a person fills in, as typed records: what a row holds, in which unit, and why.

These classes are the one description of every input. The workbook's input columns, the checks of
what was typed and the reading of templates, rates and workbooks all follow from them. A file for
each subject; `record.py` has what all share, `fields.py` what a field may hold, `project.py` all
tables together.
"""

from estimator.project.records.access import AccessLimits, LiftLimits, ReachStep, RoomStep
from estimator.project.records.facts import Facts
from estimator.project.records.fields import KEY, LONGEST_TEXT
from estimator.project.records.modules import Module, Part
from estimator.project.records.offer import Alternate, Clause, Issued, Stage
from estimator.project.records.project import FORMS, MEASURES, PALLET, RECORDS, Project
from estimator.project.records.purchasing import (
    Container,
    Finish,
    FreightClass,
    Item,
    Material,
    Price,
)
from estimator.project.records.rails import Profile, RailRun
from estimator.project.records.record import Bounds, FieldAbout, Record, choices_of
from estimator.project.records.rooms import Content, Floor, RoomCount, RoomType
from estimator.project.records.strength import Screw, StrengthLimits, Wall, Withdrawal
from estimator.project.records.terms import Terms
from estimator.project.records.work import Grade, Operation, Use

__all__ = [
    "FORMS", "KEY", "LONGEST_TEXT", "MEASURES", "PALLET", "RECORDS", "AccessLimits", "Alternate",
    "Bounds", "Clause", "Container", "Content", "Facts", "FieldAbout", "Finish", "Floor",
    "FreightClass", "Grade", "Issued", "Item", "LiftLimits", "Material", "Module", "Operation",
    "Part", "Price", "Profile", "Project", "RailRun", "ReachStep", "Record", "RoomCount",
    "RoomStep", "RoomType", "Screw", "Stage", "StrengthLimits", "Terms", "Use", "Wall",
    "Withdrawal", "choices_of",
]  # fmt: skip
