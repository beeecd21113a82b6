"""Parts that broke and parts that were put on: every part of a line as an entry, or the question that stands before it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.plain_line.doubts import ask_of_line, only_looked_at, tended
from wearlog.logbook.plain_line.groups import Group, settle
from wearlog.logbook.plain_line.heard import HeardEntry, LineVerdict
from wearlog.logbook.plain_line.line import Line, PhraseMark, note_of
from wearlog.logbook.plain_line.machines import Where, locate, machines_of
from wearlog.logbook.plain_line.phrases import Phrase
from wearlog.logbook.plain_line.readings import figures_of
from wearlog.logbook.plain_line.said_table import Said
from wearlog.logbook.plain_line.spans import TimeSpans, stood_and_labour
from wearlog.logbook.plain_line.verdicts import happened, mode_of, share, unclear_word
from wearlog.logbook.plain_line.when import When
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine

#: so many positions at once without a reason are winter work
_MANY: Final = 10


@dataclass(slots=True, eq=False)
class Parts:
    """The parts of a line as entries, with what is taken for granted."""

    entries: list[HeardEntry]
    assumed: list[str]


def read_parts(line: Line, groups: list[Group], spans: TimeSpans, when: When) -> Parts:
    """Return an entry for each part of the line; asks about what is open."""
    many = line.many
    marks = {index: list(group.marks) for index, group in enumerate(groups)}
    share(groups, marks)
    for index, group in enumerate(groups):
        marks[index] = [_left_in(line, mark, group) for mark in marks[index]]
    marks[0] = _of_part(line, groups[0], marks[0])
    parts = Parts([], [])
    ask_of_line(line, groups)
    for index, group in enumerate(groups):
        place = line.scan.shown(group.mark.start, group.mark.stop)
        result = happened(line, marks[index], place=place)
        if result.fine and result.mode is None and result.cause is None and result.action is None and len(groups) > 1:
            continue
        for machine in many or (None,):
            entry = _entry(line, group, groups, result, spans, when, parts.assumed, machine)
            if entry is not None:
                parts.entries.append(entry)
    _merge_same(parts)
    _work_once(line, parts, each=spans.each)
    _ask_of_standing(line, parts, each=spans.each)
    _add_fine(line, groups, parts)
    return parts


def _left_in(line: Line, mark: PhraseMark, group: Group) -> PhraseMark:
    """Return "ok" right behind what happened as what was left in: "bent but ok"; of a word between it says something else."""
    said = mark.phrase.said
    modes = {one.stop for one in group.marks if one.phrase.said is not None and one.phrase.said.mode}
    acted = any(one.phrase.said is not None and one.phrase.said.action for one in group.marks)
    at = mark.start
    while line.text(at - 1) in ("but", "still", "is", "it", "runs", "tested", ","):
        at -= 1
    if said is None or not said.fine or acted or at not in modes:
        return mark
    return replace(mark, phrase=Phrase(said=Said(action=Action.LEFT)))


def _of_part(line: Line, group: Group, marks: list[PhraseMark]) -> list[PhraseMark]:
    """Return the marks without the mode of something else: "knife jammed, section 14 broke"."""
    modes = [mark for mark in marks if mark.phrase.said is not None and mark.phrase.said.mode]
    if not any(mark.start >= group.mark.stop for mark in modes):
        return marks
    return [
        mark
        for mark in marks
        if mark not in modes
        or mark.start >= group.mark.start
        or not any(line.scan.sign(at, ",;.") for at in range(mark.stop, group.mark.start))
    ]


def _entry(
    line: Line,
    group: Group,
    groups: list[Group],
    result: Said,
    spans: TimeSpans,
    when: When,
    assumed: list[str],
    machine: KnownMachine | None,
) -> HeardEntry | None:
    where = _on(line, group, machine) if machine is not None else locate(line, group, groups)
    note = _note(line, group, groups)
    if where is None:
        named = machines_of(line, group, groups)
        owner = (
            next((one for one in line.farm.vocabulary.machines if one.id in named), None) if len(named) == 1 else None
        )
        kind = _open_kind(line, group)
        return HeardEntry(
            what=LineVerdict.ENTRY,
            machine=owner,
            kind=kind,
            cause=result.cause,
            mode=result.mode,
            at=when.at,
            note=note,
        )
    owner, part = where.pair
    if where.assumed:
        assumed.append("machine")
    positions, guessed = _positions(line, group, where, result)
    if guessed:
        assumed.append("positions")
    what = _verdict(line, group, result, positions, part.positions, spans, when)
    stood, labour, told = stood_and_labour(line, spans, at_work=what is LineVerdict.PLANNED)
    assumed.extend(told)
    entry = HeardEntry(
        what=what,
        machine=owner,
        component=part,
        kind=part.kind,
        positions=positions,
        at=when.at,
        stood_seconds=stood,
        labour_seconds=labour,
        note=note,
        part_id=_part(line, part),
        amount=_amount(line),
    )
    return (
        _planned(entry, result) if what is LineVerdict.PLANNED else _broke(entry, result, assumed, tended=tended(line))
    )


def _amount(line: Line) -> str:
    """Return the part's number or the price that the line names."""
    if line.part is not None:
        return line.part.number
    return next((line.scan.shown(one.start, one.stop) for one in figures_of(line) if one.unit == "money"), "")


