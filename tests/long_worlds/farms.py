"""One farm of a world: what truly happens to every part, and what of it the log is told. Seeded; decides and reckons nothing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tests.long_worlds.worlds import NEIGHBOURS, SEASON, SEASONS, World
from wearlog.wear.rates import rate_from_guess

Floats = NDArray[np.float64]

#: the guess of every kind, which truth is drawn from: median life in acres and shape, 10 % and 90 %
GUESS: Final = ((1500.0, 6000.0), (1.5, 4.0))
ACRE: Final = 4046.8564224
_SPREAD: Final = 1.2815515655446004
#: positions of a kind that wears, and of a row that stones hit, on one header
POSITIONS, ROW = 3, 40
#: pieces broken on a square metre that are guessed of a row: 15 on four headers in four seasons
STONES: Final = 15 / (4 * SEASONS * SEASON)
#: a season is cut in so many runs, clean and stony ground in turn
RUNS: Final = 12


@dataclass(frozen=True, slots=True)
class Break:
    """A position that broke: where on the log's area line of its header, in which run, and by what."""

    header: int
    position: int
    area: float
    by_stone: bool = False
    #: minutes after the first piece of its stone
    minute: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """One kind of part on the farm and what is true of it.

    Attributes
    ----------
    positions : int
    shape, median : float
        Of its life on clean ground in the first year; a row that only stones break has a median of 0.
    apart : (machines,) array
        What a machine's own life is times the kind's.
    breaks : tuple of Break
        What truly broke, in the order of area on each header.
    ran, newer : (machines, positions) arrays
        Wear clock of the parts now on, in square metres on clean ground, and whether they are of the new number.
    rate : float
        Stones on a square metre.
    new_life : float
        Life of the new number, as so many times that of the old.
    """

    name: str
    positions: int
    shape: float
    median: float
    apart: Floats
    breaks: tuple[Break, ...]
    ran: Floats
    newer: NDArray[np.bool_]
    rate: float
    new_life: float = 1.0

    @property
    def is_row(self) -> bool:
        return self.median == 0


@dataclass(frozen=True, slots=True, eq=False)
class Land:
    """What the headers cut: area line and wear clock at the end of every run, (machines, runs + 1); the season to come.

    `share` is how much of each season was stony, (machines, seasons + 1); `speed` the mean speed of wear by season likewise.
    `watched` is the area at which each header left the farm, or what it has cut by now.
    """

    area: Floats
    clock: Floats
    share: Floats
    speed: Floats
    watched: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Farm:
    world: World
    land: Land
    kinds: tuple[Kind, ...]


def draw_farm(world: World, number: int, kinds: int, rows: int) -> Farm:
    """Draw the farm of this number; asked again, the same farm.

    Parameters
    ----------
    kinds, rows : int
        How many kinds of part that wear, and how many that only stones break.
    """
    rng = np.random.default_rng([20_261, number, *map(ord, world.name)])
    land = _land(world, rng)
    wearing = [_wearing(world, land, rng, f"part {n + 1}") for n in range(kinds)]
    return Farm(world, land, (*wearing, *(_row(world, land, rng, f"row {n + 1}") for n in range(rows))))


def _land(world: World, rng: np.random.Generator) -> Land:
    share = rng.uniform(0.05, 0.95, (world.machines, SEASONS + 1))
    year = np.exp(world.per_year * np.arange(SEASONS + 1))
    stony = math.exp(world.stony)
    speed = (1 - share + share * stony) * year
    each = SEASON / (RUNS / 2)
    pieces = np.stack([(1 - share[:, :-1]) * each, share[:, :-1] * each], axis=2)
    pieces = np.repeat(pieces[:, :, None, :], RUNS // 2, axis=2).reshape(world.machines, -1)
    pace = np.tile(np.array([1.0, stony]), RUNS // 2 * SEASONS) * np.repeat(year[:-1], RUNS)
    nothing = np.zeros((world.machines, 1))
    area = np.concatenate([nothing, np.cumsum(pieces, axis=1)], axis=1)
    clock = np.concatenate([nothing, np.cumsum(pieces * pace, axis=1)], axis=1)
    watched = area[:, -1].copy()
    if world.sold:
        watched[0] = area[0, -1 - RUNS // 2]
    return Land(area, clock, share, speed, watched)


def _wearing(world: World, land: Land, rng: np.random.Generator, name: str) -> Kind:
    (low, high), (flat, steep) = GUESS
    median = ACRE * math.exp(math.log(low * high) / 2 + rng.standard_normal() * math.log(high / low) / (2 * _SPREAD))
    shape = math.exp(math.log(flat * steep) / 2 + rng.standard_normal() * math.log(steep / flat) / (2 * _SPREAD))
    apart = np.exp(world.apart * rng.standard_normal(world.machines))
    new_life = world.new_number
    if world.new_apart:
        new_life *= math.exp(world.new_apart * rng.standard_normal())
    found, ran = [], np.zeros((world.machines, POSITIONS))
    newer = np.zeros((world.machines, POSITIONS), dtype=bool)
    for header in range(world.machines):
        scale = median * apart[header] / math.log(2) ** (1 / shape)
        clock, area = land.clock[header], land.area[header]
        ends = float(np.interp(land.watched[header], area, clock))
        half = float(clock[RUNS * SEASONS // 2])
        for position in range(POSITIONS):
            begun = 0.0
            while True:
                better = begun >= half and world.has_new_number
                lasts = scale * rng.weibull(shape) * (new_life if better else 1.0)
                if begun + lasts >= ends:
                    break
                begun += lasts
                found.append(Break(header, position + 1, float(np.interp(begun, clock, area))))
            ran[header, position], newer[header, position] = ends - begun, better
    return Kind(name, POSITIONS, shape, median, apart, _in_order(found), ran, newer, 0.0, new_life)


def _row(world: World, land: Land, rng: np.random.Generator, name: str) -> Kind:
    sizes = np.array(NEIGHBOURS if world.neighbours else (1.0,))
    pieces = float(sizes @ np.arange(1, sizes.size + 1))
    law = rate_from_guess(STONES)
    rate = rng.gamma(law.shape) / law.exposure / pieces
    found = []
    for header in range(world.machines):
        for at in np.sort(rng.uniform(0, land.watched[header], rng.poisson(rate * land.watched[header]))):
            wide = int(rng.choice(sizes.size, p=sizes)) + 1
            first = int(rng.integers(1, ROW - wide + 2))
            found += [Break(header, first + n, float(at), by_stone=True, minute=n) for n in range(wide)]
    nothing = np.zeros((world.machines, ROW))
    return Kind(name, ROW, 1.0, 0.0, np.ones(world.machines), _in_order(found), nothing, nothing > 0, rate)


def _in_order(found: list[Break]) -> tuple[Break, ...]:
    return tuple(sorted(found, key=lambda one: (one.header, one.area, one.minute, one.position)))


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What the log is told of a break: None where it never was entered; `late` a week after, `position` where it says."""

    broke: Break
    entered: bool
    late: bool
    position: int


def told(world: World, kind: Kind, rng: np.random.Generator) -> list[Told]:
    """Draw what of a kind's breaks the log is told."""
    found = []
    for one in kind.breaks:
        draws = rng.uniform(size=3)
        wrong = draws[2] < world.elsewhere
        position = int(rng.integers(1, kind.positions + 1)) if wrong else one.position
        found.append(Told(one, bool(draws[0] >= world.missing), bool(draws[1] < world.late), position))
    return found
