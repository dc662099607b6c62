"""Prices per room that hold within a band of room counts, and how wide that band may be.

A purchaser's price is price per room x rooms + a fixed part. At the counts quoted it is the quoted
price to the cent. Elsewhere it is compared with a new estimate by the product's own definitions at
many mixes of rooms, twice: with the least sheets that any new plan could take, and with those that
the workbook orders; a new plan lies between. The band is the widest range of counts in which both
stay within the tolerance, and a fresh set of mixes from inside the band has to confirm it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import product

import numpy as np
from numpy.typing import NDArray

from estimator.estimate import Estimate
from estimator.expressions.functions import round_half_away
from estimator.price_band.requote import Counts, Requote, quoted_counts
from estimator.progress import Progress, in_silence

MIXES, CONFIRMING, BATCH, ROUNDS, SEED = 300, 600, 60, 20, 20260331
NEARNESS = (1.0, 0.5, 0.25, 0.1)
IN_HAND = 0.15
"""The share of the tolerance that mixes looked at must leave; the confirming ones, half of it."""


@dataclass(frozen=True)
class Reach:
    """How far counts may move from those quoted: as shares down and up.

    The rooms in all move by at most these shares, and so do those of each type, though a type may
    be let to move by one room in any case.
    """

    down: float
    up: float

    def bounds(self, rooms: Counts, always: float = 0) -> tuple[Counts, Counts]:
        """Least and most for these counts, each of which may `always` move by so many."""
        down = np.maximum(np.floor(self.down * rooms + 1e-9), always)
        up = np.maximum(np.floor(self.up * rooms + 1e-9), always)
        return np.where(rooms > 0, rooms - down, 0), np.where(rooms > 0, rooms + up, 0)

    def times(self, down: float, up: float) -> Reach:
        """So many times as far down and up."""
        return Reach(self.down * down, self.up * up)

    @property
    def width(self) -> float:
        """The shares down and up, added."""
        return self.down + self.up


FURTHEST = Reach(0.75, 1.5)


@dataclass(frozen=True)
class Band:
    """What the purchaser's price is made of, and where it holds. Arrays are by room type.

    each: money for each room. fixed: money whatever the count. least, most: rooms of each type;
    least_rooms, most_rooms: of all types. worst: the largest deviation seen inside the band, as a
    share. A floor that has rooms in the quote must keep some; one that has none must stay empty.
    """

    each: Counts
    fixed: Counts
    least: Counts
    most: Counts
    least_rooms: float
    most_rooms: float
    worst: float

    @property
    def width(self) -> float:
        """By how many rooms in all they may differ."""
        return self.most_rooms - self.least_rooms

    def price(self, rooms: Counts) -> float:
        """The price before tax for rooms by type."""
        return float(rooms @ self.each + self.fixed.sum())


def find_band(estimate: Estimate, progress: Progress = in_silence) -> Band:
    """The widest band within the tolerance on the sheet Terms.

    Of two searches: types with few rooms may move by one room in any case, or only by the share
    that the others may; neither is always the wider. Takes some 3,000 new estimates.
    """
    search = Search(estimate, float(estimate.project.terms.band_tolerance))
    widest = search.band(None, search.average())
    for half, search.always in enumerate((0, 1)):
        search.progress = partial(_in_half, progress, half)
        widest = search.widest(widest) or widest
    return widest


def _in_half(progress: Progress, half: int, done: float) -> None:
    progress("looking how far the price holds", (half + done) / 2)


@dataclass
class Search:
    """The mixes looked at so far with their new prices, and the search among them."""

    estimate: Estimate
    tolerance: float
    always: float = 1
    progress: Callable[[float], None] = lambda done: None
    mixes: list[Counts] = field(default_factory=list)
    prices: list[tuple[float, float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.requote = Requote(self.estimate)
        self.known: dict[bytes, tuple[float, float]] = {}
        self.random = np.random.default_rng(SEED)
        self.quoted = quoted_counts(self.estimate)
        self.rooms = self.quoted.sum(axis=1)
        types = self.estimate.values["types"]
        self.mocked = types["mock_ups"].to_numpy(dtype=float) > 0
        self.lines = types["line_price"].to_numpy(dtype=float)
        self.step = float(self.estimate.values["terms"]["price_step"].iloc[0])

    def widest(self, beaten: Band) -> Band | None:
        """A band that fresh mixes confirm; None where none is wider than the one to be beaten."""
        self.look(
            MIXES - len(self.mixes), lambda: FURTHEST.times(*self.random.uniform(0, 1, 2) ** 2)
        )
        for turn in range(ROUNDS):
            self.progress(turn / ROUNDS)
            reach, each = self.fitted()
            found = self.band(reach, each)
            if reach is None or found.width <= beaten.width:
                break
            if self.confirmed(reach, each):
                return self.band(reach, each)
        return None

    def confirmed(self, reach: Reach, each: Counts) -> bool:
        """Whether the price holds at fresh mixes within; all of them are there for the next fit."""
        allowed = self.tolerance * (1 - IN_HAND / 2)
        for _ in range(CONFIRMING // BATCH):
            seen = len(self.mixes)
            self.look(BATCH, lambda: reach)
            if (self.deviations(each)[seen:] > allowed).any():
                return False
        return True

    def fitted(self) -> tuple[Reach | None, Counts]:
        """The widest reach of several ways to fit: to mixes far and near, and the average price."""
        ways = [self.average()]
        if shows_fixed_part(self.estimate):
            ways += [self.fit(FURTHEST.times(*shares)) for shares in product(NEARNESS, repeat=2)]
        found = [(self.widest_for(each), each) for each in ways]
        return max(found, key=lambda pair: pair[0].width if pair[0] else -1.0)

    def fit(self, within: Reach) -> Counts:
        """Price per room with the least largest deviation within, exact at the counts quoted."""
        chosen = self.inside(within)
        moved = np.repeat(self.moves()[chosen], 2, axis=0)
        prices = np.array(self.prices)[chosen].reshape(-1)
        start = self.estimate.values["types"]["variable"].to_numpy(dtype=float)
        short = prices - self.lines.sum() - moved @ start
        more = least_largest(moved / prices[:, None], short / prices)
        stepped = round_half_away((start + more) / self.step, 0) * self.step
        each: Counts = np.clip(round_half_away(stepped, 2), 0, self.average())
        return each

    def average(self) -> Counts:
        """The price per room as quoted."""
        return self.estimate.values["types"]["unit_price"].to_numpy(dtype=float)

    def widest_for(self, each: Counts) -> Reach | None:
        """The widest reach that holds no straying mix: shares down and up added."""
        strays = self.strays(each)
        down, up = (shares[strays] for shares in self.shares())
        found = [
            Reach(low, float(np.min(up[down <= low], initial=FURTHEST.up + 1e-6)) - 1e-6)
            for low in np.arange(0, FURTHEST.down + 0.001, 0.01)
        ]
        held = [reach for reach in found if reach.up >= 0]
        return max(held, key=lambda each: each.width, default=None)

    def strays(self, each: Counts) -> NDArray[np.bool_]:
        """Which of the mixes stray further than the tolerance, less what is kept in hand."""
        return self.deviations(each) > self.tolerance * (1 - IN_HAND)

    def deviations(self, each: Counts) -> Counts:
        """How far price per room x rooms + fixed part is from a new estimate, as shares."""
        prices = np.array(self.prices).reshape(-1, 2)
        ours = self.lines.sum() + self.moves() @ each
        off: Counts = np.abs(ours[:, None] / prices - 1).max(axis=1)
        return off

    def moves(self) -> Counts:
        """Of each mix, the rooms of each type less those quoted."""
        return np.array([mix.sum(axis=1) - self.rooms for mix in self.mixes]).reshape(
            -1, len(self.rooms)
        )

    def shares(self) -> tuple[Counts, Counts]:
        """Of each mix, the shares down and up that a reach must allow to hold it."""
        moves, rooms = self.moves(), np.maximum(self.rooms, 1)
        of_type = np.where(np.abs(moves) <= self.always, 0, moves / rooms)
        of_all = moves.sum(axis=1, keepdims=True) / max(self.rooms.sum(), 1)
        both = np.hstack([of_type, of_all])
        return -both.min(axis=1, initial=0), both.max(axis=1, initial=0)

    def inside(self, reach: Reach) -> NDArray[np.bool_]:
        """Which of the mixes a reach holds."""
        down, up = self.shares()
        return (down <= reach.down + 1e-9) & (up <= reach.up + 1e-9)

    def look(self, how_many: int, reach: Callable[[], Reach]) -> None:
        """Re-estimate at random mixes, each within a reach, half of its types at their ends."""
        for _ in range(how_many):
            mix = self.draw(reach())
            if mix is not None:
                self.mixes.append(mix)
                self.prices.append(self.ends(mix))

    def ends(self, mix: Counts) -> tuple[float, float]:
        """See `Requote.ends`; what a mix gave is kept, since small jobs have few mixes."""
        key = mix.tobytes()
        if key not in self.known:
            self.known[key] = self.requote.ends(mix)
        return self.known[key]

    def draw(self, reach: Reach, tries: int = 50) -> Counts | None:
        """A mix within the reach, in all and by type; None when none turns up."""
        least, most = self.of_types(reach)
        lowest, highest = reach.bounds(np.array([self.rooms.sum()]))
        for _ in range(tries):
            lean = self.random.uniform(0, 1, len(least)) ** self.random.choice([0.3, 1, 3])
            ends = self.random.uniform(size=len(least)) < 0.5
            rooms = np.round(least + (most - least) * np.where(ends, np.round(lean), lean))
            if lowest[0] <= rooms.sum() <= highest[0]:
                mix = self.on_floors(rooms)
                if mix is not None:
                    return mix
        return None

    def of_types(self, reach: Reach) -> tuple[Counts, Counts]:
        """Least and most rooms of each type; one that has a mock-up keeps a room to pay for it."""
        least, most = reach.bounds(self.rooms, self.always)
        return np.maximum(least, np.minimum(self.rooms, self.mocked)), most

    def on_floors(self, rooms: Counts) -> Counts | None:
        """Rooms by type spread at random over the floors in use; None if a floor would be empty."""
        used = self.quoted.sum(axis=0) > 0
        weights = self.random.dirichlet(np.full(int(used.sum()), 3.0), size=len(rooms))
        mix = np.zeros_like(self.quoted)
        for row, count in enumerate(rooms):
            mix[row, used] = self.random.multinomial(int(count), weights[row])
        return mix if mix.sum(axis=0)[used].all() else None

    def band(self, reach: Reach | None, each: Counts) -> Band:
        """The band of a reach; of the counts as quoted where there is none."""
        fixed = round_half_away(self.lines - each * self.rooms, 2)
        if reach is None:
            total = float(self.rooms.sum())
            return Band(each, fixed, self.rooms, self.rooms, total, total, 0.0)
        least, most = self.of_types(reach)
        lowest, highest = reach.bounds(np.array([self.rooms.sum()]))
        worst = float(np.max(self.deviations(each)[self.inside(reach)], initial=0.0))
        least_rooms, most_rooms = max(lowest[0], least.sum()), min(highest[0], most.sum())
        reached = np.maximum(least, least_rooms - (most.sum() - most))
        most = np.minimum(most, most_rooms - (least.sum() - least))
        return Band(each, fixed, reached, most, float(least_rooms), float(most_rooms), worst)


def least_largest(columns: Counts, wanted: Counts, turns: int = 40) -> Counts:
    """x for which the largest of |columns @ x - wanted| is nearly least.

    Least squares over and over, each time with the weights times the deviations (C. L. Lawson's
    method, 1961; from memory).
    """
    weights: Counts = np.ones(len(wanted))
    best: Counts = np.zeros(columns.shape[1])
    least = np.inf
    for _ in range(turns):
        weighted = columns.T * weights
        answer = np.linalg.lstsq(weighted @ columns, weighted @ wanted, rcond=None)[0]
        found = np.asarray(answer, dtype=np.float64)
        off: Counts = np.abs(columns @ found - wanted)
        if off.max(initial=0) < least:
            best, least = found, off.max(initial=0)
        weights = weights * off
        if weights.sum() <= 0:
            break
        weights = weights / weights.sum()
    return best


def shows_fixed_part(estimate: Estimate) -> bool:
    """Whether a fixed part may be shown.

    Allowances are told at cost. Where the fixed part would be mostly theirs, it would tell what
    cost is multiplied by to make the price; the price per room is then the average one.
    """
    price = estimate.values["price"].iloc[0]
    return bool(price["fixed"] >= 2 * price["allowances"])


def within(band: Band, counts: Counts, quoted: Counts) -> bool:
    """Whether counts by type and floor lie inside the band."""
    rooms, floors = counts.sum(axis=1), counts.sum(axis=0)
    used = quoted.sum(axis=0) > 0
    fits: Sequence[bool] = (
        bool((rooms >= band.least).all() and (rooms <= band.most).all()),
        bool(band.least_rooms <= rooms.sum() <= band.most_rooms),
        bool((floors[used] > 0).all() and (floors[~used] == 0).all()),
    )
    return all(fits)
