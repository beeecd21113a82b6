"""A simulated fault on a simulated circuit: selective reports, readings with a size, faults that are away, repairs that fail.

The truth, what people say of it, what a meter shows and which repairs hold are drawn here; the program sees only what a person
would enter. `off_by` moves every table of the world by that factor up or down, so that the tables of the model are wrong.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, EdgeKind, FaultMode, NodeKind, SignKind
from wearlog.facts.electrics import Told
from wearlog.faults.checks import Check
from wearlog.faults.circuit import CONSUMERS, Circuit, Edge, Mark, Node
from wearlog.faults.circumstances import JOINTS
from wearlog.faults.hypotheses import Hypothesis
from wearlog.faults.priors import prior_weights, with_not_on_diagram
from wearlog.faults.reading_mass import NO_CURRENT_SD, NOTHING_SD, SLIP_SHARE, SOUND_LOSS_SD, Seen
from wearlog.faults.readings import drop_limit
from wearlog.faults.severity import SIZES
from wearlog.faults.signs import Sign
from wearlog.faults.sized_binary import bad_by_sense
from wearlog.faults.sized_hypotheses import FaultTable, fault_table
from wearlog.faults.sized_outcomes import outcomes_of
from wearlog.faults.sized_status import fuse_states, statuses_of
from wearlog.faults.sized_views import PART_MIX, POINT_MIX, PartView, PointView, views_across_parts, views_from_points

Rng = np.random.Generator

BEYOND_FINDS = 0.7
_STATUS = (SignKind.WORKING, SignKind.DEAD, SignKind.ERRATIC)
_FUSE = (SignKind.FUSE_WHOLE, SignKind.FUSE_BLEW_AT_ONCE, SignKind.FUSE_BLEW_LATER, SignKind.FUSE_BLEW_ON_MOVEMENT)
_INNER = (NodeKind.CONNECTOR, NodeKind.WIRE_RUN, NodeKind.SPLICE, NodeKind.SWITCH, NodeKind.RELAY)
_INNER_SHARE = (0.34, 0.36, 0.10, 0.10, 0.10)
_PLACES = 6
_MISREAD = 0.05


def random_circuit(rng: Rng, nodes: int = 28) -> Circuit:
    """Return a battery, one to three fuses, plugs and switches under each in a tree, loads with shared grounds."""
    fuses, grounds, loads = (int(rng.integers(low, high)) for low, high in ((1, 4), (1, 4), (5, 9)))
    found, edges = [_node(rng, "B", NodeKind.BATTERY)], []
    for number in range(fuses):
        found.append(_node(rng, f"F{number}", NodeKind.FUSE))
        edges.append(Edge("B", f"F{number}"))
    above = [f"F{number}" for number in range(fuses)]
    for number in range(nodes - 1 - fuses - grounds - loads):
        found.append(_node(rng, f"N{number}", _INNER[rng.choice(len(_INNER), p=_INNER_SHARE)]))
        edges.append(Edge(above[rng.integers(len(above))], f"N{number}"))
        above.append(f"N{number}")
    for number in range(grounds):
        found.append(_node(rng, f"G{number}", NodeKind.GROUND))
        edges.append(Edge(f"G{number}", "B", EdgeKind.RETURN))
    for number in range(loads):
        found.append(_node(rng, f"L{number}", NodeKind.SENSOR if rng.random() < 0.25 else NodeKind.DEVICE))
        edges.append(Edge(above[rng.integers(fuses, len(above))], f"L{number}"))
        edges.append(Edge(f"L{number}", f"G{rng.integers(grounds)}", EdgeKind.RETURN))
    return Circuit(tuple(found), tuple(edges))


def _node(rng: Rng, name: str, kind: NodeKind) -> Node:
    marks = frozenset(mark for mark in Mark if rng.random() < 0.25)
    rating = 15_000 if kind is NodeKind.FUSE else None
    return Node(name=name, kind=kind, place=f"place {rng.integers(_PLACES)}", marks=marks, rating_milliamperes=rating)


@dataclass(frozen=True)
class Tables:
    """What the world goes by: at `off_by` 1 what the model has; `tells_all`: every load is told, as it is found."""

    rng: Rng
    off_by: float = 1.0
    tells_all: bool = False
    factors: dict[object, float] = field(default_factory=dict)

    def factor(self, key: object) -> float:
        if key not in self.factors:
            self.factors[key] = float(self.off_by ** self.rng.choice((-1.0, 1.0)))
        return self.factors[key]

    def share(self, chance: float, key: object) -> float:
        """A chance with its odds moved by the factor of its table."""
        odds = chance / (1 - chance) * self.factor(key)
        return odds / (1 + odds)


@dataclass
class World:
    """One fault on a circuit, with all that a person could find out about it."""

    circuit: Circuit
    tables: Tables
    rng: Rng
    table: FaultTable = field(init=False)
    truth: int = field(init=False)
    there: bool = field(init=False)
    volts: float = field(init=False)
    takes: float = field(init=False)
    status: dict[str, int] = field(init=False)

    def __post_init__(self) -> None:
        self.table = fault_table(self.circuit)
        self._draw()
        while not any(self.status.values()):
            self._draw()

    @property
    def hypothesis(self) -> Hypothesis:
        return self.table.hypotheses[self.truth]

    @property
    def node(self) -> str | None:
        return self.hypothesis.node

    @property
    def moving(self) -> bool:
        return bool(self.table.moving[self.truth])

    def _draw(self) -> None:
        weights = prior_weights(self.circuit, self.table.hypotheses) * self.table.share
        off = np.array([self._rate_off(one) for one in self.table.hypotheses])
        self.truth = int(self.rng.choice(weights.size, p=with_not_on_diagram(weights * off)))
        self.new_visit()
        self.volts = float(self.rng.normal(12.35, 0.15))
        self.takes = 0.0
        if (size := SIZES.get(self.hypothesis.variant)) is not None:
            low, high = (np.log(f / (1 - f)) for f in (size.low, size.high))
            self.takes = float(1 / (1 + np.exp(-self.rng.uniform(low, high))))
        self.status = self._shown_by_loads()

    def _rate_off(self, one: Hypothesis) -> float:
        if one.node is None:
            return 1.0
        return self.tables.factor((self.circuit.node(one.node).kind, one.mode, one.variant, one.intermittent))

    def new_visit(self) -> None:
        """Another stretch of work: what comes and goes may be there now, or away."""
        self.there = not self.moving or bool(self.rng.random() < self.tables.share(0.3, "present"))

    def _shown_by_loads(self) -> dict[str, int]:
        loads = [node.name for node in self.circuit.nodes if node.kind in CONSUMERS]
        rows = statuses_of(self._row, np.array([self.table.matrix.index[name] for name in loads]))[0]
        if self.node is None:
            # what is on nothing drawn takes one load along
            hit = loads[self.rng.integers(len(loads))]
            rows = np.array([[0.02, 0.6, 0.38] if name == hit else [0.985, 0.005, 0.01] for name in loads])
        return {name: int(self.rng.choice(3, p=row / row.sum())) for name, row in zip(loads, rows, strict=True)}

    @property
    def _row(self) -> FaultTable:
        return self.table.rows(np.array([self.truth]))

    def told(self) -> tuple[Sign, ...]:
        """What somebody says: one load that fails first, others seldom, those that work most seldom; the fuse he looked at."""
        failing = [name for name, state in self.status.items() if state]
        first = failing[self.rng.integers(len(failing))]
        signs = [Sign(kind=_STATUS[self.status[first]], node=first, told=Told.FIRST)]
        for name, state in self.status.items():
            told = self.tables.share(0.35, "failing told") if state else self.tables.share(0.10, "working told")
            if name != first and (self.tables.tells_all or self.rng.random() < told):
                signs.append(Sign(kind=_STATUS[self._as_read(name)], node=name, told=Told.SAID))
        for fuse in self.circuit.first_fuses_above(first):
            row = fuse_states(self._row, self.table.matrix.index[fuse])[0]
            signs.append(Sign(kind=_FUSE[self.rng.choice(4, p=row / row.sum())], node=fuse, told=Told.SAID))
        return tuple(signs)

    def _as_read(self, name: str) -> int:
        return self.status[name] if self.rng.random() >= _MISREAD else int(self.rng.integers(3))

    def check(self, check: Check) -> tuple[CheckVerdict, float | None]:
        """Do a check; answer its verdict and, for a meter, its reading (the verdict is then left to who reads it)."""
        if check.kind is CheckKind.TRY_IT:
            return _verdict(self._as_read(check.node) > 0), None
        if check.kind is CheckKind.BEYOND:
            return _verdict(self.node is None and self.rng.random() < BEYOND_FINDS), None
        if check.kind in (CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP) and check.node != "B":
            return CheckVerdict.UNCLEAR, self._volts(check)
        if check.kind is CheckKind.VOLTAGE:
            return _verdict(self.hypothesis.mode is FaultMode.FAILED_DEVICE and self.node == "B"), self.volts
        if check.kind is CheckKind.CONTINUITY:
            both = outcomes_of(self._row, check, self.volts)
            row = (both.there if self.there else both.away)[0]
            return CheckVerdict.UNCLEAR, (0.3, 8.0, 5000.0, 1e9)[self.rng.choice(4, p=row / row.sum())]
        if check.kind is CheckKind.MAKE_HAPPEN:
            shown = self.moving and bool(self.rng.random() < 0.7)
            self.there = self.there or shown
            return _verdict(shown), None
        return _verdict(self.rng.random() < self._bad_chance(check)), None

    def _bad_chance(self, check: Check) -> float:
        if check.kind is CheckKind.UNPLUG and not check.second:
            return self._lamp_goes_out(check.node)
        there, away = bad_by_sense(self._row, check)
        chance = float((there if self.there else away)[0])
        # false alarms are the same in every world; how often a sense catches what is there is not
        return self.tables.share(min(chance, 0.999), ("sense", check.kind)) if chance > 0.1 else chance

    def _lamp_goes_out(self, plug: str) -> float:
        """The lamp of the plain check: in the place of the fuse above, loads left plugged in."""
        matrix = self.table.matrix
        if self.hypothesis.mode is not FaultMode.SHORT_TO_GROUND or self.node is None:
            return 0.3 if self.node is None else 0.03
        at, of = matrix.index[plug], matrix.index[self.node]
        under = plug == self.node or bool(matrix.below[at, of])
        if not under or not set(matrix.fuses_above[at]) & set(matrix.fuses_above[of]) or not self.there:
            return 0.03
        return 0.66 if plug == self.node and self.circuit.feeds(plug) else 0.95

    def _volts(self, check: Check) -> float:
        if self.rng.random() < self.tables.share(SLIP_SHARE, "slip"):
            return float(self.rng.uniform(0, 1.1 * self.volts))
        node = np.array([self.table.matrix.index[check.node]])
        at_point = check.kind is CheckKind.VOLTAGE
        view = int((views_from_points if at_point else views_across_parts)(self._row, node)[0, 0])
        blown = self.hypothesis.mode in (FaultMode.SHORT_TO_GROUND, FaultMode.OVERLOAD)
        view = view if self.there or blown else 0
        mix = POINT_MIX[PointView(view)] if at_point else PART_MIX[PartView(view)]
        seen = list(mix)[self.rng.choice(len(mix), p=list(mix.values()))]
        return max(0.0, self._at_point(seen) if at_point else self._across(seen, check))

    def _at_point(self, seen: Seen) -> float:
        half = abs(self.rng.normal())
        shown = {Seen.SOUND: self.volts - SOUND_LOSS_SD * half, Seen.NOTHING: NOTHING_SD * half}
        return float(shown.get(seen, self.volts * (1 - self.takes)))

    def _across(self, seen: Seen, check: Check) -> float:
        half = abs(self.rng.normal())
        if seen is Seen.AGED and self.rng.random() < self.tables.share(0.07, "aged"):
            return float(self.volts * self.rng.uniform(0.01, 0.08))
        shown = {
            Seen.AGED: drop_limit(self.circuit.node(check.node).kind).high / 1.96 * half,
            Seen.NO_CURRENT: NO_CURRENT_SD * half,
            Seen.WHOLE_SUPPLY: self.volts - SOUND_LOSS_SD * half,
        }
        return float(shown.get(seen, self.volts * self.takes))

    def repair(self, node: str | None) -> bool:
        """Repair a place; whether the fault is gone. A right repair may not take."""
        if node != self.node:
            return False
        fails = 0.0 if node is None else 0.15 if self.circuit.node(node).kind in JOINTS else 0.05
        return not (fails and self.rng.random() < self.tables.share(fails, ("fix", fails)))


def _verdict(bad: bool) -> CheckVerdict:
    return CheckVerdict.BAD if bad else CheckVerdict.GOOD
