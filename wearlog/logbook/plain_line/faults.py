"""Lines that tell of an electrical fault: which thing, what it does, and when it does so. A part that was replaced is no fault."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Action, Cause, Condition, MachineKind, Mode, SignKind, Subsystem
from wearlog.logbook.plain_line.electric_words import AT_ONCE, BLEW, CONDITIONS, ONLY_ELECTRIC, SIGNS, THINGS
from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.heard import HeardEntry, LineVerdict
from wearlog.logbook.plain_line.line import Line, Tag
from wearlog.logbook.plain_line.machines import machine_by_id, said_machines
from wearlog.logbook.plain_line.said_table import CAME
from wearlog.logbook.plain_line.when import When
from wearlog.logbook.quickline.vocabulary import KnownMachine, pairs_of_kinds

_ELECTRIC: Final = (Subsystem.ELECTRICAL, Subsystem.MONITORING)
#: broken by hand and eye, and not found by a meter: the part itself is entered
_SEEN: Final = (Mode.BROKEN, Mode.BENT, Mode.WORN, Mode.CRACKED, Mode.TORN, Mode.MISSING)

#: words that say that something is wrong, and not what the thing does
_WRONG: Final = (
    *("lost", "lose", "no", "off", "out", "unplugged", "corroded", "dirty", "wet", "pinched", "rubbed", "chafed"),
    *("wrong", "fault", "problem", "trouble", "short", "shorted", "clicks", "again", "wont", "doesnt", "cant", "never"),
    *("quit", "down", "low", "high", "warning", "alarm", "beeps", "bad", "melted", "smoke", "burnt", "loose"),
)
#: what was done before it works
_DONE: Final = ("replaced", "changed", "cleaned", "swapped", "reset", "tightened", "soldered", "taped", "bulb", "fuse")
#: what is set going by the engine or has devices of its own
_TURNED: Final = ("header", "reel", "unload", "rotor", "fan")


def is_fault(line: Line, groups: list[Group]) -> bool:
    """Say whether the line tells of an electrical fault and not of a part that broke or was replaced."""
    if _code(line):
        return True
    if "sensor" in _thing(line) and _sign(line, "") is not None and not _touched(line):
        return True
    fitted = [group for group in groups if pairs_of_kinds(line.farm.vocabulary, group.mark.kinds)]
    thing = _thing(line)
    if groups and _sign(line, thing) is None and not _touched(line) and line.has(*CAME):
        # fuses that came are for the shelf
        return False
    mechanical = [group for group in fitted if not _electric(line, group)]
    if not thing or (mechanical and mechanical[0].mark.start <= _at(line, thing) and _told_of_part(mechanical[0])):
        return False
    if thing in ONLY_ELECTRIC:
        return not (mechanical and _told_of_part(mechanical[0]))
    here = _fitted_here(line, fitted)
    if here is None:
        return _sign(line, thing) is not None or _touched(line)
    actions = {mark.phrase.said.action for mark in here.marks if mark.phrase.said is not None}
    modes = {
        mark.phrase.said.mode for mark in here.marks if mark.phrase.said is not None and not mark.phrase.said.watched
    }
    if Action.REPLACED in actions or any(one in _SEEN for one in modes):
        return False
    return _sign(line, thing) is not None and Action.MENDED not in actions


def _told_of_part(group: Group) -> bool:
    return any(
        mark.phrase.said is not None and (mark.phrase.said.mode or mark.phrase.said.action) for mark in group.marks
    ) or bool(group.spots)


def _fitted_here(line: Line, fitted: list[Group]) -> Group | None:
    """Return the electric part that the machine of the line, or any machine where it names none, has on record."""
    named = {one for mark in said_machines(line) for one in mark.phrase.machines}
    for group in fitted:
        owners = {machine.id for machine, _ in pairs_of_kinds(line.farm.vocabulary, group.mark.kinds)}
        if not named or owners & named:
            return group
    return None


def _electric(line: Line, group: Group) -> bool:
    return all(line.farm.subsystems.get(kind) in _ELECTRIC for kind in group.mark.kinds)


def _touched(line: Line) -> bool:
    """Say whether something is told of the thing at all: a mode, or what was done."""
    return any(
        mark.phrase.said is not None and (mark.phrase.said.mode or mark.phrase.said.action or mark.phrase.said.usual)
        for mark in line.of(Tag.SAID)
    )


def _thing(line: Line) -> str:
    """Return the longest electrical thing of the line; empty where it names none."""
    found = [
        thing for thing in THINGS if line.has(thing) and (THINGS[thing] != "starter" or _tells_of_engine(line, thing))
    ]
    fuses = [one for one in found if "fuse" in one]
    if fuses and line.has(*BLEW):
        # what was switched on when it blew is not what blew
        found = fuses
    if not found and line.has("amp", "amps") and line.has(*BLEW):
        return "fuse"
    return max(found, key=lambda one: (one in ONLY_ELECTRIC and len(one.split()) > 1, len(one)), default="")


def _tells_of_engine(line: Line, thing: str) -> bool:
    """Say whether what does not start is the engine, and not the reel or a header."""
    kinds = [machine_by_id(line, one).kind for mark in said_machines(line) for one in mark.phrase.machines]
    return line.text(_at(line, thing) - 1) not in _TURNED and MachineKind.HEADER not in kinds


def _at(line: Line, thing: str) -> int:
    at = line.find(thing)
    return at if at is not None else 0


def _code(line: Line) -> str:
    """Return "639/9" where the line names a fault code."""
    named = [_behind(line, word) for word in ("spn", "fmi")]
    if all(named):
        return "/".join(named)
    at = line.find("code")
    at = at if at is not None else line.find("error")
    if at is None:
        return ""
    figures = [
        line.text(index) for index in range(at + 1, min(at + 6, len(line.tokens))) if line.tokens[index].is_number
    ]
    return "/".join(figures[:2])


def _behind(line: Line, word: str) -> str:
    """Return the figure behind a word, over a colon: "spn 190", "fmi: 3"."""
    at = line.find(word)
    if at is None:
        return ""
    at += 1 + (line.text(at + 1) in (":", "="))
    return line.text(at) if line.text(at).isdigit() else ""


def _ask_doubt(line: Line, sign: SignKind | None) -> None:
    """Ask where the line says that something is not so, or does not say what is wrong."""
    denied = [
        f"{no} {words}"
        for no in ("not", "isnt", "never", "wasnt")
        for _, listed in SIGNS
        for words in listed
        if not words.startswith("not ") and line.has(f"{no} {words}")
    ]
    known = {words for _, listed in SIGNS for words in listed}
    denied = [one for one in denied if one not in known]
    if denied or (sign is None and line.has("no fault", "no problem", "no fault found")):
        line.ask("Is anything wrong with it?", "Write what it does, or 'works now'.")
    if line.has("codes"):
        line.ask("Which code?", "Write a line for each code.")
    replaced = line.has("replaced", "changed", "swapped", "exchanged", "renewed", "used")
    modes = any(mark.phrase.said is not None and mark.phrase.said.mode for mark in line.of(Tag.SAID))
    nothing = sign is None and not _touched(line) and not line.has(*_WRONG)
    if nothing and not line.has("no fault", "no problem", "no fault found"):
        line.ask("What does it do?", "Write what is wrong with it, like dead, flickers or stays on.")
    if sign is None and replaced and not modes:
        line.ask("What did it do before it was replaced?", "Write what was wrong with it.")


def _sign(line: Line, thing: str) -> SignKind | None:
    """Return what the thing does, by the longest words that say it."""
    if _works_at_end(line):
        return SignKind.WORKING
    if "fuse" in thing and line.has(*BLEW):
        return SignKind.FUSE_BLEW_AT_ONCE if line.has(*AT_ONCE) else SignKind.FUSE_BLEW_LATER
    found = [(len(words), sign) for sign, listed in SIGNS for words in listed if line.has(words)]
    working = [sign for _, sign in found if sign is SignKind.WORKING]
    erratic = [sign for _, sign in found if sign is SignKind.ERRATIC]
    if working:
        return SignKind.WORKING
    if erratic and line.has("nothing wrong", "when", "sometimes", "on rough ground", "comes and goes"):
        return SignKind.ERRATIC
    return max(found, key=lambda one: one[0])[1] if found else None


def _works_at_end(line: Line) -> bool:
    """Say whether the last word of it is that it works: "fuse 3 blown, replaced, works"."""
    last = len(line.tokens) - 1
    while line.text(last) in (".", "!", "now", "again", "fine", "ok", "good", "well"):
        last -= 1
    before = line.text(last - 1)
    alone = before in (",", ";", ".", "-", "and", "it", "all", "everything") or before in _DONE
    return line.text(last) in ("works", "working", "worked") and last > 0 and alone


def read_fault(line: Line, when: When, assumed: list[str]) -> list[HeardEntry]:
    """Return the fault that the line tells of; asks for the machine where that is open."""
    code, thing = _code(line), _thing(line)
    sign = _sign(line, thing)
    if code and sign is not SignKind.WORKING:
        over = line.text(len(line.tokens) - 1) in ("cleared", "gone")
        sign = SignKind.WORKING if over else SignKind.CODE
    _ask_doubt(line, sign)
    if sign is None:
        sign = SignKind.DEAD
        if any(mark.phrase.said is not None and mark.phrase.said.cause is Cause.LOOSE for mark in line.of(Tag.SAID)):
            sign = SignKind.ERRATIC
        assumed.append("mode")
    machine = _machine(line, assumed)
    title = f"code {code}" if code else _title(line, thing)
    note = " ".join(line.scan.text.split())
    return [
        HeardEntry(
            what=LineVerdict.FAULT,
            machine=machine,
            kind=title,
            sign=sign,
            conditions=_conditions(line),
            at=when.at,
            note=note,
        )
    ]


def _title(line: Line, thing: str) -> str:
    """Return the thing as the line calls it: "header fuse", "fuse 7", "30 amp fuse"."""
    said = THINGS.get(thing) or thing
    at = line.find(thing)
    if at is None:
        amp = next((index for index in range(len(line.tokens)) if line.text(index) in ("amp", "amps", "a")), 0)
        return f"{line.text(amp - 1)} amp fuse"
    behind = at + len(thing.split())
    if thing in ("fuse", "relay", "sensor") and behind < len(line.tokens) and line.tokens[behind].is_number:
        return f"{said} {line.text(behind)}"
    before = line.text(at - 1)
    if before in ("amp", "amps") and at > 1:
        return f"{line.text(at - 2)} amp {said}"
    if thing in ("plug", "connector") and any(mark.phrase.machines for mark in line.of(Tag.MACHINE)):
        machine = _machine(line, [])
        return f"header {said}" if machine is not None and machine.kind is MachineKind.HEADER else said
    return f"{before} {said}" if before in (*_TURNED, "cab", "engine", "tank") else said


def _conditions(line: Line) -> tuple[Condition, ...]:
    return tuple(condition for condition, listed in CONDITIONS if line.has(*listed))


def _machine(line: Line, assumed: list[str]) -> KnownMachine | None:
    named = list(dict.fromkeys(one for mark in said_machines(line) for one in mark.phrase.machines))
    if len(named) == 1:
        return machine_by_id(line, named[0])
    unit = line.farm.vocabulary.current_unit()
    if not named and len(unit) == 1:
        assumed.append("machine")
        return unit[0]
    if assumed is not None and not named:
        line.ask("On which machine is it?", "Add its name.")
    elif named:
        line.ask("On which of these machines is it?", "Name one.")
    return None
