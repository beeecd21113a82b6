"""How many and which: what the bare numbers of a line mean, by the rules below, and whether they fit the component.

1. A span (41-43, 41 to 43) is positions. So is a number behind #, "at", "position" or "no.", an ordinal (41st), and a list
   that goes on from one of these.
2. A number, or a list of numbers, behind the part's name is positions ("sections 41, 42 and 50"); only small words, its
   place and its machine may stand between.
3. One number before the part's name is how many ("3 broken sections"); only small words, its place, its machine, its mode
   and what was done may stand between. "a" and "an" there mean one.
4. Every other number is a question.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from wearlog.errors import UsageError
from wearlog.facts.positions import format_positions, many_of, parse_positions
from wearlog.logbook.quickline.durations import number_at
from wearlog.logbook.quickline.tokens import Role, Scan
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine
from wearlog.logbook.quickline.words import WORDS

_MOST_DIGITS = 6
#: small words that may stand between the part's name and its positions
_BEFORE_POSITIONS = ("the", "of", "on", "side", "hand", "one", "ones", "part", "parts", *WORDS.position_markers)
#: one question about a number is enough: its answer may be the positions
_NUMBER_ASKED = ("unsure_duration", "bare_number", "bad_number", "bad_time")
#: these say how many and never which
_COLLECTIVE = ("a", "half", "couple", "pair", "dozen")
#: small words that may stand between a count and the part's name
_BEHIND_COUNT = ("of", "the", "my", "our", "few", "several", "piece", "pieces", "pcs", "x", "side", "hand")


@dataclass(slots=True, eq=False, repr=False)
class Item:
    """A number or a span at the tokens from `start` up to `stop`.

    `sure` when it can only be positions; `spoken` when it is in words.
    """

    start: int
    stop: int
    first: int
    last: int
    sure: bool
    spoken: bool


@dataclass(slots=True, eq=False, repr=False)
class Counted:
    """What the numbers of the line say; `every` when it says "all"."""

    positions: list[Item] = field(default_factory=list)
    count: tuple[int, int] | None = None
    every: int | None = None


def find_counts(scan: Scan) -> Counted:
    """Claim every number that is left, as a count or as positions."""
    counted = Counted()
    _refuse_odd_numbers(scan)
    index = 0
    while index < len(scan.tokens):
        items = _list_at(scan, index)
        if items:
            _sort_list(scan, counted, items)
            index = items[-1].stop
            continue
        if scan.word(index) in WORDS.everything:
            counted.every = index
            scan.claim(index, index + 1, Role.COUNT)
        elif scan.word(index) in WORDS.both and counted.count is None:
            counted.count = (2, index)
            scan.claim(index, index + 1, Role.COUNT)
        elif scan.word(index) in ("a", "an") and counted.count is None and _stands_before_kind(scan, index + 1):
            if _singular_ahead(scan, index + 1):
                counted.count = (1, index)
            scan.claim(index, index + 1, Role.COUNT)
        index += 1
    return counted


def _refuse_odd_numbers(scan: Scan) -> None:
    """Blame numbers that are neither counts nor positions: 1.5, -3 and the ones with too many digits."""
    for index, token in enumerate(scan.tokens):
        if not token.is_number or not scan.free(index):
            continue
        if len(token.text) > _MOST_DIGITS:
            scan.blame("bad_number", f"The number {token.shown} is too long.", "Write it with fewer digits.", index)
            scan.claim(index, index + 1, Role.BLAMED)
        elif (
            scan.sign(index + 1, "./")
            and scan.glued(index + 1)
            and scan.glued(index + 2)
            and scan.digits(index + 2) is not None
        ):
            shown = scan.shown(index, index + 3)
            message = f"'{shown}' is neither how many nor a position."
            scan.blame("bad_number", message, "For a duration write its unit, like 1.5 h.", index)
            scan.claim(index, index + 3, Role.BLAMED)
        elif _is_negative(scan, index):
            message = f"'-{token.shown}' has a minus sign."
            scan.blame("bad_number", message, "Write counts and positions without one.", index - 1)
            scan.claim(index - 1, index + 1, Role.BLAMED)


def _is_negative(scan: Scan, index: int) -> bool:
    """Say whether a minus sign belongs to the number: right before it, and nothing right before the sign."""
    return (
        scan.sign(index - 1, "-") and scan.glued(index) and not scan.glued(index - 1) and scan.digits(index - 2) is None
    )


def _list_at(scan: Scan, index: int) -> list[Item]:
    """Read the list of numbers and spans that begins at `index`: "41-43, 50 and #52"."""
    items: list[Item] = []
    while (item := _item_at(scan, index)) is not None:
        if items and item.spoken and not items[0].spoken:
            # "section 41, one left in": words do not go on with a list of digits
            break
        items.append(item)
        index = item.stop
        joined = index
        while scan.sign(joined, ",&+") or scan.word(joined) == "and":
            joined += 1
        index = joined if _item_at(scan, joined) is not None else index
    return items


def _item_at(scan: Scan, index: int) -> Item | None:
    """Read one number or span at `index`, with its marker, if any."""
    start = index
    while scan.sign(index, "#:.") or scan.word(index) in WORDS.position_markers:
        index += 1
    marked = index > start and not scan.sign(start, ":.")
    if index > start and not marked:
        return None
    number = number_at(scan, index)
    if number is None:
        return None
    first, stop = number
    if scan.word(stop) in ("st", "nd", "rd", "th") and scan.glued(stop):
        marked, stop = True, stop + 1
    last = first
    if scan.sign(stop, "-") or scan.word(stop) in WORDS.span:
        end = number_at(scan, stop + 2 if scan.sign(stop + 1, "#") else stop + 1)
        if end is not None:
            last, stop, marked = *end, True
    return Item(start, stop, first, last, marked, spoken=scan.digits(index) is None)


def _sort_list(scan: Scan, counted: Counted, items: list[Item]) -> None:
    """Decide by the rules above what each number of one list means."""
    start, stop = items[0].start, items[-1].stop
    behind, before = _stands_behind_kind(scan, start), _stands_before_kind(scan, stop)
    if before and not behind and not items[-1].sure and counted.count is None:
        *items, number = items
        scan.claim(number.start, number.stop, Role.COUNT)
        counted.count = (number.first, number.start)
    positional = behind
    for item in items:
        positional = positional or item.sure
        if positional and scan.word(item.start) not in _COLLECTIVE:
            counted.positions.append(item)
            scan.claim(item.start, item.stop, Role.POSITION)
        else:
            _ask_number(scan, item)


def _ask_number(scan: Scan, item: Item) -> None:
    """Ask what a bare number is."""
    if scan.tokens[item.start].is_word and scan.word(item.start) == "one":
        # "one broke": a small word, not a number
        return
    shown = scan.shown(item.start, item.stop)
    message = f"'{shown}' can be how many, which position, or how long."
    hint = (
        f"Write #{item.first} for the position, {item.first} min for the time, or put how many right before the part."
    )
    scan.blame("bare_number", message, hint, item.start)
    scan.claim(item.start, item.stop, Role.BLAMED)


def _stands_behind_kind(scan: Scan, index: int) -> bool:
    """Say whether the part's name stands before `index`, with nothing but small words, its place and its machine between."""
    index -= 1
    while index >= 0 and scan.roles[index] is not Role.KIND:
        between = scan.roles[index] in (Role.PLACE, Role.MACHINE) or scan.sign(index, ",:('")
        if not between and scan.word(index) not in _BEFORE_POSITIONS:
            return False
        index -= 1
    return index >= 0


