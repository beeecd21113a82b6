"""The parts that a line names, each with the stretch of the line that is about it, and the positions that this gives.

A kind of part that only says where ("at the connector link", "slat 11 feeder chain") is no part of its own, nor is one that is
named again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from wearlog.facts.positions import format_positions, many_of
from wearlog.logbook.plain_line.line import Line, PhraseMark, Tag
from wearlog.logbook.plain_line.numbers import Number, PositionList
from wearlog.logbook.quickline.tokens import Role, words_of
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine, pairs_of_kinds


def settle(line: Line, group: Group, machine: KnownMachine, part: KnownComponent) -> tuple[tuple[int, ...], bool]:
    """Return the positions of a group on the component that is meant, and whether they are taken for granted.

    Asks about what does not exist, does not add up or is missing, and returns none then.
    """
    most, names = part.positions, many_of(part.kind)
    numbers = [number for spot in group.spots for number in spot.numbers]
    lettered = next((number for number in numbers if number.side), None)
    if lettered is not None:
        line.ask(
            f"Is '{lettered.first}{lettered.side}' counted from that side, or {lettered.first} from the left?",
            f"Write 'number {lettered.first} from the right' or 'position {lettered.first}'.",
        )
        return (), False
    if any(number.either for number in numbers):
        line.ask(f"Which {part.kind} on {machine.name}: {_either(numbers)}?", "Name the one that it was.")
        return (), False
    if most > 1 and _apart(line, group, machine, most):
        return (), False
    short = next((one for one in numbers if most > 1 and _is_short(one)), None)
    if short is not None:
        whole = f"{short.first}-{str(short.first)[: -len(str(short.last))]}{short.last}"
        line.ask(f"Is '{short.first}-{short.last}' {whole}, or {short.last}-{short.first}?", "Write both ends whole.")
        return (), False
    _drop_last(line, group)
    said = _positions_of(group, most)
    everything = tuple(range(1, most + 1))
    if most == 1:
        return (1,), False
    beyond = [one for one in said if not 1 <= one <= most]
    if beyond:
        shown = format_positions(beyond) if min(beyond) > 0 else "0"
        line.ask(f"{machine.name} has {most} {names}; {shown} is none of them.", f"Count from 1 at the left to {most}.")
        return (), False
    if group.step > 1:
        chosen = said or everything
        return chosen[:: group.step], False
    if group.both and most == 2:
        return everything, said != everything
    if said:
        assumed = any(number.heard for number in numbers)
        return _checked(line, group, machine, part, said), assumed
    if group.every or group.count == most:
        return everything, False
    side = _by_side(group, most)
    if side:
        return side, True
    line.ask(f"Which of the {most} {names} on {machine.name}?", f"Write the positions, like {names} 1-2, or all.")
    return (), False


def _drop_last(line: Line, group: Group) -> None:
    """Drop "the last 2" of which the numbers stand behind: these were the last on the shelf; ask where the two differ."""
    ends = [spot for spot in group.spots if abs(spot.from_end) > 1]
    numbers = [number for spot in group.spots if not spot.from_end for number in spot.numbers]
    if not ends or not numbers:
        return
    many = sum(abs(number.last - number.first) + 1 for number in numbers)
    if many != abs(ends[0].from_end):
        line.ask("Which ones are meant: those at the end, or the numbers?", "Write the positions only.")
    group.spots[:] = [spot for spot in group.spots if not spot.from_end]


def _is_short(number: Number) -> bool:
    """Say whether the end of a span is written short, as people do: 41-3 for 41-43."""
    fewer = len(str(number.last)) < len(str(number.first))
    return number.last < number.first and fewer and not (number.from_right or number.last_from_right)


def _either(numbers: list[Number]) -> str:
    return " or ".join(str(number.first) for number in numbers if number.either)


def _positions_of(group: Group, most: int) -> tuple[int, ...]:
    found: set[int] = set()
    if group.every and group.step == 1 and any(spot.without and not spot.numbers for spot in group.spots):
        found.update(range(1, most + 1))
    for spot in group.spots:
        if spot.from_end:
            found.update(
                range(1, spot.from_end + 1) if spot.from_end > 0 else range(most + spot.from_end + 1, most + 1)
            )
            continue
        here: set[int] = set()
        for number in spot.numbers:
            here.update(_reach(number, most))
        for number in spot.without:
            here.difference_update(_reach(number, most))
            found.difference_update(_reach(number, most) if not spot.numbers else ())
        found.update(here)
    return tuple(sorted(found))


def _reach(number: Number, most: int) -> range:
    first = most + 1 - number.first if number.from_right else number.first
    last = most + 1 - number.last if number.last_from_right else number.last
    low, high = min(first, last), max(first, last)
    return range(low, min(high, low + 5_000) + 1)


def _apart(line: Line, group: Group, machine: KnownMachine, most: int) -> bool:
    """Ask where a second list behind the first names some of it again: "guards 1-80, replaced 3 and 7"."""
    if len(group.spots) < 2 or any(spot.without or spot.from_end for spot in group.spots):
        return False
    first, last = (
        frozenset(one for number in spot.numbers for one in _reach(number, most))
        for spot in (group.spots[0], group.spots[-1])
    )
    if len(first) == 1 and len(last) in first and len(group.spots) == 2:
        line.ask(f"Is the {len(last)} a position, or how many there are?", "Write the positions only.")
        return True
    if not last < first:
        return False
    if line.has("checked", "inspected", "looked at", "went over", "went through"):
        group.spots[:] = group.spots[-1:]
        return False
    shown = format_positions(sorted(last))
    line.ask(
        f"Is it {format_positions(sorted(first))} on {machine.name}, or only {shown}?", "Keep the ones that it was."
    )
    return True


def _checked(
    line: Line, group: Group, machine: KnownMachine, part: KnownComponent, said: tuple[int, ...]
) -> tuple[int, ...]:
    if group.count is not None and group.count != len(said):
        what = f"{group.count} {many_of(part.kind) if group.count != 1 else part.kind}"
        line.ask(
            f"You wrote {what} but {format_positions(said)} is {len(said)} on {machine.name}.", "Correct one of them."
        )
        return ()
    before = line.text(group.mark.start - 1)
    word = "both" if group.both and len(said) != 2 and group.alone else ""
    word = "all" if before == "all" and group.step == 1 and len(said) < part.positions else word
    word = before if before in ("a", "an") and len(said) > 1 and not group.mark.phrase.plural else word
    if word and not any(spot.without for spot in group.spots):
        line.ask(
            f"You wrote '{word}' but {format_positions(said)} is {len(said)} on {machine.name}.", "Keep one of them."
        )
        return ()
    return said


def _by_side(group: Group, most: int) -> tuple[int, ...]:
    """Return the one position a side means, where it can mean only one: the left of three belts is 1."""
    side = group.side
    if "end" in side or "outer" in side or "outside" in side:
        many = min(group.count or 1, most)
        left, right = tuple(range(1, many + 1)), tuple(range(most - many + 1, most + 1))
        return left if "left" in side else right if "right" in side else ()
    if group.count not in (None, 1) or most > 3 or not side:
        return ()
    if side in ("middle", "center", "centre"):
        return ((most + 1) // 2,) if most % 2 else ()
    return (1,) if side == "left" else (most,) if side == "right" else ()


_WHERE: Final = frozenset(
    {"at", "by", "near", "of", "in", "on", "under", "behind", "beside", "from", "into", "against", "with", "above"}
)

_ARTICLES: Final = frozenset({"the", "a", "an", "its", "one", "our", "my", "that", "this", "other"})

_JOINS: Final = frozenset({"and", "plus", "then", "also", "with"})

_SIGNS: Final = ",;./+&|"


@dataclass(slots=True, eq=False)
class Group:
    """A part that is named and its stretch of the line, [start, stop).

    Attributes
    ----------
    sentence : int
        Which sentence it stands in: what one says of a cause is not said in the next.
    count : int or None
        How many were said ("3 sections").
    every : bool
        All of them.
    side : str
        left, right, middle or end, where it is said of the part itself.
    """

    mark: PhraseMark
    start: int = 0
    stop: int = 0
    sentence: int = 0
    spots: list[PositionList] = field(default_factory=list)
    count: int | None = None
    count_at: int = -1
    every: bool = False
    both: bool = False
    step: int = 1
    side: str = ""
    too: bool = False
    alone: bool = True
    #: where sentences end in its stretch
    ends: tuple[int, ...] = ()
    marks: list[PhraseMark] = field(default_factory=list)


def find_heads(line: Line) -> list[Group]:
    """Return the parts that are named, without those that only say where; the words of these are free for the note."""
    heads: list[PhraseMark] = []
    for mark in [one for one in line.of(Tag.KIND) if one.phrase.said is not None]:
        if any(one.phrase.said is None for one in line.of(Tag.KIND)):
            # "section 41 bolt": a part is named already, so the bolt is the cause
            mark.tag = Tag.SAID
            line.scan.claim(mark.start, mark.stop, Role.SENSE)
    whole = any(not mark.partial for mark in line.of(Tag.KIND))
    for mark in line.of(Tag.KIND):
        if ((heads or _comes_later(line, mark)) and _says_where(line, mark, heads[-1] if heads else None)) or (
            mark.partial and whole and not _stands_alone(line, mark)
        ):
            line.drop(mark)
        else:
            heads.append(mark)
    return [Group(mark) for mark in heads]


def _comes_later(line: Line, mark: PhraseMark) -> bool:
    return any(other.start > mark.start and not other.partial for other in line.of(Tag.KIND))


def _says_where(line: Line, mark: PhraseMark, before: PhraseMark | None) -> bool:
    """Say whether a part is named as a place: "by the steps", "slat 11 feeder chain"."""
    own_number = _number_at(line, mark.start - 1) and not (
        before is not None and _is_of(line, before, mark.start - 1) and not _only_one(line, before, mark.start - 1)
    )
    if _number_at(line, mark.stop) or own_number:
        return False
    at = mark.start - 1
    while line.text(at) in _ARTICLES:
        at -= 1
    if line.text(at) in _WHERE and line.scan.roles[at] is None:
        return before is not None or line.text(at) in ("at", "by", "near", "under", "behind")
    if before is None:
        return False
    at = mark.start - 1
    while at >= before.stop and (line.tokens[at].is_number or line.text(at) in ("no", "#")):
        at -= 1
    return at < before.stop and not (before.kinds & mark.kinds) and _share_word(line, before, mark)


def _only_one(line: Line, before: PhraseMark, index: int) -> bool:
    """Say whether the figure at `index` cannot be a position of the part before: "feeder chain 2 slats bent"."""
    parts = [part for _, part in pairs_of_kinds(line.farm.vocabulary, before.kinds)]
    return bool(parts) and max(part.positions for part in parts) == 1 and line.text(index) not in ("1", "#")


def _is_of(line: Line, before: PhraseMark, index: int) -> bool:
    """Say whether the figure at `index` stands right behind the part before it."""
    while index > before.stop and line.text(index - 1) in ("no", "#", "number", "-", ","):
        index -= 1
    return index == before.stop


def _share_word(line: Line, before: PhraseMark, mark: PhraseMark) -> bool:
    """Say whether two parts share a word of their names: a feeder slat and the feeder chain."""
    names = line.phrases.names
    mine, others = ({word for kind in one.kinds for word in words_of(names[kind])} for one in (mark, before))
    return bool(mine & others)


def _stands_alone(line: Line, mark: PhraseMark) -> bool:
    """Say whether the end of a name is a part of its own: a sign or "and" before it, a number or what happened behind it."""
    at = mark.start - 1
    while at >= 0 and (line.text(at) in _ARTICLES or line.text(at) == "new" or line.tokens[at].is_number):
        at -= 1
    joined = at < 0 or line.text(at) in _JOINS or line.text(at) in _SIGNS or line.scan.roles[at] is Role.MACHINE
    behind = mark.stop
    while line.text(behind) in ("is", "was", "are", "were"):
        behind += 1
    return joined and (
        _number_at(line, behind) or (behind < len(line.tokens) and line.scan.roles[behind] is Role.SENSE)
    )


def _number_at(line: Line, index: int) -> bool:
    return 0 <= index < len(line.tokens) and (line.tokens[index].is_number or line.text(index) == "#")


def set_bounds(line: Line, groups: list[Group]) -> list[Group]:
    """Give every part its stretch of the line; the same part named again without a number is the same part."""
    kept: list[Group] = []
    for group in groups:
        same = next((one for one in kept if one.mark.kinds == group.mark.kinds), None)
        if (
            same is not None
            and not group.spots
            and not group.every
            and group.count is None
            and not _other_machine(line, same, group)
        ):
            line.scan.claim(group.mark.start, group.mark.stop, Role.KIND)
            continue
        kept.append(group)
    for index, group in enumerate(kept):
        group.start = 0 if index == 0 else _cut(line, kept[index - 1], group)
        if index:
            kept[index - 1].stop = group.start
            group.sentence = kept[index - 1].sentence + _ends_sentence(line, kept[index - 1], group)
    if kept:
        kept[-1].stop = len(line.tokens)
    for group in kept:
        group.alone = len(kept) == 1
        group.ends = tuple(at for at in range(group.start, group.stop) if line.scan.sign(at, ";."))
        group.too = any(line.text(at) == "too" for at in range(group.start, group.stop))
        group.marks = [mark for mark in line.of(Tag.SAID) if group.start <= mark.start < group.stop]
    return kept


def _other_machine(line: Line, before: Group, group: Group) -> bool:
    return any(before.mark.stop <= mark.start < group.mark.start for mark in line.of(Tag.MACHINE))


def _cut(line: Line, before: Group, group: Group) -> int:
    """Return where the stretch of `group` begins: behind the last sign or "and" before it, else at its own numbers."""
    start = min([group.mark.start, *(spot.start for spot in group.spots if spot.start > before.mark.stop)])
    if group.count_at > before.mark.stop:
        start = min(start, group.count_at)
    for at in range(start - 1, before.mark.stop - 1, -1):
        free = line.scan.roles[at] is None
        if free and (line.text(at) in _JOINS or line.text(at) in _SIGNS) and at >= _last_spot(before):
            return at + 1
    return start


def _last_spot(group: Group) -> int:
    return max([group.mark.stop, *(spot.stop for spot in group.spots)])


def _ends_sentence(line: Line, before: Group, group: Group) -> bool:
    return any(
        line.text(at) in (".", ";") and line.scan.roles[at] is None for at in range(before.mark.stop, group.mark.start)
    )