def _part(line: Line, component: KnownComponent) -> UUID | None:
    """Return the part whose number the line names, where it fits."""
    return line.part.id if line.part is not None and component.kind_id in line.part.kind_ids else None


def _open_kind(line: Line, group: Group) -> str:
    return line.phrases.names[next(iter(group.mark.kinds))] if len(group.mark.kinds) == 1 else ""


def _on(line: Line, group: Group, machine: KnownMachine) -> Where | None:
    part = next((one for one in machine.components if one.kind_id in group.mark.kinds), None)
    if part is None:
        line.ask(
            f"{machine.name} has no {line.scan.shown(group.mark.start, group.mark.stop)}.",
            "Name the machines that have one.",
        )
        return None
    return Where((machine, part))


def _positions(line: Line, group: Group, where: Where, result: Said) -> tuple[tuple[int, ...], bool]:
    machine, part = where.pair
    whole = line.has("full set", "complete set", "whole set", "set of")
    if whole and not group.spots:
        group.every = True
    renewed = result.new and result.mode is None and result.cause is None
    if (
        renewed
        and not group.spots
        and group.count is None
        and not group.every
        and part.positions <= 4
        and group.mark.phrase.plural
    ):
        return tuple(range(1, part.positions + 1)), part.positions > 1
    if part.positions == 2 and group.mark.phrase.plural and not (group.spots or group.count or group.side):
        # "batteries dead" of two are both
        return (1, 2), True
    if part.positions == 1:
        numbers = [number for spot in group.spots for number in spot.numbers]
        beyond = next((one for one in numbers if one.last > 1 or one.first < 1), None)
        if beyond is not None and not _counts_other(line, beyond.stop):
            line.ask(f"{machine.name} has one {part.kind}; there is no {beyond.last}.", "Leave the position out.")
        if group.count is not None and group.count > 1:
            line.ask(f"You wrote {group.count}, but {machine.name} has one {part.kind}.", "Name the part that it was.")
    return settle(line, group, machine, part)


def _counts_other(line: Line, at: int) -> bool:
    """Say whether a noun behind the figure shows that it counts something else: "2 links out"."""
    return bool(line.scan.word(at)) or line.text(at) in ("links", "link")


def _verdict(
    line: Line, group: Group, result: Said, positions: tuple[int, ...], most: int, spans: TimeSpans, when: When
) -> LineVerdict:
    """Say whether a part broke or was put on as planned; asks where the line could mean both."""
    if result.planned and result.action is Action.REPLACED and result.mode is Mode.WORN:
        # worn out and changed out of the season: it stood no machine
        return LineVerdict.PLANNED
    unclear = unclear_word(line)
    if unclear == "did it" and not result.watched:
        # what broke is replaced unless somebody says otherwise; of a noise nobody can know
        unclear = ""
    if unclear not in ("", "done", "fix") and result.action is None and (result.mode or result.cause):
        name = line.scan.shown(group.mark.start, group.mark.stop)
        line.ask(f"'{unclear}' can mean a new {name} or the same one mended.", "Write 'replaced' or 'mended'.")
    if result.cause is Cause.LOOSE and only_looked_at(line, result):
        _ask_what_happened(line, group, result, spans, when)
    if (
        (result.mode is not None and not (result.soft and result.planned))
        or result.usual
        or (result.cause is not None and result.cause is not Cause.WEAR)
    ):
        return LineVerdict.ENTRY
    whole = most > 1 and (len(positions) == most or group.every or len(positions) >= _MANY)
    if result.planned and result.cause is None and result.action is None and (whole or line.has("got")):
        return LineVerdict.PLANNED
    if result.planned and result.action is None and result.cause is None:
        name = line.scan.shown(group.mark.start, group.mark.stop)
        line.ask(f"Is it a new {name}, or the same one mended?", "Write 'new', 'replaced' or 'mended'.")
        return LineVerdict.PLANNED
    if result.cause is not None or result.action not in (Action.REPLACED, Action.MENDED):
        _ask_what_happened(line, group, result, spans, when)
        return LineVerdict.ENTRY
    if result.planned:
        return LineVerdict.PLANNED
    if result.action is Action.MENDED:
        return LineVerdict.ENTRY
    if result.new or whole:
        return LineVerdict.PLANNED
    if most == 1 and spans.lone is None and spans.stood is None:
        name = line.scan.shown(group.mark.start, group.mark.stop)
        line.ask(
            f"Did the {name} break or wear out, or was it changed as planned?", "Add 'broke', 'worn' or 'planned'."
        )
    return LineVerdict.ENTRY


