"""How to make a check, in words that a tired person cannot get wrong, and what a reading says by itself, all suspects aside."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind
from wearlog.facts.electrics import Supplied
from wearlog.facts.plain_text import one_line
from wearlog.faults.battery_reading import (
    ALL_LOADS_ON,
    ALTERNATOR_CABLE_DROP,
    ALTERNATOR_GROUND_DROP,
    CHARGING,
    TOO_LOW_TO_MEASURE,
    SupplyState,
    charge_percent,
    least_cranking_volts,
    lost_volts,
    supply_chances,
)
from wearlog.faults.checks import DARK_BELOW, Check, is_switched
from wearlog.faults.circuit import CONSUMERS, Circuit, Node
from wearlog.faults.circumstances import MeterShown
from wearlog.faults.data_line import FIRST_THOUGHT, Spot, line_class
from wearlog.faults.line_order import EXPECTED_SEEN
from wearlog.faults.line_volts import VOLTS_THOUGHT, volts_class
from wearlog.faults.readings import BUS_OHMS, WHOLE_CIRCUIT_DROP, drop_limit
from wearlog.present.digits import number, percent

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
    Spot.OPENED: (
        "Negative lead off. Open this plug and hold the meter across the two data pins of the line, on each side of the plug that "
        "has one. 0 on one side: the short lies there, go on on that side. 0 on neither: it is what was unplugged itself (water, "
        "bent pins), or it came and went: plug it in and read again. Without its terminator a stretch shows no end: that is not 0."
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

_SEEN: Final = (
    "Key on, engine off. On the machine's own screen open the list of controllers (diagnostics) and say of each whether it is "
    "there and answers. All there: one of the terminators is likelier; some gone beyond one place: a plug or a run there."
)

_BATTERY: Final = (
    "Meter on 20 V DC (60 V on a 24 V machine). Red on the + post itself, black on the - post itself, not on the clamps. Say the "
    "state: rested, key on or engine running. It gives off gas: no flame, no spark, eyes covered."
)

_ALTERNATOR: Final = (
    "Meter clipped on before the start, one person at the key, nobody near belts and fan. Engine over 1,200 rpm, few loads: volts "
    "from its own + post to the battery's - post. Never take a battery lead off while it runs."
)

_LAMP_FIRST: Final = (
    "(1) Engine off, key out. (2) Switch off every load of this fuse and unplug each one, its controllers too, and anything that "
    "fires a charge. (3) Fuse out, and look at it. (4) A lamp for the machine's own volts, taking no more than the fuse's own "
    "rating, across the two contacts, hung clear of chaff: it gets hot. (5) Key on as far as this fuse needs it, engine off. "
    "(6) Bright: a short in the harness, halve it plug by plug. Dim: a load is still plugged in. Dark: the short is away now, or "
    "it sits in a load that is unplugged: key out, plug one back, its switch off, key on, look; then the next. Dark with all of "
    "them: wiggle every 6 in (150 mm), header up and down. (7) At the end key out, lamp out, a fuse of the same rating in."
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
    if check.expected == EXPECTED_SEEN:
        return _SEEN
    return _PLAIN.get(check.kind, "")


_SUPPLY: Final[dict[SupplyState, str]] = {
    SupplyState.SOUND: "charging as it should",
    SupplyState.GIVES_NOTHING: "the alternator gives nothing",
    SupplyState.GIVES_TOO_LITTLE: "the alternator gives too little",
    SupplyState.OVERCHARGES: "it over-charges",
    SupplyState.BAD_CLAMP: "a bad clamp",
    SupplyState.CHARGED: "charged",
    SupplyState.LOW: "low",
    SupplyState.NOT_CHARGED: "not charged while it runs",
    SupplyState.DEAD_CELL: "a dead cell",
    SupplyState.JUST_CHARGED: "just off charge",
}

#: states of the supply that are told from here on
_TOLD: Final = 0.05

_BY_THE_PLUG: Final = {
    Spot.IN_HAND: ("the terminator is sound", "the terminator is open: another of 120 ohm in its place"),
    Spot.SOCKET: (
        "the line and the far end are sound: the terminator that is out, or its plug",
        "the line or the far end is lost",
    ),
}


def reading_lines(circuit: Circuit, check: Check, shown: MeterShown, nominal_volts: int) -> Iterator[str]:
    """Yield what a reading says by itself; nothing where only the suspects can tell."""
    kind = circuit.node(check.node).kind if check.node else None
    if check.kind is CheckKind.VOLTAGE and shown.second is not None:
        yield f"{VOLTS_THOUGHT[volts_class(shown.value, shown.second)]}."
    elif check.kind is CheckKind.VOLTAGE and kind in (NodeKind.BATTERY, NodeKind.ALTERNATOR):
        yield from supply_lines(shown.value, shown.supplied, nominal_volts)
    elif check.kind is CheckKind.VOLTAGE and shown.supplied is Supplied.OFF and is_switched(circuit, check.node):
        if shown.value >= DARK_BELOW:
            yield "All is off and this place is live: a wire that touches a live one, or a switch or relay that is stuck closed."
    elif check.kind is CheckKind.VOLTAGE and shown.battery_volts is not None:
        lost = lost_volts(shown.battery_volts, shown.value)
        if lost > WHOLE_CIRCUIT_DROP.high:
            no_load = (
                " Without a load a bad joint does not show: measure it with the load on."
                if shown.load_on is False
                else ""
            )
            yield (
                f"{number(lost, 2)} V of the battery's {shown.battery_volts:g} V are lost before this place; a sound circuit loses "
                f"at most {WHOLE_CIRCUIT_DROP.high:g} V.{no_load}"
            )
    elif check.kind is CheckKind.VOLTAGE_DROP and kind is not None:
        yield from _drop(kind, shown)
    elif check.kind is CheckKind.RESISTANCE and check.band is BUS_OHMS:
        yield line_sentence(shown.value, check.spot)


def _drop(kind: NodeKind, shown: MeterShown) -> Iterator[str]:
    limit = drop_limit(kind).high
    if shown.load_on is False:
        yield "No load, no current: this drop says nothing. Measure it again with the load on."
    elif shown.value < 0.02:
        yield "Next to nothing is lost here; if the load was dead no current flowed, and this says little."
    elif limit < shown.value < 1.0:
        yield f"{shown.value:g} V is above {limit:g} V: clean it; alone it seldom keeps a load dead."


def line_sentence(ohms: float, spot: Spot = Spot.PLUG) -> str:
    """Say what a reading between the two data wires says, and what to do."""
    cls = line_class(ohms)
    if spot is not Spot.PLUG:
        sound, lost = _BY_THE_PLUG[spot]
        return f"At the terminator: {sound if 108 <= ohms <= 132 else lost}."
    suspect, do = FIRST_THOUGHT[cls]
    return f"By this reading suspect {suspect}. Do: {do}."


def opened_sentence(check: Check) -> str:
    """Say what a plug that was opened on a data line tells."""
    if check.second:
        return f"The short lies on the side of {check.second}: the other side is sound."
    return f"0 ohm on neither side: {check.node} itself, or the short came and went. Do: plug it in and read again."


def lamp_sentence(circuit: Circuit, check: Check, verdict: CheckVerdict) -> str:
    """Say what a lamp in place of a fuse showed, and what to do; empty where nobody could tell."""
    fuse, kind = check.second, circuit.node(check.node).kind
    bad = verdict is CheckVerdict.BAD
    if verdict is CheckVerdict.UNCLEAR and check.node == fuse:
        return f"Dim: a load of {fuse} is still plugged in, or a wire lies on ground in part. Do: find what is not unplugged."
    if verdict not in (CheckVerdict.GOOD, CheckVerdict.BAD):
        return ""
    if check.node == fuse and bad:
        return f"Bright with all unplugged: a short in the harness below {fuse}. Do: open the plug in the middle, leave the rest."
    if check.node == fuse:
        return (
            "Dark with all unplugged: the short is away now, or it sits in a load. Do: key out, plug one load back, its switch "
            "off, key on, look; then the next. Dark with all: wiggle the harness. Then the same rating again, never a larger one."
        )
    if kind in CONSUMERS:
        lit = f"Bright: the short sits in {check.node}, if its switch is off. One without a switch: judge it by the book's ohms."
        return lit if bad else f"Dark: it is not in {check.node}. Do: leave it plugged in, and plug the next one back."
    if bad:
        return f"It went out: the short lies at {check.node} or beyond."
    return f"It stays lit: the short lies before {check.node}. A plug beyond a further fuse would not count."


def supply_lines(volts: float, supplied: Supplied | None, nominal_volts: int) -> Iterator[str]:
    """Yield what the battery's own voltage says by the state it was read in."""
    times = nominal_volts / 12
    if supplied is None:
        yield "Was it rested, key on, cranking or running? Say --state: each is judged by its own band."
        return
    if supplied is Supplied.CRANKING:
        least = [f"{least_cranking_volts(f, nominal_volts=nominal_volts):g} V at {f} F" for f in (70, 32, 0)]
        yield f"Cranking it should hold at least {', '.join(least)} (published)."
        return
    if supplied is Supplied.OFF:
        supplied = Supplied.RESTED
    chances = sorted(supply_chances(volts, supplied, nominal_volts=nominal_volts).items(), key=lambda one: -one[1])
    told = [f"{_SUPPLY[state]} {percent(chance)}" for state, chance in chances if chance >= _TOLD]
    yield f"The supply by this reading: {', '.join(told)}."
    if supplied is Supplied.RESTED:
        charge = number(charge_percent(volts, nominal_volts=nominal_volts))
        yield f"Rested four hours and more it is about {charge} % charged (published, flooded cells)."
    elif supplied is Supplied.JUST_CHARGED:
        yield "Just off charge it says nothing yet: lamps on for 2 min, wait 10, read again."
    elif supplied is Supplied.KEY_ON and volts < TOO_LOW_TO_MEASURE * times:
        yield f"Below {TOO_LOW_TO_MEASURE * times:g} V with loads on: charge it before anything else is measured."
    elif supplied is Supplied.RUNNING and not CHARGING.low * times <= volts <= CHARGING.high * times:
        yield (
            f"Running over 1,200 rpm with few loads it shows {CHARGING.low * times:g} to {CHARGING.high * times:g} V, with all "
            f"loads over {ALL_LOADS_ON * times:g} V (published; one that a computer regulates does not keep to these). Belt and "
            "lamp first, then volts at the alternator's own post: high there and low here is the cable (over "
            f"{ALTERNATOR_CABLE_DROP:g} V) or the ground between them (over {ALTERNATOR_GROUND_DROP:g} V); low there too is the "
            "alternator or its field feed."
        )
