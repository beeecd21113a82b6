"""What the form of a check asks at each place of a drawing: which checks make sense there, how each can end. Draws nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind
from wearlog.facts.electrics import Supplied
from wearlog.faults.checks import checks_for
from wearlog.faults.circuit import CONSUMERS, Circuit
from wearlog.faults.line_sides import OPENS, side_names
from wearlog.present.faults.how_to_measure import wire_words
from wearlog.present.words import word

Choice = tuple[CheckVerdict | None, str]

#: the meter is read in a state of the machine
METERED: Final = frozenset({CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP})
#: a figure may decide
BY_FIGURE: Final = METERED | {CheckKind.CONTINUITY, CheckKind.RESISTANCE}
WITHOUT_PLACE: Final = frozenset({CheckKind.BEYOND, CheckKind.MAKE_HAPPEN})
_ENDS: Final[dict[CheckKind, tuple[str, str]]] = {
    CheckKind.LOOK: ("whole, nothing there", "damage, something there"),
    CheckKind.UNWRAP: ("whole, nothing there", "damage, something there"),
    CheckKind.WIGGLE: ("nothing flickers", "it jumps or flickers"),
    CheckKind.SWAP: ("no change: not that", "changed: it was that"),
    CheckKind.TRY_IT: ("works", "does not work"),
    CheckKind.BEYOND: ("nothing there", "something there"),
    CheckKind.MAKE_HAPPEN: ("nothing happened", "it happened"),
}
#: what one sees of a lamp when that is good, and when it is bad: at a fuse or a load, and at a plug that is opened
LAMP_AT_FUSE: Final = ("dark", "bright")
LAMP_AT_PLUG: Final = ("stays lit", "goes out")
#: of the state of the machine, in the order in which readings are taken
STATES: Final[tuple[tuple[Supplied | None, str], ...]] = (
    (None, "not noted"),
    *((one, word(one)) for one in (Supplied.KEY_ON, Supplied.RUNNING, Supplied.RESTED)),
    *((one, word(one)) for one in (Supplied.CRANKING, Supplied.JUST_CHARGED, Supplied.OFF)),
)


@dataclass(frozen=True, slots=True)
class CheckedPlace:
    """A place of the drawing as the form of a check asks about it.

    Attributes
    ----------
    node : str
    kinds : tuple of CheckKind
        Those that make sense there first, then all others.
    kind : NodeKind
    fuses : tuple of str
        In whose place a lamp may stand.
    on_line : bool
        It is on a data line.
    wire : str
        What is known of the wire there; may be empty.
    sides : tuple of str
        Of a plug of a data line: the next place on each side of it.
    """

    node: str
    kinds: tuple[CheckKind, ...]
    kind: NodeKind
    fuses: tuple[str, ...]
    on_line: bool
    wire: str
    sides: tuple[str, ...] = ()

    @property
    def asks_battery(self) -> bool:
        """A voltage here is judged by what is lost on the way from the battery."""
        return self.kind not in (NodeKind.BATTERY, NodeKind.ALTERNATOR) and not self.on_wires_of_line

    @property
    def on_wires_of_line(self) -> bool:
        """A voltage here is that of two data wires, each to ground."""
        return self.on_line and self.kind not in CONSUMERS


def checked_places(circuit: Circuit) -> dict[str, CheckedPlace]:
    """Return every place of a drawing by its name."""
    offered: dict[str, list[CheckKind]] = {node.name: [] for node in circuit.nodes}
    for check in checks_for(circuit):
        offered[check.node].append(check.kind)
    found = {}
    for node in circuit.nodes:
        fuses = (node.name,) if node.kind is NodeKind.FUSE else circuit.first_fuses_above(node.name)
        first = [*offered[node.name], *((CheckKind.TRY_IT,) if node.kind in CONSUMERS else ())]
        first += [CheckKind.LAMP] if fuses else []
        others = [kind for kind in CheckKind if kind not in first and kind not in WITHOUT_PLACE]
        kinds = tuple(dict.fromkeys((*first, *others)))
        on_line = bool(circuit.bus_neighbours(node.name))
        sides = side_names(circuit, node.name) if on_line and node.kind in OPENS else ()
        found[node.name] = CheckedPlace(node.name, kinds, node.kind, fuses, on_line, wire_words(node), sides)
    return found


def ends_of(kind: CheckKind, place: CheckedPlace | None) -> tuple[Choice, ...]:
    """Return how a check can end, in words; the first answer is that nobody has said it yet, or that the figure says it."""
    if kind is CheckKind.LAMP and place is not None:
        at_load = place.kind in CONSUMERS or place.kind is NodeKind.FUSE
        good, bad = LAMP_AT_FUSE if at_load else LAMP_AT_PLUG
    else:
        good, bad = _ENDS.get(kind, ("good", "bad"))
    open_end = "the value says it" if kind in BY_FIGURE else "not said yet"
    return (
        (None, open_end),
        (CheckVerdict.GOOD, good),
        (CheckVerdict.BAD, bad),
        (CheckVerdict.UNCLEAR, "dim, not clear" if kind is CheckKind.LAMP else "not clear"),
    )


def value_hint(kind: CheckKind, place: CheckedPlace | None) -> str:
    """Return an example of what such a check shows."""
    if kind is CheckKind.RESISTANCE and place is not None and place.on_line:
        return "60 ohm; OL for no end"
    if kind is CheckKind.VOLTAGE and place is not None and place.on_wires_of_line:
        return "high 2.7 V, low 2.3 V"
    return {
        CheckKind.VOLTAGE: "11.4 V; moved: 8.0 to 12.1 V",
        CheckKind.VOLTAGE_DROP: "0.3 V",
        CheckKind.CONTINUITY: "0.4 ohm; OL for no end",
        CheckKind.RESISTANCE: "9.2 ohm; OL for no end",
        CheckKind.BEYOND: "no kit, no radio",
    }.get(kind, "green pins, chafed, nothing")