def _ask_what_happened(line: Line, group: Group, result: Said, spans: TimeSpans, when: When) -> None:
    """Ask what happened to a part of which the line says nothing at all."""
    name = line.scan.shown(group.mark.start, group.mark.stop)
    looked = only_looked_at(line, result)
    if looked:
        line.ask(
            f"'{looked}': did the {name} break, or was it only looked after?", "Write what broke, or log a service."
        )
        return
    word = unclear_word(line)
    if word and result.action is None:
        line.ask(f"'{word}' can mean a new {name} or the same one mended.", "Write 'replaced' or 'mended'.")
        return
    said = (
        result.cause or result.action or group.spots or group.every or spans.lone is not None or spans.stood is not None
    )
    when_said = (when.timed or when.dated) and not line.has("now")
    if not (said or spans.days or spans.people or when_said or result.watched):
        line.ask(f"What about the {name}?", "Say what happened: broke, bent, worn, or changed as planned.")


def _planned(entry: HeardEntry, result: Said) -> HeardEntry:
    return replace(entry, action=result.action or Action.REPLACED, stood_seconds=None)


def _broke(entry: HeardEntry, result: Said, assumed: list[str], *, tended: bool) -> HeardEntry:
    mode, mode_assumed = mode_of(entry.kind, result)
    usual = Action.MENDED if tended else Action.LEFT if result.watched else Action.REPLACED
    action = result.action or usual
    told = (("cause", result.cause is None), ("mode", mode_assumed), ("action", result.action is None))
    assumed.extend(name for name, is_assumed in told if is_assumed)
    return replace(entry, cause=result.cause or Cause.UNKNOWN, mode=mode, action=action)


def _note(line: Line, group: Group, groups: list[Group]) -> str:
    start = 0 if group is groups[0] else group.start
    pieces = [note_of(line, start, group.stop)]
    if group is groups[-1]:
        pieces.append(line.remark)
    return "; ".join(one for one in pieces if one)


def _work_once(line: Line, parts: Parts, *, each: bool) -> None:
    """Count the work of a job once, with its first part: each part of it is saved as work of its own.

    Of several machines nobody can know whose it was: that is asked.
    """
    planned = [
        at
        for at, entry in enumerate(parts.entries)
        if entry.what is LineVerdict.PLANNED and entry.labour_seconds is not None
    ]
    machines = {one.machine.id for at in planned for one in [parts.entries[at]] if one.machine is not None}
    if each:
        return
    if len(machines) > 1:
        line.ask("How much of that work was for each machine?", "Write a line for each, or 'each' behind the time.")
    for at in planned[1:]:
        parts.entries[at] = replace(parts.entries[at], labour_seconds=None)


def _ask_of_standing(line: Line, parts: Parts, *, each: bool) -> None:
    """Ask how long each stood where machines that do not work together share one time: it would be counted for each."""
    stood = [
        one.machine
        for one in parts.entries
        if one.what is LineVerdict.ENTRY and one.machine is not None and one.stood_seconds
    ]
    units = {machine.hitched_to or machine.id for machine in stood}
    if len(units) > 1 and not each:
        line.ask("How long did each machine stand?", "Write a line for each, or 'each' behind the time.")


def _merge_same(parts: Parts) -> None:
    """Make one entry of what was said of the same part in the same way: "section 5 and section 7"."""
    kept: list[HeardEntry] = []
    for entry in parts.entries:
        twin = next(
            (
                one
                for one in kept
                if entry.component is not None
                and replace(one, positions=(), note="") == replace(entry, positions=(), note="")
            ),
            None,
        )
        if twin is None:
            kept.append(entry)
            continue
        both = tuple(sorted({*twin.positions, *entry.positions}))
        note = "; ".join(dict.fromkeys(one for one in (twin.note, entry.note) if one))
        kept[kept.index(twin)] = replace(twin, positions=both, note=note)
    parts.entries[:] = kept


def _add_fine(line: Line, groups: list[Group], parts: Parts) -> None:
    """Keep the words about a part that is all right as the note of the entry before it."""
    if len(groups) < 2 or not parts.entries:
        return
    for group in groups:
        says = [mark.phrase.said for mark in group.marks if mark.phrase.said is not None]
        if says and all(one.fine for one in says):
            words = line.scan.shown(group.start, group.stop).strip(" ,;.")
            last = parts.entries[-1]
            parts.entries[-1] = replace(last, note="; ".join(one for one in (last.note, words) if one))
