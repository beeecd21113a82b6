"""What a line about parts may leave open: whether it happened at all, to which ones, and whether it was put right."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from wearlog.facts.closed_lists import Action, Cause
from wearlog.facts.positions import many_of
from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.heard import HeardEntry
from wearlog.logbook.plain_line.line import SMALL, Line, PhraseMark, Tag
from wearlog.logbook.plain_line.numbers import spot_at
from wearlog.logbook.plain_line.readings import METER_WORDS, figures_of
from wearlog.logbook.plain_line.said_table import Said
from wearlog.logbook.quickline.tokens import Role

_MOVED: Final = ("moved", "move", "moving", "swapped over")
#: said before what broke, they say that it did not, or that nobody is sure
_NOT_SURE: Final = ("nearly", "almost", "might", "might be", "might have", "may be", "could be", "about to")
#: they say that nothing happened to it
_SOUND: Final = (
    *("was fine", "is fine", "were fine", "are fine", "was ok", "were ok", "not broken", "did not break"),
    *("undamaged", "no damage", "not damaged", "unhurt"),
)
#: anywhere before what broke, in its stretch, they say that nobody is sure
_MAYBE: Final = (
    *("maybe", "perhaps", "probably", "possibly", "not sure", "unsure", "i think", "i guess", "i believe", "might"),
    *("looks", "look", "looked", "seems", "appears", "supposedly", "apparently"),
)
#: they mean more positions than the line names
_OTHERS: Final = (
    *("next to it", "next to them", "next to that", "beside it", "either side", "both sides", "the next one", "ff"),
    *("onwards", "and up", "neighbours", "neighbors"),
)
#: the figure behind one of these is the number of a part or a sort of it
_NUMBERED: Final = (
    "with",
    "used",
    "number",
    "no",
    "nr",
    "part",
    "type",
    "size",
    "by",
    "code",
    "for",
    "in",
    "of",
    "season",
    "since",
)
_LEAVES_OUT: Final = ("except", "but not", "excluding", "apart from", "other than", "except for")
_CUT: Final = ("cut", "did", "ac done", "acres done", "ha done", "finished", "combined", "harvested", "done with")
#: before acres or hours they say when it happened, and tell of no run and no reading
_WHEN_SO: Final = frozenset({"at", "after", "before", "since", "about", "around", "every", "last", "by", "with"})
_LEAST_METER: Final = 100
#: done to a part that did not break
_LOOKED: Final = (
    *(
        "checked",
        "inspected",
        "looked at",
        "greased",
        "greased it",
        "oiled",
        "oiled it",
        "lubed",
        "painted",
        "measured",
    ),
    *("plugged up", "plugged", "blocked", "clogged", "choked", "too tight", "tight", "stiff", "dry"),
    *("cleaned", "washed", "marked", "numbered", "counted", "set to", "set at"),
)


def ask_of_line(line: Line, groups: Sequence[Group]) -> None:
    """Ask about what the line as a whole leaves open: moved parts, doubts, what is all right, what was only taken off."""
    broke = [mark for mark in line.of(Tag.SAID) if mark.phrase.said is not None and mark.phrase.said.mode]
    for word in _MOVED:
        if line.has(word) and line.has("to") and (line.has("from") or not broke):
            line.ask("A part that moves takes its age along.", "Enter it with 'wearlog move'.")
    for word in ("swapped", "switched", "traded", "exchanged"):
        at = line.find(f"{word} with")
        if at is not None and line.scan.digits(at + 2 + (line.text(at + 2) == "#")) is not None:
            line.ask("A part that moves takes its age along.", "Enter it with 'wearlog move'.")
    for mark in broke:
        before = " ".join(line.text(at) for at in range(max(0, mark.start - 2), mark.start))
        doubt = next((word for word in _NOT_SURE if before == word or before.endswith(f" {word}")), None)
        if doubt is not None:
            line.ask(f"'{doubt} {line.scan.shown(mark.start, mark.stop)}': did it or not?", "Write only what happened.")
    _ask_doubt(line, broke)
    _ask_of_others(line, groups)
    _ask_last(line, groups)
    _ask_times(line, groups)
    sound = next((words for words in _SOUND if line.has(words)), None)
    if sound is not None and not _of_another(line, groups, sound):
        line.ask(f"'{sound}': did anything break?", "Write only what broke.")
    first_left = (
        len(line.tokens) > 1
        and line.text(0) == "left"
        and (line.tokens[1].is_number or (line.scan.roles[1] is Role.KIND and any(group.spots for group in groups)))
    )
    left = any(mark.phrase.said is not None and mark.phrase.said.action is Action.LEFT for mark in line.of(Tag.SAID))
    settled = left or line.text(len(line.tokens) - 1) == "replaced"
    none_left = not _acted(line) and line.has(
        "no spares",
        "none in stock",
        "none here",
        "none on the shelf",
        "none left",
        "no more left",
        "out of them",
        "ran out",
        "out of stock",
    )
    if not settled and (first_left or none_left or (line.has("no") and line.has("time to")) or _no_time(line)):
        line.ask("Was it left as it is, or put right?", "Write 'replaced' or 'left in' at the end.")
    took = [
        at
        for at in range(len(line.tokens))
        if line.text(at) in ("took", "take", "taken", "pulled") and line.scan.roles[at] is None
    ]
    if took and not _acted(line) and any(line.text(at) in ("off", "out") for at in range(took[0], len(line.tokens))):
        line.ask(
            "Was it taken off and nothing put on, or replaced?",
            "Write 'replaced', or enter it with 'wearlog take-off'.",
        )
    for machine_mark, other in zip(line.of(Tag.MACHINE), line.of(Tag.MACHINE)[1:], strict=False):
        if line.text(machine_mark.stop) == "or" and other.start == machine_mark.stop + 1:
            line.ask(
                f"'{line.scan.shown(machine_mark.start, other.stop)}': which one was it?",
                "Name the one that it broke on.",
            )


def _acted(line: Line) -> bool:
    """Say whether the line tells what was done."""
    return any(mark.phrase.said is not None and mark.phrase.said.action for mark in line.of(Tag.SAID))


def _ask_doubt(line: Line, broke: Sequence[PhraseMark]) -> None:
    """Ask about "maybe cracked", "i think guard 90 is bent": a doubt about what broke, and not only about why."""
    said = [mark for mark in line.of(Tag.SAID) if mark.phrase.said is not None]
    for words in _MAYBE:
        at = line.find(words)
        if at is None or line.scan.roles[at] not in (None, Role.SENSE):
            continue
        behind = next((mark for mark in said if mark.start >= at + len(words.split())), None)
        if behind is None:
            before = [mark for mark in said if mark.stop <= at]
            behind = before[-1] if before else None
        if behind is not None and behind in broke:
            shown = line.scan.shown(at, at + len(words.split()))
            line.ask(f"'{shown}': did it or not?", "Write only what happened.")
            return


def _ask_of_others(line: Line, groups: Sequence[Group]) -> None:
    """Ask which ones are meant by "the one next to it", "2 more", and by "but not" before no number."""
    if not any(group.spots for group in groups):
        return
    for words in (*_OTHERS, *_LEAVES_OUT):
        at = line.find(words)
        if at is not None and line.scan.roles[at] is None:
            shown = line.scan.shown(at, at + len(words.split()))
            line.ask(f"Which ones does '{shown}' mean?", "Write all positions, like 41-43 or 41, 45.")
            return
    more = line.find("more")
    joined = more is not None and more > 1 and line.text(more - 2) in ("and", "&", "+", ",", "plus")
    if more is not None and joined and line.tokens[more - 1].is_number:
        shown = line.scan.shown(more - 1, more + 1)
        line.ask(f"Which ones are '{shown}'?", "Write all positions, like 41-43 or 41, 45.")


def _no_time(line: Line) -> bool:
    """Say whether "no time" ends what is told of a part: it stood for none, or there was none to change it."""
    at = line.find("no time")
    return at is not None and (at + 2 >= len(line.tokens) or line.scan.sign(at + 2, ",.;")) and not _acted(line)


def _ask_times(line: Line, groups: Sequence[Group]) -> None:
    """Ask when each time was of "broke twice": one entry would be one of them. Ask about "still leaks" behind the work too."""
    for at in range(1, len(line.tokens)):
        count = line.scan.digits(at) if line.text(at + 1) == "times" else 2 if line.text(at) == "twice" else None
        told = line.scan.roles[at - 1] in (Role.SENSE, Role.KIND, Role.POSITION) and line.scan.roles[at] is None
        caused = any(
            mark.stop == at and mark.phrase.said is not None and not mark.phrase.said.mode and mark.phrase.said.action
            for mark in line.of(Tag.SAID)
        )
        if count is not None and count > 1 and told and groups and not caused:
            line.ask("When was each time?", "Write a line for each, with its time.")
    for mark in line.of(Tag.SAID):
        said = mark.phrase.said
        goes_on = said is not None and said.mode and line.text(mark.start - 1) == "still"
        before = [one.phrase.said for one in line.of(Tag.SAID) if one.stop < mark.start and one.phrase.said is not None]
        if goes_on and any(one.action is Action.MENDED for one in before):
            shown = line.scan.shown(mark.start - 1, mark.stop)
            line.ask(f"'{shown}': was it put right, or left as it is?", "Write what holds now.")


def _ask_last(line: Line, groups: Sequence[Group]) -> None:
    """Ask about the 20 of "guards 5 6 7, 20": behind a comma a list written without any may end in minutes, said in fives."""
    for spot in [spot for group in groups for spot in group.spots[1:]]:
        if line.text(spot.start - 1) == "at" and len(spot.numbers) > 1 and not spot.numbers[0].sure:
            first = spot.numbers[0].first
            line.ask(f"Is the {first} a position or a time of day?", f"Write #{first} or {first}:00.")
    for spot in [spot for group in groups for spot in group.spots]:
        plain = [one for one in spot.numbers if not one.sure]
        if len(plain) < 3 or len(plain) != len(spot.numbers) or spot.without:
            continue
        last, before = plain[-1], plain[-2]
        gaps = [line.scan.shown(one.stop, other.start).strip() for one, other in pairwise(plain)]
        if gaps[-1] == "," and not any(gaps[:-1]) and last.first % 5 == 0 and last.first != before.first + 1:
            line.ask(f"Is the {last.first} a position or minutes?", f"Write #{last.first} or {last.first} min.")


def _of_another(line: Line, groups: Sequence[Group], sound: str) -> bool:
    """Say whether it is another part that is all right, beside one that broke."""
    at = line.find(sound) or 0
    here = next((group for group in groups if group.start <= at < group.stop), None)
    if here is None or len(groups) < 2:
        return False
    told = [mark.phrase.said for mark in here.marks if mark.phrase.said is not None]
    return bool(told) and all(one.fine for one in told)


def tended(line: Line) -> bool:
    """Say whether a part that made itself heard was greased and is no new one: "noisy, greased"."""
    return any(
        (at := line.find(word)) is not None and line.scan.roles[at] is None for word in ("greased", "oiled", "lubed")
    )


def only_looked_at(line: Line, result: Said) -> str:
    """Return what was done to a part of which the line says neither that it broke nor what was done about it: "greased"."""
    fastened = result.cause is Cause.LOOSE and not result.mode
    if result.mode or (result.cause and not fastened) or result.action or result.usual or result.new or result.planned:
        return ""
    return next(
        (words for words in _LOOKED if (at := line.find(words)) is not None and line.scan.roles[at] is None), ""
    )


def _ask_of_other_sorts(line: Line) -> None:
    """Ask about a run or a meter told beside what broke: both would stay in the note only."""
    for figure in figures_of(line):
        at = figure.start - 1
        around = {line.text(one) for one in range(at, max(-1, at - 3), -1)}
        if figure.unit in ("ac", "ha"):
            behind = line.text(figure.stop)
            if line.has(*_CUT) and not around & _WHEN_SO and behind not in ("in", "from", "left", "to", "of", "into"):
                line.ask("The line tells of a run too.", "Write the acres as a line of their own.")
            continue
        near = {line.text(one) for one in (at, at - 1, figure.stop, figure.stop + 1, figure.stop + 2)}
        if (
            near & set(METER_WORDS)
            and figure.unit in ("", "h")
            and figure.value >= _LEAST_METER
            and not around & _WHEN_SO
        ):
            line.ask("The line tells what a meter shows too.", "Write the hours as a line of their own.")


def ask_figures(line: Line, entries: list[HeardEntry]) -> None:
    """Ask about a figure that stands alone: it can be a position, minutes, or how many."""
    _ask_of_other_sorts(line)
    for index in _loose_figures(line):
        figure = line.text(index)
        here = [one for one in entries if one.component is not None and 1 < one.component.positions >= int(figure)]
        denied = bool(here) and line.text(index - 1) == "not" and not any(int(figure) in one.positions for one in here)
        if denied or line.text(index - 1) in ("cost", "costs", "paid", "charged", "price"):
            continue
        name = entries[0].kind if entries else "part"
        line.ask(
            f"What is the {figure}: a position, minutes, or how many {many_of(name)}?",
            f"Write #{figure} or {figure} min.",
        )
    for index, token in enumerate(line.tokens):
        bare = (
            token.text == "0" and line.scan.roles[index] is Role.TIME and line.text(index - 1) not in ("at", "around")
        )
        if bare and line.text(index + 1) == ":" and line.scan.glued(index + 1):
            shown = line.scan.shown(index, index + 3)
            line.ask(f"Is {shown} a time of day or minutes?", f"Write 0{shown}, or {line.text(index + 2)} min.")
        if line.scan.digits(index) is not None and line.text(index + 1) == "'" and line.scan.glued(index + 1):
            line.ask(f"Is {token.text}' minutes or feet?", f"Write {token.text} min, or {token.text} ft.")
        shown = _odd_figure(line, index)
        if shown:
            line.ask(f"What is the {shown}?", _how_to_write(shown))


def _how_to_write(shown: str) -> str:
    if "." in shown:
        return f"Write {shown.replace('.', '/')} for a day, or its unit behind it."
    if len(shown) == 4:
        return f"Write {shown[:2]}:{shown[2:]} for a time of day, or its unit behind it."
    return "Write a position like #45, or a day like july 28."


def _odd_figure(line: Line, index: int) -> str:
    """Return 1530 or 28.7 where it stands alone: nothing counts behind it, and it is no number of a part."""
    scan = line.scan
    text = line.text(index)
    goes_on = index > 1 and scan.sign(index - 1, "-") and line.scan.roles[index - 2] is Role.POSITION
    if goes_on and scan.digits(index) is not None and scan.glued(index):
        return text
    if scan.digits(index) is None or scan.sign(index - 1, "-./,$#") or line.text(index - 1) in _NUMBERED:
        return ""
    if scan.sign(index + 1, ".") and scan.glued(index + 1) and scan.glued(index + 2):
        month = scan.digits(index + 2, 2)
        day = scan.digits(index, 2)
        if line.text(index - 1) in ("gap", "worn", "down", "to", "by", "of", "is", "was", "measured", "measures"):
            return ""
        whole = day is not None and month is not None and 1 <= day <= 31 and 1 <= month <= 12
        return scan.shown(index, index + 3) if whole and _alone(line, index, index + 3) else ""
    if len(text) == 8 and text[:2] in ("19", "20"):
        return text
    clock = len(text) == 4 and 5 <= int(text[:2]) < 24 and int(text[2:]) < 60
    return text if clock and _alone(line, index, index + 1) else ""


def _alone(line: Line, start: int, stop: int) -> bool:
    glued = (line.scan.glued(start) and line.tokens[start - 1].is_word) or (
        line.scan.glued(stop) and (line.tokens[stop].is_word or line.tokens[stop].is_number)
    )
    behind = line.scan.word(stop)
    return not glued and (not behind or behind in SMALL)


def _loose_figures(line: Line) -> list[int]:
    """Return the figures that nothing has claimed and that stand alone: no unit, no noun behind them."""
    found = []
    for index in range(len(line.tokens)):
        if line.scan.digits(index) is None or spot_at(line, index) is None:
            continue
        behind = line.scan.word(index + 1)
        glued = index + 1 < len(line.tokens) and line.tokens[index + 1].glued and line.tokens[index + 1].is_word
        before = line.scan.sign(index - 1, "-./") or (
            index > 0 and line.tokens[index].glued and line.tokens[index - 1].is_word
        )
        fastened = line.text(index + 1) in ("bolt", "bolts", "rivet", "rivets", "link", "links")
        if (
            not fastened
            and not (behind and behind not in SMALL and not behind.endswith("ed"))
            and not glued
            and not before
            and len(line.text(index)) < 4
        ):
            found.append(index)
    return found
