"""Which positions each part of a line has: its numbers are found and claimed."""

from __future__ import annotations

from typing import Final

from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.line import Line, Tag
from wearlog.logbook.plain_line.numbers import (
    COUNTS,
    Number,
    PositionList,
    asks_day,
    counted,
    except_at,
    side_behind,
    spot_at,
    to_last,
)
from wearlog.logbook.plain_line.said_table import CAME
from wearlog.logbook.plain_line.spoken import ordinal_said
from wearlog.logbook.quickline.tokens import Role
from wearlog.logbook.quickline.words import WORDS

_STEPS: Final = {"other": 2, "second": 2, "2nd": 2, "third": 3, "3rd": 3, "fourth": 4, "4th": 4}
_SIDES: Final = frozenset({"left", "right", "middle", "center", "centre", "end", "outer", "outside"})
_BEFORE_NUMBERS: Final = frozenset({"the", "of", "on", "side", "hand", "part", "parts", "is", "are", "was", "in", "at"})
_PUT: Final = ("put", "installed", "fitted", "used")


def claim_behind(line: Line, groups: list[Group]) -> None:
    """Claim the numbers right behind each part: nothing but small words and its machine may stand between."""
    for group in groups:
        at = group.mark.stop
        near = at
        while _passes(line, at):
            at += 1
        without = except_at(line, at) if group.every else None
        if without is not None:
            _claim(line, group, without)
            continue
        spot = spot_at(line, at, homophones=at == near)
        if spot is None:
            continue
        _trim(line, group, spot)
        if spot.numbers:
            _claim(line, group, spot)
            _go_on(line, group)


def _passes(line: Line, at: int) -> bool:
    if at >= len(line.tokens):
        return False
    if (
        line.scan.roles[at] is Role.MACHINE
        or line.scan.sign(at, ":(")
        or (line.scan.sign(at, ".") and line.scan.glued(at + 1))
    ):
        return True
    word = line.scan.word(at)
    if word == "from":
        return line.scan.digits(at + 1) is not None
    return word in _BEFORE_NUMBERS and not (
        word == "at" and line.scan.digits(at + 1) is not None and _is_clock(line, at + 1)
    )


def _is_clock(line: Line, at: int) -> bool:
    """Say whether a figure behind "at" is a time of day: "at 9 this morning", "at 9 pm"."""
    return line.text(at + 1) in (
        "this",
        "in",
        "am",
        "pm",
        "oclock",
        "o'clock",
        "yesterday",
        "last",
        ":",
        "ish",
        "tonight",
        "today",
    )


def _trim(line: Line, group: Group, spot: PositionList) -> None:
    """Take off the list's end what is no position of it: how many of the next part, a time of day, a size."""
    most = _most_positions(line, group)
    kept: list[Number] = []
    for number in spot.numbers:
        beyond = number.first > most and not number.sure and len(str(number.first)) >= 4
        if kept and (beyond or (number is spot.numbers[-1] and _counts_next(line, kept[-1], number))):
            break
        kept.append(number)
    if len(kept) < len(spot.numbers):
        spot.numbers, spot.without = kept, []
        spot.stop = kept[-1].stop if kept else spot.start


def _counts_next(line: Line, before: Number, number: Number) -> bool:
    """Say whether the last figure of a list is how many of the next part: "sections 12 14, 2 guards 3 4"."""
    if number.sure or not _before_kind(line, number.stop):
        return False
    at = number.stop
    while at < len(line.tokens) and line.scan.roles[at] is not Role.KIND:
        at += 1
    while at < len(line.tokens) and line.scan.roles[at] is Role.KIND:
        at += 1
    listed = spot_at(line, at)
    many = _length(listed.numbers) if listed is not None else 0
    return many == number.first or (number.first <= before.last and number.first <= 12)


def _most_positions(line: Line, group: Group) -> int:
    parts = [
        part
        for machine in line.farm.vocabulary.machines
        for part in machine.components
        if part.kind_id in group.mark.kinds
    ]
    return max((part.positions for part in parts), default=0)


