"""The suspects by all the evidence and its size: silence, readings, visits, repairs that failed. Chooses no check."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Condition, FaultMode, NodeKind
from wearlog.facts.electrics import Answer, FixKind
from wearlog.faults.battery_reading import NOTHING_AT_BATTERY
from wearlog.faults.circuit import Circuit
from wearlog.faults.circumstances import JOINTS, LEFT_AFTER_REPAIR, PRESENT, PRESENT_MADE_TO, Circumstances, MeterShown
from wearlog.faults.line_halving import is_opened, likelihood_of_opened
from wearlog.faults.not_drawn import alone_factor
from wearlog.faults.priors import Experience, prior_weights, with_not_on_diagram
from wearlog.faults.results import Result
from wearlog.faults.signs import Observation, Sign
from wearlog.faults.sized_hypotheses import FaultTable, fault_table
from wearlog.faults.sized_outcomes import Both, likelihood_of_reading, outcomes_of
from wearlog.faults.sized_signs import condition_weights, silence_weights, told_observations

Array = NDArray[np.float64]

#: what a battery shows with the key on and loads on, where nobody measured it (12 V; common practice, no source)
USUAL_BATTERY_VOLTS: Final = 12.4
#: of faults on a machine that was worked on, so many are something put together the wrong way round there
_REVERSED_SHARE: Final = 0.30
#: faults per 10,000 h of a wire that touches a live one
_TOUCHES_POWER: Final = 0.05
#: of a data line's wires that touch the supply, so many do so now and then (common practice, no source)
_LINE_MOVES_SHARE: Final = 0.40
#: what was worked on fails so many times as readily by a wire left off or pinched
_WORKED_ON_FACTOR: Final = 5.0
#: that somebody says a steady fault is not there now
_STEADY_AND_AWAY: Final = 0.1
_NOT_SHARED: Final = frozenset({CheckKind.LOOK, CheckKind.WIGGLE, CheckKind.UNWRAP, CheckKind.BEYOND, CheckKind.TRY_IT})


@dataclass(frozen=True, slots=True, eq=False)
class Weighed:
    """Suspects with their chances.

    Attributes
    ----------
    table : FaultTable
    prior, chance : (h,) arrays
        Each adds up to 1.
    present : (h,) array
        The chance that a fault which comes and goes is there on the latest visit; 1 for steady ones.
    observations : tuple of Observation
        Signs, then checks; a check's outcomes are how well each suspect explains it against the one that explains it best.
    battery_volts : float
        What the battery showed last.
    left : (h,) array
        The share that repairs which did not cure leave on each.
    """

    table: FaultTable
    prior: Array
    chance: Array
    present: Array
    observations: tuple[Observation, ...]
    battery_volts: float
    left: Array


def sized_posterior(
    circuit: Circuit,
    circumstances: Circumstances,
    *,
    signs: Sequence[Sign],
    conditions: Sequence[Condition],
    experience: Experience,
    results: Sequence[Result],
    repairs_tried: Sequence[str],
    error_rate: float,
) -> Weighed:
    """Return the posterior over everything that could be wrong, sizes told apart.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    circumstances : Circumstances
        What was asked, worked on, and repaired in vain.
    signs : sequence of Sign
        What was told or tried.
    conditions : sequence of Condition
        Under which it shows.
    experience : Experience
        What was found before.
    results : sequence of Result
        Of checks, in the order they were made.
    repairs_tried : sequence of str
        Nodes that were repaired while the fault stayed; one may come twice.
    error_rate : float
        Share of signs read wrongly, in [0, 1).

    Raises
    ------
    DataError, NotFoundError
        As `told_observations`; and for a check at a node that is not on the diagram.

    Notes
    -----
    Prior x conditions x signs x silence x looks x visits x repairs. All meter checks of one visit share whether a fault that comes
    and goes was there: c prod L(there) + (1 - c) prod L(away). Of two results of one check on one visit the later counts alone.
    """
    table = fault_table(circuit, tuple(circumstances.worked_on))
    before = _prior(circuit, table, circumstances, experience)
    told = told_observations(circuit, table, signs, error_rate)
    weights = before * condition_weights(circuit, table, conditions, asked=circumstances.conditions_asked)
    for observation in told:
        weights = weights * observation.likelihood()
    tries = {r.check.node: r.verdict is CheckVerdict.GOOD for r in results if r.check.kind is CheckKind.TRY_IT}
    silence, silence_alone = silence_weights(table, signs, circumstances.others_tried, error_rate, tries)
    as_drawn = _as_drawn(table, weights, silence)
    loads, quiet = int(np.count_nonzero(table.matrix.is_load)), float(as_drawn[-1])
    alone = silence_alone / quiet if quiet > 0 else 1.0
    weights = weights * as_drawn
    weights[table.node < 0] *= alone_factor(signs, tries, loads, error_rate, alone)
    volts = battery_volts(circuit, results, circumstances)
    seen = [(result, _likelihood(circuit, table, result, volts)) for result in counted_results(results)]
    shared, present = _visits(table, seen, circumstances)
    left = _repairs(circuit, table, repairs_tried, circumstances)
    weights = weights * shared * left
    checked = tuple(_explained(both.mixed(present)) for _, both in seen)
    return Weighed(table, before, weights / weights.sum(), present, (*told, *checked), volts, left)


def battery_volts(circuit: Circuit, results: Iterable[Result], circumstances: Circumstances) -> float:
    """Return what the battery itself showed last, or what it usually shows: volts.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    results : iterable of Result
        Of checks, in the order they were made.
    circumstances : Circumstances
        With the machine's nominal voltage.
    """
    volts = USUAL_BATTERY_VOLTS * circumstances.nominal_volts / 12
    for result in results:
        kind = circuit.node(result.check.node).kind if result.check.node else None
        if kind is NodeKind.BATTERY and result.check.kind is CheckKind.VOLTAGE and result.reading is not None:
            shown = result.reading.value
        elif result.reading is not None and result.reading.battery_volts:
            shown = result.reading.battery_volts
        else:
            continue
        # by a battery that has nothing no voltage further on can be judged
        volts = shown if shown >= NOTHING_AT_BATTERY else volts
    return volts


def _prior(circuit: Circuit, table: FaultTable, circumstances: Circumstances, experience: Experience) -> Array:
    weights = prior_weights(circuit, table.hypotheses, experience) * table.share
    weights[table.is_mode(FaultMode.SHORT_TO_POWER)] = _TOUCHES_POWER
    on_line = np.append(table.matrix.line >= 0, False)[table.node] & table.is_mode(FaultMode.SHORT_TO_POWER)
    weights[on_line] *= np.where(table.moving[on_line], _LINE_MOVES_SHARE, 1 - _LINE_MOVES_SHARE)
    worked = [table.matrix.index[name] for name in circumstances.worked_on if name in table.matrix.index]
    at_them = np.isin(table.node, worked)
    weights[at_them & table.is_mode(FaultMode.OPEN, FaultMode.SHORT_TO_GROUND)] *= _WORKED_ON_FACTOR
    reversed_ones = table.is_mode(FaultMode.REVERSED)
    if reversed_ones.any():
        weights[reversed_ones] = _REVERSED_SHARE / (1 - _REVERSED_SHARE) * weights.sum() / reversed_ones.sum()
    return with_not_on_diagram(weights, experience)


def _as_drawn(table: FaultTable, weights: Array, factor: Array) -> Array:
    """Return the factor with that of a fault on nothing drawn: it takes along as much as those that are drawn do."""
    drawn = table.node >= 0
    total = float(weights[drawn].sum())
    return np.where(drawn, factor, float(weights[drawn] @ factor[drawn]) / total if total > 0 else 1.0)


def counted_results(results: Sequence[Result]) -> list[Result]:
    """Return the results that count: of one check on one visit the last; a look beyond the diagram counts every time.

    Parameters
    ----------
    results : sequence of Result
        In the order they were made.
    """
    last: dict[tuple[object, ...], Result] = {}
    for number, result in enumerate(results):
        if result.verdict in (CheckVerdict.GOOD, CheckVerdict.BAD) or result.reading is not None:
            check = result.check
            again = number if check.kind is CheckKind.BEYOND else -1
            # which side of an opened plug showed 0 ohm is its answer, not another check
            second = "" if is_opened(check) else check.second
            last[check.kind, check.node, second, check.spot, result.visit, again] = result
    return list(last.values())


def _likelihood(circuit: Circuit, table: FaultTable, result: Result, volts: float) -> Both:
    check = result.check
    if check.node:
        circuit.node(check.node)
    if check.second:
        circuit.node(check.second)
    if is_opened(check) and result.verdict in (CheckVerdict.GOOD, CheckVerdict.BAD):
        return likelihood_of_opened(table, check, result.verdict)
    reading = result.reading
    if reading is None and result.measured is not None:
        reading = MeterShown(value=result.measured)
    if reading is not None and (sized := likelihood_of_reading(table, check, reading, volts)) is not None:
        return sized
    outcomes = outcomes_of(table, check, volts)
    if result.verdict is CheckVerdict.GOOD:
        return Both(outcomes.there[:, 0], outcomes.away[:, 0])
    if result.verdict is CheckVerdict.BAD:
        return Both(1 - outcomes.there[:, 0], 1 - outcomes.away[:, 0])
    nothing = np.ones(len(table.hypotheses))
    return Both(nothing, nothing)


def _visits(
    table: FaultTable, seen: Sequence[tuple[Result, Both]], circumstances: Circumstances
) -> tuple[Array, Array]:
    """Return the factor of all checks, and the chance that each suspect is there on the latest visit."""
    factor, by_visit = np.ones(len(table.hypotheses)), defaultdict[int, list[tuple[Result, Both]]](list)
    for result, both in seen:
        if result.check.kind in _NOT_SHARED:
            factor = factor * both.there
        else:
            by_visit[result.visit].append((result, both))
    for answer in circumstances.present.values():
        if answer is Answer.NO:
            factor = np.where(table.moving, factor, factor * _STEADY_AND_AWAY)
    latest = max([*circumstances.present, *by_visit], default=0)
    present = np.where(table.moving, PRESENT[circumstances.present.get(latest)], 1.0)
    for visit, of_visit in by_visit.items():
        chance = _chance_there(of_visit, circumstances, visit)
        both = Both(*(np.stack(rows) for rows in zip(*((one.there, one.away) for _, one in of_visit), strict=True)))
        of_this, there_now = visit_factor(both, np.where(table.moving, chance, 1.0))
        factor = factor * of_this
        present = there_now if visit == latest else present
    return factor, present


def visit_factor(checks: Both, chance: Array) -> tuple[Array, Array]:
    """Return how well each suspect explains all meter checks of one visit, and the chance that it was there.

    Parameters
    ----------
    checks : Both of (checks, h) arrays
        The chance of what each check showed, with the fault there and away.
    chance : (h,) array
        That it was there, before any check of the visit; 1 for what is steady.

    Returns
    -------
    two (h,) arrays
        c prod L(there) + (1 - c) prod L(away), and the share of its first part.
    """
    there, away = chance * checks.there.prod(axis=0), (1 - chance) * checks.away.prod(axis=0)
    total = there + away
    return total, np.divide(there, total, out=np.ones_like(total), where=total > 0)


def _chance_there(of_visit: Sequence[tuple[Result, Both]], circumstances: Circumstances, visit: int) -> float:
    made = [result for result, _ in of_visit if result.check.kind is CheckKind.MAKE_HAPPEN]
    if any(result.verdict is CheckVerdict.BAD for result in made):
        return PRESENT_MADE_TO
    return PRESENT[circumstances.present.get(visit)]


def left_after_repair(circuit: Circuit, node: str, circumstances: Circumstances) -> float:
    """Return the share of the suspicion that stays on a node after a repair that did not cure.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    node : str
        Name of the node.
    circumstances : Circumstances
        What sort of repair it got, where somebody said it; else a joint is mended and anything else exchanged.
    """
    usual = FixKind.JOINT_MADE if circuit.node(node).kind in JOINTS else FixKind.PART_SWAPPED
    return LEFT_AFTER_REPAIR[circumstances.repairs.get(node, usual)]


def _repairs(circuit: Circuit, table: FaultTable, tried: Sequence[str], circumstances: Circumstances) -> Array:
    left = np.ones(len(table.hypotheses))
    for name in tried:
        left[table.node == table.matrix.index[name]] *= left_after_repair(circuit, name, circumstances)
    return left


def _explained(likelihood: Array) -> Observation:
    best = float(likelihood.max())
    against_best = likelihood / best if best > 0 else np.ones_like(likelihood)
    return Observation(np.column_stack((1 - against_best, against_best)), 1)
