"""Random expressions over the small model, the same on every machine.

They stay clear of what no definition should do, since engines differ there: comparing computed
decimals without rounding, dividing by what may be nought, sharing by a difference.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

import numpy as np

from estimator.expressions import functions as f
from estimator.expressions.nodes import (
    Column,
    Expression,
    Operation,
    constant,
    cross,
    find,
    first,
    largest,
    smallest,
    total,
)
from estimator.expressions.tables import Model, Table
from estimator.expressions.value import Calculation
from estimator.units import unit
from tests.expressions.small_model import Typed, add_quantity

UNITS = ("1", "in", "ft", "money", "room", "ft**2")
LARGEST = 1e6
DEEPEST = 4


def add_random_quantities(
    model: Model, typed: Typed, table: str, how_many: int, seed: int
) -> list[str]:
    """So many random columns more in a table; what comes out too large or divides by 0 is left out.

    Returns the columns' names.
    """
    maker = _Maker(model, model[table], random.Random(seed))
    tried = _calculation(model, typed)
    names: list[str] = []
    while len(names) < how_many:
        column = add_quantity(model[table], maker.any_kind())
        tried.add(model.order[-1])
        if _is_fit(tried.columns[table][column.name]):
            names.append(column.name)
        else:
            del model[table].definitions[column.name], tried.columns[table][column.name]
            model.order.pop()
    return names


def _calculation(model: Model, typed: Typed) -> Calculation:
    calculation = Calculation(model, typed)
    for definition in model.order:
        if definition.role != "block":
            calculation.add(definition)
    return calculation


def _is_fit(values: np.ndarray) -> bool:
    return values.dtype.kind in "OU" or bool((np.abs(values) < LARGEST).all())


def _may_be_blank(words: Expression) -> bool:
    """Of the small model: its optional columns, and the type of a run, which one row lacks."""
    return isinstance(words, Column) and (words.may_be_blank or words.name == "type")


class _Maker:
    """Expressions in the scope of one table, by unit."""

    def __init__(self, model: Model, table: Table, rng: random.Random) -> None:
        self.model, self.table, self.rng = model, table, rng
        self.terms = model["terms"]

    def any_kind(self) -> Expression:
        if self.rng.random() < 0.05:
            return self.words(DEEPEST)
        return self.number(self.rng.choice(UNITS), DEEPEST)

    def number(self, of: str, depth: int) -> Expression:
        if depth == 0 or self.rng.random() < 0.1:
            return self.leaf(of)
        return self.rng.choice(self._kinds(of))(of, depth - 1)

    def leaf(self, of: str) -> Expression:
        columns = [*self._columns(self.table, of), *self._columns(self.terms, of)]
        if not columns or self.rng.random() < 0.1:
            return constant(self.rng.choice((0, 1)), unit(of))
        return self.rng.choice(columns)

    def _columns(self, table: Table, of: str, typed_only: bool = False) -> list[Column]:
        return [
            table[each.name]
            for each in table.definitions.values()
            if each.role != "block" and unit(each.unit) == unit(of)
            if each.role == "input" or not typed_only
        ]

    def _kinds(self, of: str) -> list[Callable[[str, int], Expression]]:
        special = {
            "ft": [lambda _, d: self.number("in", d).to("ft")],
            "in": [lambda _, d: self.number("ft", d).to("in")],
            "ft**2": [
                lambda _, d: (self.number("in", d) * self.number("in", d)).to("ft**2"),
                lambda _, d: self.number("ft", d) * self.number("ft", d),
            ],
            "1": [self._plain_ratio, lambda _, d: self.number("in", d).number_of("1")],
            "money": [self._form_value, lambda _, d: self.number("room", d).number_of("money")],
            "room": [self._cell_of_grid],
        }
        return [
            self._joined, self._joined, self._scaled, self._divided, self._chosen, self._rounded,
            self._extreme, self._shared, self._across, self._across, *special[of],
        ]  # fmt: skip

    def _joined(self, of: str, depth: int) -> Expression:
        left, right = self.number(of, depth), self.number(of, depth)
        return left + right if self.rng.random() < 0.5 else left - right

    def _scaled(self, of: str, depth: int) -> Expression:
        return self.number(of, depth) * self.number("1", depth)

    def _divided(self, of: str, depth: int) -> Expression:
        return self.number(of, depth) / (f.size(self.number("1", depth)) + 1)

    def _chosen(self, of: str, depth: int) -> Expression:
        return f.choose(self.truth(depth), self.number(of, depth), self.number(of, depth))

    def _rounded(self, of: str, depth: int) -> Expression:
        value, digits = self.number(of, depth), self._digits()
        return self.rng.choice((f.rounded, f.rounded_up, f.rounded_down))(value, digits)

    def _digits(self) -> Expression:
        return self.terms[self.rng.choice(("cents", "guard"))]

    def _extreme(self, of: str, depth: int) -> Expression:
        pick = self.rng.choice((f.larger, f.smaller))
        return pick(*(self.number(of, depth) for _ in range(self.rng.randint(2, 3))))

    def _shared(self, of: str, depth: int) -> Expression:
        whole = f.rounded(self.number("1", depth), self.terms["cents"])
        return f.share(self.number(of, depth), whole)

    def _plain_ratio(self, _: str, depth: int) -> Expression:
        value = self.number("1", depth)
        above_one = f.size(value) + 1
        kinds = (
            lambda: f.logarithm(above_one),
            lambda: f.square_root(above_one),
            lambda: f.power(above_one, f.logarithm(self.terms["slope"])),
            lambda: f.tangent(self.terms["angle"]) * value,
            lambda: value / f.cosine(self.terms["angle"]),
        )
        return self.rng.choice(kinds)()

    def _form_value(self, of: str, depth: int) -> Expression:
        if self.table is self.terms:
            return self.leaf(of)
        name = self.rng.choice(("reach", "END", "nobody", "fee"))
        return total(self.terms.values, self.terms.keys == name).number_of("money")

    def _cell_of_grid(self, of: str, depth: int) -> Expression:
        counts = self.model["counts"]
        row = self.rng.choice(("king", "Twin", "SUITE"))
        column = self.rng.choice(("F1", "f2"))
        return cross(counts["rooms"], counts["type"] == row, counts.along == column)

    def truth(self, depth: int) -> Expression:
        kind = self.rng.random()
        if kind < 0.2 and depth:
            join = self.rng.choice((f.both, f.either))
            return join(self.truth(depth - 1), self.truth(depth - 1))
        if kind < 0.4:
            left, right = self.rng.choice(self._any_words()), self.rng.choice(self._any_words())
            return left == right if self.rng.random() < 0.5 else left != right
        return self._compared(depth)

    def _compared(self, depth: int) -> Expression:
        of = self.rng.choice(UNITS)
        left = f.rounded(self.number(of, depth), self._digits())
        right = f.rounded(self.number(of, depth), self._digits())
        joins = (
            lambda: left == right, lambda: left != right, lambda: left < right,
            lambda: left <= right, lambda: left > right, lambda: left >= right,
        )  # fmt: skip
        return self.rng.choice(joins)()

    def words(self, depth: int) -> Expression:
        """Words as an outcome: a cell that shows a blank cell shows 0, so none of those."""
        if depth and self.rng.random() < 0.7:
            return f.choose(self.truth(depth - 1), self.words(depth - 1), self.words(depth - 1))
        if self.rng.random() < 0.3:
            return self._first(depth)
        return self.rng.choice([each for each in self._any_words() if not _may_be_blank(each)])

    def _first(self, depth: int) -> Expression:
        """The first key with so many rooms; or a form's words by the name of their field."""
        types, terms = self.model["types"], self.terms
        if self.table is not terms and self.rng.random() < 0.3:
            return first(terms.texts, terms.keys == self.rng.choice(("WORD", "nobody")))
        rooms = f.rounded(self.number("room", max(depth - 1, 0)), self._digits())
        return first(types["key"], types["rooms"] == rooms)

    def _any_words(self) -> list[Expression]:
        columns = [*self._columns(self.table, "text"), *self._columns(self.terms, "text")]
        return [*columns, *(constant(each, unit("text")) for each in ("king", "", 'a "b"'))]

    def _across(self, of: str, depth: int) -> Expression:
        other = self.model[self.rng.choice(("types", "runs"))]
        columns = self._columns(other, of, typed_only=True)
        if not columns:
            return self.number(of, depth)
        column = self.rng.choice(columns)
        draw = self.rng.choice((total, total, largest, smallest, self._find, self._product))
        return draw(column, *self._conditions(other, depth))

    def _find(self, column: Column, *_: Expression) -> Expression:
        other = self.model[column.table]
        key = "king" if column.table == "types" else "Rail-C"
        return find(column, other["key"] == key)

    def _product(self, column: Column, *conditions: Expression) -> Expression:
        ratios = self._columns(self.model[column.table], "1", typed_only=True)
        words_only = [
            each
            for each in conditions
            if isinstance(each, Operation) and each.left.unit == unit("text")
        ]
        return total(column * self.rng.choice(ratios), *words_only)

    def _conditions(self, other: Table, depth: int) -> Iterator[Expression]:
        if self.rng.random() < 0.6:
            yield self.rng.choice(self._columns(other, "text", typed_only=True)) == self._wanted()
        if self.rng.random() < 0.6:
            of = self.rng.choice(("1", "in", "room", "money", "ft"))
            columns = self._columns(other, of, typed_only=True)
            if columns:
                yield self._test(self.rng.choice(columns), self.number(of, depth))

    def _wanted(self) -> Expression:
        """Words to look for. Not calculated ones: a formula that gives "" matches blank cells."""
        typed = [
            column
            for table in (self.table, self.terms)
            for column in self._columns(table, "text", typed_only=True)
        ]
        return self.rng.choice([*typed, constant("king", unit("text"))])

    def _test(self, column: Column, value: Expression) -> Expression:
        to = f.rounded(value, self.terms["guard"]) + 0  # one engine reads "<="&-0 as no number
        tests = (lambda: column <= to, lambda: column < to, lambda: column >= to,
                 lambda: column > to, lambda: column == to)  # fmt: skip
        return self.rng.choice(tests)()
