"""How to make a check, in words that a tired person cannot get wrong: the state of the machine first, then what is held where."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import CheckKind, NodeKind
from wearlog.facts.plain_text import one_line
from wearlog.faults.checks import Check
from wearlog.faults.circuit import CONSUMERS, Circuit, Node
from wearlog.faults.data_line import Spot
from wearlog.faults.readings import BUS_OHMS

#: the line of a machine that is shut down
_ASLEEP: Final = "Key out, wait 5 min until the machine has shut down, then battery switch off. "
_NO_LAMP: Final = " No test lamp and no powered tester on data wires."

_LINE: Final[dict[Spot, str]] = {
    Spot.PLUG: "Everything plugged in: ohms between the two data wires at this plug.",
    Spot.IN_HAND: "Take this terminator out and hold the meter across its own two pins: 120 ohm is sound.",
    Spot.SOCKET: (
        "This terminator out, the meter across the two pins of its empty socket: 120 ohm says that the line and the far end are "
        "sound, no end says that one of them is lost."
    ),
}

_PLAIN: Final[dict[CheckKind, str]] = {
    CheckKind.VOLTAGE: (
        "Load on. Black clipped to the battery's own - post, red into the back of the plug; do not pierce the wire. Read, wiggle, "
        "read again. Engine, key and loads as when the battery was read."
    ),
    CheckKind.VOLTAGE_DROP: (
        "Load on, least volts range, one probe on each side of it: what you read is what it takes. If the load does not run no "
        "current flows, and 0 V proves nothing."
    ),
    CheckKind.CONTINUITY: "Supply off, both ends unplugged. 0 ohm without a load does not prove a joint.",
    CheckKind.RESISTANCE: "Supply off, unplugged, the meter across its own pins.",
    CheckKind.WIGGLE: "Load on, hands clear of belts and reel: move it a hand's width at a time and watch the load or the meter.",
    CheckKind.UNWRAP: "Supply off, negative lead off. Open the cover along the run, most where it bends, rubs or is clamped.",
    CheckKind.BEYOND: (
        "Wiring that was added, a radio, a kit, the harness of another machine, something drawn wrong. Nothing there is an answer "
        "too."
    ),
    CheckKind.MAKE_HAPPEN: (
        "Everybody clear. Shake the harness; wet plugs with a spray, but no controller and no alternator; warm with a heat gun at "
        "arm's length, chaff blown off and an extinguisher by you; raise the header onto its stops; fill the tank."
    ),
    CheckKind.TRY_IT: (
        "Key on, engine off, everybody clear and nobody under the header or in the tank. Switch on each in turn and say what it "
        "does. Start no drive for this."
    ),
    CheckKind.SWAP: "One of the same rating in its place.",
}

_BATTERY: Final = (
    "Meter on 20 V DC (60 V on a 24 V machine). Red on the + post itself, black on the - post itself, not on the clamps. Say the "
    "state: rested, key on or engine running. It gives off gas: no flame, no spark, eyes covered."
)
_ALTERNATOR: Final = (
    "Meter clipped on before the start, one person at the key, nobody near belts and fan. Engine over 1,200 rpm, few loads: volts "
    "from its own + post to the battery's - post. Never take a battery lead off while it runs."
)
_LAMP_FIRST: Final = (
    "Engine off, key out. Switch off every load of this fuse and unplug each one, its controllers too, and anything that fires a "
    "charge. Fuse out, and look at it. A lamp for the machine's own volts, taking no more than the fuse's own rating, across the "
    "two contacts, hung clear of chaff: it gets hot. Key on as far as this fuse needs it, engine off. Bright: a short in the "
    "harness, halve it plug by plug. Dim: a load is still plugged in. Dark: the short is away now, or it sits in a load that is "
    "unplugged: plug them back one at a time."
)
_LAMP_PLUG: Final = (
    "Lamp lit, loads unplugged: open this plug. It goes out: the short lies here or beyond. It stays lit: before it. A plug beyond "
    "a further fuse does not count: that fuse guards its own branch."
)
_LAMP_LOAD: Final = (
    "Lamp dark: plug this load back in, its switch off. Bright: the short sits in it. A load without a switch lights the lamp when "
    "it is sound too: judge that one by the book's ohms."
)


def wire_words(node: Node) -> str:
    """Return what is known of the wire at a place: "colour yellow/black, wire 214, pin 3"; empty where nothing is."""
    return ", ".join(f"{what} {one_line(said)}" for what, said in node.wire.told())


def how_to_measure(circuit: Circuit, check: Check) -> str:
    """Return how to make a check, and what one sees of the wire there; a look is told by that alone."""
    wire = wire_words(circuit.node(check.node)) if check.node else ""
    return " ".join(part for part in (f"The wire: {wire}." if wire else "", _how(circuit, check)) if part)


def _how(circuit: Circuit, check: Check) -> str:
    kind = circuit.node(check.node).kind if check.node else None
    if check.kind is CheckKind.LAMP:
        if check.node == check.second:
            return _LAMP_FIRST
        return _LAMP_LOAD if kind in CONSUMERS else _LAMP_PLUG
    if check.kind is CheckKind.RESISTANCE and check.band is BUS_OHMS:
        return f"{_ASLEEP}{_LINE[check.spot]}{_NO_LAMP}"
    if check.kind is CheckKind.VOLTAGE and kind is NodeKind.BATTERY:
        return _BATTERY
    if check.kind is CheckKind.VOLTAGE and kind is NodeKind.ALTERNATOR:
        return _ALTERNATOR
    return _PLAIN.get(check.kind, "")