def _claim(line: Line, group: Group, spot: PositionList) -> None:
    group.spots.append(spot)
    line.scan.claim(spot.start, spot.stop, Role.POSITION)


def _go_on(line: Line, group: Group) -> None:
    """Claim what goes on with a list behind the machine's name: "sections 5 to 8 kestrel and 12"."""
    at = group.spots[-1].stop
    if not (at < len(line.tokens) and line.scan.roles[at] is Role.MACHINE):
        return
    while at < len(line.tokens) and line.scan.roles[at] is Role.MACHINE:
        at += 1
    joined = at
    while line.scan.sign(joined, ",&+") or line.scan.word(joined) == "and":
        joined += 1
    spot = spot_at(line, joined) if joined > at else None
    if spot is not None and not _before_kind(line, spot.stop):
        _claim(line, group, spot)


def claim_lists(line: Line, groups: list[Group]) -> None:
    """Claim the spans, lists and marked numbers that stand elsewhere, for the part they stand nearest to."""
    index = 0
    while index < len(line.tokens):
        spot = spot_at(line, index) if line.scan.roles[index] is None else None
        if spot is None or not groups:
            index += 1
            continue
        if (
            len(spot.numbers) > 1
            and _before_kind(line, spot.stop)
            and not spot.numbers[-1].sure
            and (_following(groups, spot).spots or _length(spot.numbers[:-1]) == spot.numbers[-1].first)
        ):
            spot.numbers.pop()
            spot.stop = spot.numbers[-1].stop
        if _falls_before_kind(line, spot):
            shown, last = line.scan.shown(spot.start, spot.stop), spot.numbers[-1].first
            line.ask(
                f"Is '{shown}' two positions, or {last} of them?", "Write #12 and #13 for positions, or the span 12-13."
            )
        if _is_list(line, groups, spot) and not _after_month(line, index):
            _claim(line, _owner(line, groups, spot), spot)
        index = max(spot.stop, index + 1)


def _is_list(line: Line, groups: list[Group], spot: PositionList) -> bool:
    """Say whether numbers that stand apart from their part are a list of positions, and not a size, 5/6 or "2nd time"."""
    ordinal = line.text(spot.stop - 1) in ("st", "nd", "rd", "th")
    if ordinal and line.text(spot.start - 1) in ("the", "on") and not _before_kind(line, spot.stop):
        return not _owner(line, groups, spot).spots
    told = bool(_owner(line, groups, spot).spots)
    if (
        ordinal
        and told
        and line.scan.word(spot.stop) != "and"
        and not any(line.text(at) == "from" for at in range(spot.start, spot.stop + 1))
    ):
        return _before_kind(line, spot.stop) and line.text(spot.start - 1) != "the"
    if any(one.sure for one in spot.numbers):
        return not asks_day(line, spot, told=told)
    signs = {line.text(at) for at in range(spot.start, spot.stop) if not line.tokens[at].is_number}
    if signs == {"/"} and (line.text(spot.start - 1) == "on" or (line.has(*CAME) and not line.of(Tag.MACHINE))):
        return False
    return len(spot.numbers) > 1 and (bool(signs) or not told) and not (told and signs == {"/"})


def _length(numbers: list[Number]) -> int:
    return sum(abs(one.last - one.first) + 1 for one in numbers)


def _falls_before_kind(line: Line, spot: PositionList) -> bool:
    """Say whether the last figure before a part is smaller than the one before it: "12, 3 guards" may be three of them."""
    plain = len(spot.numbers) == 2 and not any(one.sure for one in spot.numbers) and line.scan.sign(spot.stop - 2, ",")
    return plain and spot.numbers[1].first < spot.numbers[0].first and _before_kind(line, spot.stop)


def _after_month(line: Line, index: int) -> bool:
    return any(line.text(index - 1) in names for names in WORDS.months)


def _following(groups: list[Group], spot: PositionList) -> Group:
    return next((one for one in groups if one.mark.start >= spot.stop), groups[-1])


