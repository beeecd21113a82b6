"""Bringing a notebook into the log: what is sure in one deed, each row once, a corrected row in the place of what it was."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from difflib import SequenceMatcher
from typing import Final
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import OutsideLine
from wearlog.facts.closed_lists import LineState, RepairKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Reading, ServiceDone
from wearlog.facts.parts import StockMove
from wearlog.facts.plain_text import folded
from wearlog.facts.wearing import Breakage, Repair
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.lines.notebook_entries import RowTime, facts_of
from wearlog.logbook.lines.notebook_log import NotebookLog, NotThereError, read_log
from wearlog.logbook.lines.notebook_offers import Made
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.notebook.note_entry import Means, NoteRow
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_many
from wearlog.store.opening import Store

_CHANGED_FROM: Final = 0.75
_MOST_ROUNDS: Final = 20
#: entries that a corrected row may take the place of
_WITHDRAWN: Final = (Breakage, Repair, Reading, Run, StockMove, ServiceDone, Stoppage)


@dataclass(frozen=True, slots=True)
class RowStates:
    """Which rows of a notebook are in the log already, and which are another wording of one that is.

    Attributes
    ----------
    known : frozenset of str
        Digests.
    before : mapping of str to OutsideLine
        By the digest of a row now, the line that it was when it was brought in.
    """

    known: frozenset[str]
    before: Mapping[str, OutsideLine]


@dataclass(frozen=True, slots=True)
class NotebookBrought:
    """What came of it: the entry, the rows that were saved, and why others were left."""

    done: Done | None
    saved: tuple[NoteRow, ...]
    left: tuple[tuple[NoteRow, str], ...]
    told: tuple[str, ...] = ()


def row_states(store: Store, rows: Sequence[NoteRow], source: str) -> RowStates:
    """Say which rows were brought in before, by what stands in them, and which were changed in the notebook since."""
    with store.reading() as connection:
        taken = find_all(connection, OutsideLine, state=LineState.TAKEN)
    digests = {one.digest for one in taken}
    there = {row.digest for row in rows}
    gone = [one for one in taken if one.source == source and one.digest not in there]
    new = [row for row in rows if row.entries and row.digest not in digests] if gone else []
    return RowStates(frozenset(digests & there), _most_alike(new, gone))


def _most_alike(new: Sequence[NoteRow], gone: Sequence[OutsideLine]) -> dict[str, OutsideLine]:
    """Pair rows with lines that are gone, the most alike first: a row further up must not take the line of another."""
    pairs = [
        (likeness, row.digest, line)
        for line in gone
        for row in new
        if (likeness := _likeness(row, line)) >= _CHANGED_FROM
    ]
    before: dict[str, OutsideLine] = {}
    given: set[UUID] = set()
    for _, digest, line in sorted(pairs, key=lambda one: -one[0]):
        if digest not in before and line.id not in given:
            before[digest] = line
            given.add(line.id)
    return before


def _likeness(row: NoteRow, line: OutsideLine) -> float:
    if not line.place.startswith(f"{row.sheet}, "):
        return 0.0
    same_place = 0.2 if line.place == place_of_row(row) else 0.0
    alike = SequenceMatcher(None, folded(row.said), folded(line.said))
    if alike.real_quick_ratio() + same_place < _CHANGED_FROM or alike.quick_ratio() + same_place < _CHANGED_FROM:
        return 0.0
    return alike.ratio() + same_place


def place_of_row(row: NoteRow) -> str:
    """Return where a row stands: "Sheet1, row 17"."""
    return f"{row.sheet}, row {row.row}" + (f", {row.columns}" if row.columns else "")


@dataclass(slots=True, eq=False)
class _Batch:
    """One try to write rows: the facts of each, and what could not be."""

    facts: dict[int, list[Fact]] = field(default_factory=dict)
    left: dict[int, str] = field(default_factory=dict)
    gone: list[Fact] = field(default_factory=list)
    log: NotebookLog | None = None


def bring_in(
    store: Store,
    rows: Sequence[NoteRow],
    source: str,
    now: datetime,
    *,
    may_make: bool = False,
    allowed: Collection[Made] = (),
    new: Sequence[Fact] = (),
    corrected: Collection[str] = (),
    beside: tuple[Sequence[Fact], Sequence[Fact]] = ((), ()),
) -> NotebookBrought:
    """Save the sure rows of a notebook that are not in the log yet, as one deed.

    Parameters
    ----------
    rows : sequence of NoteRow
        All rows, in the order of the notebook.
    now : datetime
        The present time by the farm's clock.
    may_make : bool
        Parts of machines, articles and services that are not there are made.
    allowed : collection of Made
        Those of them that are made in any case.
    new : sequence of Fact
        Machines with their meters, fields, crops and kinds that the rows name and that are made with them.
    corrected : collection of str
        Digests of rows that take the place of what they were when they were brought in.
    beside : pair of sequences of Fact
        What is kept beside the rows in the same deed: new facts and changed ones.
    """
    states = row_states(store, rows, source)
    wanted = {
        place: row
        for place, row in enumerate(rows)
        if row.is_sure
        and row.digest not in states.known
        and (row.digest not in states.before or row.digest in corrected)
    }
    days = _days_around(rows)
    with store.writing() as connection:
        known = known_names(connection)
        batch = _sound_batch(
            connection, known, wanted, days, now, may_make=may_make, allowed=allowed, new=new, states=states
        )
        log = batch.log
        saved = [place for place in wanted if place in batch.facts]
        left = tuple((wanted[place], why) for place, why in batch.left.items())
        if not saved or log is None:
            return NotebookBrought(None, (), left)
        lines = [_line(wanted[place], batch.facts[place], source, now) for place in saved]
        more, changed = beside
        facts = [*log.made, *(one for place in saved for one in batch.facts[place]), *log.fitted, *lines, *more]
        said = f"brought in {len(saved)} rows of {source}"
        done = save(store, connection, said, new=facts, changed=[*log.changed, *changed], gone=batch.gone, known=known)
    return NotebookBrought(done, tuple(wanted[place] for place in saved), left, tuple(log.told))


def _sound_batch(
    connection: Connection,
    known: KnownNames,
    wanted: Mapping[int, NoteRow],
    days: Sequence[date | None],
    now: datetime,
    *,
    may_make: bool,
    allowed: Collection[Made],
    new: Sequence[Fact],
    states: RowStates,
) -> _Batch:
    """Write the rows; those whose facts cannot be believed are left, and the others written anew."""
    refused: dict[int, str] = {}
    for _ in range(_MOST_ROUNDS):
        batch = _write(
            connection, known, wanted, days, now, refused, may_make=may_make, allowed=allowed, new=new, states=states
        )
        assert batch.log is not None
        facts = [*batch.log.made, *batch.log.fitted, *batch.log.changed]
        facts += [one for listed in batch.facts.values() for one in listed]
        findings = unsound(facts, known)
        if not findings:
            return batch
        blamed = {one.fact_id: one.message for one in findings}
        more = {place: blamed[fact.id] for place, listed in batch.facts.items() for fact in listed if fact.id in blamed}
        if not more:
            raise RefusedError(findings[0].message, findings[0].hint)
        refused |= more
    raise RefusedError("Too many rows cannot be believed.", "Look at them with --dry-run.")


def _write(
    connection: Connection,
    known: KnownNames,
    wanted: Mapping[int, NoteRow],
    days: Sequence[date | None],
    now: datetime,
    refused: Mapping[int, str],
    *,
    may_make: bool,
    allowed: Collection[Made],
    new: Sequence[Fact],
    states: RowStates,
) -> _Batch:
    zone = FarmSpeaker(known.farm).zone
    rows = {place: row for place, row in wanted.items() if place not in refused}
    first, most = _first_days(rows, days, now, zone), _most_positions(rows)
    log = read_log(
        connection,
        known,
        may_make=may_make,
        allowed=allowed,
        new=new,
        first_day=first,
        most_positions=most,
        this_year=now.year,
    )
    batch = _Batch(left=dict(refused), log=log)
    shelf = any(Means.PURCHASE in row.means for row in rows.values())
    for place in sorted(rows, key=lambda one: (_day_of(rows[one], days[one]) or date.min, _time_of(rows[one]), one)):
        row = rows[place]
        when = RowTime(zone, now, days[place])
        try:
            gone = _withdrawn(connection, log, states.before.get(row.digest))
            facts = [one for entry in row.entries for one in facts_of(log, entry, when, shelf=shelf)]
        except NotThereError as error:
            log.steps.take_back()
            batch.left[place] = str(error)
            continue
        log.steps.keep()
        batch.gone += gone
        batch.facts[place] = facts
    return batch


def _withdrawn(connection: Connection, log: NotebookLog, line: OutsideLine | None) -> list[Fact]:
    """Return what a corrected row takes back; after a breakage the part that broke is on again, as if nothing had been changed."""
    if line is None:
        return []
    found = [one for kind in _WITHDRAWN for one in find_many(connection, kind, line.row_ids)]
    planned = any(isinstance(one, Repair) and one.kind is RepairKind.PLANNED for one in found)
    if planned or not found or len(found) < len(line.row_ids):
        raise NotThereError(
            f"It was '{line.said}', and parts were changed for it: take that back with 'wearlog undo' first."
        )
    taken_off = [gone for one in found if isinstance(one, Breakage) for gone in log.as_before(one, line.said)]
    return [*found, *taken_off, line]


def _day_of(row: NoteRow, around: date | None) -> date | None:
    return next((one.day for one in row.entries if one.day is not None), around)


def _time_of(row: NoteRow) -> str:
    """What happened in the morning comes before what happened at noon, wherever in the notebook it stands."""
    return min((one.time for one in row.entries if one.time), default="12:00")


def _days_around(rows: Sequence[NoteRow]) -> list[date | None]:
    """Return a day for each row: its own, else the middle between those of the rows around it."""
    own = [_day_of(row, None) for row in rows]
    before: list[date | None] = []
    last: date | None = None
    for day in own:
        last = day or last
        before.append(last)
    following: date | None = None
    found: list[date | None] = [None] * len(rows)
    for place in range(len(rows) - 1, -1, -1):
        following = own[place] or following
        early = before[place]
        if own[place] is not None:
            found[place] = own[place]
        elif early is not None and following is not None and early <= following:
            found[place] = early + timedelta(days=(following - early).days // 2)
        else:
            found[place] = early or following
    return found


def _first_days(
    rows: Mapping[int, NoteRow], days: Sequence[date | None], now: datetime, zone: object
) -> dict[UUID, datetime]:
    """Return when the notebook first tells anything of each machine: the morning of that day."""
    first: dict[UUID, date] = {}
    for place, row in rows.items():
        day = _day_of(row, days[place])
        for entry in row.entries:
            told = date(entry.season, 7, 1) if entry.season is not None and entry.day is None else day
            for machine_id in (entry.machine_id, entry.header_id):
                if machine_id is not None and told is not None:
                    first[machine_id] = min(told, first.get(machine_id, told))
    return {
        machine_id: datetime.combine(day, time(0, 0), zone)  # type: ignore[arg-type]
        for machine_id, day in first.items()
    }


def _most_positions(rows: Mapping[int, NoteRow]) -> dict[tuple[UUID, UUID], int]:
    most: dict[tuple[UUID, UUID], int] = {}
    for row in rows.values():
        for entry in row.entries:
            if entry.machine_id is not None and entry.kind_id is not None and entry.positions:
                key = (entry.machine_id, entry.kind_id)
                most[key] = max(most.get(key, 1), entry.positions[-1])
    return most


def _line(row: NoteRow, facts: Sequence[Fact], source: str, now: datetime) -> OutsideLine:
    return OutsideLine(
        source=source,
        place=place_of_row(row),
        digest=row.digest,
        said=row.said,
        state=LineState.TAKEN,
        at=now.astimezone(UTC),
        row_ids=tuple(one.id for one in facts if not isinstance(one, Machine)),
    )
