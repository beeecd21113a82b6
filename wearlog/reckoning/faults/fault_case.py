"""One fault as the log tells it: its case on the diagram, who did it, what to check next, and what the last time showed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum, unique

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind, SignKind
from wearlog.facts.electrics import Answer, Fault, FaultCheck, FaultFinding, Opened, Supplied
from wearlog.facts.machines import Machine
from wearlog.faults.cautions import Caution, cautions_for, further_cautions, opens_the_battery
from wearlog.faults.checks import checks_for
from wearlog.faults.circuit import Circuit, Node
from wearlog.faults.data_line import Spot, opened_said
from wearlog.faults.halving_step import opens_first
from wearlog.faults.measured_text import measured_number
from wearlog.faults.next_check import NextStep, checklist
from wearlog.faults.order_rule import (
    entropy_bits,
    expected_cost,
    fewest_yes_no_checks,
    probability_per_cost,
    with_one_untested,
)
from wearlog.faults.suspects import Suspects, suspects_of
from wearlog.faults.two_faults import TwoFaults, two_faults
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.faults.case_evidence import case_of
from wearlog.reckoning.faults.fault_links import LinkedFaults, linked_faults
from wearlog.reckoning.faults.fault_log import FaultLog


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


#: places that are so likely are where the search may lead: their cautions are read before the first check
_MAY_LEAD_THERE = 0.03

_MILLION = 1_000_000

_BLEW = frozenset({SignKind.FUSE_BLEW_AT_ONCE, SignKind.FUSE_BLEW_LATER, SignKind.FUSE_BLEW_ON_MOVEMENT})


@dataclass(frozen=True, slots=True)
class MadeCheck:
    """One line of a checklist as it was made; `minutes` None where nobody noted them."""

    step: int
    kind: CheckKind
    node: str
    expected: str
    measured: str
    verdict: CheckVerdict
    minutes: float | None


@dataclass(frozen=True, slots=True)
class PastTime:
    """An earlier fault of the same trail, with its checklist.

    Attributes
    ----------
    found_at : int or None
        The first step that was bad at the place that was found; None where no check showed it.
    node : str
        Empty where nothing was found.
    """

    fault: Fault
    number: int
    checks: tuple[MadeCheck, ...]
    finding: FaultFinding | None
    node: str
    found_at: int | None


@unique
class FirstQuestion(StrEnum):
    """What costs nothing to ask and moves the suspects."""

    OTHERS = "others"
    PRESENT = "present"
    WORKED_ON = "worked_on"
    CONDITIONS = "conditions"


@dataclass(frozen=True, slots=True)
class Undone:
    """Something that is unplugged or taken out for this fault since `at`, and not put back; `node` and `note` may be empty."""

    opened: Opened
    node: str
    at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True)
class TakenUp:
    """The last stretch of work that somebody spoke of; `person` and `note` may be empty."""

    at: datetime
    person: str
    present: Answer | None
    note: str


@dataclass(frozen=True, slots=True, eq=False)
class FaultCase:
    """A fault with its suspects.

    Attributes
    ----------
    number : int
        In the list of faults.
    circuit : Circuit
        All that is drawn of the machine.
    checks : tuple of MadeCheck
        Its checklist so far.
    suspects : Suspects
    both : TwoFaults or None
        When no single fault explains what was seen.
    this_time : PastTime
        The fault itself, told like those before it.
    before : tuple of PastTime
        Earlier faults of the same trail, the latest first.
    namesakes : tuple of Fault
        Earlier faults of its machine that are called the same and are of no trail with it, the latest first.
    undone : tuple of Undone
        What has to be put back before the machine starts.
    taken_up : TakenUp or None
        Who took it up last, and what was left to say; None where nobody said.
    battery_shown : mapping of Supplied or None to float
        What the battery itself showed last in each state of the machine, in volts: a voltage further on is judged from it.
    """

    fault: Fault
    number: int
    machine: Machine
    circuit: Circuit
    suspects: Suspects
    both: TwoFaults | None
    this_time: PastTime
    before: tuple[PastTime, ...]
    undone: tuple[Undone, ...] = ()
    taken_up: TakenUp | None = None
    battery_shown: Mapping[Supplied | None, float] = field(default_factory=dict)
    namesakes: tuple[Fault, ...] = ()

    @property
    def checks(self) -> tuple[MadeCheck, ...]:
        return self.this_time.checks


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """What to do next on a case.

    Attributes
    ----------
    steps : tuple of NextStep
        In order.
    cautions : tuple of Caution
        What to read before the first.
    blown : tuple of Node
        The fuses that blew.
    questions : tuple of str
        What was not asked yet and would tell much for nothing.
    undone : tuple of str
        What is unplugged or taken out and not put back.
    is_again : bool
        All cautions were read before in this case, and the lead stays on the battery: one line of them is enough.
    """

    case: FaultCase
    steps: tuple[NextStep, ...]
    cautions: tuple[Caution, ...]
    blown: tuple[Node, ...]
    questions: tuple[FirstQuestion, ...] = ()
    undone: tuple[Undone, ...] = ()
    is_again: bool = False


def fault_case(log: FaultLog, farm: Farm, fault: Fault) -> FaultCase:
    """Return a fault with its suspects, by what was known when it opened and what was checked since.

    Raises
    ------
    NotFoundError
        When nothing is drawn of the machine.
    DataError
        When what is drawn is no circuit.
    """
    machine = next(one for one in farm.machines if one.id == fault.machine_id)
    circuit = log.circuit(machine.id)
    if not circuit.nodes:
        hint = f"Begin with 'wearlog faults diagram {machine.name} --start header', or draw your own."
        raise NotFoundError(f"Nothing is drawn of {machine.name} yet, so nothing can be suspected.", hint)
    linked = linked_faults(log, farm, machine.id, circuit)
    suspects = suspects_of(case_of(log, farm, fault, circuit, linked))
    earlier = [one for one in linked.trail_of(fault) if one.opened_at < fault.opened_at]
    return FaultCase(
        fault=fault,
        number=log.number(fault),
        machine=machine,
        circuit=circuit,
        suspects=suspects,
        both=two_faults(suspects),
        this_time=past_time(log, fault),
        before=tuple(past_time(log, one) for one in reversed(earlier)),
        undone=case_undone(log, fault),
        taken_up=_taken_up(log, fault),
        battery_shown=_battery_shown(log, fault),
        namesakes=_namesakes(linked, fault),
    )


def _namesakes(linked: LinkedFaults, fault: Fault) -> tuple[Fault, ...]:
    trail = linked.trail_of(fault)
    name = fault.title.casefold()
    before = (one for one in linked.faults if one.opened_at < fault.opened_at and one.title.casefold() == name)
    apart = [one for one in before if one not in trail and linked.beside.get(fault.id) != one]
    return tuple(sorted(apart, key=lambda one: one.opened_at, reverse=True))


def _taken_up(log: FaultLog, fault: Fault) -> TakenUp | None:
    visits = log.visits(fault)
    if not visits:
        return None
    last = visits[-1]
    person = log.people.get(last.person_id, "") if last.person_id else ""
    return TakenUp(last.started_at, person, last.present, last.note)


def _battery_shown(log: FaultLog, fault: Fault) -> dict[Supplied | None, float]:
    """Return the volts that noting a check would judge by: the battery's own reading, or what was noted beside another."""
    found: dict[Supplied | None, float] = {}
    for row in log.checks(fault):
        node = log.nodes.get(row.node_id) if row.node_id else None
        if row.kind is not CheckKind.VOLTAGE or node is None:
            continue
        volts = measured_number(row.measured, "V") if node.kind is NodeKind.BATTERY else None
        volts = row.battery_micros / _MILLION if row.battery_micros is not None else volts
        if volts is not None:
            found[row.supplied] = volts
    return found


