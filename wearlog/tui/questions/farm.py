"""Questions that only look: the yard, a machine, and the names that the command palette finds."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.settings import load_preferences, save_preferences
from wearlog.tui.remembered import Found

#: a copy takes some tenths of a second; the next look at the yard takes more of them
_PACKED_AT_ONCE: Final = 3

if TYPE_CHECKING:
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.facts.machines import Machine
    from wearlog.present.yard.machine_page import MachinePage
    from wearlog.present.yard.yard_glance_page import YardPage
    from wearlog.tui.door import Door, LogState


def yard(door: Door) -> YardPage:
    """Return the yard in words."""
    if (told := door.told_ahead("yard")) is not None:
        return told
    from wearlog.present.yard.yard_page import yard_page
    from wearlog.reckoning.yard.yard_view import yard_view

    with door.log.reading() as connection:
        return yard_page(yard_view(connection, door.farm(connection)))


def glance(door: Door) -> YardPage:
    """Return what the yard can say at once, without reading what every machine has done."""
    if (told := door.told_ahead("glance")) is not None:
        return told
    from wearlog.present.yard.yard_glance_page import yard_glance_page
    from wearlog.reckoning.yard.yard_glance import yard_glance

    with door.log.reading() as connection:
        return yard_glance_page(yard_glance(connection, door.now()))


def guesses(door: Door) -> tuple[str, ...]:
    """Return what the trade supposes of the parts that are fitted, while nothing has broken on this farm yet."""
    from wearlog.facts.plain_text import one_line
    from wearlog.present.digits import Measures
    from wearlog.present.wear.guess_words import guess_line
    from wearlog.reckoning.wear.guessed_kinds import guess_view

    with door.log.reading() as connection:
        view = guess_view(door.farm(connection))
    measures = Measures(view.settings)
    return tuple(one_line(guess_line(one.kind, one.positions, measures)) for one in view.kinds)


def log_state(door: Door) -> LogState:
    """Return what is another after every entry."""
    from wearlog.logbook.open_log import log_state as state_of

    return state_of(door.log)


def make_ready(door: Door) -> bool:
    """Load the modules of the machine screen and of the entry of a breakage, so that opening them takes no time.

    Return whether the log is as the yard told it that was reckoned ahead.
    """
    from importlib import import_module

    from wearlog.collecting import loaded

    for name in (
        "present.yard.machine_page",
        "reckoning.yard.machine_view",
        "logbook.work.entry_start",
        "logbook.parts.breaking",
        # what reads the line of its form: else the first letter typed would wait for it
        "logbook.plain_line",
    ):
        import_module(f"wearlog.{name}")
    loaded()
    return door.is_as_told()


def pack_copies(door: Door) -> None:
    """Now that nobody waits, pack the latest of the copies that are still plain."""
    from wearlog.logbook.open_log import pack_older_copies

    pack_older_copies(door.log, most=_PACKED_AT_ONCE, goes_on=lambda: not door.is_left)


def names(door: Door) -> tuple[Found, ...]:
    """Return everything on the farm that a person may look for by name."""
    from wearlog.logbook.names import known_names, words_of_kind
    from wearlog.reckoning.farm import named_things

    with door.log.reading() as connection:
        known, things = known_names(connection), named_things(connection)
    words = {kind.id: words_of_kind(kind) for kind in known.part_kinds}
    said = {one.id: words[one.part_kind_id] for one in known.components}
    fitted = {one.part_kind_id for one in known.components}
    return (
        *(Found(one.what, one.name, one.row_id, one.machine_id, said.get(one.row_id, ())) for one in things),
        *(Found("kind", one.name, one.id, None, words[one.id]) for one in known.part_kinds if one.id in fitted),
    )


def entry_numbered(door: Door, number: str) -> Found | None:
    """Return the row that has a number, as it is called where it is changed; None where nothing has it, or several have."""
    from wearlog.errors import NotFoundError, UsageError
    from wearlog.exchange.row_book import row_book, sheet_of
    from wearlog.logbook.rows.entering import find_entry

    try:
        with door.log.reading() as connection:
            fact = find_entry(connection, number).fact
    except (NotFoundError, UsageError):
        return None
    if fact is None:
        return None
    sheet = sheet_of(fact)
    called = row_book(door.log, door.farm_now()).called(sheet, fact)
    return Found("entry", called, fact.id, None, sheet=sheet)


def machine(door: Door, machine_id: UUID | None) -> MachinePage | None:
    """Return a machine in words; without an id, or when it is gone, the first one; None when there is none at all."""
    from wearlog.present.yard.machine_page import machine_page
    from wearlog.reckoning.yard.machine_view import machine_view

    with door.log.reading() as connection:
        farm = door.farm(connection)
        ids = [one.id for one in farm.machines]
        if not ids:
            return None
        wanted = machine_id if machine_id in ids else _order(farm.machines)[0]
        return machine_page(machine_view(connection, farm, wanted))


def machine_order(door: Door) -> tuple[UUID, ...]:
    """Return the machines in the order of the yard."""
    with door.log.reading() as connection:
        return _order(door.farm(connection).machines)


def _order(machines: Iterable[Machine]) -> tuple[UUID, ...]:
    from wearlog.facts.closed_lists import MachineKind

    order = list(MachineKind)
    return tuple(one.id for one in sorted(machines, key=lambda one: (order.index(one.kind), one.name)))


def combines(door: Door) -> tuple[Found, ...]:
    """Return the combines, by name."""
    from wearlog.facts.closed_lists import MachineKind
    from wearlog.reckoning.farm import named_machines

    with door.log.reading() as connection:
        found = named_machines(connection, MachineKind.COMBINE)
    return tuple(Found(one.what, one.name, one.row_id, one.machine_id) for one in found)


#: among so many of the latest entries those who entered them are looked for
_LOOKED_AT = 2_000


@dataclass(frozen=True, slots=True)
class SettingsStart:
    """What the settings are now; `device_is_fixed` when the environment names it, `person` is who enters things here.

    `risk` says why the log should not lie where it lies, or nothing.
    """

    settings: FarmSettings
    log_name: str
    device: str
    device_is_fixed: bool
    person: str = ""
    risk: str = ""


def settings_start(door: Door) -> SettingsStart:
    """Read them."""
    from wearlog.logbook.open_log import location_name, location_risk, settings_of

    with door.log.reading() as connection:
        settings = settings_of(connection)
    fixed = bool(os.environ.get("WEARLOG_DEVICE", "").strip())
    name, risk = location_name(door.location_text), location_risk(door.location_text)
    return SettingsStart(settings, name, door.log.device, fixed, door.log.person, risk)


def next_person(door: Door) -> str:
    """Let the next of those who entered things on this log be who enters here, after the last of them nobody; return the name.

    It is remembered on this device. RefusedError where it cannot be, or where nobody was named yet.
    """
    from wearlog.reckoning.files import recent_deeds

    deeds, _ = recent_deeds(door.log, _LOOKED_AT)
    people = sorted({deed.person for deed in deeds if deed.person} | ({door.log.person} - {""}))
    if not people:
        raise RefusedError("Nobody was named on this log yet.", "Name who enters things here under , (settings): Who.")
    order = [*people, ""]
    name = order[(order.index(door.log.person) + 1) % len(order)]
    keep_person(door, name)
    return name


def person_here(door: Door) -> str:
    """Return who enters things on this device; empty where nobody said."""
    return door.log.person


def keep_person(door: Door, name: str) -> None:
    """Let everything that is entered on this device from now on be noted as done by this person."""
    try:
        save_preferences(replace(load_preferences(), person=name))
    except OSError as error:
        raise RefusedError(f"Who enters things here cannot be kept: {error.strerror}.") from error
    door.log.person = name


def settings_said(contents: Mapping[str, str], device: str, person: str | None = None) -> list[str]:
    """Say what is set, before and after it is saved."""
    from wearlog.logbook.deed_sentences import settings_sentence

    said = [settings_sentence(contents)] if contents else []
    if device:
        said.append(f"this device is {device} from now on")
    if person is not None:
        said.append(f"what is entered here is by {person or 'nobody named'} from now on")
    return said


def save_settings(door: Door, contents: Mapping[str, str], device: str, person: str | None = None) -> str:
    """Save the settings of the farm that changed, as one entry, the name of this device and who enters here if they are others."""
    from wearlog.logbook.farm.farm_setting import change_settings

    if device:
        try:
            save_preferences(replace(load_preferences(), device=device))
        except OSError as error:
            raise RefusedError(f"The name of this device cannot be kept: {error.strerror}.") from error
        door.log.device = device
    if person is not None:
        keep_person(door, person)
    if contents:
        change_settings(door.log, contents)
    said = settings_said(contents, device, person)
    if not said:
        return "Nothing was changed."
    return f"Saved: {'; '.join(said)}.{' u undoes.' if contents else ''}"
