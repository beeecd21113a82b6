"""Positions of one part of which a line says each its own: "guard 3 bent and 7 broken" is two entries, and so is "on both"."""

from __future__ import annotations

from itertools import pairwise
from typing import Final
from uuid import UUID

from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.line import SMALL, Line, PhraseMark, Tag
from wearlog.logbook.plain_line.machines import machine_by_id, said_machines
from wearlog.logbook.plain_line.numbers import PositionList, spot_at
from wearlog.logbook.quickline.tokens import Role
from wearlog.logbook.quickline.vocabulary import KnownMachine

_IS: Final = frozenset(
    {"is", "was", "are", "were", "has", "had", "got", "just", "also", "only", "side", "left", "right"}
)
_JOINS: Final = frozenset({"and", "but", "then", "also", "plus", ",", ";", ".", "&", "+", "/"})

#: "3 bolts sheared" counts these and not the part
_FASTENERS: Final = frozenset(
    {"bolt", "bolts", "rivet", "rivets", "nut", "nuts", "pin", "pins", "link", "links", "teeth"}
)


def told_apart(line: Line, groups: list[Group]) -> list[Group]:
    """Return the groups with those parted of which the line says at each position something else. Claims the figures.

    A figure smaller than the ones before it can be how many of them: that is asked.
    """
    parted: list[Group] = []
    for group in groups:
        _free_times(line, group)
    for index, group in enumerate(groups):
        stop = groups[index + 1].mark.start if index + 1 < len(groups) else len(line.tokens)
        parted += _parted(line, group, stop) if group.spots and not group.every and group.step == 1 else [group]
    return parted


def _free_times(line: Line, group: Group) -> None:
    """Leave "second shear bolt today" for the note where machines have one of it: it is the second time."""
    parts = [
        part
        for machine in line.farm.vocabulary.machines
        for part in machine.components
        if part.kind_id in group.mark.kinds
    ]
    if not parts or any(part.positions > 1 for part in parts):
        return
    for spot in [one for one in group.spots if one.start < group.mark.start and one.numbers and one.numbers[0].sure]:
        if len(spot.numbers) == 1 and not spot.numbers[0].from_right and not line.scan.sign(spot.start, "#"):
            group.spots.remove(spot)
            line.scan.roles[spot.start : spot.stop] = [None] * (spot.stop - spot.start)


def _parted(line: Line, group: Group, stop: int) -> list[Group]:
    whole = [group]
    spots = [spot for spot in group.spots if not spot.from_end]
    together = group.both or any(line.text(at) == "them" for at in range(group.mark.stop, stop))
    if not spots or len(spots) != len(group.spots) or together:
        # "changed both" is said of all of them
        return whole
    first = min(spots, key=lambda spot: spot.start)
    at = max(first.stop, group.mark.stop)
    seen = first
    while at < stop:
        spot = next((one for one in spots if one.start == at and one is not first), None)
        loose = spot_at(line, at) if spot is None and line.scan.roles[at] is None else None
        found = spot or loose
        if found is None or found.stop > stop or not _has_own(line, seen, found, stop):
            at += 1
            continue
        inner = _inside(seen, found)
        if inner and _only_happened(line, found):
            seen.without.extend(found.numbers)
        elif inner:
            line.ask("What was done about the others?", "Write a line for each.")
            return [group]
        elif not _goes_up(seen, found):
            shown = line.scan.shown(found.start, found.stop)
            line.ask(f"Is the {shown} a position, or how many there are?", f"Write #{shown} for a position.")
            return [group]
        if spot is not None:
            group.spots.remove(spot)
        line.scan.claim(found.start, found.stop, Role.POSITION)
        mark = PhraseMark(found.start, found.start, Tag.KIND, group.mark.phrase, group.mark.kinds, group.mark.partial)
        whole.append(Group(mark, spots=[found]))
        seen, at = found, found.stop
    if len(whole) > 1 and group.count is not None and group.count == sum(_many(one) for one in whole):
        group.count = None
    return whole


