"""A plain line as a whole: one line in, everything that it says out, or the one question that stands before it."""

from __future__ import annotations

from datetime import UTC, datetime

from wearlog.errors import DataError
from wearlog.logbook.plain_line.breakages import read_parts
from wearlog.logbook.plain_line.clock_spans import find_clock_span, find_past, stood_in_span, when_of_span
from wearlog.logbook.plain_line.corrections import corrected
from wearlog.logbook.plain_line.doubts import ask_figures
from wearlog.logbook.plain_line.faults import is_fault, read_fault
from wearlog.logbook.plain_line.groups import Group, find_heads, set_bounds
from wearlog.logbook.plain_line.heard import Heard, HeardEntry, LineVerdict
from wearlog.logbook.plain_line.line import Line, Tag, find_marks, find_part, mend_words, name_by_number
from wearlog.logbook.plain_line.machines import every_machine, find_machines, machine_by_id, no_part, said_machines
from wearlog.logbook.plain_line.odd_days import find_dotted, find_odd_days, find_two_days
from wearlog.logbook.plain_line.phrases import FarmWords, Phrases, phrases_of
from wearlog.logbook.plain_line.places import claim_behind, claim_counts, claim_lists, claim_words
from wearlog.logbook.plain_line.readings import is_reading, read_meters
from wearlog.logbook.plain_line.said_by import take_person
from wearlog.logbook.plain_line.services_told import is_service, read_services
from wearlog.logbook.plain_line.spans import TimeSpans, find_spans
from wearlog.logbook.plain_line.spoken import as_figures
from wearlog.logbook.plain_line.stock import is_stock, read_stock
from wearlog.logbook.plain_line.told_apart import on_several, told_apart
from wearlog.logbook.plain_line.verdicts import claim_left, drop_negated, reasons_apart, take_corrections
from wearlog.logbook.plain_line.when import When, begin_when, find_when, settle_when
from wearlog.logbook.plain_line.work_told import is_cut, read_cut
from wearlog.logbook.quickline.tokens import (
    MOST_CHARACTERS,
    MOST_TOKENS,
    Role,
    Scan,
    cut,
    split_remark,
    without_controls,
)
from wearlog.logbook.quickline.vocabulary import KnownMachine

_COMMANDS = ("undo", "take that back", "take it back", "scratch that", "cancel that", "delete that", "forget that")
_ASKED = (
    "how many",
    "how much",
    "what",
    "when",
    "which",
    "who",
    "where",
    "why",
    "how long",
    "how old",
    "do we",
    "is there",
    "are there",
)
_NOTHING = (
    "nothing broke",
    "nothing broken",
    "no breakdowns",
    "no breakages",
    "nothing happened",
    "nothing to report",
    "all good",
    "no problems",
)


def hear(text: str, farm: FarmWords, now: datetime, phrases: Phrases | None = None) -> Heard:
    """Understand one plain line of any sort.

    Parameters
    ----------
    text : str
        What was typed or dictated. Any text is allowed.
    farm : FarmWords
        What the farm has.
    now : datetime
        The present local time, with its time zone.
    phrases : Phrases, optional
        `phrases_of(farm)`, where many lines are read.

    Returns
    -------
    Heard
        What would be saved, or the question that has to be answered first. Nothing is passed over in silence.

    Raises
    ------
    DataError
        When `now` has no time zone.
    """
    if now.tzinfo is None:
        raise DataError("The present time has no time zone.", "Give a time with the zone of the farm.")
    typed = without_controls(text)
    command, remark, problems = split_remark(typed)
    tokens = cut(command, typed.columns)
    if not tokens:
        return _asking("The line says nothing.", "Write what broke, like 3 sections 41-43 rock, 20 min.", now)
    if len(command) > MOST_CHARACTERS or len(tokens) > MOST_TOKENS:
        return _asking(
            "The line is too long to be read as one.", "Write what broke in a few words, and the story behind --.", now
        )
    known = phrases or phrases_of(farm)
    tokens, person = take_person(tokens, farm, known)
    tokens = corrected(as_figures(tokens))
    if not tokens:
        return _asking("The line says nothing.", "Write what broke, like 3 sections 41-43 rock, 20 min.", now)
    scan = Scan(command, tokens, [None] * len(tokens), [])
    line = Line(scan, farm, known, now, remark=remark, person=person)
    for problem in problems:
        line.ask(problem.message, problem.hint)
    return _read(line)


def _read(line: Line) -> Heard:
    talk = _no_entry(line)
    if talk is not None:
        return _asking(*talk, line.now)
    said = begin_when(line)
    find_dotted(line, said)
    mend_words(line)
    find_part(line)
    find_marks(line)
    name_by_number(line)
    find_machines(line)
    find_two_days(line)
    line.many = every_machine(line)
    take_corrections(line)
    reasons_apart(line)
    denied = drop_negated(line)
    groups = find_heads(line)
    claim_words(line, groups)
    claim_behind(line, groups)
    clocks = find_clock_span(line, groups)
    past = find_past(line, groups, said)
    claim_lists(line, groups)
    claim_left(line)
    assumed: list[str] = []
    spans = find_spans(line)
    guessed = [*past, *find_odd_days(line, said), *find_when(line, said)]
    line.marks[:] = [
        mark
        for mark in line.marks
        if mark.tag is not Tag.SAID or line.scan.roles[mark.start] in (Role.SENSE, Role.REASON)
    ]
    when = settle_when(line, said, tuple(spans.ago), guessed)
    span = None
    if clocks is not None:
        when, span = when_of_span(line, clocks, when)
        if groups:
            stood_in_span(line, spans, clocks)
    claim_counts(line, groups)
    groups = set_bounds(line, told_apart(line, groups))
    verdict, entries = _sorted_out(line, groups, spans, when, span, assumed)
    if line.tokens[-1].text in ("not", "never", "no", "didnt", "wasnt") and not line.asks:
        line.ask(f"What does '{line.tokens[-1].shown}' belong to?", "Write what happened, or leave it out.")
    if denied and verdict is LineVerdict.ENTRY and not any(group.marks for group in groups):
        line.ask(f"The line says '{denied[0]}': what happened then?", "Write only what happened.")
    who = ["person"] if line.person else []
    return _heard(line, verdict, entries, [*assumed, *when.assumed, *who], when)


