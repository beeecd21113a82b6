"""The quick line as a whole: one plain line in, one understanding out. No text makes it fail; what it cannot settle it asks.

Of words for cause, mode and action the firmer wins; two equally firm ones that differ are a question.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.quickline.counts import find_counts, settle_positions
from wearlog.logbook.quickline.durations import find_durations
from wearlog.logbook.quickline.lexicon import blame_unknown, build, find_phrases, usual_mode
from wearlog.logbook.quickline.moment import find_times, settle
from wearlog.logbook.quickline.tokens import (
    MOST_CHARACTERS,
    MOST_TOKENS,
    Problem,
    Role,
    Scan,
    SenseMention,
    Typed,
    Understanding,
    cut,
    split_remark,
    without_controls,
    words_of,
)
from wearlog.logbook.quickline.vocabulary import Vocabulary
from wearlog.logbook.quickline.whereabouts import find_places_and_machines, locate, place_words


def understand(line: str, vocabulary: Vocabulary, now: datetime, *, day_first: bool = False) -> Understanding:
    """Understand one line about a breakage.

    Parameters
    ----------
    line : str
        What was typed, in any order: "3 sections 41-43 rock, 20 min". Any text is allowed.
    vocabulary : Vocabulary
        What the farm has.
    now : datetime
        The present local time, with its time zone: times in the line are read in that zone.
    day_first : bool
        Read 7/8 as the 7th of August instead of the 8th of July.

    Returns
    -------
    Understanding
        Complete when it has no problems. Nothing that was typed is passed over in silence.

    Raises
    ------
    DataError
        When `now` has no time zone.

    Examples
    --------
    >>> from datetime import UTC
    >>> from uuid import UUID
    >>> from wearlog.facts.closed_lists import MachineKind
    >>> from wearlog.logbook.quickline import KnownComponent, KnownMachine
    >>> knife = KnownComponent(UUID(int=2), UUID(int=3), "knife section", ("section",), "cutterbar", 160)
    >>> farm = Vocabulary((KnownMachine(UUID(int=1), "North", MachineKind.HEADER, (knife,), None),))
    >>> heard = understand("3 sections 41-43 rock, 20 min", farm, datetime(2026, 7, 28, 14, 5, tzinfo=UTC))
    >>> heard.positions, heard.cause.value, heard.downtime_seconds
    ((41, 42, 43), 'impact', 1200)
    """
    if now.tzinfo is None:
        raise DataError("The present time has no time zone.", "Give a time with the zone of the farm.")
    typed = without_controls(line)
    command, note, problems = split_remark(typed)
    if not command.strip():
        hint = "Write what broke, like 3 sections 41-43 rock, 20 min."
        return _nothing(now, note, (*problems, Problem("empty", "The line says nothing.", hint, 1)))
    if len(command.rstrip()) > MOST_CHARACTERS:
        return _nothing(now, note, (*problems, _too_long()))
    tokens = cut(command, typed.columns)
    if len(tokens) > MOST_TOKENS:
        return _nothing(now, note, (*problems, _too_long()))
    scan = Scan(command, tokens, [None] * len(tokens), list(problems))
    return _read(scan, typed, vocabulary, now, note, day_first=day_first)


def _read(
    scan: Scan, typed: Typed, vocabulary: Vocabulary, now: datetime, note: str, *, day_first: bool
) -> Understanding:
    """Let each reader claim its tokens, the surest first, and put together what they found."""
    lexicon = build(vocabulary)
    find_phrases(scan, lexicon)
    said = find_times(scan, now, day_first=day_first)
    durations = find_durations(scan)
    places = find_places_and_machines(scan, vocabulary)
    counted = find_counts(scan)
    moment = settle(scan, said, durations.ago, now)
    where = locate(scan, vocabulary, places)
    component = where.pair[1] if where.pair is not None else None
    positions = settle_positions(scan, counted, where.machine, component)
    verdict = weigh(scan, where.kind)
    blame_unknown(scan, lexicon, _names(vocabulary))
    _drop_consequences(scan)
    assumed = ("machine",) if where.machine_assumed and where.machine is not None else ()
    return Understanding(
        machine=where.machine,
        component=component,
        positions=positions,
        cause=verdict.cause,
        mode=verdict.mode,
        action=verdict.action,
        downtime_seconds=durations.downtime_seconds,
        labour_seconds=durations.labour_seconds,
        at=moment.at,
        read_at=now.astimezone(UTC),
        note="; ".join(part for part in (_reason(scan, typed), note) if part),
        assumed=(*assumed, *verdict.assumed, *moment.assumed),
        problems=tuple(sorted(scan.problems, key=lambda problem: problem.column)),
    )


def _drop_consequences(scan: Scan) -> None:
    """Drop what a misspelt part alone may have caused: with the word put right, its number has a part to belong to."""
    if not scan.kinds and any(problem.code == "unknown_word" for problem in scan.problems):
        scan.problems = [problem for problem in scan.problems if problem.code not in ("no_part", "bare_number")]


def _names(vocabulary: Vocabulary) -> frozenset[str]:
    """Return the words of machines and places."""
    found: set[str] = set()
    for machine in vocabulary.machines:
        found.update((*words_of(machine.name), machine.kind.value))
        found.update(word for component in machine.components for word in place_words(component))
    return frozenset(found)


def _reason(scan: Scan, typed: Typed) -> str:
    """Return "because of the bearing" word for word: no fact has a place for it, so the note keeps it."""
    indexes = [index for index, role in enumerate(scan.roles) if role is Role.REASON]
    return typed.text[scan.tokens[indexes[0]].start : scan.tokens[indexes[-1]].stop] if indexes else ""


def _too_long() -> Problem:
    message = f"The line is longer than {MOST_CHARACTERS} characters or {MOST_TOKENS} words."
    return Problem("too_long", message, "Write what broke in a few words and put the story behind --.", 1)


def _nothing(now: datetime, note: str, problems: tuple[Problem, ...]) -> Understanding:
    """Return an understanding of a line that was not read."""
    return Understanding(
        machine=None,
        component=None,
        positions=(),
        cause=Cause.UNKNOWN,
        mode=Mode.BROKEN,
        action=Action.REPLACED,
        downtime_seconds=None,
        labour_seconds=None,
        at=now.astimezone(UTC),
        read_at=now.astimezone(UTC),
        note=note,
        assumed=("cause", "mode", "action", "at"),
        problems=problems,
    )


@dataclass(slots=True, eq=False, repr=False)
class SensedBreakage:
    """Cause, mode and action, and which of them were taken for granted."""

    cause: Cause
    mode: Mode
    action: Action
    assumed: tuple[str, ...]


def weigh(scan: Scan, kind: str) -> SensedBreakage:
    """Return what the words of the line say together; `kind` is the name of the kind that broke, or empty."""
    mentions = sorted(scan.senses, key=lambda mention: mention.start)
    causes = [one for one in mentions if one.sense.cause is not None]
    modes = [one for one in mentions if one.sense.mode is not None]
    actions = [one for one in mentions if one.sense.action is not None]
    weights = [one.sense.cause_weight for one in causes], [one.sense.mode_weight for one in modes]
    firm_causes = [one for one in causes if one.sense.cause_weight == max(weights[0])]
    firm_modes = [one for one in modes if one.sense.mode_weight == max(weights[1])]
    _agree(scan, [(one, one.sense.cause) for one in firm_causes], "cause", "Keep the one that came first.")
    _agree(scan, [(one, one.sense.mode) for one in firm_modes], "mode", "Keep the worse one.")
    _agree(scan, [(one, one.sense.action) for one in actions], "action", "Log what was done last.")
    cause = firm_causes[0].sense.cause if firm_causes else None
    mode = firm_modes[0].sense.mode if firm_modes else None
    action = actions[0].sense.action if actions else None
    said = (("cause", cause), ("mode", mode), ("action", action))
    return SensedBreakage(
        cause=cause or Cause.UNKNOWN,
        mode=mode or usual_mode(kind),
        action=action or Action.REPLACED,
        assumed=tuple(name for name, choice in said if choice is None),
    )


def _agree(scan: Scan, voices: Sequence[tuple[SenseMention, object]], what: str, hint: str) -> None:
    """Blame equally firm words that choose differently."""
    if not voices:
        return
    first, choice = voices[0]
    other = next((mention for mention, another in voices if another is not choice), None)
    if other is not None:
        shown = f"'{scan.shown(first.start, first.stop)}' and '{scan.shown(other.start, other.stop)}'"
        scan.blame(f"two_{what}s", f"The line names two {what}s: {shown}.", hint, other.start)
