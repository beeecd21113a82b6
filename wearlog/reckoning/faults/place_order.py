"""A fault looked for place after place, without a meter's halving: the best such order, and what it takes on the mean."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from wearlog.faults.checks import checks_for
from wearlog.faults.order_rule import (
    entropy_bits,
    expected_cost,
    fewest_yes_no_checks,
    probability_per_cost,
    with_one_untested,
)
from wearlog.faults.suspects import Suspects


@dataclass(frozen=True, slots=True)
class PlaceOrder:
    """The places in the order of chance per minute.

    Attributes
    ----------
    places : tuple of str
        The first is to be looked at first; the one that needs no look because only it is left is last.
    minutes : float
        Expected minutes of looking until the place is found, if each look tells for sure.
    likeliest_first_minutes : float
        The same in the order of chance alone.
    bits, fewest_checks : float
        How much is not known, and the fewest yes/no checks that could tell on the mean if any split could be asked for.
    """

    places: tuple[str, ...]
    minutes: float
    likeliest_first_minutes: float
    bits: float
    fewest_checks: float


def place_order(suspects: Suspects) -> PlaceOrder | None:
    """Return the order; None where fewer than two places that offer a check are suspected.

    Notes
    -----
    What is on no diagram is left aside. A look is the quickest check that a place offers; walking is not in it.
    """
    quickest: dict[str, float] = {}
    for check in checks_for(suspects.case.circuit):
        quickest[check.node] = min(check.minutes, quickest.get(check.node, check.minutes))
    chances: dict[str, float] = defaultdict(float)
    for one in suspects.ranked():
        if one.node in quickest and one.node is not None and one.chance > 0:
            chances[one.node] += one.chance
    if len(chances) < 2:
        return None
    names = list(chances)
    total = sum(chances.values())
    chance, minutes = [chances[name] / total for name in names], [quickest[name] for name in names]
    best = with_one_untested(chance, minutes)
    order = [*best.order, *(() if best.untested is None else (best.untested,))]
    likeliest = sorted(range(len(names)), key=lambda place: -chance[place])
    every = probability_per_cost(chance, minutes)
    return PlaceOrder(
        tuple(names[place] for place in order),
        min(best.expected_cost, every.expected_cost),
        expected_cost(chance, minutes, likeliest),
        entropy_bits(chance),
        fewest_yes_no_checks(chance),
    )
