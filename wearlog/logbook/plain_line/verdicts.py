"""What happened to a part and what was done, out of the words that say it: cause, mode, action, and whether it was planned work."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.line import Line, PhraseMark, Tag
from wearlog.logbook.plain_line.numbers import UNITS
from wearlog.logbook.plain_line.phrases import Phrase
from wearlog.logbook.plain_line.said_table import Said
from wearlog.logbook.quickline.lexicon import usual_mode
from wearlog.logbook.quickline.tokens import Role, words_of
from wearlog.logbook.quickline.vocabulary import pairs_of_kinds
from wearlog.logbook.quickline.words import Weight

_NOT: Final = frozenset(
    {
        "not",
        "never",
        "isnt",
        "isn't",
        "wasnt",
        "wasn't",
        "arent",
        "aren't",
        "werent",
        "didnt",
        "didn't",
        "without",
        "no",
    }
)
_UNCLEAR: Final = ("fixed", "did it", "fix", "sorted", "dealt with", "took care of", "done")
_SECONDARY: Final = Phrase(said=Said(cause=Cause.SECONDARY))
_LEFT: Final = Phrase(said=Said(action=Action.LEFT))
_CORRECTS: Final = ("no ,", "no wait", "i mean", "sorry", "scratch that", "make that", "correction")
_NEARBY: Final = ("at", "near", "by", "around", "beside")


#: with one of these a part does not go on
_BROKE: Final = frozenset({Mode.BROKEN, Mode.BENT, Mode.MISSING, Mode.TORN, Mode.SEIZED, Mode.FAILED})
#: what one mark says holds for all of them
_JOINED: Final = ("usual", "watched", "fine", "planned", "new")


def drop_negated(line: Line) -> list[str]:
    """Take back what is said not to be so ("not bent"), and fasteners that only say where ("at the rivet hole")."""
    denied = []
    for mark in line.of(Tag.SAID):
        said = mark.phrase.said
        if said is None:
            continue
        at = mark.start - 1
        while line.text(at) in ("the", "a", "an", "even", "really", "any", "be", "been", "by", "from", "due", "of"):
            at -= 1
        if (
            said.action is Action.LEFT
            and line.text(mark.start) == "left"
            and line.text(mark.stop) in ("the", "a", "my")
        ):
            line.drop(mark)
        elif (
            line.text(at) in _NOT and line.scan.roles[at] is None and (said.mode or said.cause) and said.action is None
        ):
            denied.append(line.scan.shown(at, mark.stop))
            line.drop(mark)
        elif said.action in (Action.REPLACED, Action.MENDED) and not said.new and _not_done(line, mark.start):
            mark.phrase = _LEFT
        elif (
            line.text(mark.start) == "in" and line.text(mark.stop - 1) == "half" and line.text(mark.stop) in ("a", "an")
        ):
            # "going again in half an hour" is time
            line.drop(mark)
        elif said.mode is Mode.MISSING and line.text(mark.start) == "gone" and line.text(mark.start - 1) in UNITS:
            # "an hour gone" is time
            line.drop(mark)
        elif (said.cause is Cause.LOOSE and said.mode is None and line.text(at) in _NEARBY) or (
            said.cause is Cause.LOOSE
            and said.mode is None
            and line.text(mark.stop) in ("hole", "holes", "head", "heads")
        ):
            line.drop(mark)
    return denied


def _not_done(line: Line, start: int) -> bool:
    """Say whether something was not done yet: "hasn't been replaced", "havent changed"."""
    at = start - 1
    while line.text(at) in ("been", "yet", "be"):
        at -= 1
    return line.text(at).replace("'", "") in ("hasnt", "havent", "wasnt", "werent", "didnt", "isnt", "arent")


def happened(line: Line, marks: Sequence[PhraseMark], *, place: str) -> Said:
    """Return what these marks say together; asks where two of them exclude one another. `place` names the part in the question."""
    said = [(mark, mark.phrase.said) for mark in marks if mark.phrase.said is not None]
    cause, (mode, soft), action = _cause(line, said, place), _mode(line, said, place), _action(line, said, place)
    if mode is Mode.MISSING and action is Action.MENDED:
        # what is put back on was only off
        mode = Mode.LOOSE
    also = {field: any(getattr(one, field) for _, one in said) for field in _JOINED}
    # what is hot and burnt broke; nobody goes on with it
    also["watched"] = also["watched"] and not any(one.mode in _BROKE and not one.soft for _, one in said)
    return Said(cause, mode, action, Weight.PLAIN, soft, **also)


def _cause(line: Line, said: Sequence[tuple[PhraseMark, Said]], place: str) -> Cause | None:
    causes = [(mark, one) for mark, one in said if one.cause is not None]
    most = max((one.weight for _, one in causes), default=Weight.PLAIN)
    firm = [(mark, one) for mark, one in causes if one.weight is most]
    if not firm:
        return None
    first, one = firm[0]
    other = next(
        (mark for mark, another in firm if another.cause not in (one.cause, Cause.SECONDARY, Cause.UNKNOWN)), None
    )
    if other is not None and most is Weight.PLAIN and one.cause not in (Cause.SECONDARY, Cause.UNKNOWN):
        words = [line.scan.shown(mark.start, mark.stop) for mark in (first, other)]
        line.ask(f"Why did the {place} break: '{words[0]}' or '{words[1]}'?", "Keep the one that came first.")
    return one.cause


def _mode(line: Line, said: Sequence[tuple[PhraseMark, Said]], place: str) -> tuple[Mode | None, bool]:
    modes = [(mark, one) for mark, one in said if one.mode is not None]
    firm = [(mark, one) for mark, one in modes if not one.soft and one.weight is Weight.PLAIN]
    hints = [(mark, one) for mark, one in modes if not one.soft]
    chosen = firm or hints or modes
    if not chosen:
        return None, False
    first, one = chosen[0]
    other = next((mark for mark, another in firm if another.mode is not one.mode), None)
    if other is not None and not _goes_together(one.mode, other):
        words = [line.scan.shown(mark.start, mark.stop) for mark in (first, other)]
        line.ask(f"Was {place} '{words[0]}' or '{words[1]}'?", "Keep the worse one.")
    return one.mode, one.soft


#: of two that are said together the first is what happened, and the second what came of it
_TOGETHER: Final = frozenset(
    {
        *(
            (Mode.BROKEN, Mode.MISSING),
            (Mode.MISSING, Mode.BROKEN),
            (Mode.CRACKED, Mode.LEAKING),
            (Mode.TORN, Mode.MISSING),
        ),
        *(
            (Mode.FAILED, Mode.SEIZED),
            (Mode.SEIZED, Mode.FAILED),
            (Mode.FAILED, Mode.LEAKING),
            (Mode.LEAKING, Mode.FAILED),
        ),
        *(
            (Mode.BROKEN, Mode.FAILED),
            (Mode.FAILED, Mode.BROKEN),
            (Mode.BENT, Mode.MISSING),
            (Mode.SEIZED, Mode.BROKEN),
        ),
    }
)


def _goes_together(mode: Mode | None, other: PhraseMark) -> bool:
    said = other.phrase.said
    return said is not None and said.mode is not None and mode is not None and (mode, said.mode) in _TOGETHER


def _action(line: Line, said: Sequence[tuple[PhraseMark, Said]], place: str) -> Action | None:
    actions = [(mark, one.action) for mark, one in said if one.action is not None]
    if any(one.planned for _, one in said) and any(action is not Action.LEFT for _, action in actions):
        actions = [(mark, action) for mark, action in actions if action is not Action.LEFT]
    distinct = list(dict.fromkeys(action for _, action in actions))
    if len(distinct) < 2:
        return distinct[0] if distinct else None
    if set(distinct) == {Action.MENDED, Action.LEFT}:
        return Action.MENDED
    shown = [line.scan.shown(mark.start, mark.stop) for mark, _ in actions]
    line.ask(
        f"Was {place} replaced, mended or left? The line says '{shown[0]}' and '{shown[-1]}'.", "Keep what holds now."
    )
    return distinct[0]


def share(groups: list[Group], marks: dict[int, list[PhraseMark]]) -> None:
    """Let parts that say nothing of themselves share what is said of the others of their sentence.

    What stands before the first part is said of all; a cause at the very end is said of all that name none; a part that says
    nothing has what the next one says, else what the one before says.
    """
    for index, group in enumerate(groups):
        if index == 0:
            continue
        ahead = [mark for mark in groups[0].marks if mark.stop <= groups[0].mark.start and _sentence(groups, group)]
        marks[index] = [*[mark for mark in ahead if _shared_ahead(mark)], *marks[index]]
    _share_alone(groups, marks)
    _share_back(groups, marks)
    for index in range(1, len(groups)):
        if not _tells(marks[index]) and groups[index].sentence == groups[index - 1].sentence:
            marks[index] = [*marks[index], *[mark for mark in marks[index - 1] if _is_cause_or_action(mark)]]
        elif groups[index].too and not _has_cause(marks[index]):
            marks[index] = [*marks[index], *[mark for mark in marks[index - 1] if _is_cause(mark)]]


def _share_alone(groups: list[Group], marks: dict[int, list[PhraseMark]]) -> None:
    """Let a cause that has a sentence for itself be said of all parts that name none: "sections 41-43; guard 42; rock"."""
    last = groups[-1]
    causes = [mark for mark in marks[len(groups) - 1] if _is_firm_cause(mark)]
    apart = [mark for mark in causes if any(last.mark.stop <= sign < mark.start for sign in last.ends)]
    for index in range(len(groups) - 1):
        if apart and not _has_cause(marks[index]):
            marks[index] = [*marks[index], *apart]


def _share_back(groups: list[Group], marks: dict[int, list[PhraseMark]]) -> None:
    last = [mark for mark in marks[len(groups) - 1] if _is_firm_cause(mark)]
    trailing = [mark for mark in last if mark.stop >= _end_of_marks(marks[len(groups) - 1])]
    for index in range(len(groups) - 2, -1, -1):
        here, following = groups[index], groups[index + 1]
        if here.sentence != following.sentence:
            continue
        if not _tells(marks[index]):
            marks[index] = [*marks[index], *[mark for mark in marks[index + 1] if _may_go_back(mark)]]
        elif not _has_cause(marks[index]) and here.sentence == groups[-1].sentence:
            marks[index] = [*marks[index], *trailing]


def _may_go_back(mark: PhraseMark) -> bool:
    said = mark.phrase.said
    return said is not None and said.cause is not Cause.SECONDARY and not said.fine


def _end_of_marks(marks: list[PhraseMark]) -> int:
    return max((mark.stop for mark in marks), default=0)


def _sentence(groups: list[Group], group: Group) -> bool:
    return group.sentence == groups[0].sentence


def _tells(marks: list[PhraseMark]) -> bool:
    """Say whether these marks say what happened or what was done, and not only why."""
    return any(mark.phrase.said is not None and _says(mark.phrase.said) for mark in marks)


def _says(said: Said) -> bool:
    return bool(said.mode or said.action or said.usual or said.fine or said.cause)


def _is_cause(mark: PhraseMark) -> bool:
    return mark.phrase.said is not None and mark.phrase.said.cause not in (None, Cause.SECONDARY)


def _is_firm_cause(mark: PhraseMark) -> bool:
    return _is_cause(mark) and mark.phrase.said is not None and mark.phrase.said.mode is None


def _is_cause_or_action(mark: PhraseMark) -> bool:
    said = mark.phrase.said
    return said is not None and (_is_cause(mark) or said.action is not None or said.mode is not None or said.planned)


def _has_cause(marks: list[PhraseMark]) -> bool:
    return any(mark.phrase.said is not None and mark.phrase.said.cause is not None for mark in marks)


def _shared_ahead(mark: PhraseMark) -> bool:
    said = mark.phrase.said
    return said is not None and (said.cause is not None or said.planned) and said.cause is not Cause.SECONDARY


def unclear_word(line: Line) -> str:
    """Return the word that does not say what was done ("fixed"); empty where none stands. Not where another word says it."""
    return next((word for word in _UNCLEAR if (at := line.find(word)) is not None and line.scan.roles[at] is None), "")


def mode_of(kind: str, result: Said) -> tuple[Mode, bool]:
    """Return how the part failed, and whether that is taken for granted."""
    if result.mode is Mode.MISSING and result.usual and usual_mode(kind) is not Mode.BROKEN:
        # a bearing that is gone is still there
        return usual_mode(kind), True
    if result.mode is not None:
        return result.mode, result.soft
    if result.cause is Cause.WEAR:
        return Mode.WORN, True
    return usual_mode(kind), not result.usual


def reasons_apart(line: Line) -> None:
    """Read "because of the bearing" as a reason that stays in the note: the part behind it is not one that broke."""
    for mark in line.of(Tag.SAID):
        if mark.phrase.said is None or not mark.phrase.said.reason:
            continue
        after = mark.stop
        while line.text(after) in ("the", "a", "an", "of", "it"):
            after += 1
        part = next((one for one in line.of(Tag.KIND) if one.start == after), None)
        if part is None or len(line.of(Tag.KIND)) < 2:
            line.marks.remove(mark)
            continue
        stop = _end_of_reason(line, part)
        for one in [one for one in line.marks if mark.start <= one.start < stop]:
            line.drop(one)
        line.marks.append(PhraseMark(mark.start, stop, Tag.SAID, _SECONDARY))
        line.marks.sort(key=lambda one: one.start)
        line.scan.claim(mark.start, stop, Role.REASON)


def _end_of_reason(line: Line, part: PhraseMark) -> int:
    """Return where a reason ends that names a part: behind its number and what is said of it, "guard 18 bent"."""
    stop = part.stop
    while stop < len(line.tokens) and (
        line.tokens[stop].is_number or line.scan.roles[stop] in (Role.SENSE, Role.MACHINE)
    ):
        if line.tokens[stop].is_number and stop > part.stop:
            break
        stop += 1
    return stop


def claim_left(line: Line) -> None:
    """Claim a lone "left" behind a part, its number or what happened: it was left in service, and is no side."""
    kinds = frozenset(kind for mark in line.of(Tag.KIND) for kind in mark.kinds)
    if any("left" in words_of(part.place) for _, part in pairs_of_kinds(line.farm.vocabulary, kinds)):
        return
    for index in range(1, len(line.tokens)):
        if line.scan.word(index) != "left" or line.text(index + 1) in ("side", "hand", "end", "in", "on", "over"):
            continue
        ends = (
            index + 1 >= len(line.tokens)
            or line.scan.sign(index + 1, ",.;")
            or line.scan.word(index + 1) in ("it", "and")
        )
        at = index - 1 - line.scan.sign(index - 1, ",")
        if ends and line.scan.roles[at] in (Role.POSITION, Role.SENSE, Role.KIND, Role.MACHINE):
            line.marks.append(PhraseMark(index, index + 1, Tag.SAID, _LEFT))
            line.marks.sort(key=lambda one: one.start)
            line.scan.claim(index, index + 1, Role.SENSE)


def take_corrections(line: Line) -> None:
    """Take what stands behind "no," or "i mean" for what was meant; asks where only a figure is corrected."""
    at = next((at for phrase in _CORRECTS if (at := line.find(phrase)) is not None and at > 0), None)
    if at is None or line.scan.roles[at] is not None:
        return
    if not any(mark.start > at for mark in line.of(Tag.KIND)):
        if any(token.is_number for token in line.tokens[at:]):
            line.ask("The line corrects itself.", "Write it again as it was.")
        return
    for mark in [one for one in line.marks if one.start < at and one.tag in (Tag.KIND, Tag.SAID)]:
        line.drop(mark)