def _stands_before_kind(scan: Scan, index: int) -> bool:
    """Say whether the part's name stands behind `index`, with nothing but what may describe it between."""
    while index < len(scan.tokens) and scan.roles[index] is not Role.KIND:
        describes = scan.roles[index] in (Role.PLACE, Role.MACHINE) or _describes(scan, index)
        if not describes and scan.word(index) not in _BEHIND_COUNT:
            return False
        index += 1
    return index < len(scan.tokens)


def _describes(scan: Scan, index: int) -> bool:
    """Say whether a mode or an action stands at `index` ("broken", "new")."""
    senses = (one.sense for one in scan.senses if one.start <= index < one.stop)
    return any(sense.mode is not None or sense.action is not None for sense in senses)


def _singular_ahead(scan: Scan, index: int) -> bool:
    """Say whether the part named behind `index` is named in the singular, and "a few" does not stand between."""
    mention = next(one for one in scan.kinds if one.start >= index)
    return not mention.plural and not any(scan.word(at) in ("few", "several") for at in range(index, mention.start))


def settle_positions(
    scan: Scan, counted: Counted, machine: KnownMachine | None, component: KnownComponent | None
) -> tuple[int, ...]:
    """Return the positions meant, ascending; blame what does not exist, does not add up or is missing."""
    said = _positions_said(scan, counted.positions)
    if said is None or component is None or machine is None:
        return said or ()
    how_many, names = component.positions, many_of(component.kind)
    beyond = [position for position in said if position > how_many]
    if beyond:
        item = next(one for one in counted.positions if one.last == beyond[-1])
        here = f"{how_many} {names}" if how_many > 1 else f"one {component.kind}"
        message = f"{machine.name} has {here}; {format_positions(beyond)} {'is' if len(beyond) == 1 else 'are'} beyond."
        hint = f"Count from 1 at the left to {how_many}." if how_many > 1 else "Leave the position out."
        scan.blame("beyond_positions", message, hint, item.start)
        return ()
    everything = tuple(range(1, how_many + 1))
    if said and counted.every is not None and said != everything:
        message = f"'{scan.tokens[counted.every].shown}' and {format_positions(said)} do not agree."
        scan.blame("count_differs", message, "Keep one of them.", counted.every)
    count = counted.count[0] if counted.count is not None else 0
    if not said and (how_many == 1 or counted.every is not None or count == how_many):
        said = everything
    if not said and not any(problem.code in _NUMBER_ASKED for problem in scan.problems):
        _ask_positions(scan, counted, machine, component)
    elif said and counted.count is not None and count != len(said):
        _blame_count(scan, counted, said, machine, component)
    return said


