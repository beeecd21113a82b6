"""The checks that a circuit offers, each with its minutes, its place and what a sound circuit shows. Does not choose among them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Evidence, NodeKind
from wearlog.faults.battery_reading import CHARGING
from wearlog.faults.circuit import CONSUMERS, Circuit, Mark, Node
from wearlog.faults.data_line import Spot
from wearlog.faults.readings import BUS_OHMS, WHOLE_CIRCUIT_DROP, Band, drop_limit

#: a hand-held meter across a sound wire or contact, its leads included (common practice, no source)
CONTINUITY_OHMS: Final = Band(0.0, 1.0, "ohm", Evidence.COMMON_PRACTICE)
#: rested, 75 to 100 % charged (published)
BATTERY_VOLTS: Final = Band(12.4, 12.9, "V", Evidence.PUBLISHED)

#: volts that count as none at a place where all is switched off (common practice, no source)
DARK_BELOW: Final = 1.0

_SOURCES: Final = frozenset({NodeKind.BATTERY, NodeKind.ALTERNATOR})
_SWAPPABLE: Final = frozenset({NodeKind.FUSE, NodeKind.RELAY, NodeKind.SENSOR})
_PLUGS: Final = CONSUMERS | {NodeKind.CONNECTOR}
_DROPS: Final = frozenset(
    {
        NodeKind.BATTERY,
        NodeKind.RELAY,
        NodeKind.SWITCH,
        NodeKind.CONNECTOR,
        NodeKind.WIRE_RUN,
        NodeKind.SPLICE,
        NodeKind.GROUND,
    }
)
_CONTINUOUS: Final = frozenset({NodeKind.FUSE, NodeKind.CONNECTOR, NodeKind.WIRE_RUN, NodeKind.SPLICE, NodeKind.GROUND})
_WIGGLED: Final = frozenset(
    {NodeKind.CONNECTOR, NodeKind.WIRE_RUN, NodeKind.SPLICE, NodeKind.GROUND, NodeKind.TERMINATOR}
)

#: minutes of each check once one stands there (common practice, no source)
_MINUTES: Final[dict[CheckKind, float]] = {
    CheckKind.LOOK: 2,
    CheckKind.VOLTAGE: 4,
    CheckKind.VOLTAGE_DROP: 6,
    CheckKind.CONTINUITY: 5,
    CheckKind.RESISTANCE: 5,
    CheckKind.UNPLUG: 4,
    CheckKind.WIGGLE: 3,
    CheckKind.SWAP: 3,
}
_MINUTES_AT: Final[dict[tuple[CheckKind, NodeKind], float]] = {
    (CheckKind.LOOK, NodeKind.FUSE): 1,
    (CheckKind.LOOK, NodeKind.WIRE_RUN): 6,
    (CheckKind.VOLTAGE, NodeKind.BATTERY): 2,
    (CheckKind.WIGGLE, NodeKind.WIRE_RUN): 5,
    (CheckKind.SWAP, NodeKind.FUSE): 2,
    (CheckKind.SWAP, NodeKind.SENSOR): 20,
}
_MINUTES_NEAR_HEAT: Final = 3.0

#: minutes to repair or replace a node and see it work (common practice, no source)
_REPAIR_MINUTES: Final[dict[NodeKind, float]] = {
    NodeKind.BATTERY: 20,
    NodeKind.FUSE: 2,
    NodeKind.RELAY: 4,
    NodeKind.SWITCH: 25,
    NodeKind.CONNECTOR: 15,
    NodeKind.WIRE_RUN: 40,
    NodeKind.SPLICE: 25,
    NodeKind.DEVICE: 45,
    NodeKind.SENSOR: 20,
    NodeKind.CONTROLLER: 60,
    NodeKind.TERMINATOR: 10,
    NodeKind.GROUND: 15,
    NodeKind.ALTERNATOR: 60,
}
#: what it costs in the mean when the fault is on nothing that is drawn
OFF_DIAGRAM_MINUTES: Final = 120.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check at one node.

    Attributes
    ----------
    kind : CheckKind
    node : str
    minutes : float
    place : str
    expected : str
        What a sound circuit shows, in words with the number.
    band : Band or None
        The same for a meter; None where eyes and hands decide, or the machine's book.
    second : str
        The other place of a check that has two: the fuse that a lamp stands for.
    spot : Spot
        On a data line: where the meter is held.
    """

    kind: CheckKind
    node: str
    minutes: float
    place: str = ""
    expected: str = ""
    band: Band | None = None
    second: str = ""
    spot: Spot = Spot.PLUG

    @property
    def is_of_line(self) -> bool:
        """Whether it measures the ohms between the two wires of a data line."""
        return self.kind is CheckKind.RESISTANCE and self.band is BUS_OHMS


