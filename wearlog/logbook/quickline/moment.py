"""The moment a line means by its days and times, in UTC from the farm's time zone; a moment in words as seen from another."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from wearlog.facts.days import date_said
from wearlog.logbook.quickline.days import EARLIEST_YEAR, ClockSaid, DaySaid, TimeSaid, find_clocks, find_days, find_iso
from wearlog.logbook.quickline.durations import Duration
from wearlog.logbook.quickline.tokens import Scan
from wearlog.logbook.quickline.words import WORDS

_NOON = time(12)

#: no record of a farm is older
_LONGEST_AGO = timedelta(days=60 * 365)


@dataclass(slots=True, eq=False, repr=False)
class Moment:
    """When it happened, in UTC, and which parts of that were taken for granted."""

    at: datetime
    assumed: tuple[str, ...]


def find_times(scan: Scan, now: datetime, *, day_first: bool) -> TimeSaid:
    """Claim every day and time of day in the line."""
    said = TimeSaid()
    find_iso(scan, said)
    find_clocks(scan, said)
    find_days(scan, said, now.date(), day_first=day_first)
    return said


def settle(scan: Scan, said: TimeSaid, ago: tuple[Duration, ...], now: datetime) -> Moment:
    """Return the moment that the pieces give together; blame what contradicts itself or is still to come."""
    present = Moment(now.astimezone(UTC), ("at",))
    for duration in ago:
        if timedelta(seconds=duration.seconds) > _LONGEST_AGO:
            shown = scan.shown(duration.start, duration.stop)
            scan.blame("too_old", f"'{shown} ago' is too long ago.", "Write the date, like 2026-07-28.", duration.start)
            return present
        if duration.in_days:
            said.days.append(DaySaid(duration.start, now.date() - timedelta(seconds=duration.seconds)))
        else:
            said.moments.append((duration.start, now.astimezone(UTC) - timedelta(seconds=duration.seconds)))
    if _says_twice(scan, said):
        return present
    if said.moments:
        index, moment = said.moments[0]
        if not EARLIEST_YEAR < moment.year <= now.year + 1:
            return _out_of_range(scan, index, present, moment.year)
        return _unless_future(scan, index, Moment(moment.astimezone(UTC), ()), now)
    if said.now:
        return replace(present, assumed=())
    if not (said.days or said.clocks or said.day_parts):
        return present
    return _from_pieces(scan, said, now)


def _says_twice(scan: Scan, said: TimeSaid) -> bool:
    """Blame a line that names two times or two days, or a moment and something besides."""
    for pieces, what in (
        ([one.index for one in said.clocks], "times of day"),
        ([one.index for one in said.days], "days"),
        ([index for index, _ in said.day_parts], "parts of the day"),
    ):
        if len(pieces) > 1:
            scan.blame("two_times", f"The line names {len(pieces)} {what}.", "Keep the one when it broke.", max(pieces))
            return True
    whole = [index for index, _ in said.moments] + said.now
    beside = _indexes(said)
    if len(whole) > 1 or (whole and beside):
        scan.blame(
            "two_times", "The line says in two ways when it was.", "Keep the one when it broke.", max(whole + beside)
        )
        return True
    return False


def _indexes(said: TimeSaid) -> list[int]:
    """Return where days, times of day and parts of the day stand."""
    return [
        *(clock.index for clock in said.clocks),
        *(day.index for day in said.days),
        *(index for index, _ in said.day_parts),
    ]


def _from_pieces(scan: Scan, said: TimeSaid, now: datetime) -> Moment:
    """Put a day, a time of day and a part of the day together; what is missing is today, noon, or the middle of that part."""
    index = min(_indexes(said))
    day = said.days[0] if said.days else DaySaid(index, now.date())
    if not EARLIEST_YEAR < day.day.year <= now.year + 1:
        return _out_of_range(scan, index, Moment(now.astimezone(UTC), ("at",)), day.day.year)
    part = said.day_parts[0][1] if said.day_parts else ""
    assumed = ("year",) if day.year_assumed else ()
    if said.clocks:
        if said.days and scan.tokens[said.clocks[0].index].text == "midnight":
            message, hint = "'midnight' can begin or end that day.", "Write 0:00, or 23:59."
            scan.blame("unsure_midnight", message, hint, said.clocks[0].index)
        at_clock = _in_part_of_day(scan, said.clocks[0], part)
        return _unless_future(scan, index, _in_utc(scan, index, day.day, at_clock, now, assumed), now, day)
    begins, usual = next(((first, middle) for name, first, middle in WORDS.day_parts if name == part), (0, 12))
    if day.day == now.date() and now.hour >= begins:
        # of today only the hours until now can be meant
        usual_time = min(time(usual) if part else now.time(), now.time())
        moment = datetime.combine(day.day, usual_time, now.tzinfo).replace(fold=now.fold)
        return Moment(min(moment.astimezone(UTC), now.astimezone(UTC)), (*assumed, "time"))
    moment_then = _in_utc(scan, index, day.day, time(usual) if part else _NOON, now, (*assumed, "time"))
    return _unless_future(scan, index, moment_then, now, day)


def _in_part_of_day(scan: Scan, clock: ClockSaid, part: str) -> time:
    """Move 4:20 to 16:20 when the line says afternoon, evening or night; blame a time outside the part it names."""
    if not part:
        return clock.at
    hour = clock.at.hour
    if clock.on_24 and part in ("afternoon", "evening", "night") and (6 if part == "night" else 1) <= hour < 12:
        hour += 12
    fits = {"morning": hour < 12, "afternoon": 12 <= hour < 19, "evening": hour >= 16, "night": hour >= 18 or hour < 6}
    if not fits[part]:
        message = f"{clock.at:%H:%M} is not in the {part}." if part != "night" else f"{clock.at:%H:%M} is not at night."
        scan.blame("bad_time", message, "Keep the time or the part of the day.", clock.index)
    return clock.at.replace(hour=hour)


def _in_utc(scan: Scan, index: int, day: date, clock: time, now: datetime, assumed: tuple[str, ...]) -> Moment:
    """Return the local time in UTC; blame one that the change of the clocks skips or repeats."""
    wall = datetime.combine(day, clock)
    instants: list[datetime] = []
    for fold in (0, 1):
        instant = wall.replace(tzinfo=now.tzinfo, fold=fold).astimezone(UTC)
        if instant.astimezone(now.tzinfo).replace(tzinfo=None, fold=0) == wall and instant not in instants:
            instants.append(instant)
    shown = f"{clock:%H:%M} on {date_said(day)}"
    if not instants:
        scan.blame(
            "no_such_time", f"There was no {shown}: the clocks went forward.", "Write the time they showed.", index
        )
        return Moment(now.astimezone(UTC), assumed)
    past = [instant for instant in instants if instant <= now]
    if len(past) == 2:
        offsets = _spelled(past, now)
        message = f"There were two times {shown}: the clocks went back."
        scan.blame("twice_that_time", message, f"Write {offsets[0]} or {offsets[1]}.", index)
    return Moment(past[0] if past else instants[0], assumed)


def _spelled(instants: list[datetime], now: datetime) -> list[str]:
    """Return instants as ISO moments with their offsets, to the minute."""
    return [instant.astimezone(now.tzinfo).isoformat(timespec="minutes") for instant in instants]


def _unless_future(scan: Scan, index: int, moment: Moment, now: datetime, day: DaySaid | None = None) -> Moment:
    """Blame a moment that is still to come."""
    if moment.at <= now:
        return moment
    local = moment.at.astimezone(now.tzinfo)
    if local.date() == now.date():
        message = f"{local:%H:%M} today is still to come; it is {now:%H:%M} now."
        hint = f"Write 'yesterday {local:%H:%M}' if it was yesterday."
        if day is not None and day.weekday:
            hint = f"Write 'last {WORDS.weekdays[local.weekday()][0]}' if it was a week ago."
    else:
        clock = "" if "time" in moment.assumed else f" {local:%H:%M}"
        message = f"{date_said(local)}{clock} is still to come; today is {date_said(now)}."
        hint = "Write the year if it was in an earlier one." if day is not None else "Write when it broke."
    scan.blame("future", message, hint, index)
    return Moment(now.astimezone(UTC), moment.assumed)


def _out_of_range(scan: Scan, index: int, present: Moment, year: int) -> Moment:
    """Blame a year that no record of this farm can have."""
    scan.blame("bad_date", f"The year {year} cannot be right.", "Write the year with four digits, like 2026.", index)
    return present


_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August", "September", "October"),
    *("November", "December"),
)


def say_moment(at: datetime, read_at: datetime, local_tz: tzinfo) -> str:
    """Return "today 14:05", "yesterday 16:20", "Tue 28 July 16:20", and the year when it is another one."""
    local, today = at.astimezone(local_tz), read_at.astimezone(local_tz).date()
    clock = f"{local:%H:%M}"
    if local.date() == today:
        return f"today {clock}"
    if local.date() == today - timedelta(days=1):
        return f"yesterday {clock}"
    year = "" if local.year == today.year else f" {local.year}"
    return f"{_WEEKDAYS[local.weekday()]} {local.day} {_MONTHS[local.month - 1]}{year} {clock}"