def _no_entry(line: Line) -> tuple[str, str] | None:
    """Return what to say of a line that is no entry: a command, or something asked."""
    if line.has(*_NOTHING):
        return "Nothing broke, so there is nothing to save.", "Write what was done, if anything was."
    if any(line.find(words) == 0 for words in _COMMANDS) or (line.has("undo") and len(line.tokens) < 4):
        return "That is a command and not an entry.", "'wearlog undo' takes the last entry back."
    if any(line.find(words) == 0 for words in _ASKED) or (line.tokens and line.tokens[-1].text == "?"):
        return "That asks something, and is no entry.", "'wearlog stock', 'wearlog wear' and 'wearlog history' answer."
    return None


def _sorted_out(
    line: Line,
    groups: list[Group],
    spans: TimeSpans,
    when: When,
    span: tuple[datetime, datetime] | None,
    assumed: list[str],
) -> tuple[LineVerdict, list[HeardEntry]]:
    """Say what sort of line it is, and read it as that."""
    named = bool(said_machines(line)) or any(mark.phrase.generic for mark in line.of(Tag.MACHINE))
    if is_fault(line, groups):
        return LineVerdict.FAULT, read_fault(line, when, assumed)
    if is_stock(line, groups, named=named):
        return LineVerdict.STOCK, read_stock(line, groups, when, assumed)
    if is_service(line) and not _part_told(line, groups):
        return LineVerdict.SERVICE, read_services(line, spans, when, assumed)
    if groups:
        line.many = line.many or on_several(line, groups)
        parts = read_parts(line, groups, spans, when)
        assumed.extend(parts.assumed)
        if not line.asks:
            ask_figures(line, parts.entries)
        return parts.entries[0].what if parts.entries else LineVerdict.ENTRY, parts.entries
    if is_cut(line):
        return LineVerdict.CUT, read_cut(line, spans, when, span, assumed)
    if spans.stood is not None or line.has("stood", "waiting", "waited", "rained out", "down for"):
        line.ask("Why did it stand, and what broke?", "Name the part, or enter it with 'wearlog stop'.")
        return LineVerdict.QUESTION, _what_is_sure(line, spans, when)
    if spans.labour is not None:
        line.ask("Work on what? No part or service is named.", "Work without a part is 'wearlog add repair'.")
        return LineVerdict.QUESTION, _what_is_sure(line, spans, when)
    if is_reading(line, named=named):
        return LineVerdict.READING, read_meters(line, when, assumed)
    line.ask(*no_part(line))
    return LineVerdict.QUESTION, _what_is_sure(line, spans, when)


def _part_told(line: Line, groups: list[Group]) -> bool:
    """Say whether a part of the machine named is what the line is about, and the service beside it a word of it."""
    named = {one for mark in said_machines(line) for one in mark.phrase.machines}
    for group in groups:
        fitted = {
            m.id for m in line.farm.vocabulary.machines for part in m.components if part.kind_id in group.mark.kinds
        }
        here = fitted & named if named else fitted
        told = [mark.phrase.said for mark in group.marks if mark.phrase.said is not None]
        if here and (
            group.spots
            or group.every
            or any(one.mode or one.new or one.cause or one.action or one.usual for one in told)
        ):
            return True
    return False


def _what_is_sure(line: Line, spans: TimeSpans, when: When) -> list[HeardEntry]:
    machine = _one_machine(line)
    causes = [
        mark.phrase.said.cause for mark in line.of(Tag.SAID) if mark.phrase.said is not None and mark.phrase.said.cause
    ]
    return [
        HeardEntry(
            what=LineVerdict.QUESTION,
            machine=machine,
            cause=causes[0] if causes else None,
            at=when.at,
            stood_seconds=spans.stood if spans.stood is not None else spans.lone,
            labour_seconds=spans.labour,
        )
    ]


def _one_machine(line: Line) -> KnownMachine | None:
    named = list(dict.fromkeys(one for mark in said_machines(line) for one in mark.phrase.machines))
    return machine_by_id(line, named[0]) if len(named) == 1 else None


def _heard(line: Line, verdict: LineVerdict, entries: list[HeardEntry], assumed: list[str], when: When) -> Heard:
    question, hint = line.asks[0] if line.asks else ("", "")
    return Heard(
        verdict=LineVerdict.QUESTION if question else verdict,
        entries=tuple(entries),
        assumed=tuple(dict.fromkeys(assumed)),
        corrected=tuple(dict.fromkeys(line.corrected)),
        question=question,
        hint=hint,
        person=line.person,
        dated=when.dated,
        timed=when.timed,
        read_at=line.now.astimezone(UTC),
    )


def _asking(message: str, hint: str, now: datetime) -> Heard:
    return Heard(verdict=LineVerdict.QUESTION, entries=(), question=message, hint=hint, read_at=now.astimezone(UTC))