def checks_for(circuit: Circuit, *, nominal_volts: int = 12) -> tuple[Check, ...]:
    """Return every check that makes sense on a circuit, in the order of its nodes.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    nominal_volts : int
        12 or 24: the battery's band doubles with it.
    """
    metered_buses: set[str] = set()
    found: list[Check] = []
    for node in circuit.nodes:
        found += [_check(circuit, node, kind, nominal_volts) for kind in _kinds_at(circuit, node)]
        bus = circuit.on_the_bus_of(node.name)
        # the data line is measured once, at the first place where a meter gets at it
        if bus and not bus & metered_buses and node.kind in (NodeKind.TERMINATOR, NodeKind.CONNECTOR):
            metered_buses |= bus
            found.append(_bus_check(node))
    return tuple(found)


def is_switched(circuit: Circuit, name: str) -> bool:
    """Return whether a switch or a relay stands above a place: with all switched off nothing is live there.

    One with no fuse above it is the battery's own, which may stay on.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    name : str
        Of the place.
    """
    above = [one for one in circuit.upstream(name) if circuit.node(one).kind in (NodeKind.SWITCH, NodeKind.RELAY)]
    return any(circuit.first_fuses_above(one) for one in above)


def repair_minutes(node: Node | None) -> float:
    """Return the minutes to repair a node and see it work; None for a fault on nothing that is drawn.

    Parameters
    ----------
    node : Node or None
        A node of the circuit; None for what is not on the diagram.
    """
    if node is None:
        return OFF_DIAGRAM_MINUTES
    return _REPAIR_MINUTES[node.kind] + (_MINUTES_NEAR_HEAT if Mark.NEAR_HEAT in node.marks else 0.0)


def judge(check: Check, measured: float, *, supply_volts: float = 12.6) -> CheckVerdict:
    """Return the verdict on a meter reading.

    Parameters
    ----------
    check : Check
    measured : float
        In the unit of the check's band.
    supply_volts : float
        What the battery itself shows at that moment; a voltage further on may be 0.5 V lower.

    Raises
    ------
    DataError
        For a check that no meter decides.
    """
    if check.kind is CheckKind.VOLTAGE and check.band is WHOLE_CIRCUIT_DROP:
        return CheckVerdict.GOOD if measured >= supply_volts - WHOLE_CIRCUIT_DROP.high - 1e-9 else CheckVerdict.BAD
    if check.band is None:
        raise DataError(
            f'No number decides "{check.kind.replace("_", " ")}" at "{check.node}".',
            "Enter good or bad; for a coil or a sensor, by the machine's own book.",
        )
    return check.band.verdict(measured)


def _kinds_at(circuit: Circuit, node: Node) -> Iterator[CheckKind]:
    name, kind = node.name, node.kind
    yield CheckKind.LOOK
    if kind in _SOURCES or (circuit.fed_by(name) and kind is not NodeKind.WIRE_RUN):
        yield CheckKind.VOLTAGE
    if kind in _DROPS and (circuit.feeds(name) or circuit.returned_from(name)):
        yield CheckKind.VOLTAGE_DROP
    if kind in _CONTINUOUS:
        yield CheckKind.CONTINUITY
    if kind in CONSUMERS and kind is not NodeKind.CONTROLLER:
        yield CheckKind.RESISTANCE
    if kind in _PLUGS and circuit.first_fuses_above(name):
        yield CheckKind.UNPLUG
    if kind in _WIGGLED:
        yield CheckKind.WIGGLE
    if kind in _SWAPPABLE:
        yield CheckKind.SWAP


