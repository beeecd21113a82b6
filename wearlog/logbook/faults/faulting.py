"""Entering an electrical fault, one deed each: opened, told of, signs, checks in order, what was undone, what was found, closed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.facts.bookkeeping import Person
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Condition, FaultMode, FixEvidence, NodeKind, word
from wearlog.facts.days import date_said
from wearlog.facts.electrics import (
    Answer,
    CircuitNode,
    Fault,
    FaultCheck,
    FaultFinding,
    FaultOpening,
    FaultSign,
    FaultVisit,
    Opened,
    OthersTried,
)
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.plain_text import one_line
from wearlog.faults.circuit import Circuit
from wearlog.faults.fuses import refit
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED
from wearlog.logbook.faults.circuits import circuit_on, nodes_on
from wearlog.logbook.faults.fault_doubts import ask_if_closed_before_a_check, ask_if_told_otherwise, signs_told
from wearlog.logbook.faults.fault_sentences import FindingEntry, ToldMore, closed_sentence, fix_said, opened_sentence
from wearlog.logbook.made import Made
from wearlog.logbook.names import KnownNames, known_names, pick
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.said.signs import SaidSign, node_named, read_conditions, read_sign
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_in_order, settings_of
from wearlog.store.opening import Store

__all__ = [
    "FindingEntry",
    "ToldFault",
    "add_signs",
    "close_fault",
    "fault_made",
    "note_undone",
    "open_fault",
    "put_back",
    "tell_more",
]


_OTHERS = {
    OthersTried.ALL_FINE: "the others were tried: all fine",
    OthersTried.SOME_FAIL: "others fail too",
    OthersTried.NOT_TRIED: "the others were not tried",
}

_PRESENT = {
    Answer.YES: "it is there now",
    Answer.NO: "it is not there now",
    Answer.CANNOT_TELL: "nobody can tell whether it is there now",
}


def tell_more(
    store: Store, fault: Fault, told: ToldMore, *, at: datetime, sure: frozenset[str] = NO_DOUBT_SETTLED
) -> Done:
    """Save answers about an open fault.

    Raises
    ------
    UsageError
        When nothing is answered.
    RefusedError
        For a sign or a condition that nobody would understand, and a fault that is closed.
    """
    with store.writing() as connection:
        fault = open_one(connection, fault.id)
        known = known_names(connection)
        said, changed, new = list[str](), fault, list[Fact]()
        if told.others:
            changed, said = replace(changed, others_tried=told.others), [*said, _OTHERS[told.others]]
        if told.worked_on:
            worked = "; ".join(part for part in (fault.worked_on, one_line(told.worked_on)) if part)
            changed, said = replace(changed, worked_on=worked), [*said, f"worked on: {one_line(told.worked_on)}"]
        if told.all_conditions:
            changed, said = replace(changed, conditions_asked=True), [*said, "it shows under no other condition"]
        seen, changed = _seen(connection, changed, told)
        _ask_of_signs(connection, fault, seen, sure)
        new += seen
        said += [*told.signs, *map(word, changed.conditions[len(fault.conditions) :])]
        if told.present or told.person or told.note:
            person, come = _person(connection, told.person)
            new += come
            new.append(
                FaultVisit(
                    fault_id=fault.id,
                    started_at=at,
                    present=told.present,
                    person_id=person.id if person else None,
                    note=told.note,
                )
            )
            said += [_PRESENT[told.present]] if told.present else []
            said += [f"taken up by {person.name}{', who is new here' if come else ''}"] if person else []
            said += [one_line(told.note)] if told.note else []
        if not said:
            raise UsageError("Nothing was told.", "Say it: wearlog faults tell 1 --others all-fine --present yes")
        sentence = f"of '{fault.title}': {'; '.join(said)}, {FarmSpeaker(settings_of(connection)).time_said(at)}"
        return save(store, connection, sentence, new=new, changed=[changed] if changed != fault else [], known=known)


def _person(connection: Connection, said: str) -> tuple[Person | None, list[Person]]:
    """Return who is named so, and the same once more where it is somebody new: whoever takes work up need not be entered before."""
    if not said:
        return None, []
    try:
        return pick(find_all(connection, Person), lambda one: one.name, said, "person"), []
    except NotFoundError:
        new = Person(name=one_line(said))
        return new, [new]


def _seen(connection: Connection, fault: Fault, told: ToldMore) -> tuple[list[FaultSign], Fault]:
    """Return the signs to add, and the fault with the conditions under which it shows as well."""
    nodes = nodes_on(connection, fault.machine_id) if told.signs else []
    signs = [sign_row(fault, read_sign(sign, nodes)) for sign in told.signs]
    more = with_more(fault.conditions, read_conditions(told.conditions))
    return signs, replace(fault, conditions=more)


def note_undone(store: Store, fault: Fault, opened: Opened, node: str = "", *, note: str = "", at: datetime) -> Done:
    """Keep what was unplugged or taken out and must be put back before the machine starts.

    Raises
    ------
    NotFoundError, RefusedError
        For a place that is not drawn; a fault that is closed, and what is kept already.
    """
    with store.writing() as connection:
        fault = open_one(connection, fault.id)
        place = node_named(nodes_on(connection, fault.machine_id), node) if node else None
        row = FaultOpening(fault_id=fault.id, node_id=place.id if place else None, opened=opened, at=at, note=note)
        where = f" at {place.name}" if place else ""
        there = find_in_order(connection, FaultOpening, "at", fault_id=fault.id)
        if opened is not Opened.OTHER and any(
            one.put_back_at is None and (one.opened, one.node_id) == (opened, row.node_id) for one in there
        ):
            raise RefusedError(
                f"'{word(opened)}{where}' is kept for '{fault.title}' already.", "It is to be put back once."
            )
        said = f"undone for '{fault.title}': {word(opened)}{where}, to be put back"
        return save(store, connection, said, new=[row])


def put_back(store: Store, fault: Fault, node: str = "", *, at: datetime) -> Done:
    """Note that what was undone is put back: all of it, or what was undone at one place. A fault may be closed by then.

    Raises
    ------
    NotFoundError
        When nothing is undone, or nothing there.
    """
    with store.writing() as connection:
        rows = [one for one in find_in_order(connection, FaultOpening, "at", fault_id=fault.id) if not one.put_back_at]
        names = {one.id: one for one in nodes_on(connection, fault.machine_id)}
        if node:
            place = node_named(list(names.values()), node)
            rows = [one for one in rows if one.node_id == place.id]
        if not rows:
            raise NotFoundError(f"Nothing is undone{' there' if node else ''} for '{fault.title}'.", "")
        told = [f"{word(one.opened)}{f' at {names[one.node_id].name}' if one.node_id in names else ''}" for one in rows]
        changed = [replace(one, put_back_at=max(at, one.at)) for one in rows]
        return save(store, connection, f"put back for '{fault.title}': {', '.join(told)}", changed=changed)


@dataclass(frozen=True, slots=True)
class ToldFault:
    """A fault as it is told: circuit "" where no place is meant for sure, signs as `read_sign` takes them."""

    title: str
    circuit: str = ""
    signs: tuple[str, ...] = ()
    conditions: str = ""
    note: str = ""


def open_fault(
    store: Store,
    machine: Machine,
    title: str,
    *,
    at: datetime,
    circuit: str = "",
    conditions: str = "",
    signs: Sequence[str] = (),
    note: str = "",
    sure: frozenset[str] = NO_DOUBT_SETTLED,
) -> Done:
    """Open a fault with what was seen.

    Parameters
    ----------
    circuit : str
        Its name; empty: that of the first place that a sign names.
    conditions : str
        Such as "header raised, rough ground".
    signs : sequence of str
        As `read_sign` takes them.

    Raises
    ------
    UsageError, NotFoundError, RefusedError
        For a fault without a title, and for signs or conditions that nobody would understand.
    """
    with store.writing() as connection:
        known = known_names(connection)
        told = ToldFault(title, circuit, tuple(signs), conditions, note)
        made = fault_made(connection, machine, told, at=at, known=known)
        _ask_of_signs(connection, made.new[0], [one for one in made.new if isinstance(one, FaultSign)], sure)
        return save(store, connection, made.said, new=made.new, known=known, also=made.also)


def _ask_of_signs(connection: Connection, fault: Fact, signs: Sequence[FaultSign], sure: frozenset[str]) -> None:
    assert isinstance(fault, Fault)
    names = {one.id: one.name for one in nodes_on(connection, fault.machine_id)}
    ask_if_told_otherwise(connection, fault, names, signs_told(signs, names), sure)


def fault_made(connection: Connection, machine: Machine, told: ToldFault, *, at: datetime, known: KnownNames) -> Made:
    """Return what opening a fault writes, and save nothing. Errors as `open_fault`."""
    if not told.title.strip():
        raise UsageError("A fault needs a title.", 'Say what happens: "header fuse blows when the header moves".')
    nodes = nodes_on(connection, machine.id)
    said = [read_sign(sign, nodes) for sign in told.signs]
    at_nodes = [one.node.circuit for one in said if one.node is not None]
    fault = Fault(
        machine_id=machine.id,
        circuit=told.circuit or next(iter(at_nodes), ""),
        title=told.title,
        opened_at=at,
        conditions=read_conditions(told.conditions),
        note=told.note,
    )
    sentence = opened_sentence(FarmSpeaker(known.farm), machine.name, told.title, told.signs, fault.conditions, at)
    rows = [sign_row(fault, one) for one in said]
    return Made(sentence, (fault, *rows), also=tuple(_open_alike(connection, fault, rows)))


def _open_alike(connection: Connection, fault: Fault, signs: Sequence[FaultSign]) -> Iterator[str]:
    """Yield a sentence for each fault of this machine that is open and has all of these signs, or the same title."""
    seen = {(one.node_id, one.sign, one.spn, one.fmi) for one in signs}
    zone = FarmSpeaker(settings_of(connection)).zone
    for other in find_all(connection, Fault, machine_id=fault.machine_id):
        if other.closed_at is not None:
            continue
        theirs = find_all(connection, FaultSign, fault_id=other.id)
        same_signs = bool(seen) and seen <= {(one.node_id, one.sign, one.spn, one.fmi) for one in theirs}
        if same_signs or other.title.casefold() == fault.title.casefold():
            what = "these signs" if same_signs else "that title"
            since = date_said(other.opened_at.astimezone(zone))
            yield (
                f"'{other.title}' with {what} is open since {since}: if it is the same fault, "
                "take this one back ('wearlog undo') and add what is new there"
            )


def add_signs(
    store: Store, fault: Fault, signs: Sequence[str], *, conditions: str = "", sure: frozenset[str] = NO_DOUBT_SETTLED
) -> Done:
    """Add signs, and conditions under which it shows, to an open fault. Errors as `open_fault`."""
    with store.writing() as connection:
        fault = open_one(connection, fault.id)
        nodes = nodes_on(connection, fault.machine_id)
        new = [sign_row(fault, read_sign(sign, nodes)) for sign in signs]
        _ask_of_signs(connection, fault, new, sure)
        more = with_more(fault.conditions, read_conditions(conditions))
        changed = [replace(fault, conditions=more)] if more != fault.conditions else []
        if not new and not changed:
            raise UsageError("No sign is given.", 'Say one: "reel lift valve dead".')
        said = f"signs of '{fault.title}': {', '.join([*signs, *map(word, more[len(fault.conditions) :])])}"
        return save(store, connection, said, new=new, changed=changed, known=known_names(connection))


def close_fault(
    store: Store, fault: Fault, entry: FindingEntry, *, at: datetime, sure: frozenset[str] = NO_DOUBT_SETTLED
) -> Done:
    """Note what the fault was and close it.

    Raises
    ------
    RefusedError
        When it is closed, closes before it opened, or another fuse than the circuit's own went in.
    UsageError
        When a place is named without what was wrong there, or the other way round.
    """
    if bool(entry.node) is (entry.mode is FaultMode.NOT_FOUND):
        raise UsageError("A finding names a place and what was wrong there.", "Leave both out if it was not found.")
    with store.writing() as connection:
        fault = open_one(connection, fault.id)
        if at < fault.opened_at:
            raise RefusedError("A fault cannot be closed before it was opened.", "Look at the time.")
        ask_if_closed_before_a_check(connection, fault, at, sure)
        nodes = nodes_on(connection, fault.machine_id)
        node = node_named(nodes, entry.node) if entry.node else None
        if entry.fuse_milliamperes is not None:
            refit(_rating(circuit_on(connection, fault.machine_id), node), entry.fuse_milliamperes)
        finding = FaultFinding(
            fault_id=fault.id,
            node_id=node.id if node else None,
            mode=entry.mode,
            fix=fix_said(entry),
            evidence=entry.evidence or _evidence(connection, fault, node),
            at=at,
        )
        said = closed_sentence(FarmSpeaker(settings_of(connection)), fault.title, entry, node.name if node else "", at)
        return save(store, connection, said, new=[finding], changed=[replace(fault, closed_at=at)])


def open_one(connection: Connection, fault_id: UUID) -> Fault:
    """Return a fault that is open. RefusedError for one that is closed."""
    fault = find_by_id(connection, Fault, fault_id)
    if fault.closed_at is not None:
        zone = FarmSpeaker(settings_of(connection)).zone
        raise RefusedError(
            f"'{fault.title}' was closed on {date_said(fault.closed_at.astimezone(zone))}.",
            "If it came back, open a new fault: the two are linked by their signs. 'wearlog undo' takes a closing back.",
        )
    return fault


def sign_row(fault: Fault, said: SaidSign) -> FaultSign:
    return FaultSign(
        fault_id=fault.id, node_id=said.node.id if said.node else None, sign=said.sign, spn=said.spn, fmi=said.fmi
    )


def with_more(conditions: tuple[Condition, ...], more: tuple[Condition, ...]) -> tuple[Condition, ...]:
    """Return the conditions with more of them, each once."""
    return tuple(dict.fromkeys((*conditions, *more)))


def _rating(circuit: Circuit, node: CircuitNode | None) -> int:
    """Return the rating of the one fuse that guards a place, or of the place itself when it is a fuse."""
    name = node.name if node else ""
    fuses = (name,) if node and node.kind is NodeKind.FUSE else circuit.first_fuses_above(name)
    ratings = {rating for fuse in fuses if (rating := circuit.node(fuse).rating_milliamperes) is not None}
    if len(ratings) != 1:
        raise UsageError(
            "The diagram does not say which rating belongs here.", "Name the fuse in --fix, at the panel's own rating."
        )
    return ratings.pop()


def _evidence(connection: Connection, fault: Fault, node: CircuitNode | None) -> FixEvidence:
    if node is None:
        return FixEvidence.CLEARED_BY_ITSELF
    looked = find_all(connection, FaultCheck, fault_id=fault.id, node_id=node.id, kind=CheckKind.LOOK)
    return FixEvidence.SEEN if any(one.verdict is CheckVerdict.BAD for one in looked) else FixEvidence.INFERRED
