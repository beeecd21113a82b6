"""Entering what a machine did: meter readings, runs, stoppages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.work import Run, Stoppage
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
) -> Done:
    """Enter what a meter shows, in seconds or square metres.

    Parameters
    ----------
    replaced : bool
        The meter is a new one: its count begins here and may be lower than the one before.

    Raises
    ------
    RefusedError
        When a reading of the same meter before or after says otherwise.
    """
    return read_meters(store, machine, {kind: shown_usage}, at=at, replaced=replaced, note=note)


def read_meters(
    store: Store,
    machine: Machine,
    shown: Mapping[MeterKind, int],
    *,
    at: datetime,
    replaced: bool = False,
    note: str = "",
) -> Done:
    """Enter what several meters of a machine show at the same time, as one deed. Otherwise as `read_meter`."""
    new: list[Fact] = []
    with store.writing() as connection:
        known = known_names(connection)
        speak = farm_speaker(known)
        for kind, usage in shown.items():
            meter, fresh = _meter(connection, machine, kind)
            reading = Reading(meter_id=meter.id, at=at, shown_usage=usage, new_leg=replaced, note=note)
            _refuse_backwards(
                speak, machine, kind, reading, find_in_order(connection, Reading, "at", meter_id=meter.id)
            )
            new += [meter, reading] if fresh else [reading]
        figures = " and ".join(speak.usage(kind, usage) for kind, usage in shown.items())
        said = f"read {machine.name}: {figures}{' on a new meter' if replaced else ''}"
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


def cut(store: Store, run: Run) -> Done:
    """Enter a run: so much area cut by a combine during a time."""
    with store.writing() as connection:
        combine = find_by_id(connection, Machine, run.combine_id)
        known = known_names(connection)
        said = f"{combine.name} cut {farm_speaker(known).area(run.area_square_metres)}"
        return save(store, connection, said, new=[run], known=known)


def stop(store: Store, stoppage: Stoppage) -> Done:
    """Enter a stoppage."""
    with store.writing() as connection:
        machine = find_by_id(connection, Machine, stoppage.machine_id)
        said = f"{machine.name} stood: {stoppage.reason.value}"
        return save(store, connection, said, new=[stoppage], known=known_names(connection))


def end_stop(store: Store, machine: Machine, *, at: datetime) -> Done:
    """End the open stoppage of a machine. NotFoundError when it is not standing."""
    with store.writing() as connection:
        standing = find_all(connection, Stoppage, machine_id=machine.id, ended_at=None)
        if not standing:
            raise NotFoundError(f"{machine.name} is not standing.", "Enter a whole stoppage with its minutes.")
        ended = [replace(one, ended_at=at) for one in standing]
        return save(store, connection, f"{machine.name} runs again", changed=ended, known=known_names(connection))