def _check(circuit: Circuit, node: Node, kind: CheckKind, nominal_volts: int) -> Check:
    minutes = _MINUTES_AT.get((kind, node.kind), _MINUTES[kind])
    if Mark.NEAR_HEAT in node.marks:
        minutes += _MINUTES_NEAR_HEAT
    expected, band = _expected(circuit, node, kind, nominal_volts)
    return Check(kind=kind, node=node.name, minutes=minutes, place=node.place, expected=expected, band=band)


def _expected(circuit: Circuit, node: Node, kind: CheckKind, nominal_volts: int) -> tuple[str, Band | None]:
    if kind is CheckKind.VOLTAGE:
        return _expected_voltage(node, nominal_volts)
    if kind is CheckKind.VOLTAGE_DROP:
        limit = drop_limit(node.kind)
        return f"under load at most {limit.high:g} V across it", limit
    if kind is CheckKind.CONTINUITY:
        return f"supply off: at most {CONTINUITY_OHMS.high:g} ohm from end to end", CONTINUITY_OHMS
    if kind is CheckKind.UNPLUG:
        fuses = " or ".join(f'"{fuse}"' for fuse in circuit.first_fuses_above(node.name))
        return f"a test lamp in place of {fuses} stays lit; if it goes out, the short lies here or beyond", None
    words = {
        CheckKind.LOOK: "no chafe, corrosion, heat mark, loose pin or moisture",
        CheckKind.RESISTANCE: "supply off, unplugged: the value of the machine's own book; neither open nor 0 ohm",
        CheckKind.WIGGLE: "nothing flickers and no reading jumps while it is moved",
        CheckKind.SWAP: "no change with a good one of the same rating in its place",
    }
    return words[kind], None


def _expected_voltage(node: Node, nominal_volts: int) -> tuple[str, Band]:
    if node.kind is NodeKind.BATTERY:
        times = nominal_volts / 12
        band = Band(BATTERY_VOLTS.low * times, BATTERY_VOLTS.high * times, "V", BATTERY_VOLTS.evidence)
        return f"rested at least 4 hours: {band.low:g} to {band.high:g} V", band
    if node.kind is NodeKind.ALTERNATOR:
        times = nominal_volts / 12
        band = Band(CHARGING.low * times, CHARGING.high * times, "V", CHARGING.evidence)
        return f"engine over 1,200 rpm, few loads: {band.low:g} to {band.high:g} V at its own post", band
    side = "at its plug" if node.kind in CONSUMERS else "on its far side"
    return f"under load within {WHOLE_CIRCUIT_DROP.high:g} V of the battery, {side}", WHOLE_CIRCUIT_DROP


def line_check(node: Node, spot: Spot, minutes: float, expected: str) -> Check:
    """Return the measuring of the ohms between the two wires of a data line.

    Parameters
    ----------
    node : Node
    spot : Spot
        Where the meter is held.
    minutes : float
        What it takes where nothing is hot.
    expected : str
        What a sound line shows.
    """
    return Check(
        kind=CheckKind.RESISTANCE,
        node=node.name,
        minutes=minutes + (_MINUTES_NEAR_HEAT if Mark.NEAR_HEAT in node.marks else 0.0),
        place=node.place,
        expected=expected,
        band=BUS_OHMS,
        spot=spot,
    )


def _bus_check(node: Node) -> Check:
    expected = "all off and asleep: 60 ohm between the two data wires (not on a powered-terminator implement bus)"
    return line_check(node, Spot.PLUG, _MINUTES[CheckKind.RESISTANCE], expected)
