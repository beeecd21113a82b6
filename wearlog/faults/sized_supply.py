"""How likely each suspect makes a reading at the battery's own posts or at the alternator's. Common practice, no source."""

from __future__ import annotations

from typing import Final

import numpy as np

from wearlog.facts.closed_lists import FaultMode, NodeKind
from wearlog.facts.electrics import Supplied
from wearlog.faults.battery_reading import RESTED, RUNNING, SupplyState, reading_chance
from wearlog.faults.both_ways import Both
from wearlog.faults.circumstances import MeterShown
from wearlog.faults.severity import Variant
from wearlog.faults.sized_hypotheses import VARIANTS, FaultTable

#: what an own reading is like when the supply is not the fault, running or not
_AS_A_RULE: Final[dict[bool, dict[SupplyState, float]]] = {
    True: {SupplyState.SOUND: 0.97, SupplyState.GIVES_TOO_LITTLE: 0.02, SupplyState.OVERCHARGES: 0.01},
    False: {
        SupplyState.CHARGED: 0.80,
        SupplyState.LOW: 0.14,
        SupplyState.NOT_CHARGED: 0.02,
        SupplyState.JUST_CHARGED: 0.04,
    },
}
_SUPPLY_OF: Final[dict[bool, dict[Variant, SupplyState]]] = {
    True: {
        Variant.GIVES_NOTHING: SupplyState.GIVES_NOTHING,
        Variant.GIVES_TOO_LITTLE: SupplyState.GIVES_TOO_LITTLE,
        Variant.OVERCHARGES: SupplyState.OVERCHARGES,
    },
    False: {
        Variant.LOW: SupplyState.LOW,
        Variant.DEAD_CELL: SupplyState.DEAD_CELL,
        Variant.GIVES_NOTHING: SupplyState.NOT_CHARGED,
        Variant.GIVES_TOO_LITTLE: SupplyState.NOT_CHARGED,
    },
}
#: running, what a high resistance between alternator and battery leaves at the battery's posts; at its own post it looks sound
_BEHIND_ITS_CABLE: Final[dict[Variant, dict[SupplyState, float]]] = {
    Variant.MILD: {SupplyState.SOUND: 0.5, SupplyState.GIVES_TOO_LITTLE: 0.5},
    Variant.MEDIUM: {SupplyState.GIVES_TOO_LITTLE: 0.6, SupplyState.GIVES_NOTHING: 0.4},
    Variant.SEVERE: {SupplyState.GIVES_TOO_LITTLE: 0.2, SupplyState.GIVES_NOTHING: 0.8},
}
#: no reading is out of the question
_LEAST: Final = 1e-6


def likelihood_of_supply(
    table: FaultTable, reading: MeterShown, nominal_volts: int, *, at_alternator: bool = False
) -> Both | None:
    """Return how likely each suspect makes the supply's own reading, by the state it was taken in.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    reading : MeterShown
        Volts at the posts.
    nominal_volts : int
        12 or 24.
    at_alternator : bool
        At the alternator's own post; that is measured with the engine running, whether somebody says so or not.

    Returns
    -------
    Both of (h,) arrays, or None
        None while cranking or switched off, and at an alternator that stands still.

    Notes
    -----
    A cable or clamp that takes volts between the two lowers the battery's reading and leaves the alternator's own as it is: high
    there and low here is the cable, low at both is the alternator or its field feed.
    """
    supplied = reading.supplied or (Supplied.RUNNING if at_alternator else None)
    running = supplied is Supplied.RUNNING
    if supplied in (Supplied.CRANKING, Supplied.OFF) or (at_alternator and not running):
        return None
    rows = RUNNING if running else RESTED
    chance = {supply: reading_chance(row, reading.value, nominal_volts) + _LEAST for supply, row in rows.items()}
    sound = sum(share * chance[supply] for supply, share in _AS_A_RULE[running].items())
    there = np.full(len(table.hypotheses), sound)
    for variant, supply in _SUPPLY_OF[running].items():
        there[table.variant == VARIANTS.index(variant)] = chance[supply]
    if running and not at_alternator:
        clamp = table.of_kind(NodeKind.BATTERY) & table.is_mode(FaultMode.HIGH_RESISTANCE)
        there[clamp] = chance[SupplyState.BAD_CLAMP]
        cable = table.of_kind(NodeKind.ALTERNATOR) & table.is_mode(FaultMode.HIGH_RESISTANCE)
        for variant, left in _BEHIND_ITS_CABLE.items():
            sized = cable & (table.variant == VARIANTS.index(variant))
            there[sized] = sum(share * chance[supply] for supply, share in left.items())
    return Both(there, there)
