"""Two faults at once, asked for only when no single one explains what was seen. Single suspects are in suspects.py."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import FaultMode
from wearlog.faults.signs import Observation, condition_likelihood
from wearlog.faults.suspects import REPAIR_FAILED_SHARE, Suspects, weighed_of, whole_percentages

Array = NDArray[np.float64]

#: a sign that a suspect makes less likely than this is not explained by it
EXPLAINED_FROM: Final = 0.1
#: how often a second fault, perhaps an old one, stands beside a first on an ageing machine (common practice, no source)
SECOND_FAULT_SHARE: Final = 0.1
#: suspects among which pairs are sought in a case with circumstances
MOST_PAIRED: Final = 200
#: how often what hurt one wire of a node hurt a second one too: chafe and corrosion seldom pick one (common practice, no source)
SECOND_WIRE_SHARE: Final = 0.3


@dataclass(frozen=True, slots=True)
class FaultPair:
    """Two suspects together; the same node twice means two wires of it.

    `percent` is of the pairs alone; the pairs listed and `others_percent` add up to 100.
    """

    first_node: str
    first_mode: FaultMode
    second_node: str
    second_mode: FaultMode
    chance: float
    percent: int


@dataclass(frozen=True, slots=True)
class TwoFaults:
    """The answer when one fault is not enough.

    Attributes
    ----------
    chance_of_two : float
        Two faults on the diagram against one (or one that is not drawn).
    unexplained : tuple of int
        Which observations (signs first, then checks) the best single suspect leaves unexplained.
    pairs : tuple of FaultPair
        Likeliest first.
    others_percent : int
    """

    chance_of_two: float
    unexplained: tuple[int, ...]
    pairs: tuple[FaultPair, ...]
    others_percent: int


def unexplained(suspects: Suspects) -> tuple[int, ...]:
    """Return the observations that the best-fitting single suspect on the diagram leaves unexplained; empty when one explains all.

    Parameters
    ----------
    suspects : Suspects
        The suspects with their chances.

    Notes
    -----
    A suspect explains what was seen if it gives each sign at least a tenth, and all together more than blind chance would. The one
    that leaves the fewest signs open is taken, the likelier one of equals; one that only fails together leaves its weakest sign.
    """
    on_diagram = np.array([hypothesis.node is not None for hypothesis in suspects.hypotheses])
    if not suspects.observations or not on_diagram.any():
        return ()
    likelihoods = np.stack([observation.likelihood() for observation in suspects.observations])
    blind = np.prod([1 / observation.outcomes.shape[1] for observation in suspects.observations])
    is_open = likelihoods < EXPLAINED_FROM
    worse_than_blind = likelihoods.prod(axis=0) < blind
    is_open[likelihoods.argmin(axis=0), np.arange(len(on_diagram))] |= worse_than_blind
    left = np.where(on_diagram, is_open.sum(axis=0), len(is_open) + 1)
    fewest = np.flatnonzero(left == left.min())
    best = fewest[suspects.chance[fewest].argmax()]
    return tuple(np.flatnonzero(is_open[:, best]).tolist())


def two_faults(suspects: Suspects, *, most: int = 5) -> TwoFaults | None:
    """Return the likeliest pairs of faults, or None when a single one explains everything that was seen.

    Parameters
    ----------
    suspects : Suspects
    most : int
        Pairs to list.

    Notes
    -----
    Only pairs that explain every sign are listed, if there are any. Two faults together leave a node working only if both do; a
    node that does not work shows what either would make it show. Time and memory grow with the square of the number of
    hypotheses (200: 0.02 s).
    """
    missing = unexplained(suspects)
    if not missing:
        return None
    rows = _rows(suspects)
    pair_weights = _pair_weights(suspects, rows)
    single = (suspects.prior * _left(suspects) * _conditions(suspects) * _joint(suspects.observations)).sum()
    total = pair_weights.sum()
    return TwoFaults(float(total / (total + single)), missing, *_listed(suspects, rows, pair_weights, most))


@dataclass(frozen=True, slots=True, eq=False)
class PairShare:
    """How likely there are two faults, and (h,) how likely each suspect is one of them; the latter adds up to 1."""

    chance_of_two: float
    marginal: Array


def pair_share(suspects: Suspects) -> PairShare:
    """Return how much two faults at once count for what to do next: nothing unless one leaves something unexplained.

    Parameters
    ----------
    suspects : Suspects
        The suspects with their chances.

    Notes
    -----
    Pairs are sought among the 200 likeliest by what each explains best.
    """
    if not unexplained(suspects):
        return PairShare(0.0, np.zeros(len(suspects.hypotheses)))
    rows = _rows(suspects)
    weights = _pair_weights(suspects, rows)
    single = (suspects.prior * _left(suspects) * _conditions(suspects) * _joint(suspects.observations)).sum()
    total = float(weights.sum())
    marginal = np.zeros(len(suspects.hypotheses))
    if total <= 0:
        return PairShare(0.0, marginal)
    marginal[rows] = (weights.sum(axis=0) + weights.sum(axis=1)) / (2 * total)
    return PairShare(float(total / (total + single)), marginal)


def _rows(suspects: Suspects) -> NDArray[np.int64]:
    """Return the suspects among which pairs are sought: all on the diagram, or the likeliest where there are very many."""
    on_diagram = np.array([index for index, h in enumerate(suspects.hypotheses) if h.node is not None])
    if suspects.case.circumstances is None or len(on_diagram) <= MOST_PAIRED:
        return on_diagram
    # each by the product over what it explains, its worst left out: the other of the two may explain that
    likelihoods = np.sort(np.stack([one.likelihood() for one in suspects.observations]), axis=0)[1:, on_diagram]
    promise = (suspects.prior * _left(suspects))[on_diagram] * likelihoods.prod(axis=0)
    return np.sort(on_diagram[np.argsort(-promise, kind="stable")[:MOST_PAIRED]])


def _conditions(suspects: Suspects) -> Array:
    return condition_likelihood(suspects.case.circuit, suspects.hypotheses, suspects.case.conditions)


def _left(suspects: Suspects) -> Array:
    """Return the share of the suspicion that repairs which did not cure leave on each suspect, alone or as one of two."""
    if suspects.case.circumstances is not None:
        return weighed_of(suspects).left
    tried = set(suspects.case.repairs_tried)
    return np.array([REPAIR_FAILED_SHARE if one.node in tried else 1.0 for one in suspects.hypotheses])


def _joint(observations: tuple[Observation, ...]) -> Array:
    return np.asarray(np.prod([observation.likelihood() for observation in observations], axis=0))


def _pair_weights(suspects: Suspects, rows: NDArray[np.int64]) -> Array:
    """Return the weight of every pair above the diagonal; pairs that leave a sign unexplained count only if all do."""
    conditions = _conditions(suspects)[rows]
    weights = np.triu(_pair_priors(suspects, rows) * np.maximum(conditions[:, None], conditions[None, :]), k=1)
    explains = np.ones(weights.shape, dtype=bool)
    for observation in suspects.observations:
        likelihood = _both(observation.outcomes[rows], observation.seen)
        weights *= likelihood
        explains &= likelihood >= EXPLAINED_FROM
    return np.where(explains, weights, 0.0) if weights[explains].sum() > 0 else weights


def _pair_priors(suspects: Suspects, rows: NDArray[np.int64]) -> Array:
    """Return the prior of each pair: apart, independent and rare; on one node only as two wires that failed alike."""
    before = (suspects.prior * _left(suspects))[rows]
    independent = 2 * before[:, None] * before[None, :]
    ends = [suspects.hypotheses[row] for row in rows]
    same_node = np.equal.outer(*(np.array([end.node for end in ends]),) * 2)
    alike = np.array([f"{end.node}|{end.mode}|{end.intermittent}" if end.branch else "" for end in ends])
    wires = (alike[:, None] == alike[None, :]) & (alike != "")[:, None]
    # of all single wires of this node, which two
    total = np.where(wires, before[None, :], 0.0).sum(axis=1)
    by_wire = SECOND_WIRE_SHARE * independent / np.where(total > 0, total, 1.0)[:, None]
    return np.where(wires, by_wire, np.where(same_node, 0.0, SECOND_FAULT_SHARE * independent))


def _both(outcomes: Array, seen: int) -> Array:
    """Return the chance of what was seen under each pair of rows; column 0 is the outcome of a sound circuit."""
    sound = outcomes[:, 0][:, None] * outcomes[:, 0][None, :]
    if seen == 0:
        return np.asarray(sound)
    shown = outcomes[:, seen][:, None] + outcomes[:, seen][None, :]
    unsound = (1 - outcomes[:, 0])[:, None] + (1 - outcomes[:, 0])[None, :]
    return np.asarray((1 - sound) * shown / unsound)


def _listed(
    suspects: Suspects, rows: NDArray[np.int64], weights: Array, most: int
) -> tuple[tuple[FaultPair, ...], int]:
    totals: dict[tuple[tuple[str, FaultMode], tuple[str, FaultMode]], float] = {}
    order = np.argsort(weights, axis=None)[::-1]
    whole = weights.sum()
    # wires of one node, steady or coming and going, are one suspect to a reader: gather them before ranking
    for flat in order[: 40 * most]:
        first, second = divmod(int(flat), len(rows))
        ends = [suspects.hypotheses[rows[index]] for index in (first, second)]
        key = ((str(ends[0].node), ends[0].mode), (str(ends[1].node), ends[1].mode))
        totals[key] = totals.get(key, 0.0) + float(weights[first, second] / whole)
    best = sorted(totals, key=lambda key: -totals[key])[:most]
    percents = whole_percentages([*(totals[key] for key in best), max(0.0, 1 - sum(totals[key] for key in best))])
    pairs = tuple(
        FaultPair(*first, *second, totals[first, second], percent)
        for (first, second), percent in zip(best, percents, strict=False)
    )
    return pairs, percents[-1]
