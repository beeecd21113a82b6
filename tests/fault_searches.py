"""Searches through a simulated world: the program's advice with and without sizes, and three plain ways to go about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from tests.fault_world import BEYOND_FINDS, Tables, World, random_circuit
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind
from wearlog.facts.electrics import Answer, OthersTried, Told
from wearlog.faults.checks import Check, checks_for, judge, repair_minutes
from wearlog.faults.circumstances import Circumstances, MeterShown
from wearlog.faults.next_check import PROVE_MINUTES, WALK_MINUTES, NextStep, next_step
from wearlog.faults.results import Result
from wearlog.faults.signs import Sign
from wearlog.faults.suspects import Case, Suspects, suspects_of
from wearlog.faults.updating import after_repair

BEYOND_MINUTES, BEYOND_MEND_MINUTES = 15.0, 60.0
#: questions of circumstance before the search
ASKING_MINUTES = 1.0
#: another visit after so many minutes of search
VISIT_MINUTES = 240.0
MOST_STEPS = 60
#: looks beyond the diagram before somebody who is told nothing else goes on by himself
_LOOKS_BEYOND = 3
#: a person asks elsewhere rather than repair everything so many times over
_ROUNDS = 5
_BEYOND = Check(kind=CheckKind.BEYOND, node="", minutes=BEYOND_MINUTES)

Policy = Callable[[Suspects, str | None], NextStep]


@dataclass
class Search:
    """What one search took, and what was said on the way: (chance said, whether it was so) at each step."""

    minutes: float = 0.0
    wrong_repairs: int = 0
    steps: int = 0
    at_an_end: bool = False
    top: list[tuple[float, bool]] = field(default_factory=list)
    off: list[tuple[float, bool]] = field(default_factory=list)
    every: list[tuple[float, bool]] = field(default_factory=list)


@dataclass(frozen=True)
class Arm:
    """A way to search; `sized`: the case has circumstances."""

    name: str
    policy: Policy
    sized: bool = True


def worlds(count: int, *, off_by: float = 1.0, tells_all: bool = False, first: int = 0) -> Iterator[World]:
    """Yield seeded worlds, the same for every arm; what is drawn later does not depend on what was told."""
    for number in range(first, first + count):
        rng = np.random.default_rng(1000 + number)
        yield World(random_circuit(rng), Tables(np.random.default_rng(7000 + number), off_by, tells_all), rng)


def searches(arm: Arm, count: int, *, off_by: float = 1.0, tells_all: bool = False, first: int = 0) -> list[Search]:
    """Follow one way through so many worlds."""
    found = []
    for number, world in enumerate(worlds(count, off_by=off_by, tells_all=tells_all, first=first)):
        signs = world.told()
        world.rng = np.random.default_rng(5000 + first + number)
        found.append(searched(world, signs, arm))
    return found


def searched(world: World, signs: tuple[Sign, ...], arm: Arm) -> Search:
    """Follow a way until the fault is fixed."""
    found, here, fruitless, visit = Search(), None, 0, 0
    case = Case(circuit=world.circuit, signs=signs)
    if arm.sized:
        found.minutes += ASKING_MINUTES
        tried = OthersTried.ALL_FINE if world.tables.tells_all else None
        case = replace(case, circumstances=Circumstances(present={0: _is_it_there(world)}, others_tried=tried))
    suspects = suspects_of(case)
    while found.steps < MOST_STEPS and fruitless < _LOOKS_BEYOND:
        found.steps += 1
        if found.minutes >= (visit + 1) * VISIT_MINUTES:
            visit += 1
            world.new_visit()
            suspects = _on_another_visit(world, suspects, visit)
        _note(found, suspects, world)
        step = arm.policy(_discounted(suspects, fruitless), here)
        if step.check is not None:
            found.minutes += step.minutes
            here = step.check.place or here
            for check in (step.check, *step.together):
                suspects = _after(world, suspects, check, visit)
            if step.check.kind is CheckKind.MAKE_HAPPEN and world.there and arm.sized:
                suspects = _on_another_visit(world, suspects, visit)
        elif step.repair is not None:
            here = world.circuit.node(step.repair).place
            if _repaired(world, found, step.repair):
                return found
            suspects = after_repair(suspects, step.repair)
        else:
            found.minutes += BEYOND_MINUTES
            verdict, _ = world.check(_BEYOND)
            if verdict is CheckVerdict.BAD:
                found.minutes += BEYOND_MEND_MINUTES
                return found
            fruitless += not arm.sized
            suspects = (
                _with_result(suspects, Result(check=_BEYOND, verdict=verdict, visit=visit)) if arm.sized else suspects
            )
    return _one_after_the_other(world, suspects, found)


def _discounted(suspects: Suspects, fruitless: int) -> Suspects:
    """Evidence without sizes has no word for a look beyond the diagram that found nothing: the person himself thinks less of it."""
    if not fruitless:
        return suspects
    chance = suspects.chance.copy()
    chance[-1] *= (1 - BEYOND_FINDS) ** fruitless
    return replace(suspects, chance=chance / chance.sum())


def _is_it_there(world: World) -> Answer:
    if world.rng.random() >= 0.7:
        return Answer.CANNOT_TELL
    return Answer.YES if world.there else Answer.NO


def _on_another_visit(world: World, suspects: Suspects, visit: int) -> Suspects:
    circumstances = suspects.case.circumstances
    if circumstances is None:
        return suspects
    present = {**circumstances.present, visit: _is_it_there(world)}
    return suspects_of(replace(suspects.case, circumstances=replace(circumstances, present=present)))


def _with_result(suspects: Suspects, result: Result) -> Suspects:
    return suspects_of(replace(suspects.case, results=(*suspects.case.results, result)))


def _after(world: World, suspects: Suspects, check: Check, visit: int) -> Suspects:
    verdict, value = world.check(check)
    own = [r.measured for r in suspects.case.results if r.check.kind is CheckKind.VOLTAGE and r.check.node == "B"]
    battery, reading = own[-1] if own else None, None
    if value is not None and suspects.case.circumstances is not None:
        reading = MeterShown(value=value, battery_volts=battery if check.node != "B" else None, load_on=True)
    if value is not None and verdict is CheckVerdict.UNCLEAR:
        verdict = judge(check, value) if battery is None else judge(check, value, supply_volts=battery)
    result = Result(check=check, verdict=verdict, measured=value, reading=reading, visit=visit)
    return _with_result(suspects, result)


def _repaired(world: World, found: Search, node: str) -> bool:
    found.minutes += repair_minutes(world.circuit.node(node)) + (PROVE_MINUTES if world.moving else 0.0)
    found.wrong_repairs += node != world.node
    return world.repair(node)


def _note(found: Search, suspects: Suspects, world: World) -> None:
    chances = suspects.node_chances()
    names = [*(node.name for node in world.circuit.nodes), None]
    top = int(chances.argmax())
    found.top.append((float(chances[top]), names[top] == world.node))
    found.off.append((float(chances[-1]), world.node is None))
    found.every += [(float(chance), name == world.node) for chance, name in zip(chances, names, strict=True)]


def _one_after_the_other(world: World, suspects: Suspects, found: Search) -> Search:
    """The advice is at an end: places are repaired by chance per minute, twice if it must be, and what is not drawn looked for."""
    found.at_an_end = True
    chances = suspects.node_chances()
    nodes = [node.name for node in world.circuit.nodes]
    order = sorted(nodes, key=lambda name: -chances[nodes.index(name)] / repair_minutes(world.circuit.node(name)))
    for _ in range(_ROUNDS):
        for name in order:
            if _repaired(world, found, name):
                return found
        found.minutes += BEYOND_MINUTES
        if world.node is None and world.rng.random() < BEYOND_FINDS:
            found.minutes += BEYOND_MEND_MINUTES
            return found
    return found


def _ahead(suspects: Suspects, here: str | None) -> NextStep:
    return next_step(suspects, here=here)


def _chance_per_minute(suspects: Suspects, here: str | None) -> NextStep:
    """Repair what is likeliest per minute of its repair."""
    nodes, chances = suspects.case.circuit.nodes, suspects.node_chances()
    rates = [chance / repair_minutes(node) for node, chance in zip(nodes, chances, strict=False)]
    rates.append(chances[-1] / BEYOND_MEND_MINUTES)
    best = int(np.argmax(rates))
    return NextStep(None, nodes[best].name if best < len(nodes) else None, 0.0, 0.0, float(chances[best]))


def _halving(suspects: Suspects, here: str | None) -> NextStep:
    """Measure the voltage where the chance is split in halves; repair what has six tenths."""
    circuit, chances = suspects.case.circuit, suspects.node_chances()
    by_name = dict(zip((node.name for node in circuit.nodes), chances, strict=False))
    offered = [check for check in _voltages(suspects) if check.node != "B"]
    if max(chances) < 0.6 and offered:
        above = {c.node: sum(by_name[n] for n in circuit.upstream(c.node)) + by_name[c.node] for c in offered}
        best = min(offered, key=lambda c: abs(above[c.node] - 0.5))
        if 0.1 < above[best.node] < 0.9:
            return NextStep(best, None, _with_walk(best, here), 0.0, 0.5)
    return _chance_per_minute(suspects, here)


def _from_the_battery(suspects: Suspects, here: str | None) -> NextStep:
    """Measure from the battery on towards the load that was told first; from where the voltage is lost on, repair."""
    circuit = suspects.case.circuit
    first = next(sign.node for sign in suspects.case.signs if sign.told is Told.FIRST)
    assert first is not None
    above = circuit.upstream(first)
    way = [n.name for n in circuit.nodes if n.name in above and n.kind is not NodeKind.WIRE_RUN and n.name != "B"]
    lost = any(r.verdict is CheckVerdict.BAD and r.check.kind is CheckKind.VOLTAGE for r in suspects.case.results)
    left = {check.node: check for check in _voltages(suspects)}
    check = next((left[name] for name in (*way, first) if name in left), None)
    if lost or check is None:
        return _chance_per_minute(suspects, here)
    return NextStep(check, None, _with_walk(check, here), 0.0, 0.5)


def _voltages(suspects: Suspects) -> list[Check]:
    made = {r.check.node for r in suspects.case.results if r.check.kind is CheckKind.VOLTAGE}
    return [c for c in checks_for(suspects.case.circuit) if c.kind is CheckKind.VOLTAGE and c.node not in made]


def _with_walk(check: Check, here: str | None) -> float:
    return check.minutes + (0.0 if check.place == here else WALK_MINUTES)


#: what is advised to a case with circumstances, and to one without: signs and verdicts alone, no others first
SIZED = Arm("with sizes", _ahead)
UNSIZED = Arm("without sizes", _ahead, sized=False)
CHANCE_PER_MINUTE = Arm("chance per minute", _chance_per_minute)
HALVING = Arm("halving", _halving)
FROM_THE_BATTERY = Arm("from the battery", _from_the_battery)
ARMS = (SIZED, UNSIZED, CHANCE_PER_MINUTE, HALVING, FROM_THE_BATTERY)


def minutes(found: list[Search]) -> np.ndarray:
    """Return the minutes of each search."""
    return np.array([one.minutes for one in found])


def reliability(said: list[tuple[float, bool]], edges: tuple[float, ...]) -> list[tuple[float, float, int]]:
    """Return for each bin with anything in it: mean chance said, share that was so, count."""
    chance, so = (np.array(column, dtype=float) for column in zip(*said, strict=True))
    where = np.digitize(chance, edges)
    return [
        (float(chance[where == b].mean()), float(so[where == b].mean()), int((where == b).sum()))
        for b in range(len(edges) + 1)
        if (where == b).any()
    ]
