"""Who did it: the posterior over everything that could be wrong, as percentages that add up to 100. Chooses no check."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Condition, FaultMode
from wearlog.faults.circuit import Circuit
from wearlog.faults.circumstances import Circumstances
from wearlog.faults.effects import Effects, effects
from wearlog.faults.hypotheses import Hypothesis, hypotheses
from wearlog.faults.outcomes import bad_chances, reading_likelihood
from wearlog.faults.priors import NO_EXPERIENCE, Experience, priors
from wearlog.faults.results import Result as Result
from wearlog.faults.signs import ERROR_RATE, Observation, Sign, condition_likelihood, observe
from wearlog.faults.sized_posterior import Weighed, sized_posterior

Array = NDArray[np.float64]

#: a repair that was tried and seen to change nothing leaves this share of the suspicion on its node
REPAIR_FAILED_SHARE: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """All that is known of one fault: the circuit, what was seen, when, what was found before, and what checks have shown.

    With `circumstances` the size of readings counts, and so does what nobody said (see `sized_posterior`); without them signs and
    verdicts alone.
    """

    circuit: Circuit
    signs: tuple[Sign, ...] = ()
    conditions: tuple[Condition, ...] = ()
    experience: Experience = NO_EXPERIENCE
    results: tuple[Result, ...] = ()
    repairs_tried: tuple[str, ...] = ()
    error_rate: float = ERROR_RATE
    circumstances: Circumstances | None = None


@dataclass(frozen=True, slots=True)
class Suspect:
    """A node and the way it may have failed. `node` None: not on this diagram. `percent` is rounded so that all add up to 100."""

    node: str | None
    mode: FaultMode
    chance: float
    percent: int
    intermittent_share: float


@dataclass(frozen=True, slots=True)
class Listing:
    """The first few suspects, and the percentage of all the others together; with it they add up to 100."""

    suspects: tuple[Suspect, ...]
    others_percent: int


@dataclass(frozen=True, slots=True, eq=False)
class Suspects:
    """The posterior of a case.

    Attributes
    ----------
    case : Case
    hypotheses : tuple of Hypothesis
    prior, chance : (hypotheses,) arrays
        Before and after the evidence; each adds up to 1.
    observations : tuple of Observation
        The evidence itself, signs first, then checks.
    weighed : Weighed or None
        The same as arrays, of a case with circumstances.
    """

    case: Case
    hypotheses: tuple[Hypothesis, ...]
    prior: Array
    chance: Array
    observations: tuple[Observation, ...]
    weighed: Weighed | None = field(default=None, repr=False)

    def ranked(self) -> tuple[Suspect, ...]:
        """Return every suspect, likeliest first; wires of one node and steady / coming and going are counted together."""
        totals: dict[tuple[str | None, FaultMode], list[float]] = {}
        for hypothesis, chance in zip(self.hypotheses, self.chance.tolist(), strict=True):
            both = totals.setdefault((hypothesis.node, hypothesis.mode), [0.0, 0.0])
            both[0] += chance
            both[1] += chance * hypothesis.intermittent
        order = sorted(totals, key=lambda key: -totals[key][0])
        percents = whole_percentages([totals[key][0] for key in order])
        return tuple(
            Suspect(node, mode, totals[node, mode][0], percent, _share(*totals[node, mode]))
            for (node, mode), percent in zip(order, percents, strict=True)
        )

    def listed(self, most: int = 8) -> Listing:
        """Return the first `most` suspects with percentages that add up to 100 together with "others".

        Parameters
        ----------
        most : int
            How many rows at most.
        """
        ranked = self.ranked()
        first, rest = ranked[:most], ranked[most:]
        percents = whole_percentages([*(s.chance for s in first), sum(s.chance for s in rest)])
        rows = tuple(
            Suspect(s.node, s.mode, s.chance, percent, s.intermittent_share)
            for s, percent in zip(first, percents, strict=False)
        )
        return Listing(rows, percents[-1])

    def node_chances(self) -> Array:
        """Return the chance that the fault sits at each node, in the order of the circuit, and last "not on this diagram"."""
        place = {node.name: index for index, node in enumerate(self.case.circuit.nodes)}
        chances = np.zeros(len(place) + 1)
        for hypothesis, chance in zip(self.hypotheses, self.chance, strict=True):
            chances[-1 if hypothesis.node is None else place[hypothesis.node]] += chance
        return chances


def suspects_of(case: Case) -> Suspects:
    """Return the posterior of a case: prior x likelihood of every sign, condition and check, normalised.

    Parameters
    ----------
    case : Case
        Circuit, signs, conditions and checks of one fault.

    Raises
    ------
    DataError, NotFoundError
        As `signs.observe`; and for a check at a node that is not on the diagram.

    Notes
    -----
    Given the fault, signs are taken as independent. Of two results of one check at one node the later one counts alone: measuring
    the same thing twice is not news twice.

    Examples
    --------
    A light that is dead on a drawing of four nodes:

    >>> from wearlog.facts.closed_lists import SignKind
    >>> from wearlog.faults.diagram_text import parse_diagram
    >>> from wearlog.faults.signs import Sign
    >>> circuit = parse_diagram(
    ...     "B: battery\\n  F: fuse 10 A\\n    P: connector\\n      L: device, returns by G\\nG: ground\\n"
    ... )
    >>> found = suspects_of(Case(circuit=circuit, signs=(Sign(kind=SignKind.DEAD, node="L"),)))
    >>> [(one.node, one.mode.value, one.percent) for one in found.listed(3).suspects]
    [('B', 'failed_device', 19), ('P', 'open', 17), ('L', 'failed_device', 15)]
    """
    if case.circumstances is not None:
        return _sized(case, case.circumstances)
    all_of_them, done, before = _would_do(case.circuit)
    if case.experience is not NO_EXPERIENCE:
        before = priors(case.circuit, all_of_them, case.experience)
    seen = observe(case.circuit, all_of_them, done, case.signs, case.error_rate)
    found = _check_observations(case, all_of_them)
    weights = before * condition_likelihood(case.circuit, all_of_them, case.conditions)
    for observation in (*seen, *found):
        weights = weights * observation.likelihood()
    for result in _latest(case.results):
        if result.verdict is CheckVerdict.BAD and result.measured is not None:
            weights = weights * reading_likelihood(result.check, result.measured, all_of_them)
    tried = set(case.repairs_tried)
    weights = weights * np.array([REPAIR_FAILED_SHARE if h.node in tried else 1.0 for h in all_of_them])
    return Suspects(case, all_of_them, before, weights / weights.sum(), (*seen, *found))


@lru_cache(maxsize=8)
def _would_do(circuit: Circuit) -> tuple[tuple[Hypothesis, ...], Effects, Array]:
    """What could be wrong on a circuit, what each would do, and the chance of each for who has seen nothing yet.

    All this is the same for all faults of a machine, which are asked one by one.
    """
    all_of_them = hypotheses(circuit)
    done, before = effects(circuit, all_of_them), priors(circuit, all_of_them)
    for table in (done.status, done.fuse_state, before):
        table.setflags(write=False)
    return all_of_them, done, before


def _sized(case: Case, circumstances: Circumstances) -> Suspects:
    weighed = _weighed(case, circumstances)
    return Suspects(case, weighed.table.hypotheses, weighed.prior, weighed.chance, weighed.observations, weighed)


def weighed_of(suspects: Suspects) -> Weighed:
    """Return the posterior of a case with circumstances as arrays.

    Parameters
    ----------
    suspects : Suspects
        Of a case with circumstances; DataError for one without.
    """
    if suspects.case.circumstances is None:
        raise DataError("The case has no circumstances.", "Give what was asked, even if nothing was answered.")
    return suspects.weighed or _weighed(suspects.case, suspects.case.circumstances)


def _weighed(case: Case, circumstances: Circumstances) -> Weighed:
    return sized_posterior(
        case.circuit,
        circumstances,
        signs=case.signs,
        conditions=case.conditions,
        experience=case.experience,
        results=case.results,
        repairs_tried=case.repairs_tried,
        error_rate=case.error_rate,
    )


def whole_percentages(chances: Sequence[float]) -> tuple[int, ...]:
    """Return whole percentages that add up to 100: each rounded down, the rest given to the largest remainders.

    Parameters
    ----------
    chances : sequence of float
        (n,), at least 0, not all 0; need not sum to 1.

    Raises
    ------
    DataError
        For no chances, or chances that are negative or add up to nothing.
    """
    total = sum(chances)
    if not chances or min(chances) < 0 or not total > 0:
        raise DataError(
            "Percentages need chances that are not negative and not all nothing.", "Enter what was seen first."
        )
    exact = [100 * chance / total for chance in chances]
    whole = [int(value) for value in exact]
    # sorted() is stable: of equal remainders the one listed first gets the point
    by_remainder = sorted(range(len(exact)), key=lambda index: whole[index] - exact[index])
    for index in by_remainder[: 100 - sum(whole)]:
        whole[index] += 1
    return tuple(whole)


def _share(total: float, coming_and_going: float) -> float:
    return coming_and_going / total if total > 0 else 0.0


def _latest(results: Sequence[Result]) -> tuple[Result, ...]:
    last: dict[tuple[CheckKind, str], Result] = {}
    for result in results:
        if result.verdict in (CheckVerdict.GOOD, CheckVerdict.BAD):
            last[result.check.kind, result.check.node] = result
    return tuple(last.values())


def _check_observations(case: Case, all_of_them: Sequence[Hypothesis]) -> tuple[Observation, ...]:
    latest = _latest(case.results)
    if not latest:
        return ()
    for result in latest:
        case.circuit.node(result.check.node)
    bad = bad_chances(case.circuit, [result.check for result in latest], all_of_them)
    return tuple(
        Observation(np.column_stack((1 - row, row)), int(result.verdict is CheckVerdict.BAD))
        for row, result in zip(bad, latest, strict=True)
    )
