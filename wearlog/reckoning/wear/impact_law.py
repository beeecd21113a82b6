"""What stones break of a kind: the guess of it, and the rates by ground that guess and records give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from wearlog.facts.closed_lists import Ground
from wearlog.facts.parts import PartKind
from wearlog.reckoning.wear.stone_records import StoneRecords
from wearlog.store.histories import Floats, code_of
from wearlog.wear.impact import GroundRates, fit_impact, impact_prior
from wearlog.wear.rates import GammaRate
from wearlog.wear.stones import StoneRates, fit_stones

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
