"""What a cell accepts, with a message that says how to type it."""

from __future__ import annotations

from collections.abc import Iterator

from xlsxwriter.utility import xl_rowcol_to_cell

from estimator.expressions.tables import Definition
from estimator.project.records import PALLET
from estimator.workbook.layout import Placed, form_rows
from estimator.workbook.page import Corners, Validation


def table_validations(placed: Placed) -> Iterator[Validation]:
    """Of every column, or field, that a person types."""
    for definition in placed.table.definitions.values():
        rule = _rule(definition, placed)
        if rule is not None:
            yield Validation(_cells_of(placed, definition), rule)


def _cells_of(placed: Placed, definition: Definition) -> Corners:
    if placed.table.kind == "form":
        row = form_rows(placed)[definition.name]
        return row, 1, row, 1
    left = placed.columns[definition.name]
    right = left + (len(placed.table.axis) - 1 if definition.role == "block" else 0)
    return placed.first, left, placed.last, right


def _rule(definition: Definition, placed: Placed) -> dict[str, object] | None:
    if definition.role not in ("input", "block"):
        return None
    hint = {"input_title": definition.label[:32], "input_message": definition.note[:255]}
    if definition.choices and definition.is_text:
        return hint | {
            "validate": "list",
            "source": list(definition.choices),
            "error_title": "Not one of the words",
            "error_message": "Choose from the list: " + ", ".join(definition.choices)[:200],
        }
    if definition.refers_to:
        return hint | _reference(definition, placed)
    if definition.is_text:
        return None
    return hint | _number_rule(definition)


def _reference(definition: Definition, placed: Placed) -> dict[str, object]:
    names = [f"{table}_key" for table in definition.refers_to if table != "freight"]
    message = f"Type a short name from: {', '.join(definition.refers_to)}."
    if len(names) == 1:
        return {
            "validate": "list",
            "source": f"={names[0]}",
            "error_type": "warning",
            "error_title": "Not known",
            "error_message": message,
        }
    cell = xl_rowcol_to_cell(placed.first, placed.columns[definition.name])
    found = "+".join(f"COUNTIF({name},{cell})" for name in names)
    if "freight" in definition.refers_to:
        found += f'+({cell}="{PALLET}")'
    return {
        "validate": "custom",
        "value": f"={found}>0",
        "error_type": "warning",
        "error_title": "Not known",
        "error_message": message,
    }


def _number_rule(definition: Definition) -> dict[str, object]:
    if definition.show == "length":
        return {
            "validate": "decimal",
            "criteria": ">=",
            "value": 0,
            "error_title": "A length, as a number",
            "error_message": "Type a number in the project's unit, such as 30 3/4 or 0 3/4; add up "
            "feet and inches: 7' 6 1/4\" is 90 1/4.",
        }
    if definition.role == "block" or (definition.show == "whole" and definition.unit != "1"):
        return {
            "validate": "integer",
            "criteria": "between",
            "minimum": 0,
            "maximum": 10_000_000,
            "error_title": "A whole number",
            "error_message": "Type a whole number, 0 or more.",
        }
    return {
        "validate": "decimal",
        "criteria": "between",
        "minimum": 0,
        "maximum": 1 if definition.show == "percent" and definition.name != "burden" else 10**12,
        "error_title": "A number",
        "error_message": "Type a number, 0 or more; a share as a percentage such as 12%.",
    }