def _has_own(line: Line, before: PositionList, found: PositionList, stop: int) -> bool:
    """Say whether something is told of the positions before, and something of its own right behind the ones found."""
    causes = [mark for mark in line.of(Tag.SAID) if mark.phrase.said is not None and mark.phrase.said.cause]
    if not any(before.stop <= mark.start < found.start for mark in (*_telling(line), *causes)):
        return False
    ahead = found.start - 1
    joined = line.text(ahead) in _JOINS or line.scan.roles[ahead] is Role.SENSE
    at = found.stop
    while line.text(at) in _IS and line.scan.roles[at] is None:
        at += 1
    own = next((mark for mark in _telling(line) if mark.start == at), None)
    if own is None or not joined:
        return False
    at = own.stop
    while at < stop and line.scan.roles[at] in (Role.SENSE, Role.REASON):
        at += 1
    if any(line.text(one) in _FASTENERS for one in range(own.start, at)):
        return False
    if at < stop and line.tokens[at].is_number and line.scan.roles[at] is None and spot_at(line, at) is not None:
        return True
    return at >= stop or line.scan.roles[at] is not None or line.text(at) in _JOINS or line.text(at) in SMALL


def _telling(line: Line) -> list[PhraseMark]:
    """Return the marks that say what happened to a part or what was done."""
    return [
        mark
        for mark in line.of(Tag.SAID)
        if mark.phrase.said is not None
        and (mark.phrase.said.mode or mark.phrase.said.action or mark.phrase.said.usual or mark.phrase.said.fine)
    ]


def _inside(before: PositionList, found: PositionList) -> bool:
    """Say whether these are some of a span before them: "guards 70-75 bent, 72 and 73 broken"."""
    spans = [sorted((one.first, one.last)) for one in before.numbers if one.first != one.last]
    ends = [end for one in found.numbers for end in (one.first, one.last)]
    plain = not any(one.from_right or one.last_from_right for one in (*before.numbers, *found.numbers))
    many = sum(high - low + 1 for low, high in spans)
    if len(ends) == 2 and ends[0] == ends[1] <= many:
        # "guards 1-5 bent, 3 broken" may be three of them
        return False
    return plain and bool(spans) and all(any(low <= end <= high for low, high in spans) for end in ends)


def _only_happened(line: Line, found: PositionList) -> bool:
    """Say whether the line tells behind these what happened to them, and nothing that was done."""
    behind = [mark.phrase.said for mark in _telling(line) if mark.start >= found.stop and mark.phrase.said is not None]
    return bool(behind) and bool(behind[0].mode) and not any(one.action for one in behind)


def _goes_up(before: PositionList, found: PositionList) -> bool:
    last = max(max(one.first, one.last) for one in before.numbers)
    return any(one.sure for one in found.numbers) or min(min(one.first, one.last) for one in found.numbers) > last


def _many(group: Group) -> int:
    return sum(abs(one.last - one.first) + 1 for spot in group.spots for one in spot.numbers)


def on_several(line: Line, groups: list[Group]) -> list[KnownMachine]:
    """Return the machines of "kestrel and merlin guard 5 bent", of which each has that part; none where they are not joined so."""
    marks = said_machines(line)
    if len(groups) != 1 or len(marks) < 2 or any(len(mark.phrase.machines) != 1 for mark in marks):
        return []
    for before, mark in pairwise(marks):
        between = [line.text(at) for at in range(before.stop, mark.start)]
        if not between or not set(between) <= {"and", "&", "+", ","}:
            return []
    if not any(line.text(at) in ("and", "&", "+") for at in range(marks[0].stop, marks[-1].start)):
        return []
    ids: list[UUID] = list(dict.fromkeys(one for mark in marks for one in mark.phrase.machines))
    machines = [machine_by_id(line, one) for one in ids]
    group = groups[0]
    fitted = all(any(part.kind_id in group.mark.kinds for part in machine.components) for machine in machines)
    numbers = [number for spot in group.spots for number in spot.numbers]
    if len(machines) < 2 or not fitted or not (len(numbers) == 1 or group.every):
        # of "kestrel and merlin guards 5 and 6" each may have one
        return []
    if line.text(marks[0].start - 1) == "both":
        group.both = False
    return machines