def case_undone(log: FaultLog, fault: Fault) -> tuple[Undone, ...]:
    """Return what is still unplugged or taken out for a fault."""
    return tuple(Undone(one.opened, log.node_name(one.node_id), one.at, one.note) for one in log.undone(fault))


def advise(case: FaultCase, *, most: int = 5, without: frozenset[CheckKind] = frozenset()) -> Advice:
    """Return the next checks or repairs in order, and the cautions that stand before the first.

    Raises
    ------
    RefusedError
        When the fault is closed.

    Notes
    -----
    One stands where the last check was made. Before the first check of a fault, and before a step that needs the lead off the
    battery, all cautions are given, else those that the next step adds.
    """
    if case.fault.closed_at is not None:
        raise RefusedError(f"'{case.fault.title}' is closed.", "'wearlog faults open' opens it when it comes back.")
    here = _here(case)
    steps = checklist(case.suspects, most=most, here=here, without=without)
    first = steps[0].check.node if steps[0].check else steps[0].repair
    node = case.circuit.node(first) if first else None
    kind = steps[0].check.kind if steps[0].check else None
    again = bool(case.checks) and not (opens_the_battery(node, kind) or opens_first(case.suspects.case, steps[0].check))
    read = further_cautions(node, kind) if again else _all_cautions(case, node, kind)
    return Advice(case, steps, read, blown_fuses(case), tuple(_questions(case)), case.undone, is_again=again)


