"""The positions of a part on the component that is meant: reckoned from its numbers, or asked about."""

from __future__ import annotations

from wearlog.facts.positions import format_positions
from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.plain_line.numbers import Number
from wearlog.logbook.quickline.scan import plural
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine


def settle(line: Line, group: Group, machine: KnownMachine, part: KnownComponent) -> tuple[tuple[int, ...], bool]:
    """Return the positions of a group on the component that is meant, and whether they are taken for granted.

    Asks about what does not exist, does not add up or is missing, and returns none then.
    """
    most, names = part.positions, plural(part.kind)
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


def _checked(
    line: Line, group: Group, machine: KnownMachine, part: KnownComponent, said: tuple[int, ...]
) -> tuple[int, ...]:
    if group.count is not None and group.count != len(said):
        what = f"{group.count} {plural(part.kind) if group.count != 1 else part.kind}"
        line.ask(
            f"You wrote {what} but {format_positions(said)} is {len(said)} on {machine.name}.", "Correct one of them."
        )
        return ()
    before = line.text(group.mark.start - 1)
    word = "both" if group.both and len(said) != 2 and group.alone else ""
    word = "all" if before in ("all", "every") and group.step == 1 and len(said) < part.positions else word
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
        return (1,) if "left" in side else (most,) if "right" in side else ()
    if group.count not in (None, 1) or most > 3 or not side:
        return ()
    if side in ("middle", "center", "centre"):
        return ((most + 1) // 2,) if most % 2 else ()
    return (1,) if side == "left" else (most,) if side == "right" else ()
