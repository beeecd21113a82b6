"""The next step of a search by a few steps of lookahead, valued at the end by the probability/cost rule. Knows no circuit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.faults.many_search import ManySearch
from wearlog.faults.search_problem import Step

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

#: so many options, the best by one step, are thought through further
_BREADTH: Final = 12
#: repairs are thought of in the order of chance per minute, so many of them
_REPAIRS_THOUGHT_OF: Final = 4
#: one wrong repair on the way is not counted as a step: a two-minute swap first must not hide what comes after it
_FREE_REPAIRS: Final = 1
_TINY: Final = 1e-12
#: a check stands for its own place if it catches a fault there at least this often, and cries wolf at most that often
_CATCHES: Final = 0.9
_CRIES_WOLF: Final = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Tail:
    """What it costs to go through the places one by one: `probe` minutes to clear a place, then `after` if it was there."""

    probe: Array
    after: Array

    def minutes(self, places: Array) -> Array:
        """Return the weighted minutes of the best such order for each row of place weights.

        The places go by falling chance per probe minute; each in turn is tried as the one left for last, which needs no check
        because only it is left. Homogeneous in the weights: rows need not add up to 1.

        Parameters
        ----------
        places : array, shape (rows, places)
            Weights of the places, row by row.
        """
        order = np.argsort(-places / self.probe, axis=1, kind="stable")
        weight, probe = places[np.arange(len(places))[:, None], order], self.probe[order]
        still_open = weight + weight.sum(axis=1, keepdims=True) - weight.cumsum(axis=1)
        in_order = (probe * still_open).sum(axis=1)
        # a place that is cleared already is probed no more
        to_probe = np.where(weight > 0, probe, 0.0)
        probes_behind = to_probe.sum(axis=1, keepdims=True) - to_probe.cumsum(axis=1)
        # a place that is probed by repairing it is repaired all the same when it is the last
        unavoidable = np.where(self.after[order] > 0, 0.0, probe * weight)
        left_for_last = (unavoidable + weight * probes_behind - probe * still_open).min(axis=1)
        return np.asarray(in_order + left_for_last + places @ self.after)


@dataclass(frozen=True, slots=True, eq=False)
class Probe:
    """What a place costs that can only be cleared in a way of its own (NaN: by its checks or its repair)."""

    minutes: Array
    after: Array


def many_lookahead(problem: ManySearch, probe: Probe, *, steps: int = 2) -> Step:
    """Return the next step that looks best when so many steps are thought through, and the minutes expected from here.

    Parameters
    ----------
    problem : ManySearch
    probe : Probe
        Of places that are cleared in a way of their own; (places,) arrays, NaN elsewhere.
    steps : int
        1 or more.

    Raises
    ------
    DataError
        For fewer than one step.

    Notes
    -----
    As `lookahead.lookahead_step`: beyond the steps the places are gone through one by one by the probability/cost rule.
    """
    if steps < 1:
        raise DataError("Looking ahead needs at least one step.", "Say 1 or 2.")
    weight = problem.weight / problem.weight.sum()
    unmade = np.ones(problem.check_minutes.size, dtype=bool)
    return _best(problem, weight, unmade, _tail(problem, probe), steps, _FREE_REPAIRS)


def _tail(problem: ManySearch, probe: Probe) -> Tail:
    """Return the cheapest way to clear each place: a check that stands for it, its repair, or the way of its own."""
    at_place = problem.by_place(problem.weight)
    bad_there = problem.by_place((1 - problem.outcomes[:, 0]) * problem.weight)
    catches = bad_there / np.maximum(at_place, _TINY)
    elsewhere = (bad_there.sum(axis=1, keepdims=True) - bad_there) / np.maximum(at_place.sum() - at_place, _TINY)
    stands = (catches >= _CATCHES) & (elsewhere <= _CRIES_WOLF) & (at_place > 0)
    missed = (1 - catches) * problem.repair_minutes
    per_catch = np.where(stands, problem.check_minutes[:, None] + missed, np.inf)
    cheapest = per_catch.min(axis=0, initial=np.inf)
    by_check = cheapest < problem.repair_minutes
    minutes = np.where(by_check, cheapest, problem.repair_minutes)
    after = np.where(by_check, problem.repair_minutes, 0.0)
    own = ~np.isnan(probe.minutes)
    return Tail(np.where(own, probe.minutes, minutes), np.where(own, probe.after, after))


def _best(problem: ManySearch, weight: Array, unmade: Mask, tail: Tail, steps: int, free: int) -> Step:
    """Return the best step from a belief; its minutes are per unit of weight."""
    options = sorted(_one_step(problem, weight, unmade, tail), key=lambda step: step.expected_minutes)
    if steps > 1:
        total = float(weight.sum())
        options = [
            replace(option, expected_minutes=_deeper(problem, weight, unmade, tail, option, steps, free) / total)
            for option in options[:_BREADTH]
        ]
    if not options:
        minutes = float(tail.minutes(problem.by_place(weight)[None, :])[0] / weight.sum())
        return Step(None, None, minutes)
    return min(options, key=lambda step: step.expected_minutes)


def _one_step(problem: ManySearch, weight: Array, unmade: Mask, tail: Tail) -> list[Step]:
    """Return every step worth a thought, valued as if the places were gone through one by one after it."""
    at_place, total = problem.by_place(weight), float(weight.sum())
    rows = np.flatnonzero(unmade)
    parts = problem.by_place(problem.outcomes[rows] * weight)
    chances = np.where(problem.may_repair, at_place / problem.repair_minutes, 0.0)
    places = np.argsort(-chances, kind="stable")[:_REPAIRS_THOUGHT_OF]
    places = places[chances[places] > _TINY * total]
    rest = np.where(np.equal.outer(places, np.arange(at_place.size)), 0.0, at_place)
    # one call for everything that may be left: each outcome of each check, and after each repair
    ahead = tail.minutes(np.concatenate((parts.reshape(-1, at_place.size), rest))) / total
    kinds = problem.outcomes.shape[1]
    split = rows.size * kinds
    checked = problem.check_minutes[rows] + ahead[:split].reshape(rows.size, kinds).sum(axis=1)
    repaired = problem.repair_minutes[places] + ahead[split:]
    options = [Step(row, None, value) for row, value in zip(rows.tolist(), checked.tolist(), strict=True)]
    return options + [Step(None, place, value) for place, value in zip(places.tolist(), repaired.tolist(), strict=True)]


def _deeper(problem: ManySearch, weight: Array, unmade: Mask, tail: Tail, option: Step, steps: int, free: int) -> float:
    """Return the weighted minutes of one option, with what follows it thought through."""
    total = float(weight.sum())
    if option.check is not None:
        later = unmade.copy()
        later[option.check] = False
        branches = problem.outcomes[option.check] * weight
        ahead = sum(_value(problem, branch, later, tail, steps - 1, free) for branch in branches)
        return float(problem.check_minutes[option.check]) * total + ahead
    assert option.repair is not None
    rest = np.where(problem.place == option.repair, 0.0, weight)
    ahead = _value(problem, rest, unmade, tail, steps - (free == 0), max(free - 1, 0))
    return float(problem.repair_minutes[option.repair]) * total + ahead


def _value(problem: ManySearch, weight: Array, unmade: Mask, tail: Tail, steps: int, free: int) -> float:
    """Return the weighted minutes from a belief to the end, `steps` of them thought through."""
    total = float(weight.sum())
    if total <= _TINY:
        return 0.0
    if steps > 0:
        return _best(problem, weight, unmade, tail, steps, free).expected_minutes * total
    return float(tail.minutes(problem.by_place(weight)[None, :])[0])