def _owner(line: Line, groups: list[Group], spot: PositionList) -> Group:
    """Return the part a list belongs to: the one right behind it, else the one before it, else the first."""
    if _before_kind(line, spot.stop):
        return _following(groups, spot)
    before = [one for one in groups if one.mark.stop <= spot.start]
    return before[-1] if before else groups[0]


def _before_kind(line: Line, at: int) -> bool:
    """Say whether a part's name stands at `at`, with nothing but what may describe it before it."""
    while at < len(line.tokens) and line.scan.roles[at] is not Role.KIND:
        describes = line.scan.roles[at] in (Role.MACHINE, Role.SENSE)
        if not describes and line.scan.word(at) not in (
            "of",
            "the",
            "new",
            "my",
            "our",
            "more",
            "piece",
            "pieces",
            "pcs",
            "x",
        ):
            return False
        at += 1
    return at < len(line.tokens)


def claim_words(line: Line, groups: list[Group]) -> None:
    """Claim what says which without a figure before a part: the first three, the last, every other, all, both, left."""
    for group in groups:
        _claim_before(line, group)
    _claim_all_behind(line, groups)


def _claim_before(line: Line, group: Group) -> None:
    if _ordinal_before(line, group):
        return
    at, number, seen = group.mark.start - 1, None, 0
    while at >= 0 and seen < 5:
        word = line.scan.word(at)
        digits = line.scan.digits(at)
        if digits is not None and number is None:
            number = (digits, at)
        elif word == "last" and (spot := to_last(line, at)) is not None:
            _claim(line, group, spot)
            return
        elif word in ("first", "last") and not _is_time(line, at):
            how_many = number[0] if number else 1
            group.spots.append(
                PositionList(at, group.mark.start, [], from_end=how_many if word == "first" else -how_many)
            )
            _take(line, at, number)
            return
        elif word in _STEPS and line.scan.word(at - 1) == "every":
            group.step, group.every = _STEPS[word], True
            line.scan.claim(at - 1, at + 1, Role.COUNT)
            return
        elif word in ("every", "all", "both"):
            group.every, group.both = word != "both", word == "both"
            line.scan.claim(at, at + 1, Role.COUNT)
        elif word in _SIDES and word not in group.side:
            group.side = f"{word} {group.side}".strip()
            line.scan.claim(at, at + 1, Role.COUNT)
        elif word in COUNTS:
            group.count, group.count_at = counted(line, at)
            line.scan.claim(group.count_at, at + 1, Role.COUNT)
        elif not (line.scan.roles[at] in (Role.MACHINE, Role.SENSE, Role.COUNT, Role.PLACE) or word in _DESCRIBES):
            return
        at, seen = at - 1, seen + 1


def _ordinal_before(line: Line, group: Group) -> bool:
    """Claim "5th guard" and "third section from the right"; say whether one was there."""
    at = group.mark.start - 1
    while at >= 0 and line.scan.roles[at] is Role.SENSE:
        at -= 1
    suffix = line.scan.word(at) in ("st", "nd", "rd", "th") and line.scan.glued(at)
    value = line.scan.digits(at - 1) if suffix else ordinal_said(line.scan.word(at))
    if value is None or (line.scan.word(at) == "first") or line.scan.word(at - 1 - suffix) == "every":
        return False
    stop, from_right, told = side_behind(line, group.mark.stop)
    start = at - suffix
    line.scan.claim(start, at + 1, Role.POSITION)
    number = Number(start, at + 1, value, value, from_right=from_right, last_from_right=from_right, sure=True)
    group.spots.append(PositionList(start, at + 1, [number]))
    if told:
        line.scan.claim(group.mark.stop, stop, Role.POSITION)
    return True


_DESCRIBES: Final = frozenset(
    {"the", "of", "a", "an", "my", "our", "new", "hand", "side", "few", "some", "set", "more", "on", "old"}
)


_TIMES: Final = frozenset(
    ["night", "week", "year", "month", "winter", "season", "evening", "fall", "spring", "harvest"]
)


