"""Stones out of the records, and what they break of a kind: the broken pieces of one stone, its ground, rates by ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from wearlog.facts.closed_lists import Cause, Ground
from wearlog.facts.parts import PartKind
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.work.ground import run_at
from wearlog.store.histories import NONE, Bools, Floats, Ints, code_of
from wearlog.wear.impact import GroundRates, fit_impact, impact_prior
from wearlog.wear.rates import GammaRate
from wearlog.wear.stones import StoneRates, fit_stones, stones_of

_MICROSECONDS = 1e6


@dataclass(frozen=True, slots=True, eq=False)
class StoneRecords:
    """One row for each stone until now.

    Attributes
    ----------
    component : (n,) int64
    pieces : (n,) int64
        Positions that it broke.
    first, last : (n,) int64
        Where along the component, from 1, ends included.
    ground : (n,) int64
        By Ground, `len(Ground)` where nobody knows on which.
    """

    component: Ints
    pieces: Ints
    first: Ints
    last: Ints
    ground: Ints

    def of(self, on: Bools) -> StoneRecords:
        """Return those of some components, given as one truth for each component of the log."""
        rows = on[self.component]
        return StoneRecords(*(one[rows] for one in (self.component, self.pieces, self.first, self.last, self.ground)))

    @property
    def takes_neighbours(self) -> bool:
        """Whether any of them took more than one piece."""
        return bool((self.pieces > 1).any())

    @property
    def by_ground(self) -> Floats:
        """Return how many there were on each class of ground, last where nobody knows on which."""
        return np.bincount(self.ground, minlength=len(Ground) + 1).astype(float)


def stone_records(farm: Farm) -> StoneRecords:
    """Return the stones of a farm until now, in the order in which their first piece was entered."""
    breakages = farm.histories.breakages
    rows = np.flatnonzero((breakages.cause == code_of(Cause.IMPACT)) & (breakages.at <= farm.now_microseconds))
    each = np.array([len(breakages.positions[row]) for row in rows], dtype=np.int64)
    position = np.array([one for row in rows for one in breakages.positions[row]], dtype=np.int64)
    component = np.repeat(breakages.component[rows], each)
    at = np.repeat(breakages.at[rows], each)
    stone = stones_of(component, at / _MICROSECONDS, position)
    _, begins = np.unique(stone, return_index=True)
    first, last = position[begins].copy(), position[begins].copy()
    np.minimum.at(first, stone, position)
    np.maximum.at(last, stone, position)
    run = run_at(farm, farm.histories.components.machine[component[begins]], at[begins])
    known = farm.histories.runs.ground
    ground = np.where(run == NONE, NONE, known[run] if known.size else NONE)
    return StoneRecords(
        component[begins],
        np.bincount(stone, minlength=begins.size),
        first,
        last,
        np.where(ground == NONE, len(Ground), ground),
    )


#: impacts of a kind nobody guessed any for: half a breakage in 1,000 acres, which the first records outweigh
NO_GUESS_IMPACTS = GammaRate(0.5, 1000 * 4046.8564224)

_PER_SQUARE_METRE = 1e-12


def guessed_impacts(kind: PartKind) -> tuple[float, ...]:
    """Return the breakages per square metre that somebody guessed, by Ground; 0 where nobody did."""
    return tuple(getattr(kind, f"impacts_{ground.value}") * _PER_SQUARE_METRE for ground in Ground)


def impact_law(
    guesses: Sequence[float], area: Floats, seen: Floats, stones: StoneRecords | None, entered: float = 1.0
) -> tuple[GroundRates | None, StoneRates | None]:
    """Return the rates by ground, of pieces and of stones.

    Parameters
    ----------
    guesses : sequence of float, by Ground
        As `guessed_impacts` gives them.
    area, seen : (5,) float64
        Square metres cut and pieces broken, by Ground, last where nobody knows on which.
    stones : StoneRecords or None
        None where every piece counts by itself.
    entered : float
        Share of what broke that was entered: what was seen was seen as if on so much of the area.

    Returns
    -------
    tuple of GroundRates and StoneRates
        The first is None where nothing was guessed or seen, the second where no stone took several. Their `exposure` is the area
        as it was cut.
    """
    if not any(guesses) and not seen.any():
        return None, None
    prior = impact_prior(guesses) if any(guesses) else (NO_GUESS_IMPACTS,) * len(Ground)
    # ground that nobody noted is shared as the rest was, and is few stones where nothing was ever noted
    few = np.eye(len(Ground))[code_of(Ground.FEW_STONES)]
    usage = area[:-1] + area[-1] * (area[:-1] / area[:-1].sum() if area[:-1].sum() > 0 else few)
    # what broke there goes where that usage went, more of it to the ground that breaks more
    weight = usage * np.array([rate.mean for rate in prior])
    shares = weight / weight.sum() if weight.sum() > 0 else few
    cut = tuple(usage.tolist())
    rates = replace(fit_impact(seen[:-1] + seen[-1] * shares, usage * entered, prior), exposure=cut)
    if stones is None or not stones.takes_neighbours:
        return rates, None
    came = stones.by_ground
    by_stones = fit_stones(came[:-1] + came[-1] * shares, stones.pieces, usage * entered, prior)
    return rates, replace(by_stones, exposure=cut)


def impacts_by_ground(farm: Farm) -> Floats:
    """Positions broken by impact, (components, 5): by Ground, and last where nobody knows on which."""
    histories = farm.histories
    breakages = histories.breakages
    rows = np.flatnonzero((breakages.cause == code_of(Cause.IMPACT)) & (breakages.at <= farm.now_microseconds))
    component = breakages.component[rows]
    run = run_at(farm, histories.components.machine[component], breakages.at[rows])
    ground = np.where(run == NONE, NONE, histories.runs.ground[run] if histories.runs.ground.size else NONE)
    out = np.zeros((len(histories.components.ids), len(Ground) + 1))
    broken = np.array([len(breakages.positions[row]) for row in rows], dtype=float)
    np.add.at(out, (component, np.where(ground == NONE, len(Ground), ground)), broken)
    return out
