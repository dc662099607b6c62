"""How each kind of expression reads in a cell and aloud, whole texts compared."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

import pytest

from estimator.expressions import functions
from estimator.expressions.formula import ROW, formula
from estimator.expressions.functions import (
    and_more,
    both,
    choose,
    either,
    larger,
    rounded,
    rounded_up,
    share,
    size,
    tangent,
)
from estimator.expressions.nodes import (
    Column,
    Expression,
    Function,
    Node,
    children,
    columns_in,
    cross,
    filled_in,
    find,
    first,
    largest,
    row_count,
    smallest,
    total,
)
from estimator.expressions.tables import Model
from estimator.expressions.value import calculate
from estimator.expressions.words import words
from estimator.units import unit
from tests.expressions.small_model import small_frames, small_model

MODEL = small_model()
TERMS, TYPES, RUNS, COUNTS = (MODEL[name] for name in ("terms", "types", "runs", "counts"))
EACH, LENGTH, HEIGHT, PRICE = (RUNS[name] for name in ("each", "length", "height", "price"))
OF_TYPE = TYPES["key"] == RUNS["type"]
HERE = {"key": "A", "type": "B", "length": "C", "height": "D", "each": "E", "price": "F"}


def here(column: Column) -> str:
    return f"{HERE[column.name]}7"


# Expression, its formula in row 7 of the table Runs, its words.
READS: list[tuple[Expression, str, str]] = [
    (EACH + 1, "=E7+1", "[Runs: Each] + 1"),
    (1 - EACH, "=1-E7", "1 − [Runs: Each]"),
    (EACH - (EACH - EACH), "=E7-(E7-E7)", "[Runs: Each] − ([Runs: Each] − [Runs: Each])"),
    (EACH - EACH + EACH, "=E7-E7+E7", "([Runs: Each] − [Runs: Each]) + [Runs: Each]"),
    (EACH + (EACH - EACH), "=E7+(E7-E7)", "[Runs: Each] + ([Runs: Each] − [Runs: Each])"),
    ((EACH + 1) * EACH, "=(E7+1)*E7", "([Runs: Each] + 1) × [Runs: Each]"),
    (EACH * EACH + 1, "=E7*E7+1", "([Runs: Each] × [Runs: Each]) + 1"),
    (EACH / (EACH * EACH), "=E7/(E7*E7)", "[Runs: Each] ÷ ([Runs: Each] × [Runs: Each])"),
    (EACH / EACH / EACH, "=E7/E7/E7", "([Runs: Each] ÷ [Runs: Each]) ÷ [Runs: Each]"),
    (LENGTH.to("ft"), "=C7/12", "[Runs: Length] in ft"),
    (HEIGHT.to("in"), "=D7*12", "[Runs: Height] in in"),
    ((LENGTH + LENGTH).to("ft"), "=(C7+C7)/12", "([Runs: Length] + [Runs: Length]) in ft"),
    (EACH / LENGTH.to("ft"), "=E7/(C7/12)", "[Runs: Each] ÷ [Runs: Length] in ft"),
    (LENGTH.to("ft") * EACH, "=C7/12*E7", "[Runs: Length] in ft × [Runs: Each]"),
    (LENGTH.to("ft") + HEIGHT, "=C7/12+D7", "[Runs: Length] in ft + [Runs: Height]"),
    (LENGTH.to("mm"), "=C7*25.4", "[Runs: Length] in mm"),
    (LENGTH.per("room").to("ft/room"), "=C7/12", "[Runs: Length] in ft/room"),
    ((EACH + 1).number_of("piece"), "=E7+1", "([Runs: Each] + 1)"),
    ((EACH + 1).number_of("piece") * EACH, "=(E7+1)*E7", "([Runs: Each] + 1) × [Runs: Each]"),
    (EACH.to("percent"), "=E7*100", "[Runs: Each] in %"),
    (TERMS["end"] + LENGTH, "=terms_end+C7", "[Terms: End] + [Runs: Length]"),
    (choose(EACH > 0, EACH, 0), "=IF(E7>0,E7,0)",
     "[Runs: Each] if ([Runs: Each] > 0), otherwise 0"),
    (
        choose(RUNS["key"] == 'a "b"', 1, 0),
        '=IF(A7="a ""b""",1,0)',
        "1 if ([Runs: Run] is “a \"b\"”), otherwise 0",
    ),
    (choose(RUNS["key"] != "", "yes", "no"), '=IF(A7<>"","yes","no")',
     "“yes” if ([Runs: Run] is not “”), otherwise “no”"),
    (choose(both(EACH >= 0, EACH <= 1), 1, 0), "=IF(AND(E7>=0,E7<=1),1,0)",
     "1 if ([Runs: Each] ≥ 0) and ([Runs: Each] ≤ 1), otherwise 0"),
    (choose(either(EACH < 0, EACH > 1), 1, 0), "=IF(OR(E7<0,E7>1),1,0)",
     "1 if ([Runs: Each] < 0) or ([Runs: Each] > 1), otherwise 0"),
    (rounded(PRICE, TERMS["cents"]), "=ROUND(F7,terms_cents)",
     "[Runs: Price] rounded to [Terms: Cents] decimals"),
    (rounded_up(EACH + 1, TERMS["guard"]), "=ROUNDUP(ROUND(E7+1,terms_guard),0)",
     "([Runs: Each] + 1) rounded up to a whole number"),
    (share(EACH + 1, EACH - 1), "=IF((E7-1)=0,0,(E7+1)/(E7-1))",
     "([Runs: Each] + 1) / ([Runs: Each] − 1) (0 when there is none)"),
    (share(LENGTH.to("ft"), HEIGHT), "=IF(D7=0,0,(C7/12)/D7)",
     "[Runs: Length] in ft / [Runs: Height] (0 when there is none)"),
    (larger(EACH, EACH + 1, 0), "=MAX(E7,E7+1,0)",
     "the largest of [Runs: Each], ([Runs: Each] + 1), 0"),
    (size(EACH - 1), "=ABS(E7-1)", "([Runs: Each] − 1) without its sign"),
    (tangent(TERMS["angle"]), "=TAN(RADIANS(terms_angle))", "tangent of [Terms: Angle]"),
    (total(TYPES["rooms"]), "=SUM(types_rooms)", "the sum of [Types: Rooms]"),
    (largest(TYPES["rooms"]), "=MAX(types_rooms)", "the largest [Types: Rooms]"),
    (smallest(TYPES["rooms"]), "=MIN(types_rooms)", "the smallest [Types: Rooms]"),
    (total(TYPES["rooms"], OF_TYPE), "=SUMIFS(types_rooms,types_key,B7)",
     "the sum of [Types: Rooms] where [Types: Type] is [Runs: Type]"),
    (total(TYPES["rooms"], TYPES["key"] == "king"), '=SUMIFS(types_rooms,types_key,"king")',
     "the sum of [Types: Rooms] where [Types: Type] is “king”"),
    (largest(TYPES["rooms"], OF_TYPE, TYPES["share"] <= EACH + 1),
     '=_xlfn.MAXIFS(types_rooms,types_key,B7,types_share,"<="&E7+1)',
     "the largest [Types: Rooms] where [Types: Type] is [Runs: Type] and "
     "[Types: Share] ≤ ([Runs: Each] + 1)"),
    (smallest(TYPES["rooms"], OF_TYPE), "=_xlfn.MINIFS(types_rooms,types_key,B7)",
     "the smallest [Types: Rooms] where [Types: Type] is [Runs: Type]"),
    (total(TYPES["rooms"] * TYPES["share"], OF_TYPE),
     '=SUMPRODUCT((types_key=B7)*(types_key<>"")*types_rooms*types_share)',
     "the sum of ([Types: Rooms] × [Types: Share]) where [Types: Type] is [Runs: Type]"),
    (total(TYPES["width"] + TYPES["width"]), "=SUMPRODUCT((types_width+types_width))",
     "the sum of ([Types: Width] + [Types: Width])"),
    (total(TYPES["width"].to("ft")), "=SUMPRODUCT(types_width/12)",
     "the sum of [Types: Width] in ft"),
    (find(TYPES["width"], OF_TYPE), "=INDEX(types_width,MATCH(B7,types_key,0))",
     "the [Types: Width] where [Types: Type] is [Runs: Type]"),
    (first(TYPES["key"], TYPES["share"] == 1),
     '=IFERROR(INDEX(types_key,MATCH(1,types_share,0)),"")',
     "the first [Types: Type] where [Types: Share] is 1"),
    (first(TERMS.texts, TERMS.keys == RUNS["key"]),
     '=IFERROR(INDEX(terms_value,MATCH(A7,terms_key,0)),"")',
     "the first value in Terms where key in Terms is [Runs: Run]"),
    (and_more(RUNS["key"], EACH), '=A7&IF(E7>1," and "&(E7-1)&" more","")',
     "[Runs: Run], and how many more of [Runs: Each]"),
    (cross(COUNTS["rooms"], COUNTS["type"] == RUNS["type"], COUNTS.along == "F1"),
     '=INDEX(counts_rooms,MATCH(B7,counts_type,0),MATCH("F1",counts_axis,0))',
     "the [Counts: Rooms] where [Counts: Type] is [Runs: Type] and the top of Counts is “F1”"),
    (row_count(TYPES["key"]), "=COUNTA(types_key)-1", "the number of rows with [Types: Type]"),
    (filled_in(TYPES["rooms"]), "=COUNT(types_rooms)", "the number of rows with [Types: Rooms]"),
    (total(TERMS.values, TERMS.keys == RUNS["key"]), "=SUMIFS(terms_value,terms_key,A7)",
     "the sum of value in Terms where key in Terms is [Runs: Run]"),
]  # fmt: skip


