"""Simulated trails: fixes that hold or not, faults bound to a condition or not, a fault that comes back after hours of its own.

What is asked of the program is its chance that the last fix has held, at some quiet hour; whether it had is known here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.facts.closed_lists import FixEvidence
from wearlog.faults.held import ReturnRate
from wearlog.faults.held_by_trail import FIX_STRENGTH, USUAL_SHARE, ConditionBound, held_by_trail

Rng = np.random.Generator

#: after how many quiet hours somebody asks, in the mean
_ASKED_AFTER = 150.0
#: hours of one spell of weather
_SPELL = 10.0


@dataclass(frozen=True, kw_only=True)
class Asked:
    """One question: what the trail says, what the evidence and raw hours alone say, and whether the fix had held."""

    by_trail: float
    by_hours: float
    held: bool
    returns: int


def asked_questions(rng: Rng, count: int, *, off_by: float = 1.0, least_returns: int = 0) -> list[Asked]:
    """Return the answers of so many simulated trails that came back so often; `off_by` moves quality, pace and hours up or down."""
    found: list[Asked] = []
    while len(found) < count:
        one = _asked(rng, off_by, least_returns)
        found += [] if one is None else [one]
    return found


def _asked(rng: Rng, off_by: float, least_returns: int) -> Asked | None:
    def off() -> float:
        return float(off_by ** rng.choice((-1.0, 1.0)))

    evidence = FixEvidence.SEEN if rng.random() < 0.5 else FixEvidence.INFERRED
    right, wrong = FIX_STRENGTH[evidence]
    quality = float(rng.beta(right, wrong))
    odds = quality / max(1 - quality, 1e-9) * off()
    quality = odds / (1 + odds)
    share = USUAL_SHARE * off()
    is_bound = bool(rng.random() < 0.5)
    pace = float(rng.gamma(1.0, 1 / ReturnRate().hours)) * off()
    gaps: list[float] = []
    shown = int(is_bound or rng.random() < share)
    while True:
        until = float(rng.exponential(_ASKED_AFTER))
        held = bool(rng.random() < quality)
        quiet = np.inf if held else _until_it_returns(rng, pace, share, is_bound=is_bound)
        if quiet > until:
            break
        gaps.append(quiet)
        shown += int(is_bound or rng.random() < share)
    if len(gaps) < least_returns:
        return None
    bound = ConditionBound(shown=shown, episodes=len(gaps) + 1)
    said = held_by_trail(evidence, until, gaps, failed_before=len(gaps), bound=bound)
    plain = held_by_trail(evidence, until, gaps)
    return Asked(by_trail=said.chance, by_hours=plain.chance, held=held, returns=len(gaps))


def _until_it_returns(rng: Rng, pace: float, share: float, *, is_bound: bool) -> float:
    """Return the hours until an unfixed fault comes back; its condition comes in spells."""
    needed = float(rng.exponential(1 / pace))
    if not is_bound:
        return needed
    spells = int(needed // _SPELL)
    dry = rng.exponential(_SPELL * (1 - share) / share, size=min(spells + 1, 100_000)).sum()
    return float(needed + dry)
