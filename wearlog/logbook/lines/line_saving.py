"""A plain line on a real log: the words of the farm that it is heard with, and saving what it says as one deed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from typing import Final
from uuid import UUID

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Action, Mode, SignKind
from wearlog.facts.electrics import CircuitNode
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import farm_settings
from wearlog.facts.machines import Hitch, Machine, Reading, ServiceDone, ServiceItem, standing
from wearlog.facts.parts import Part, PartFit, StockMove
from wearlog.facts.wearing import Component, Repair
from wearlog.facts.work import Run
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED
from wearlog.logbook.deed_sentences import service_sentence, stock_sentence
from wearlog.logbook.faults.circuits import nodes_on
from wearlog.logbook.faults.faulting import ToldFault, fault_made
from wearlog.logbook.made import Made
from wearlog.logbook.names import KnownNames, known_names, vocabulary_of
from wearlog.logbook.parts.breaking import BreakageEntry, ask_before_logging, breakage_made
from wearlog.logbook.parts.fitting import Put, refit_made
from wearlog.logbook.plain_line import FarmWords, Heard, HeardEntry, KnownMeter, KnownPart, KnownService, LineVerdict
from wearlog.logbook.plain_line.phrases import Shown
from wearlog.logbook.plain_line.work_told import run_of
from wearlog.logbook.quickline.tokens import words_of
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.logbook.work.working import readings_made, run_made
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_in_order, last_machine
from wearlog.store.journal import people_named
from wearlog.store.opening import Store

#: what is kept of a line beside the facts it writes
Beside = Callable[[Sequence[Fact]], Sequence[Fact]]


def nothing_beside(_: Sequence[Fact]) -> Sequence[Fact]:
    """Return nothing: a line typed at once leaves its entries only."""
    return ()


def save_heard(
    store: Store, heard: Heard, sure: Collection[str] = NO_DOUBT_SETTLED, beside: Beside = nothing_beside
) -> Done:
    """Save a line as what it is.

    Parameters
    ----------
    sure : collection of Doubt
        What a person was asked about already.
    beside : callable
        Takes the facts that the line writes, and returns what is kept of the line itself in the same deed.

    Raises
    ------
    UsageError
        With its question, where one stands; or what does it, where the log has no place for it.
    DoubtError, RefusedError
        As the commands that enter the same.
    """
    if heard.question or not heard.entries:
        raise UsageError(heard.question or "The line says nothing to save.", heard.hint or "Write what was done.")
    with store.writing() as connection:
        known = known_names(connection)
        made = _made(connection, known, heard, sure)
        said = "; ".join(one.said for one in made)
        new = [fact for one in made for fact in one.new]
        changed = [fact for one in made for fact in one.changed]
        # two parts off one shelf say the same of it
        also = tuple(dict.fromkeys(text for one in made for text in one.also))
        return save(
            store,
            connection,
            said,
            new=[*new, *beside(new)],
            changed=changed,
            known=known,
            also=also,
            person=heard.person,
        )


def _made(connection: Connection, known: KnownNames, heard: Heard, sure: Collection[str]) -> list[Made]:
    if heard.entries[0].what is LineVerdict.READING:
        return [_read(connection, known, heard, sure)]
    stops: dict[UUID, Repair] = {}
    made: list[Made] = []
    for entry in heard.entries:
        if entry.what is LineVerdict.ENTRY:
            made.append(_breakage(connection, known, entry, sure, stops))
        elif entry.what is LineVerdict.CUT:
            made.append(_cut(connection, known, entry, sure))
        else:
            made.append(_SIMPLE[entry.what](connection, known, entry))
    return made


def _breakage(
    connection: Connection, known: KnownNames, entry: HeardEntry, sure: Collection[str], stops: dict[UUID, Repair]
) -> Made:
    """One stop that several parts of a machine share is one repair."""
    assert entry.component is not None
    assert entry.machine is not None
    made = breakage_made(connection, known, breakage_entry(entry), sure, stops.get(entry.machine.id))
    if made.repair is not None:
        # the time that the first part took is the time of the stop: counted with each part it would be stood again
        stops.setdefault(entry.machine.id, made.repair)
    return made


def ask_before_saving(store: Store, heard: Heard) -> None:
    """Raise DoubtError where saving this would ask first about a breakage. Saves nothing."""
    for entry in heard.entries:
        if entry.what is LineVerdict.ENTRY and entry.component is not None:
            ask_before_logging(store, breakage_entry(entry))


def breakage_entry(entry: HeardEntry) -> BreakageEntry:
    """Return what is said of a breakage as the logbook takes it."""
    assert entry.component is not None
    assert entry.cause is not None
    return BreakageEntry(
        component_id=entry.component.id,
        positions=entry.positions,
        at=entry.at,
        cause=entry.cause,
        mode=entry.mode or Mode.BROKEN,
        action=entry.action or Action.REPLACED,
        downtime_seconds=entry.stood_seconds,
        labour_seconds=entry.labour_seconds,
        part_id=entry.part_id,
        note=entry.note,
    )


def _planned(connection: Connection, known: KnownNames, entry: HeardEntry) -> Made:
    assert entry.component is not None
    component = find_by_id(connection, Component, entry.component.id)
    if entry.action is not Action.REPLACED:
        raise UsageError(
            "A part that was rebuilt goes on at its age: the line would put on a new one.",
            "Enter the work with 'wearlog repair', or write 'replaced' for new parts.",
        )
    put = Put(part_id=entry.part_id, labour_seconds=entry.labour_seconds)
    made = refit_made(connection, known, component, entry.positions, at=entry.at, put=put)
    if not entry.note:
        return made
    noted = tuple(replace(fact, note=entry.note) if isinstance(fact, Repair) else fact for fact in made.new)
    return replace(made, new=noted)


def _service(connection: Connection, known: KnownNames, entry: HeardEntry) -> Made:
    assert entry.service_id is not None
    assert entry.machine is not None
    item = find_by_id(connection, ServiceItem, entry.service_id)
    done = ServiceDone(
        service_item_id=item.id,
        at=entry.at,
        labour_seconds=entry.labour_seconds,
        cost_minor=entry.cost_minor,
        note="; ".join(one for one in (entry.amount if entry.cost_minor is None else "", entry.note) if one),
    )
    return Made(service_sentence(FarmSpeaker(known.farm), entry.machine.name, item, done), (done,))


def _stock(connection: Connection, known: KnownNames, entry: HeardEntry) -> Made:
    stocked = entry.stocked
    if stocked is None or stocked.part_id is None:
        raise UsageError(
            f"The parts list has no part for {entry.kind}.", "Enter it first: wearlog add part NUMBER NAME --fits KIND."
        )
    part = find_by_id(connection, Part, stocked.part_id)
    move = StockMove(
        part_id=part.id,
        at=entry.at,
        change=stocked.change,
        quantity=stocked.quantity,
        unit_cost_minor=stocked.unit_cost_minor,
    )
    return Made(stock_sentence(FarmSpeaker(known.farm), part, move), (move,))


def _fault(connection: Connection, known: KnownNames, entry: HeardEntry) -> Made:
    assert entry.machine is not None
    machine = find_by_id(connection, Machine, entry.machine.id)
    return fault_made(connection, machine, fault_of(connection, entry), at=entry.at, known=known)


def _read(connection: Connection, known: KnownNames, heard: Heard, sure: Collection[str]) -> Made:
    first = heard.entries[0]
    assert first.machine is not None
    shown = {one.meter: one.usage for one in heard.entries if one.meter is not None and one.usage is not None}
    machine = find_by_id(connection, Machine, first.machine.id)
    return readings_made(connection, known, machine, shown, at=first.at, sure=sure)


def _cut(connection: Connection, known: KnownNames, entry: HeardEntry, sure: Collection[str]) -> Made:
    assert entry.machine is not None
    assert entry.work is not None
    work = entry.work
    began, ended = run_of(work, entry.at)
    run = Run(
        combine_id=entry.machine.id,
        header_id=work.header_id,
        field_id=work.field_id,
        crop_id=work.crop_id,
        started_at=began,
        ended_at=ended,
        area_square_metres=work.area_square_metres,
    )
    return run_made(connection, known, run, sure)


_SAID = {
    SignKind.DEAD: "dead",
    SignKind.ERRATIC: "erratic",
    SignKind.WORKING: "working",
    SignKind.WEAK: "weak",
    SignKind.STAYS_ON: "stays on",
    SignKind.FUSE_BLEW_AT_ONCE: "blew at once",
    SignKind.FUSE_BLEW_LATER: "blew later",
}

_OF_FUSE = (SignKind.FUSE_BLEW_AT_ONCE, SignKind.FUSE_BLEW_LATER)


def fault_of(connection: Connection, entry: HeardEntry) -> ToldFault:
    """Return the fault that an entry tells of; a sign at a place only where one place of the machine is meant."""
    assert entry.machine is not None
    assert entry.sign is not None
    conditions = ", ".join(one.value.replace("_", " ") for one in entry.conditions)
    title, circuit, signs = _told(nodes_on(connection, entry.machine.id), entry.kind, entry.sign)
    return ToldFault(title, circuit, signs, conditions, entry.note)


def _told(nodes: Sequence[CircuitNode], thing: str, sign: SignKind) -> tuple[str, str, tuple[str, ...]]:
    """Return title, circuit and signs."""
    if sign is SignKind.CODE:
        code = thing.removeprefix("code ")
        return thing, "", (code,) if "/" in code else ()
    said = _SAID[sign]
    node = _place(nodes, thing)
    if node is not None:
        return f"{thing} {said}", node.circuit, (f"{node.name} {said}",)
    return f"{thing} {said}", "", (f"fuse {said}",) if sign in _OF_FUSE else ()


def _place(nodes: Sequence[CircuitNode], thing: str) -> CircuitNode | None:
    """Return the one place whose name holds every word of the thing; None where none or several do."""
    wanted = set(words_of(thing))
    exact = [node for node in nodes if words_of(node.name) == words_of(thing)]
    fitting = exact or [node for node in nodes if wanted <= set(words_of(node.name))]
    return fitting[0] if len(fitting) == 1 else None


_SIMPLE: Final[dict[LineVerdict, Callable[[Connection, KnownNames, HeardEntry], Made]]] = {
    LineVerdict.PLANNED: _planned,
    LineVerdict.SERVICE: _service,
    LineVerdict.STOCK: _stock,
    LineVerdict.FAULT: _fault,
}


def farm_words(store: Store) -> FarmWords:
    """Read what a plain line can name on this farm."""
    with store.reading() as connection:
        known = known_names(connection)
        hitched = {one.header_id: one.combine_id for one in standing(find_all(connection, Hitch))}
        settings = farm_settings(known.settings)
        return FarmWords(
            vocabulary=vocabulary_of(known, hitched, last_machine(connection)),
            fields=tuple((one.id, one.name) for one in known.fields),
            crops=tuple((one.id, one.name) for one in known.crops),
            services=tuple(
                KnownService(one.id, one.machine_id, one.name) for one in known.service_items if one.ended_at is None
            ),
            meters=tuple(KnownMeter(one.id, one.machine_id, one.kind) for one in known.meters),
            readings=lambda meter_id: _readings(store, meter_id),
            parts=_parts(connection, known),
            subsystems={kind.id: kind.subsystem for kind in known.part_kinds},
            is_metric=settings.is_metric,
            people=tuple(dict.fromkeys(filter(None, (store.person, *people_named(connection))))),
            day_first=settings.is_metric,
            currency=settings.currency,
        )


def _readings(store: Store, meter_id: UUID) -> tuple[Shown, ...]:
    with store.reading() as connection:
        return tuple((one.at, one.shown_usage) for one in find_in_order(connection, Reading, "at", meter_id=meter_id))


def _parts(connection: Connection, known: KnownNames) -> tuple[KnownPart, ...]:
    kinds: dict[UUID, set[UUID]] = defaultdict(set)
    for fit in find_all(connection, PartFit):
        kinds[fit.part_id].add(fit.part_kind_id)
    return tuple(
        KnownPart(part.id, part.number, part.name, part.pack_size, frozenset(kinds[part.id]), part.price_minor)
        for part in known.parts
    )