@pytest.mark.parametrize(("expression", "cell"), [(e, f) for e, f, _ in READS])
def test_an_expression_reads_in_a_cell(expression: Expression, cell: str) -> None:
    assert formula(expression, here) == cell


@pytest.mark.parametrize(("expression", "aloud"), [(e, w) for e, _, w in READS])
def test_an_expression_reads_aloud(expression: Expression, aloud: str) -> None:
    assert words(expression, MODEL) == aloud


def test_every_function_has_a_value_a_formula_and_words() -> None:
    rows = [each for each in vars(functions).values() if isinstance(each, Function)]
    assert len(rows) >= 15
    assert len({each.name for each in rows}) == len(rows)
    for each in rows:
        assert callable(each.value)
        assert callable(each.result)
        assert "{0}" in each.formula or "{all}" in each.formula
        assert "{0}" in each.words or "{all}" in each.words


@pytest.mark.parametrize("missing", ["value", "formula", "result", "words"])
def test_a_function_row_lacking_a_side_is_loud(missing: str) -> None:
    row = {"name": "x", "result": max, "value": max, "formula": "MAX({all})", "words": "{all}"}
    del row[missing]
    with pytest.raises(TypeError, match=missing):
        Function(**row)  # type: ignore[arg-type]


@dataclass(frozen=True, eq=False)
class Strange(Node):
    """A kind of node that no back end knows."""


