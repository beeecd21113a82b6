"""What to do next in a case with circumstances: free checks first, the battery before a voltage, an own look before a repair."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import CheckKind, CheckVerdict
from wearlog.faults.checks import Check, repair_minutes
from wearlog.faults.circuit_matrix import CircuitMatrix
from wearlog.faults.data_line import Spot
from wearlog.faults.halving_step import halving_check, shorts_to_find
from wearlog.faults.line_halving import is_opened, side_chances
from wearlog.faults.line_order import first_on_line
from wearlog.faults.many_lookahead import Probe, many_lookahead
from wearlog.faults.many_search import ManySearch, bits_of_checks, with_best_checks
from wearlog.faults.next_line import PROVE_MINUTES, WALK_MINUTES, NextStep
from wearlog.faults.sized_binary import BEYOND_FINDS
from wearlog.faults.sized_hypotheses import FaultTable
from wearlog.faults.sized_offers import BEYOND_MINUTES, battery_check, lamp_start, offered_checks
from wearlog.faults.sized_outcomes import MOST_OUTCOMES, Both, outcomes_of, outcomes_of_all
from wearlog.faults.sized_posterior import Weighed
from wearlog.faults.suspects import Suspect, Suspects, weighed_of
from wearlog.faults.two_faults import pair_share
from wearlog.faults.updating import visit_now

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Whole = NDArray[np.int64]

#: suspects kept while thinking ahead: this share of the chance, and at most so many; and checks, by what they tell per minute
_KEPT_SHARE: Final = 0.99
_KEPT_SUSPECTS: Final = 600
_KEPT_CHECKS: Final = 30
#: a check at a place of its own is weighed if the fault sits there at least so often
_LEAST_CHANCE: Final = 0.002
#: to mend what was found beyond the diagram
BEYOND_MEND_MINUTES: Final = 60.0
#: from this chance on, and likelier than any place that is drawn, what is not drawn is looked for (chosen by simulation)
_BEYOND_FROM: Final = 0.25
#: a repair that takes longer is preceded by an own look
LOOK_FIRST_OVER: Final = 5.0
#: loads tried in one go from the seat
MOST_TRIES: Final = 6
#: of the loads that tell most alone, so many are weighed together; one more must add so many bits
_TRIES_WEIGHED: Final = 12
_LEAST_GAIN: Final = 0.05
#: before the first check with tools a try comes that tells so many bits (common practice, no source)
_TRY_FIRST_FROM: Final = 0.1
_FREE: Final = frozenset({CheckKind.TRY_IT, CheckKind.BEYOND})
_NO_WALK: Final = frozenset({CheckKind.TRY_IT, CheckKind.BEYOND, CheckKind.MAKE_HAPPEN})
_OWN: Final = frozenset(
    {CheckKind.LOOK, CheckKind.WIGGLE, CheckKind.CONTINUITY, CheckKind.RESISTANCE, CheckKind.SWAP, CheckKind.UNWRAP}
)


@dataclass(frozen=True, slots=True, eq=False)
class _Search:
    """A problem with what its rows stand for: checks, and places (None: not on this diagram)."""

    problem: ManySearch
    probe: Probe
    checks: tuple[Check, ...]
    places: tuple[str | None, ...]


def sized_step(
    suspects: Suspects, *, here: str | None = None, without: frozenset[CheckKind] = frozenset(), steps: int = 2
) -> NextStep:
    """Return what to do next.

    Parameters
    ----------
    suspects : Suspects
        Of a case with circumstances.
    here : str, optional
        The place where one stands; any other costs the walk.
    without : frozenset of CheckKind
        Kinds of check that cannot be made now.
    steps : int
        How many steps to think through.

    Notes
    -----
    The least expected minutes to a found and fixed fault, thought through with all outcomes of each check.
    A repair of more than 5 minutes is preceded by a look at that node unless a check of its own was bad there; a voltage by the
    battery's own.
    """
    weighed = weighed_of(suspects)
    visit = visit_now(suspects.case)
    on_line = first_on_line(suspects.case, visit, without)
    halving = halving_check(suspects.case, weighed.table, suspects.chance, weighed.present, visit, without)
    on_line = on_line or (() if halving is None else (halving,))
    offered = [check for check in offered_checks(suspects.case, visit) if check.kind not in without]
    short = None if halving is not None else shorts_to_find(suspects.case, weighed.table, suspects.chance, visit)
    # 0 ohm shows a short, whatever else there is: it is found before what older readings speak of
    alone = suspects if short is None else replace(suspects, chance=short)
    search = _search(alone, weighed, offered, here, in_pairs=short is None)
    smaller, rows = with_best_checks(search.problem, _KEPT_CHECKS)
    step = many_lookahead(smaller, search.probe, steps=steps)
    if on_line:
        return _first_on_line(suspects, weighed, on_line, here, step.expected_minutes)
    if (step.check is None and step.repair is None) or (_beyond_is_due(suspects) and CheckKind.BEYOND not in without):
        return NextStep(None, None, BEYOND_MINUTES, step.expected_minutes, float(suspects.chance[-1]))
    if step.check is None:
        assert step.repair is not None
        mending = _repair(suspects, search, step.repair, step.expected_minutes, offered, here)
        return _or_beyond(suspects, mending, without)
    row = _tries_first(suspects, search, int(rows[step.check]))
    check = search.checks[row]
    by_volts = check.kind in (CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP)
    first = battery_check(suspects.case) if by_volts else lamp_start(suspects.case, check)
    if first is not None and first.kind not in without and first.node != check.node:
        return _as_check(suspects, weighed, first, here, step.expected_minutes + first.minutes)
    line = _as_check(suspects, weighed, check, here, step.expected_minutes)
    if check.kind is not CheckKind.TRY_IT:
        return _or_beyond(suspects, line, without)
    together = _together(search, row)
    return replace(line, together=together, minutes=line.minutes + sum(one.minutes for one in together))


def _first_on_line(
    suspects: Suspects, weighed: Weighed, checks: tuple[Check, ...], here: str | None, expected: float
) -> NextStep:
    """Return all controllers to read off the screen in one go, or the terminator that is worth most for its minutes."""
    if checks[0].kind is CheckKind.TRY_IT:
        line = _as_check(suspects, weighed, checks[0], here, expected + sum(check.minutes for check in checks))
        return replace(line, together=checks[1:], minutes=line.minutes + sum(check.minutes for check in checks[1:]))
    lines = [_as_check(suspects, weighed, check, here, expected + check.minutes) for check in checks]
    return max(lines, key=lambda line: line.bad_chance / line.minutes)


def _tries_first(suspects: Suspects, search: _Search, row: int) -> int:
    """Return the try that tells most in place of the first check of a case, if there is one that tells enough.

    Looking ahead keeps few suspects, and a meter in hand takes longer than it says: what is tried from the seat comes before it.
    """
    tries = np.array([r for r, check in enumerate(search.checks) if check.kind is CheckKind.TRY_IT], dtype=int)
    if not tries.size or row in tries or any(r.check.kind not in _FREE for r in suspects.case.results):
        return row
    problem = search.problem
    told = bits_of_checks(replace(problem, check_minutes=np.ones(tries.size), outcomes=problem.outcomes[tries]))
    best = int(told.argmax())
    return int(tries[best]) if told[best] >= _TRY_FIRST_FROM else row


def _repair(
    suspects: Suspects, search: _Search, place: int, minutes: float, offered: list[Check], here: str | None
) -> NextStep:
    node, problem = search.places[place], search.problem
    chance = float(problem.by_place(problem.weight)[place] / problem.weight.sum())
    if (
        node is not None
        and not _own_bad(suspects, node)
        and repair_minutes(suspects.case.circuit.node(node)) > LOOK_FIRST_OVER
    ):
        look = next((check for check in offered if (check.kind, check.node) == (CheckKind.LOOK, node)), None)
        if look is not None:
            return _as_check(suspects, weighed_of(suspects), look, here, minutes + look.minutes)
    return NextStep(None, node, float(problem.repair_minutes[place]), minutes, chance)


def _beyond_is_due(suspects: Suspects) -> bool:
    """Whether nothing drawn is as likely as what is not: many small checks of what is drawn would only put it off."""
    chances = suspects.node_chances()
    return bool(chances[-1] >= _BEYOND_FROM and chances[-1] >= chances[:-1].max())


def _or_beyond(suspects: Suspects, line: NextStep, without: frozenset[CheckKind]) -> NextStep:
    """Return the line, or a look beyond the diagram where that finds more a minute: many small checks would only put it off."""
    off = float(suspects.chance[-1])
    if CheckKind.BEYOND in without or off * BEYOND_FINDS / BEYOND_MINUTES <= line.bad_chance / line.minutes:
        return line
    return NextStep(None, None, BEYOND_MINUTES, line.expected_minutes, off)


def _own_bad(suspects: Suspects, node: str) -> bool:
    return any(
        result.check.node == node
        and not (result.check.is_of_line and result.check.spot is not Spot.IN_HAND)
        and result.verdict is CheckVerdict.BAD
        and (result.check.kind in _OWN or result.check.kind is CheckKind.VOLTAGE_DROP)
        for result in suspects.case.results
    )


def _search(suspects: Suspects, weighed: Weighed, offered: list[Check], here: str | None, *, in_pairs: bool) -> _Search:
    circuit, table, chance = suspects.case.circuit, weighed.table, suspects.chance
    if in_pairs:
        share = pair_share(suspects)
        chance = (1 - share.chance_of_two) * chance + share.chance_of_two * share.marginal
    kept = _kept(chance, table)
    sub = table.rows(kept)
    moving = sub.moving
    rows = np.concatenate((np.arange(kept.size), np.flatnonzero(moving)))
    present = weighed.present[kept]
    weight = np.concatenate((chance[kept] * np.where(moving, present, 1.0), (chance[kept] * (1 - present))[moving]))
    names: tuple[str | None, ...] = (*(node.name for node in circuit.nodes), None)
    used, place = np.unique(np.where(sub.node < 0, len(names) - 1, sub.node)[rows], return_inverse=True)
    order = np.argsort(place, kind="stable")
    places = tuple(names[index] for index in used)
    checks = _worth_weighing(suspects, table.matrix, offered)
    outcomes = _outcomes(sub, checks, weighed.battery_volts, moving)[:, :, order]
    minutes = np.array([check.minutes + _walk(check, here) for check in checks])
    repairs, probe = _repair_minutes(suspects, places, place, rows, sub, weight)
    found = any(r.check.kind is CheckKind.BEYOND and r.verdict is CheckVerdict.BAD for r in suspects.case.results)
    may = np.array([name is not None or found for name in places])
    problem = ManySearch(weight[order], place[order], repairs, may, minutes, outcomes)
    return _Search(problem, probe, tuple(checks), places)


def _kept(chance: Array, table: FaultTable) -> Whole:
    order = np.argsort(-chance, kind="stable")
    enough = int(np.searchsorted(np.cumsum(chance[order]), _KEPT_SHARE)) + 1
    return np.sort(order[: min(max(enough, 1), _KEPT_SUSPECTS)])


def _repair_minutes(
    suspects: Suspects, places: tuple[str | None, ...], place: Whole, rows: Whole, sub: FaultTable, weight: Array
) -> tuple[Array, Probe]:
    circuit = suspects.case.circuit
    repairs = np.array([BEYOND_MEND_MINUTES if name is None else repair_minutes(circuit.node(name)) for name in places])
    both = np.bincount(place, weights=weight, minlength=len(places))
    moving = np.bincount(place, weights=weight * sub.moving[rows], minlength=len(places))
    repairs = repairs + PROVE_MINUTES * np.divide(moving, both, out=np.zeros(len(places)), where=both > 0)
    beyond = np.array([name is None for name in places])
    probe = Probe(
        np.where(beyond, BEYOND_MINUTES / BEYOND_FINDS, np.nan), np.where(beyond, BEYOND_MEND_MINUTES, np.nan)
    )
    return repairs, probe


def _worth_weighing(suspects: Suspects, matrix: CircuitMatrix, offered: list[Check]) -> list[Check]:
    """Leave out own checks of places that are next to no suspects, and meters at places that no told load hangs on."""
    chances = dict(
        zip((node.name for node in suspects.case.circuit.nodes), suspects.node_chances().tolist(), strict=False)
    )
    told = [matrix.index[sign.node] for sign in suspects.case.signs if sign.node in matrix.index]
    on_the_way = np.zeros(len(matrix.kinds), dtype=bool)
    for load in told:
        on_the_way |= matrix.below[:, load] | matrix.behind[:, load]
        on_the_way[load] = True
    kept = []
    for check in offered:
        own = chances.get(check.node, 1.0) >= _LEAST_CHANCE
        by_meter = check.kind in (CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP)
        if (check.kind not in _OWN and not by_meter) or own or (by_meter and on_the_way[matrix.index[check.node]]):
            kept.append(check)
    return kept


def _outcomes(sub: FaultTable, checks: list[Check], volts: float, moving: Mask) -> Array:
    """Return (checks, outcomes, rows): each suspect there, then those that come and go away."""
    found = np.zeros((len(checks), MOST_OUTCOMES, sub.node.size + int(moving.sum())))
    for row, both in enumerate(outcomes_of_all(sub, checks, volts)):
        found[row, : both.there.shape[1]] = np.concatenate((both.there, both.away[moving])).T
    return found


def _walk(check: Check, here: str | None) -> float:
    return 0.0 if here is None or check.place == here or check.kind in _NO_WALK else WALK_MINUTES


def _as_check(suspects: Suspects, weighed: Weighed, check: Check, here: str | None, expected: float) -> NextStep:
    minutes = check.minutes + _walk(check, here)
    both = outcomes_of(weighed.table, check, weighed.battery_volts)
    good = Both(both.there[:, 0], both.away[:, 0]).mixed(weighed.present)
    if check.kind is CheckKind.BEYOND:
        return NextStep(None, None, minutes, expected, float(suspects.chance[-1]))
    bad_chance = float((1 - good) @ suspects.chance)
    line = NextStep(
        check, None, minutes, expected, bad_chance, likeliest_if(suspects, 1 - good), likeliest_if(suspects, good)
    )
    if not is_opened(check):
        return line
    sides = side_chances(weighed.table, check, suspects.chance, weighed.present)
    return replace(line, sides=sides)


def likeliest_if(suspects: Suspects, likelihood: Array) -> Suspect:
    """Return the likeliest suspect after an outcome.

    Parameters
    ----------
    suspects : Suspects
    likelihood : (h,) array
        Chance of the outcome under each suspect.
    """
    weights = suspects.chance * likelihood
    return replace(suspects, chance=weights / weights.sum()).ranked()[0]


def _together(search: _Search, first: int) -> tuple[Check, ...]:
    """Return loads to try in the same go, each the one that tells most given those before it."""
    problem = search.problem
    tries = np.array(
        [r for r, check in enumerate(search.checks) if check.kind is CheckKind.TRY_IT and r != first], dtype=int
    )
    alone = bits_of_checks(replace(problem, check_minutes=np.ones(tries.size), outcomes=problem.outcomes[tries]))
    left, picked = tries[np.argsort(-alone, kind="stable")[:_TRIES_WEIGHED]].tolist(), [first]
    patterns = _with_try(problem, np.ones((1, problem.weight.size)), first)
    told = _bits(problem, patterns)
    while left and len(picked) < MOST_TRIES:
        gains = [_bits(problem, _with_try(problem, patterns, row)) for row in left]
        best = int(np.argmax(gains))
        if gains[best] - told < _LEAST_GAIN:
            break
        told = gains[best]
        patterns = _with_try(problem, patterns, left[best])
        picked.append(left.pop(best))
    return tuple(search.checks[row] for row in picked[1:])


def _with_try(problem: ManySearch, patterns: Array, row: int) -> Array:
    works = problem.outcomes[row, 0]
    return np.concatenate((patterns * works, patterns * (1 - works)))


def _bits(problem: ManySearch, patterns: Array) -> float:
    return float(bits_of_checks(replace(problem, check_minutes=np.ones(1), outcomes=patterns[None]))[0])
