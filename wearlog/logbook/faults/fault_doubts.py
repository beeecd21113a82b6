"""What is asked before something of an electrical fault is saved: a load told both ways, another voltage, closed before a check.

Nothing here forbids: a fault may come and go, a check may be noted at night. It is asked once, with both entries named.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind, SignKind, word
from wearlog.facts.electrics import Answer, CircuitNode, Fault, FaultCheck, FaultSign, FaultVisit
from wearlog.faults.measured_text import measured_number
from wearlog.logbook.checks.doubts import Doubt, DoubtError
from wearlog.logbook.faults.fault_sentences import CheckEntry
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order, settings_of

_WORKS: Final = {SignKind.WORKING: True, SignKind.DEAD: False, SignKind.WEAK: False}
#: what comes and goes may be found either way
_EITHER_WAY: Final = frozenset({"erratic", "flickers", "comes and goes"})
_SUPPLIES: Final = frozenset({NodeKind.BATTERY, NodeKind.ALTERNATOR})
#: a battery that shows more is one of 24 V
_MORE_THAN_12: Final = 18.0
_MILLION: Final = 1_000_000

#: a place, whether it works, and which entry says so
Told = tuple[UUID, bool, str]


def signs_told(signs: Iterable[FaultSign], names: Mapping[UUID, str]) -> list[Told]:
    """Return what signs say of loads that work or do not.

    Parameters
    ----------
    signs : iterable of FaultSign
    names : mapping of UUID to str
        Of the places.
    """
    return [
        (one.node_id, _WORKS[one.sign], f"'{names.get(one.node_id, '')} {word(one.sign)}'")
        for one in signs
        if one.node_id is not None and one.sign in _WORKS
    ]


def tries_told(checks: Iterable[FaultCheck], names: Mapping[UUID, str], speak: FarmSpeaker) -> list[Told]:
    """Return what tries from the seat say of loads that work or do not; one that comes and goes is found either way.

    Parameters
    ----------
    checks : iterable of FaultCheck
        In the order in which they were made.
    names : mapping of UUID to str
        Of the places.
    speak : FarmSpeaker
        For the time of each.
    """
    found = []
    for one in checks:
        judged = one.verdict in (CheckVerdict.GOOD, CheckVerdict.BAD) and one.measured not in _EITHER_WAY
        if one.kind is CheckKind.TRY_IT and one.node_id is not None and judged:
            works = one.verdict is CheckVerdict.GOOD
            when = f", {speak.time_said(one.at)}" if one.at else ""
            said = f"check {one.step} '{names.get(one.node_id, '')} {'works' if works else 'does not work'}'{when}"
            found.append((one.node_id, works, said))
    return found


def ask_if_told_otherwise(
    connection: Connection, fault: Fault, names: Mapping[UUID, str], new: Sequence[Told], sure: frozenset[str]
) -> None:
    """Ask where a load that was told dead is now told to work, or the other way round, and nobody said that it comes and goes.

    Parameters
    ----------
    connection : Connection
    fault : Fault
        Saved or not yet.
    names : mapping of UUID to str
        Of the places.
    new : sequence of (UUID, bool, str)
        As `signs_told` and `tries_told`.
    sure : frozenset of str
        Doubts that a person has settled.

    Raises
    ------
    DoubtError
        For the first such load.
    """
    if Doubt.TOLD_OTHERWISE in sure or not new:
        return
    visits = find_in_order(connection, FaultVisit, "started_at", fault_id=fault.id)
    if visits and visits[-1].present is Answer.NO:
        return
    signs = find_all(connection, FaultSign, fault_id=fault.id)
    speak = FarmSpeaker(settings_of(connection))
    checks = find_in_order(connection, FaultCheck, "step", fault_id=fault.id)
    known = {one[0]: one for one in (*signs_told(signs, names), *tries_told(checks, names, speak))}
    moving = {one.node_id for one in signs if one.sign is SignKind.ERRATIC}
    for node_id, works, said in new:
        before = known.get(node_id)
        if before is not None and before[1] is not works and node_id not in moving:
            raise DoubtError(
                Doubt.TOLD_OTHERWISE,
                f"Of '{names.get(node_id, '')}' it was told {before[2]}, and now {said}.",
                "Did it change, so that both are kept?",
                "If it comes and goes, --yes keeps both; 'wearlog faults tell' says that it is not there now (--present no). "
                "If the first is wrong, take that back first: wearlog undo.",
            )
        known[node_id] = (node_id, works, said)


def ask_if_another_voltage(
    connection: Connection, fault: Fault, nodes: Sequence[CircuitNode], entry: CheckEntry, sure: frozenset[str]
) -> None:
    """Ask where the battery shows that of a 24 V machine and showed that of a 12 V machine before.

    Parameters
    ----------
    connection : Connection
    fault : Fault
    nodes : sequence of CircuitNode
        What is drawn of its machine.
    entry : CheckEntry
        With the name of its place.
    sure : frozenset of str
        Doubts that a person has settled.

    Raises
    ------
    DoubtError
        With what was shown before.
    """
    supplies = {one.id: one for one in nodes if one.kind in _SUPPLIES}
    at_supply = entry.kind is CheckKind.VOLTAGE and entry.node in {one.name for one in supplies.values()}
    shown = measured_number(entry.measured, "V") if at_supply else entry.battery_volts
    if Doubt.OTHER_VOLTAGE in sure or shown is None:
        return
    named_24 = any("24 v" in f"{one.name} {one.place}".casefold() for one in supplies.values())
    before = _shown_before(connection, fault, frozenset(supplies))
    is_24 = named_24 or any(volts > _MORE_THAN_12 for volts, _ in before)
    if before and not is_24 and shown > _MORE_THAN_12:
        raise DoubtError(
            Doubt.OTHER_VOLTAGE,
            f"{shown:g} V is that of a 24 V machine, and this one showed {before[-1][1]}.",
            "Is it a 24 V machine?",
            "Look at the range and the comma. If it has 24 V indeed, --yes keeps it: all further voltages are judged by that.",
        )


def _shown_before(connection: Connection, fault: Fault, supplies: frozenset[UUID]) -> list[tuple[float, str]]:
    """Return what the supply of a machine showed in any of its faults, in the order of time, each with its words."""
    speak = FarmSpeaker(settings_of(connection))
    found = []
    for other in find_in_order(connection, Fault, "opened_at", machine_id=fault.machine_id):
        for row in find_in_order(connection, FaultCheck, "step", fault_id=other.id):
            own = row.kind is CheckKind.VOLTAGE and row.node_id in supplies
            micros = row.reading_micros if own else row.battery_micros
            if micros:
                when = f", {speak.time_said(row.at)}" if row.at else ""
                found.append(
                    (micros / _MILLION, f"{micros / _MILLION:g} V (check {row.step} of '{other.title}'{when})")
                )
    return found


def ask_if_closed_before_a_check(connection: Connection, fault: Fault, at: datetime, sure: frozenset[str]) -> None:
    """Ask where a fault is closed for a time before that of one of its checks.

    Parameters
    ----------
    connection : Connection
    fault : Fault
    at : datetime
        When it is closed.
    sure : frozenset of str
        Doubts that a person has settled.

    Raises
    ------
    DoubtError
        With the last such check.
    """
    if Doubt.CLOSED_BEFORE_CHECK in sure:
        return
    speak = FarmSpeaker(settings_of(connection))
    checks = find_in_order(connection, FaultCheck, "step", fault_id=fault.id)
    later = [(one.at, one) for one in checks if one.at is not None and one.at > at]
    if later:
        when, last = max(later, key=lambda one: one[0])
        raise DoubtError(
            Doubt.CLOSED_BEFORE_CHECK,
            f"'{fault.title}' would be closed {speak.time_said(at)}, before check {last.step} ({word(last.kind)}), which stands at "
            f"{speak.time_said(when)}.",
            "Close it at that time all the same?",
            "Give the time at which it was cured (--at). If the check was noted later than it was made, --yes keeps both.",
        )
