"""What is told of a fault beside its signs: others tried, work done before, is it there now; what was undone and put back."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from wearlog.errors import NotFoundError, UsageError
from wearlog.facts.electrics import Answer, CircuitNode, Fault, FaultOpening, FaultSign, FaultVisit, Opened, OthersTried
from wearlog.facts.fact import Fact
from wearlog.facts.member_words import word
from wearlog.facts.papers import Person
from wearlog.facts.plain_text import one_line
from wearlog.logbook.faults.fault_sentences import ToldMore
from wearlog.logbook.faults.faulting import open_one, sign_row, with_more
from wearlog.logbook.names import known_names, pick
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.said.signs import node_named, read_conditions, read_sign
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order, settings_of
from wearlog.store.opening import Store

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


def tell_more(store: Store, fault: Fault, told: ToldMore, *, at: datetime) -> Done:
    """Save answers about an open fault.

    Raises
    ------
    UsageError
        When nothing is answered.
    NotFoundError, RefusedError
        For a person that nobody is called, a sign or a condition that nobody would understand, and a fault that is closed.
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
        new += seen
        said += [*told.signs, *map(word, changed.conditions[len(fault.conditions) :])]
        if told.present or told.person or told.note:
            person = (
                pick(find_all(connection, Person), lambda one: one.name, told.person, "person") if told.person else None
            )
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
            said += [f"taken up by {person.name}"] if person else []
            said += [one_line(told.note)] if told.note else []
        if not said:
            raise UsageError("Nothing was told.", "Say it: wearlog faults tell 1 --others all-fine --present yes")
        sentence = f"of '{fault.title}': {'; '.join(said)}, {FarmSpeaker(settings_of(connection)).moment(at)}"
        return save(store, connection, sentence, new=new, changed=[changed] if changed != fault else [], known=known)


def _seen(connection: Connection, fault: Fault, told: ToldMore) -> tuple[list[FaultSign], Fault]:
    """Return the signs to add, and the fault with the conditions under which it shows as well."""
    nodes = find_all(connection, CircuitNode, machine_id=fault.machine_id) if told.signs else []
    signs = [sign_row(fault, read_sign(sign, nodes)) for sign in told.signs]
    more = with_more(fault.conditions, read_conditions(told.conditions))
    return signs, replace(fault, conditions=more)


def note_undone(store: Store, fault: Fault, opened: Opened, node: str = "", *, note: str = "", at: datetime) -> Done:
    """Keep what was unplugged or taken out and must be put back before the machine starts.

    Raises
    ------
    NotFoundError, RefusedError
        For a place that is not drawn, and a fault that is closed.
    """
    with store.writing() as connection:
        fault = open_one(connection, fault.id)
        place = node_named(find_all(connection, CircuitNode, machine_id=fault.machine_id), node) if node else None
        row = FaultOpening(fault_id=fault.id, node_id=place.id if place else None, opened=opened, at=at, note=note)
        where = f" at {place.name}" if place else ""
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
        names = {one.id: one for one in find_all(connection, CircuitNode, machine_id=fault.machine_id)}
        if node:
            place = node_named(list(names.values()), node)
            rows = [one for one in rows if one.node_id == place.id]
        if not rows:
            raise NotFoundError(f"Nothing is undone{' there' if node else ''} for '{fault.title}'.", "")
        told = [f"{word(one.opened)}{f' at {names[one.node_id].name}' if one.node_id in names else ''}" for one in rows]
        changed = [replace(one, put_back_at=max(at, one.at)) for one in rows]
        return save(store, connection, f"put back for '{fault.title}': {', '.join(told)}", changed=changed)
