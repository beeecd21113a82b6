"""Services as a calendar file (RFC 5545): an event of a whole day for each that has a day, to be shown on a phone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.exchange.order_files import whole_file
from wearlog.facts.plain_text import one_line
from wearlog.present.digits import Measures
from wearlog.present.work.service_sheet import due_sentence
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue

if TYPE_CHECKING:
    from icalendar import Event

_ENDING: Final = ".ics"


@dataclass(frozen=True, slots=True)
class CalendarWritten:
    """The file, how many services stand in it, and how many have no day: they go by the meter alone and are not due yet."""

    file: Path
    events: int
    without_day: int


def write_calendar(
    services: Sequence[ServiceDue], names: Mapping[UUID, str], now: datetime, measures: Measures, file: Path
) -> CalendarWritten:
    """Write the services that have a day; what is overdue stands on today.

    Parameters
    ----------
    names : mapping of UUID to str
        Of the machines.
    now : datetime
        The moment that the services are told for.

    Raises
    ------
    RefusedError
        When the name does not end in .ics, or the file cannot be written.

    Notes
    -----
    A service keeps its event from file to file (its UID), so that a calendar moves it and does not double it.
    """
    from icalendar import Calendar

    file = Path(file)
    if file.suffix.casefold() != _ENDING:
        raise RefusedError(f"{file.name} is not the name of a calendar.", "Let it end in .ics.")
    calendar = Calendar()
    calendar.add("prodid", "-//wearlog//services//EN")
    calendar.add("version", "2.0")
    today = measures.settings.local(now).date()
    dated = [(one, day) for one in services if (day := _day(one, today)) is not None]
    for one, day in dated:
        calendar.add_component(_event(one, day, names, now, measures))
    with whole_file(file) as part:
        part.write_bytes(calendar.to_ical())
    return CalendarWritten(file, len(dated), len(services) - len(dated))


def _day(one: ServiceDue, today: date) -> date | None:
    """The day it is due; today for what is overdue, however it came to be."""
    return today if one.standing is DueStanding.OVERDUE else one.due_on


def _event(one: ServiceDue, day: date, names: Mapping[UUID, str], now: datetime, measures: Measures) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", f"{one.item.id}@wearlog")
    event.add("dtstamp", now.astimezone(UTC))
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    event.add("summary", one_line(f"{names.get(one.machine_id, '')}: {one.item.name}"))
    event.add("description", due_sentence(one, names, measures))
    event.add("transp", "TRANSPARENT")
    return event