def every_caution(advice: Advice) -> tuple[Caution, ...]:
    """Return all that is read before the first step of a case, for whoever wants it again."""
    step, circuit = advice.steps[0], advice.case.circuit
    name = step.check.node if step.check else step.repair
    return _all_cautions(advice.case, circuit.node(name) if name else None, step.check.kind if step.check else None)


def _all_cautions(case: FaultCase, node: Node | None, kind: CheckKind | None) -> tuple[Caution, ...]:
    """Return the cautions of the next step, and those of the places to which the search may yet lead."""
    chances = case.suspects.node_chances()[:-1].tolist()
    likely = [one for one, chance in zip(case.circuit.nodes, chances, strict=True) if chance >= _MAY_LEAD_THERE]
    read = [*cautions_for(), *(caution for one in likely for caution in further_cautions(one))]
    return tuple(dict.fromkeys((*read, *further_cautions(node, kind))))


def _questions(case: FaultCase) -> Iterator[FirstQuestion]:
    """Yield what was not asked: what lies before the first check only until one is made, whether it is there on every visit."""
    known = case.suspects.case.circumstances
    if known is None:
        return
    if known.others_tried is None and not case.checks:
        yield FirstQuestion.OTHERS
    if known.present.get(max(known.present, default=0)) is None:
        yield FirstQuestion.PRESENT
    if not case.fault.worked_on and not case.checks:
        yield FirstQuestion.WORKED_ON
    if not known.conditions_asked and not case.checks:
        yield FirstQuestion.CONDITIONS


def blown_fuses(case: FaultCase) -> tuple[Node, ...]:
    """Return the fuses that the signs say blew: those named, those above a place named, else those above what is dead."""
    circuit, signs = case.circuit, case.suspects.case.signs
    blew = [sign.node for sign in signs if sign.kind in _BLEW]
    dead = [sign.node for sign in signs if sign.kind is SignKind.DEAD] if None in blew else []
    found: dict[str, None] = {}
    for name in (*blew, *dead):
        if name is not None:
            is_fuse = circuit.node(name).kind is NodeKind.FUSE
            found |= dict.fromkeys((name,) if is_fuse else circuit.first_fuses_above(name))
    return tuple(circuit.node(name) for name in found)


def past_time(log: FaultLog, fault: Fault) -> PastTime:
    """Return the checklist of a fault, and what it led to."""
    checks = tuple(_made(log, row) for row in log.checks(fault))
    finding = log.finding(fault) if fault.closed_at is not None else None
    node = log.node_name(finding.node_id) if finding else ""
    bad = [one.step for one in checks if node and one.node == node and one.verdict is CheckVerdict.BAD]
    return PastTime(fault, log.number(fault), checks, finding, node, bad[0] if bad else None)


def _here(case: FaultCase) -> str | None:
    made = [one.node for one in case.checks if any(node.name == one.node for node in case.circuit.nodes)]
    return case.circuit.node(made[-1]).place if made else None


def _made(log: FaultLog, row: FaultCheck) -> MadeCheck:
    minutes = None if row.duration_seconds is None else row.duration_seconds / 60
    side = log.node_name(row.second_node_id)
    neither = row.verdict is CheckVerdict.GOOD
    measured = opened_said(side, row.measured, neither=neither) if row.place == Spot.OPENED else row.measured
    return MadeCheck(row.step, row.kind, log.node_name(row.node_id), row.expected, measured, row.verdict, minutes)
