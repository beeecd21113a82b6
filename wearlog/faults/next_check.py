"""What to do next on a case: the check or repair with the least expected minutes to a found and fixed fault, and a checklist."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, SignKind
from wearlog.faults.checks import Check, checks_for, repair_minutes
from wearlog.faults.exact_search import exact_step, states
from wearlog.faults.line_order import EXPECTED_SEEN
from wearlog.faults.lookahead import lookahead_step
from wearlog.faults.next_line import PROVE_MINUTES as PROVE_MINUTES
from wearlog.faults.next_line import WALK_MINUTES as WALK_MINUTES
from wearlog.faults.next_line import NextStep as NextStep
from wearlog.faults.outcomes import bad_chances
from wearlog.faults.search_problem import SearchProblem, Step, reduced
from wearlog.faults.sized_next import likeliest_if, sized_step
from wearlog.faults.sized_offers import fuses_meant
from wearlog.faults.suspects import Suspects
from wearlog.faults.updating import after_check, after_repair

Array = NDArray[np.float64]

_FUSE_SIGNS: Final = frozenset(kind for kind in SignKind if kind.startswith("fuse_"))
_OF_A_FUSE: Final = frozenset({CheckKind.LOOK, CheckKind.CONTINUITY, CheckKind.VOLTAGE})
_NEEDS_SUPPLY: Final = frozenset({CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP})
_OF_THE_NODE_ITSELF: Final = frozenset(CheckKind) - {CheckKind.VOLTAGE, CheckKind.UNPLUG}
#: suspects kept while thinking ahead, by their share of the chance; and checks, by what they tell per minute
_KEPT_SHARE: Final = 0.99
_KEPT_CHECKS: Final = 40
#: a search this small is solved exactly
_EXACT_STATES: Final = 20_000
#: lines of a checklist unless more are asked for
_MOST_STEPS: Final = 12


def next_step(
    suspects: Suspects, *, here: str | None = None, without: frozenset[CheckKind] = frozenset(), steps: int = 2
) -> NextStep:
    """Return what to do next.

    Parameters
    ----------
    suspects : Suspects
    here : str, optional
        The place where one stands; any other costs the walk.
    without : frozenset of CheckKind
        Kinds of check that cannot be made now (no meter at hand, nobody to help).
    steps : int
        How many steps to think through.

    Raises
    ------
    DataError
        For fewer than one step.

    Notes
    -----
    A small search is solved exactly; otherwise the steps are thought through on the likeliest suspects (99 % of the chance) and
    the 40 checks that tell most per minute. A check that was made already is not asked for again.
    """
    if suspects.case.circumstances is not None:
        return sized_step(suspects, here=here, without=without, steps=steps)
    offered = tuple(check for check in _offered(suspects) if check.kind not in without)
    problem, nodes = _problem(suspects, offered, here)
    step, rows = _solve(problem, steps)
    if step.check is not None:
        return _as_check(suspects, problem, offered, rows[step.check], step.expected_minutes)
    assert step.repair is not None
    node, weights = nodes[step.repair], problem.place_weights()
    chance = float(weights[step.repair] / weights.sum())
    return NextStep(None, node, float(problem.repair_minutes[step.repair]), step.expected_minutes, chance)


def checklist(
    suspects: Suspects, *, most: int = _MOST_STEPS, here: str | None = None, without: frozenset[CheckKind] = frozenset()
) -> tuple[NextStep, ...]:
    """Return the steps to expect, in order: each check shows what is likelier, each repair but the last is not the right one.

    Parameters
    ----------
    suspects : Suspects
        The suspects with their chances.
    most : int
        Lines at most. The list ends sooner at a repair that is likelier right than wrong, or beyond the diagram.
    here : str or None
        The place where one stands; any other costs the walk. None: anywhere.
    without : frozenset of CheckKind
        Kinds of check that cannot be made now.
    """
    if most < 1:
        raise DataError("A checklist has at least one line.", "Ask for one or more.")
    lines: list[NextStep] = []
    while len(lines) < most:
        step = next_step(suspects, here=here, without=without)
        lines.append(step)
        if step.check is not None:
            here = step.check.place if step.check.kind is not CheckKind.TRY_IT else here
            # a list follows the controllers as seen: what some being gone asks for depends on which
            shows_bad = step.bad_chance > 0.5 and step.check.expected != EXPECTED_SEEN
            shown = CheckVerdict.BAD if shows_bad else CheckVerdict.GOOD
            made = step.check if shown is CheckVerdict.GOOD else replace(step.check, second=_side_shown(step))
            for check, verdict in ((made, shown), *((one, CheckVerdict.GOOD) for one in step.together)):
                suspects = after_check(suspects, check, verdict)
        elif step.repair is None or step.bad_chance > 0.5:
            break
        else:
            here = suspects.case.circuit.node(step.repair).place
            suspects = after_repair(suspects, step.repair)
    return tuple(lines)


def _side_shown(step: NextStep) -> str:
    """Return the side of an opened plug that shows 0 ohm most often; what the check has where no plug is opened."""
    assert step.check is not None
    return max(
        ((name, chance) for name, chance in step.sides if name),
        key=lambda one: one[1],
        default=(step.check.second, 0.0),
    )[0]


def _offered(suspects: Suspects) -> tuple[Check, ...]:
    """Return the checks that can still tell something.

    Left out are those made already, those of a fuse whose state is known, those that need supply under a blown fuse, and those of
    a node that was repaired.
    """
    case = suspects.case
    told = {(r.check.kind, r.check.node) for r in case.results if r.verdict is not CheckVerdict.NOT_DONE}
    blown = {sign for sign in case.signs if sign.kind in _FUSE_SIGNS - {SignKind.FUSE_WHOLE}}
    for sign in case.signs:
        for fuse in fuses_meant(case, sign) if sign.kind in _FUSE_SIGNS else ():
            told |= {(kind, fuse) for kind in _OF_A_FUSE}
            dead = case.circuit.downstream(fuse) if sign in blown else ()
            told |= {(kind, name) for kind in _NEEDS_SUPPLY for name in dead}
    told |= {(kind, node) for kind in _OF_THE_NODE_ITSELF for node in case.repairs_tried}
    return tuple(check for check in checks_for(case.circuit) if (check.kind, check.node) not in told)


def _problem(
    suspects: Suspects, offered: Sequence[Check], here: str | None
) -> tuple[SearchProblem, tuple[str | None, ...]]:
    """Return the search as arrays, and the node of each place; the last place is "not on this diagram"."""
    circuit = suspects.case.circuit
    nodes = (*(node.name for node in circuit.nodes), None)
    # a repair that was tried is not proposed again: what suspicion is left there goes with what is not drawn
    tried = suspects.case.repairs_tried
    column = {name: len(nodes) - 1 if name in tried else index for index, name in enumerate(nodes)}
    walk = [0.0 if here is None or check.place == here else WALK_MINUTES for check in offered]
    place = np.array([column[hypothesis.node] for hypothesis in suspects.hypotheses])
    repairs = np.array([repair_minutes(None if name is None else circuit.node(name)) for name in nodes])
    problem = SearchProblem(
        weight=suspects.chance,
        place=place,
        repair_minutes=repairs + PROVE_MINUTES * _coming_and_going(suspects, place, len(nodes)),
        check_minutes=np.array([check.minutes for check in offered], dtype=np.float64) + np.array(walk),
        bad=bad_chances(circuit, offered, suspects.hypotheses),
    )
    return problem, nodes


def _coming_and_going(suspects: Suspects, place: NDArray[np.int64], places: int) -> Array:
    """Return, for each place, the share of its chance that is a fault which comes and goes."""
    moving = np.array([hypothesis.intermittent for hypothesis in suspects.hypotheses], dtype=np.float64)
    both = np.bincount(place, weights=suspects.chance, minlength=places)
    of_it = np.bincount(place, weights=suspects.chance * moving, minlength=places)
    return np.divide(of_it, both, out=np.zeros(places), where=both > 0)


def _solve(problem: SearchProblem, steps: int) -> tuple[Step, Sequence[int]]:
    smaller, rows = reduced(problem, _KEPT_SHARE, _KEPT_CHECKS)
    packed, places = _packed(smaller)
    step = exact_step(packed) if states(packed) <= _EXACT_STATES else lookahead_step(packed, steps=steps)
    repair = None if step.repair is None else int(places[step.repair])
    return Step(step.check, repair, step.expected_minutes), rows


def _packed(problem: SearchProblem) -> tuple[SearchProblem, NDArray[np.int64]]:
    """Return the problem without places that no hypothesis is left at, and which places remain."""
    places, numbered = np.unique(problem.place, return_inverse=True)
    packed = SearchProblem(problem.weight, numbered, problem.repair_minutes[places], problem.check_minutes, problem.bad)
    return packed, places


def _as_check(
    suspects: Suspects, problem: SearchProblem, offered: Sequence[Check], row: int, expected_minutes: float
) -> NextStep:
    bad = problem.bad[row]
    return NextStep(
        offered[row],
        None,
        float(problem.check_minutes[row]),
        expected_minutes,
        float(bad @ suspects.chance),
        likeliest_if(suspects, bad),
        likeliest_if(suspects, 1 - bad),
    )