def _is_time(line: Line, at: int) -> bool:
    return line.text(at + 1) in _TIMES


def _take(line: Line, at: int, number: tuple[int, int] | None) -> None:
    line.scan.claim(at, at + 1, Role.POSITION)
    if number is not None:
        line.scan.claim(number[1], number[1] + 1, Role.POSITION)


def _claim_all_behind(line: Line, groups: list[Group]) -> None:
    """Claim "all", "all 4", "both" and a side that stand behind their part."""
    for index, group in enumerate(groups):
        stop = groups[index + 1].mark.start if index + 1 < len(groups) else len(line.tokens)
        for at in range(group.mark.stop, stop):
            word = line.scan.word(at)
            if word == "every" and line.scan.word(at + 1) in _STEPS:
                group.step, group.every = _STEPS[line.scan.word(at + 1)], True
                line.scan.claim(at, at + 2 + (line.scan.word(at + 2) == "one"), Role.COUNT)
            elif word == "all" and line.scan.word(at + 1) not in (
                "round",
                "around",
                "day",
                "over",
                "the",
                "right",
                "of",
            ):
                group.every = True
                line.scan.claim(at, at + 1, Role.COUNT)
                digits = line.scan.digits(at + 1)
                if digits is not None and not group.spots:
                    group.count, group.count_at = digits, at + 1
                    line.scan.claim(at + 1, at + 2, Role.COUNT)
            elif word == "both":
                group.both = True
                line.scan.claim(at, at + 1, Role.COUNT)
            elif (
                word in ("left", "right") and line.scan.word(at + 1) in ("side", "end", "hand") and not _from(line, at)
            ):
                group.side = f"{group.side} {word}".strip()
                line.scan.claim(at, at + 2, Role.COUNT)
            elif (
                word in ("left", "right")
                and line.scan.word(at - 1) == "the"
                and line.text(at - 2) in ("on", "at", "to")
            ):
                group.side = f"{group.side} {word}".strip()
                line.scan.claim(at, at + 1, Role.COUNT)


def _from(line: Line, at: int) -> bool:
    """Say whether "from" stands before a side: it counts then, and is no side of the part."""
    return line.text(at - 1 - (line.text(at - 1) == "the")) == "from"


def claim_counts(line: Line, groups: list[Group]) -> None:
    """Claim the lone numbers that are left: how many before a part, a position behind "at", a list that its count asks for."""
    for index in range(len(line.tokens)):
        digits = line.scan.digits(index)
        times = line.scan.word(index + 1) == "x"
        if digits is None or not groups or (_measured(line, index) and not times):
            continue
        if _before_kind(line, index + 1 + times):
            line.scan.claim(index, index + 1 + times, Role.COUNT)
            group = next(one for one in groups if one.mark.start > index)
            if group.count is None:
                group.count, group.count_at = digits, index
                line.scan.claim(index, index + 1, Role.COUNT)
            continue
        owner = [one for one in groups if one.mark.stop <= index]
        group = owner[-1] if owner else groups[0]
        if line.text(index + 1) in ("new", "more", "spare") or _put_in(line, group, index):
            group.count = digits if group.count is None else group.count
            line.scan.claim(index, index + 1, Role.COUNT)
            continue
        if not group.spots and not group.every and line.scan.word(index - 1) == "at":
            _claim(line, group, PositionList(index, index + 1, [Number(index, index + 1, digits, digits)]))


def _put_in(line: Line, group: Group, index: int) -> bool:
    """Say whether a lone number is how many were put in: "put 3 in", "replaced 3" behind the positions, "used 2 QF-1020"."""
    before, behind = line.text(index - 1), line.text(index + 1)
    if index + 1 == line.part_at[0] or (before in _PUT and behind in ("in", "on", "back")):
        return True
    return bool(group.spots) and before in (*_PUT, "replaced", "changed") and behind in ("", ",", ";", ".")


def _measured(line: Line, index: int) -> bool:
    return spot_at(line, index) is None