STRANGE = cast(Expression, Strange(unit("1"), frozenset()))


@pytest.mark.parametrize(
    "back_end",
    [
        lambda: formula(STRANGE, here),
        lambda: words(STRANGE, small_model()),
        lambda: _value(STRANGE, small_model()),
        lambda: children(STRANGE),
    ],
)
def test_a_kind_of_node_that_a_back_end_does_not_know_is_loud(
    back_end: Callable[[], object],
) -> None:
    with pytest.raises(AssertionError, match="Strange"):
        back_end()


@pytest.mark.parametrize(
    "join",
    [
        lambda: STRANGE + 1,
        lambda: TERMS["rate"] / STRANGE,
        lambda: STRANGE == 0,
        lambda: STRANGE.per("room"),
        lambda: STRANGE.to("1"),
        lambda: larger(STRANGE),
    ],
)
def test_a_kind_of_node_outside_the_six_is_refused(join: Callable[[], object]) -> None:
    with pytest.raises(TypeError, match="Strange"):
        join()


def _value(node: Expression, model: Model) -> object:
    model["runs"].quantity("x", "X", "1", node, "X.")
    return calculate(model, small_frames())


def test_a_column_is_the_same_formula_in_every_row() -> None:
    def row_left_open(column: Column) -> str:
        return f"{HERE[column.name]}{ROW}"

    text = formula(EACH * PRICE + total(RUNS["price"]), row_left_open)
    assert text == f"=E{ROW}*F{ROW}+SUM(runs_price)"


def test_columns_read_are_listed_once_in_order() -> None:
    node = total(TYPES["rooms"], OF_TYPE) * (EACH + EACH) + rounded(
        TERMS["rate"] * TYPES["rooms"], TERMS["cents"]
    )
    assert [f"{each.table}.{each.name}" for each in columns_in(node)] == [
        "types.rooms", "types.key", "runs.type", "runs.each", "terms.rate", "terms.cents",
    ]  # fmt: skip
    assert children(EACH) == ()


FINDS = {
    "runs.price": ["runs.price"],
    "PRICE": ["runs.price"],
    "end": ["terms.end"],
    "type": ["types.key", "runs.type", "counts.type"],
    "unheard": [],
}


@pytest.mark.parametrize("asked", FINDS)
def test_a_definition_is_found_by_name_or_label(asked: str) -> None:
    assert list(MODEL.find(asked)) == FINDS[asked]
