"""Entering what a machine did: meter readings, runs, stoppages."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.counted_header import counted_header
from wearlog.logbook.deed_sentences import again_sentence, reading_sentence, run_sentence, stoppage_sentence
from wearlog.logbook.doubts import NO_DOUBT_SETTLED, Doubt, DoubtError, fast_pairs
from wearlog.logbook.names import known_names
from wearlog.logbook.said_measures import FarmSpeaker, farm_speaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_in_order
from wearlog.store.opening import Store


def read_meter(
    store: Store,
    machine: Machine,
    kind: MeterKind,
    shown_usage: int,
    *,
    at: datetime,
    replaced: bool = False,
    note: str = "",
    sure: Collection[str] = NO_DOUBT_SETTLED,
) -> Done:
    """Enter what a meter shows, in seconds or square metres.

    Parameters
    ----------
    replaced : bool
        The meter is a new one: its count begins here and may be lower than the one before.
    sure : collection of Doubt
        What a person was asked about already.

    Raises
    ------
    RefusedError
        When a reading of the same meter before or after says otherwise.
    DoubtError
        When the meter would have gained more than a machine can work day and night.
    """
    return read_meters(store, machine, {kind: shown_usage}, at=at, replaced=replaced, note=note, sure=sure)


def read_meters(
    store: Store,
    machine: Machine,
    shown: Mapping[MeterKind, int],
    *,
    at: datetime,
    replaced: bool = False,
    note: str = "",
    sure: Collection[str] = NO_DOUBT_SETTLED,
) -> Done:
    """Enter what several meters of a machine show at the same time, as one deed. Otherwise as `read_meter`."""
    new: list[Fact] = []
    with store.writing() as connection:
        known = known_names(connection)
        speak = farm_speaker(known)
        for kind, usage in shown.items():
            meter, fresh = _meter(connection, machine, kind)
            reading = Reading(meter_id=meter.id, at=at, shown_usage=usage, new_leg=replaced, note=note)
            others = find_in_order(connection, Reading, "at", meter_id=meter.id)
            _refuse_backwards(speak, machine, kind, reading, others)
            if Doubt.FAST_METER not in sure:
                _ask_if_fast(speak, machine, kind, reading, others)
            new += [meter, reading] if fresh else [reading]
        said = reading_sentence(speak, machine.name, shown, at, replaced=replaced)
        return save(store, connection, said, new=new, known=known)


def _meter(connection: Connection, machine: Machine, kind: MeterKind) -> tuple[Meter, bool]:
    found = find_all(connection, Meter, machine_id=machine.id, kind=kind)
    return (found[0], False) if found else (Meter(machine_id=machine.id, kind=kind), True)


def _refuse_backwards(
    speak: FarmSpeaker, machine: Machine, kind: MeterKind, reading: Reading, others: list[Reading]
) -> None:
    before = [other for other in others if other.at <= reading.at]
    after = [other for other in others if other.at > reading.at]
    if before and not reading.new_leg and before[-1].shown_usage > reading.shown_usage:
        raise RefusedError(
            f"{machine.name} showed {speak.usage(kind, before[-1].shown_usage)} on {speak.day(before[-1].at)}; "
            f"{speak.usage(kind, reading.shown_usage)} would run backwards.",
            "Check the figure; if the meter is a new one, say so.",
        )
    if after and not after[0].new_leg and after[0].shown_usage < reading.shown_usage:
        raise RefusedError(
            f"{machine.name} showed only {speak.usage(kind, after[0].shown_usage)} later, on {speak.day(after[0].at)}.",
            "Check the figure and the time.",
        )


def _ask_if_fast(
    speak: FarmSpeaker, machine: Machine, kind: MeterKind, reading: Reading, others: Sequence[Reading]
) -> None:
    """Raise DoubtError where the meter would have outrun the clock since the reading before, or until the one after."""
    for earlier, later in fast_pairs(kind, [*others, reading]):
        if reading.id in (earlier.id, later.id):
            other = later if earlier.id == reading.id else earlier
            gained = speak.usage(kind, later.shown_usage - earlier.shown_usage)
            between = (later.at - earlier.at).total_seconds() / 3600
            raise DoubtError(
                Doubt.FAST_METER,
                f"{machine.name} showed {speak.usage(kind, other.shown_usage)} on {speak.moment(other.at)}; "
                f"{speak.usage(kind, reading.shown_usage)} would be {gained} in {between:,.1f} h.",
                f"Does the meter show {speak.usage(kind, reading.shown_usage)}?",
                "Look at the figure and the time; add --yes if the meter shows it, --replaced if it is a new one.",
            )


def cut(store: Store, run: Run, *, sure: Collection[str] = NO_DOUBT_SETTLED) -> Done:
    """Enter a run: so much area cut by a combine during a time. The sentence names the header it is counted for.

    Parameters
    ----------
    sure : collection of Doubt
        What a person was asked about already.

    Raises
    ------
    DoubtError
        When the log knows headers, but none that was on this combine.
    """
    with store.writing() as connection:
        known = known_names(connection)
        combine = find_by_id(connection, Machine, run.combine_id)
        counted = counted_header(run, find_all(connection, Hitch), known, sure)
        names = {one.id: one.name for one in known.fields} | {one.id: one.name for one in known.crops}
        said = run_sentence(
            farm_speaker(known),
            run,
            combine=combine.name,
            field=names.get(run.field_id, "") if run.field_id else "",
            crop=names.get(run.crop_id, "") if run.crop_id else "",
            header=counted.said,
        )
        return save(store, connection, said, new=[counted.run], known=known, also=counted.also)


def stop(store: Store, stoppage: Stoppage) -> Done:
    """Enter a stoppage."""
    with store.writing() as connection:
        machine = find_by_id(connection, Machine, stoppage.machine_id)
        known = known_names(connection)
        said = stoppage_sentence(farm_speaker(known), machine.name, stoppage)
        return save(store, connection, said, new=[stoppage], known=known)


def end_stop(store: Store, machine: Machine, *, at: datetime) -> Done:
    """End the open stoppage of a machine. NotFoundError when it is not standing."""
    with store.writing() as connection:
        standing = find_all(connection, Stoppage, machine_id=machine.id, ended_at=None)
        if not standing:
            raise NotFoundError(f"{machine.name} is not standing.", "Enter a whole stoppage with its minutes.")
        ended = [replace(one, ended_at=at) for one in standing]
        known = known_names(connection)
        said = again_sentence(farm_speaker(known), machine.name, at)
        return save(store, connection, said, changed=ended, known=known)