def _ask_positions(scan: Scan, counted: Counted, machine: KnownMachine, component: KnownComponent) -> None:
    """Ask which positions are meant; "41 section" may be a position written as a count."""
    how_many, names = component.positions, many_of(component.kind)
    count, at = counted.count or (0, scan.kinds[0].start)
    example = "41-43" if how_many > 43 else "1-2"
    hint = f"Write the positions, like {names} {example}, or all."
    if 1 < count <= how_many and not any(mention.plural for mention in scan.kinds):
        hint = f"Write #{count} for position {count}, or the positions, like {names} {example}."
    scan.blame("which_positions", f"Which of the {how_many} {names} on {machine.name}?", hint, at)


def _blame_count(
    scan: Scan, counted: Counted, said: tuple[int, ...], machine: KnownMachine, component: KnownComponent
) -> None:
    """Blame a count that is not the number of positions."""
    count, at = counted.count or (0, -1)
    if counted.positions:
        shown = format_positions(said)
        are = "is 1 position" if len(said) == 1 else f"are {len(said)} positions"
        message, hint = f"You wrote {count} but {shown} {are}.", "Correct one of them."
    else:
        name = component.kind if len(said) == 1 else many_of(component.kind)
        message, hint = (
            f"You wrote {count} but {machine.name} has {len(said)} {name}.",
            "Correct the number or leave it out.",
        )
    scan.blame("count_differs", message, hint, at)


def _positions_said(scan: Scan, items: list[Item]) -> tuple[int, ...] | None:
    """Return all positions that the line names; None after blaming one that cannot be."""
    found: set[int] = set()
    for item in items:
        try:
            found.update(parse_positions(f"{item.first}-{item.last}"))
        except UsageError as error:
            scan.blame("bad_position", error.message, error.hint, item.start)
            return None
    return tuple(sorted(found))
