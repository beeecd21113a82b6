"""Print how true "not on this diagram" is said to be: `python -m tests.bench.not_drawn_said [drawn] [not drawn] [first]`.

Simulated faults that are drawn and faults that are not, each with what is told of it and up to fifteen checks in any order; asked
after 0, 1, 3, 5, 9 and 15 of them. Both are weighed as they come among the faults that show at all, so few are needed of what is
rare. In one row what is not drawn takes one load along always, as in the simulated searches; in the other in half of the cases,
as the program has it, else any load as readily as not.
"""

from __future__ import annotations

import sys

import numpy as np

from tests.fault_searches import _after, _is_it_there
from tests.fault_world import Tables, World, random_circuit
from wearlog.facts.closed_lists import CheckKind
from wearlog.faults.checks import Check, checks_for
from wearlog.faults.circumstances import Circumstances
from wearlog.faults.effects import UNKNOWN
from wearlog.faults.not_drawn import ALONE_SHARE
from wearlog.faults.suspects import Case, suspects_of

EDGES = (0.02, 0.05, 0.1, 0.2, 0.4, 0.6)
ASKED_AFTER = (0, 1, 3, 5, 9, 15)
_TRIES, _OTHERS = 3, 12
_KINDS = (CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP, CheckKind.LOOK, CheckKind.WIGGLE)
_BATTERY = "B"
#: worlds and draws of each that say how often a fault that shows is not drawn
_SHOWN_WORLDS, _SHOWN_DRAWS = 500, 40


class Sorted(World):
    """A fault that is drawn, or one that is not, as asked; `some` of what is not drawn takes any load as readily as not."""

    drawn, some = True, 0.0

    def _draw(self) -> None:
        super()._draw()
        while (self.node is not None) != self.drawn:
            super()._draw()

    def _shown_by_loads(self) -> dict[str, int]:
        shown = super()._shown_by_loads()
        if self.node is None and self.some and self.rng.random() < self.some:
            return {name: int(self.rng.choice(3, p=UNKNOWN)) for name in shown}
        return shown


class NotDrawn(Sorted):
    drawn = False


class NotDrawnOrSome(NotDrawn):
    some = 1 - ALONE_SHARE


def said_of(kind: type[Sorted], number: int) -> list[float]:
    """Return the chance said of "not on this diagram" along the checks of one world."""
    rng = np.random.default_rng(1000 + number)
    world = kind(random_circuit(rng), Tables(np.random.default_rng(7000 + number)), rng)
    signs = world.told()
    world.rng = rng = np.random.default_rng(5000 + number)
    case = Case(circuit=world.circuit, signs=signs, circumstances=Circumstances(present={0: _is_it_there(world)}))
    silent = [name for name in world.status if name not in {sign.node for sign in signs}]
    rng.shuffle(silent)
    others = [c for c in checks_for(world.circuit) if c.kind in _KINDS and c.node != _BATTERY]
    plan = [Check(kind=CheckKind.TRY_IT, node=name, minutes=1.0) for name in silent[:_TRIES]]
    plan += [others[place] for place in rng.permutation(len(others))[:_OTHERS]]
    said = []
    for made in range(len(plan) + 1):
        suspects = suspects_of(case)
        if made in ASKED_AFTER:
            said.append(float(suspects.node_chances()[-1]))
        if made < len(plan):
            case = _after(world, suspects, plan[made], 0).case
    return said


def share_not_drawn(first: int) -> float:
    """Return how many of the faults that show at all are not drawn."""
    shown = []
    for number in range(first, first + _SHOWN_WORLDS):
        rng = np.random.default_rng(31000 + number)
        world = World(random_circuit(rng), Tables(np.random.default_rng(number)), rng)
        for _ in range(_SHOWN_DRAWS):
            World._draw(world)
            shown += [world.node is None] if any(world.status.values()) else []
    return float(np.mean(shown))


def main(drawn: int, not_drawn: int, first: int) -> None:
    share = share_not_drawn(first)
    print(f"of the faults that show {share:.3f} are not drawn")
    there = [chance for number in range(first, first + drawn) for chance in said_of(Sorted, number)]
    for name, kind in (("one load along always", NotDrawn), ("in half of the cases", NotDrawnOrSome)):
        beyond = [c for number in range(first + 10**5, first + 10**5 + not_drawn) for c in said_of(kind, number)]
        chance = np.array([*there, *beyond])
        so = np.repeat((False, True), (len(there), len(beyond)))
        weight = np.where(so, share / len(beyond), (1 - share) / len(there))
        where = np.digitize(chance, EDGES)
        bins = [
            f"{np.average(chance[at], weights=weight[at]):.3f}->{np.average(so[at], weights=weight[at]):.3f} ({at.sum()})"
            for b in range(len(EDGES) + 1)
            if (at := where == b).any()
        ]
        score = -float((weight * np.log(np.where(so, chance, 1 - chance))).sum())
        print(f"  {name}: {np.average(chance, weights=weight):.3f} said, log score {score:.3f}; {'  '.join(bins)}")


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(*(numbers + [400, 200, 500_000][len(numbers) :]))
