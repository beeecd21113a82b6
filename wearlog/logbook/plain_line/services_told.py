"""Lines about services that were done: "greased plover", "changed oil alder 5025 h", "oil, fuel filters and coolant changed".

A service that is due, that was only looked at or topped up is none that was done: that is asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Final

from wearlog.logbook.plain_line.heard import HeardEntry, LineVerdict
from wearlog.logbook.plain_line.line import SMALL, Line, note_of
from wearlog.logbook.plain_line.machines import machine_by_id, said_machines
from wearlog.logbook.plain_line.phrases import KnownService
from wearlog.logbook.plain_line.readings import figures_of
from wearlog.logbook.plain_line.spans import TimeSpans
from wearlog.logbook.plain_line.when import When
from wearlog.logbook.quickline.tokens import Role, either, words_of
from wearlog.logbook.quickline.vocabulary import KnownMachine

#: words that mean a service whatever it is called
_GENERAL: Final = frozenset({"serviced", "service", "maintenance", "serviced the"})
#: how people say a word of a service's name
_SAME: Final = {
    **dict.fromkeys(("greased", "greasing", "lube", "lubed", "greas", "grease"), "grease"),
    **dict.fromkeys(("extinguishers", "extinguisher"), "extinguishers"),
    **dict.fromkeys(("filters", "filter"), "filter"),
    **dict.fromkeys(("hyd", "hydraulics", "hydraulic"), "hydraulic"),
    **dict.fromkeys(("gearboxes", "gearbox"), "gearbox"),
    **dict.fromkeys(("belts", "belt"), "belt"),
    **dict.fromkeys(("antifreeze", "coolant"), "coolant"),
    **dict.fromkeys(("oils", "oil"), "oil"),
    **dict.fromkeys(("diesel", "fuel"), "fuel"),
    **dict.fromkeys(("motor", "engine"), "engine"),
    **dict.fromkeys(("bearings", "bearing"), "bearings"),
}
#: a service is said by one of these, and never by a word that tells where only
_TELLING: Final = frozenset(
    {"grease", "oil", "filter", "coolant", "extinguishers", "tension", "lubricant", "brakes", "separator"}
)
#: they tell two services of one word apart: engine oil is no hydraulic oil
_WHOSE: Final = frozenset(
    {"engine", "hydraulic", "fuel", "gearbox", "final", "air", "cab", "hydrostatic", "transmission"}
)
#: behind a service that was named they go on with its name: "oil and filter"
_GOES_ON: Final = frozenset({"filter", "tension", "lubricant", "brakes", "separator"})
_DONE: Final = (
    *("changed", "done", "did", "serviced", "greased", "drained", "flushed", "replaced", "cleaned", "lubed", "new"),
    *("swapped", "renewed"),
)
_LOOKED: Final = ("checked", "check", "inspected", "looked at", "level", "ok", "okay", "fine")
_ADDED: Final = (
    *("topped", "topped up", "top up", "added", "add", "filled", "filled up", "put in", "used", "refilled"),
    *("l", "litre", "litres", "liter", "liters", "quart", "quarts", "gallon", "gallons", "gal"),
)
_NOT_DONE: Final = (
    *("not", "never", "didnt", "did not", "wasnt", "havent", "hasnt", "forgot", "forgotten", "not yet"),
    *("except", "but not", "without"),
)
#: what is wrong with a thing or still to be done, and no word that anything was done
_TROUBLE: Final = (
    *("plugged", "clogged", "low", "dirty", "blocked", "needs", "need", "due", "overdue", "next", "soon", "leaking"),
    *("leak", "leaks", "leaked", "broken", "broke", "bad", "empty", "out of", "needed", "no", "should", "must"),
    *("have to", "has to"),
)
#: of these a look is the service itself
_BY_LOOKING: Final = frozenset({"check", "level", "tension", "extinguishers", "brakes", "inspection"})
_VERBS: Final = frozenset(
    {"checked", "check", "changed", "change", "done", "did", "serviced", "greased", "topped", "drained", "flushed"}
)
_PARTED: Final = ("and", "plus", ",", "+", "&", ";", ".", "/")


def is_service(line: Line) -> bool:
    """Say whether the line is about a service: a word that tells one, by its name on this farm or in general."""
    said = _said(line)
    if any(line.has(word) for word in _GENERAL) and not said & _TELLING:
        return any(mark.phrase.machines for mark in said_machines(line)) or bool(line.many)
    names = {word for one in line.farm.services for word in _words(one)}
    return bool(said & _TELLING & (names | {"grease", "oil", "coolant"}))


def tells_service(text: str) -> bool:
    """Say whether a text by itself names upkeep: greased, engine oil and filter, coolant."""
    words = words_of(text)
    pairs = {a + b for a, b in pairwise(words)}
    said = {_SAME.get(word, word) for word in {*words, *pairs}}
    return bool(said & _TELLING) or bool(set(words) & _GENERAL)


def service_called(text: str, services: Sequence[KnownService]) -> KnownService | None:
    """Return the service of a machine that a text names: the one whose name has most of its words; None where two have."""
    said = frozenset(_SAME.get(word, word) for word in words_of(text))
    scores = [
        (len(said & _words(one)) / len(said | _words(one)), one) for one in services if said & _words(one) & _TELLING
    ]
    best = max((score for score, _ in scores), default=0.0)
    found = [one for score, one in scores if score == best]
    return found[0] if len(found) == 1 else None


@lru_cache(maxsize=1_024)
def _words(service: KnownService) -> frozenset[str]:
    return frozenset(_SAME.get(word, word) for word in words_of(service.name))


def _said(line: Line, start: int = 0, stop: int | None = None) -> frozenset[str]:
    texts = [token.text for token in line.tokens[start:stop]]
    pairs = {a + b for a, b in pairwise(texts)}
    return frozenset(_SAME.get(word, word) for word in {*texts, *pairs})


@dataclass(frozen=True, slots=True)
class _Told:
    """What is told of one service: its words, and its stretch of the line."""

    said: frozenset[str]
    start: int
    stop: int


def _told(line: Line) -> list[_Told]:
    """Part the line into what it tells of each service: "engine oil, fuel filters and coolant" is three, "oil and filter" one."""
    cuts = [at for at in range(len(line.tokens)) if line.text(at) in _PARTED]
    found: list[_Told] = []
    for start, stop in zip([0, *(at + 1 for at in cuts)], [*cuts, len(line.tokens)], strict=True):
        said = _said(line, start, stop)
        own = line.text(start) in ("checked", "check", "topped", "greased") and bool(said & _TELLING)
        if (
            found
            and not own
            and (not said & _TELLING or not found[-1].said & _TELLING or _together(line, found[-1].said, said))
        ):
            last = found[-1]
            found[-1] = _Told(last.said | said, last.start, stop)
        else:
            found.append(_Told(said, start, stop))
    return found


def _together(line: Line, before: frozenset[str], said: frozenset[str]) -> bool:
    """Say whether two stretches are about one service: the second only goes on with it, or a service has the words of both."""
    keys = said & (_TELLING | _WHOSE)
    if keys <= _GOES_ON or keys <= before:
        return True
    both = keys | (before & (_TELLING | _WHOSE))
    return any(both <= _words(one) for one in line.farm.services)


def read_services(line: Line, spans: TimeSpans, when: When, assumed: list[str]) -> list[HeardEntry]:
    """Return the services that were done, one for each machine; asks which machine or which service where that is open."""
    named = _named(line, 0, len(line.tokens))
    if not named:
        named = _only_one(line)
        assumed.extend(["machine"] if named else [])
    if not named:
        return _ask_machine(line, when)
    told = _told(line)
    pairs = []
    for one in told:
        machines = (_named(line, one.start, one.stop) or named) if len(told) > 1 else named
        pairs += [(machine, _service(line, machine, one.said, assumed)) for machine in machines]
    _ask_done(line, told, [service for _, service in pairs if service is not None])
    cost = next((round(one.value * 100) for one in figures_of(line) if one.unit == "money"), None)
    labour = spans.labour
    if labour is None and spans.lone is not None:
        labour = spans.lone * max(1, spans.people)
        assumed.append("labour")
    if len(pairs) > 1 and (labour is not None or cost is not None) and not (spans.each or line.has("each")):
        what = "did it take" if labour is not None else "did it cost"
        line.ask(
            f"The line tells of {len(pairs)} services: how much of that {what} for each?", "Write a line for each."
        )
    amount, note = _amount(line, spans, cost), _note(line, spans, [service for _, service in pairs])
    return [
        HeardEntry(
            what=LineVerdict.SERVICE,
            machine=machine,
            kind=service.name if service else "",
            at=when.at,
            labour_seconds=labour,
            service_id=service.id if service else None,
            cost_minor=cost,
            amount=amount,
            note=note,
        )
        for machine, service in pairs
    ]


def _named(line: Line, start: int, stop: int) -> list[KnownMachine]:
    """Return the machines that this stretch names, "all combines" among them."""
    ids = [one for mark in said_machines(line) if start <= mark.start < stop for one in mark.phrase.machines]
    whole = line.many if start == 0 and stop == len(line.tokens) else []
    known = {one.id for one in whole}
    return [*whole, *(machine_by_id(line, one) for one in dict.fromkeys(ids) if one not in known)]


def _ask_looked(line: Line, told: list[_Told], services: list[KnownService]) -> None:
    """Ask about a service that was only looked at beside one that was done: "greased juniper and checked oil"."""
    for one in told if len(told) > 1 else ():
        words = f" {' '.join(line.text(at) for at in range(one.start, one.stop))} "
        looked = next((word for word in _LOOKED if f" {word} " in words), "")
        meant = [service for service in services if _words(service) & one.said & _TELLING]
        by_looking = all(_words(service) & _BY_LOOKING for service in meant)
        if looked and not by_looking and not any(f" {word} " in words for word in _DONE):
            line.ask(
                f"The line says '{looked}': was it changed, or only looked at or topped up?",
                "Write only the services that were done.",
            )


def _ask_done(line: Line, told: list[_Told], services: list[KnownService]) -> None:
    """Ask about what may not have been done at all: due, forgotten, looked at, topped up."""
    denied = next((word for word in _NOT_DONE if line.has(word)), "")
    if denied:
        line.ask(f"The line says '{denied}': was it done?", "Write only what was done.")
    _ask_looked(line, told, services)
    for at, token in enumerate(line.tokens):
        bare = token.text.isdigit() and len(token.text) == 4 and line.scan.roles[at] is Role.TIME
        if bare and line.text(at - 1) == "at" and line.text(at + 1) not in ("am", "pm"):
            shown = token.text
            line.ask(f"Is {shown} a time of day or hours?", f"Write {shown[:2]}:{shown[2:]}, or {shown} h.")
    done = line.has(*_DONE)
    trouble = next((word for word in _TROUBLE if line.has(word)), "")
    if trouble and not done:
        line.ask(f"The line says '{trouble}': was it changed or cleaned?", "Write 'changed' or 'done' when it was.")
    if line.has("all filters", "all the filters", "all oils", "all the oils", "every filter", "filters and oils"):
        line.ask("Which filters and oils were changed?", "Write a line for each service.")
    if done or line.has("change") or all(_words(one) & _BY_LOOKING for one in services):
        return
    word = next((word for word in (*_LOOKED, *_ADDED) if line.has(word)), "")
    if word and not _said(line) & {"grease"}:
        line.ask(
            f"The line says '{word}': was it changed, or only looked at or topped up?",
            "Write 'changed' or 'done' when it was.",
        )


def _ask_machine(line: Line, when: When) -> list[HeardEntry]:
    wanted = _kind_name(line)
    owners = list(
        dict.fromkeys(
            machine_by_id(line, one.machine_id).name for one in line.farm.services if not wanted or one.name == wanted
        )
    )
    line.ask(
        f"On which machine: {either(owners[:7] or ['its name'])}?", "A service is kept for each machine: add its name."
    )
    return [HeardEntry(what=LineVerdict.SERVICE, kind=wanted, at=when.at)]


def _amount(line: Line, spans: TimeSpans, cost: int | None) -> str:
    """Return the cost, else what the meter showed: "5025 h", "at 3,680"."""
    if cost is not None:
        return f"{cost / 100:.2f}"
    if spans.hours:
        return f"{spans.hours[0][1] / 3600:g} h"
    shown = (one for one in figures_of(line) if not one.unit and line.text(one.start - 1) == "at" and one.value >= 100)
    return next((f"{one.shown} h" for one in shown), "")


def _note(line: Line, spans: TimeSpans, services: list[KnownService | None]) -> str:
    """Return what the line says beside the services themselves, word for word; and how long it stood, which a service has not."""
    known = {word for one in services if one is not None for word in _words(one)} | _GENERAL | _VERBS | _TELLING
    for at, token in enumerate(line.tokens):
        pair = token.text + line.text(at + 1)
        if line.scan.roles[at] is None and _SAME.get(token.text, token.text) in known:
            line.scan.claim(at, at + 1, Role.SENSE)
        elif line.scan.roles[at] is None and _SAME.get(pair, pair) in known:
            line.scan.claim(at, at + 2, Role.SENSE)
    priced = [figure for figure in figures_of(line) if figure.unit == "money"]
    for figure in priced:
        line.scan.claim(figure.start, figure.stop, Role.COUNT)
    stood = f"stood {spans.stood // 60} min" if spans.stood else ""
    if spans.hours and priced:
        stood = "; ".join(one for one in (f"at {spans.hours[0][1] / 3600:g} h", stood) if one)
    return "; ".join(one for one in (note_of(line, 0, len(line.tokens)), stood, line.remark) if one)


def _only_one(line: Line) -> list[KnownMachine]:
    """Return the machine of the only service that fits, where one machine alone has it."""
    said = _said(line)
    best = max((_score(said, one) for one in line.farm.services), default=0)
    fitting = {one.machine_id for one in line.farm.services if _score(said, one) == best > 0}
    return [machine_by_id(line, one) for one in fitting] if len(fitting) == 1 else []


def _kind_name(line: Line) -> str:
    said = _said(line)
    best = max((_score(said, one) for one in line.farm.services), default=0)
    names = list(dict.fromkeys(one.name for one in line.farm.services if _score(said, one) == best > 0))
    return names[0] if len(names) == 1 else ""


def _score(said: frozenset[str], service: KnownService) -> int:
    """Return how well a service fits these words; 0 where it does not, or where they name another one's oil or filter."""
    words = _words(service)
    hits = words & said - SMALL
    if not hits & _TELLING or (said & _WHOSE) - words:
        return 0
    # plain oil is the engine's
    engine = "oil" in said and "engine" in words and not said & {"hydraulic", "gearbox", "final", "drives", "header"}
    return 10 * len(hits) - len(words - said) + 8 * engine


def _service(line: Line, machine: KnownMachine, said: frozenset[str], assumed: list[str]) -> KnownService | None:
    own = [one for one in line.farm.services if one.machine_id == machine.id]
    scored = sorted(((_score(said, one), one) for one in own), key=lambda pair: -pair[0])
    if scored and scored[0][0] > 0 and (len(scored) == 1 or scored[0][0] > scored[1][0]):
        if len(_words(scored[0][1]) & said) < 2:
            assumed.append("service")
        return scored[0][1]
    if not own:
        line.ask(f"{machine.name} has no services on record.", "Enter one first: wearlog service add.")
        return None
    few = [one.name for one in own][:4]
    more = f" and {len(own) - len(few)} more" if len(own) > len(few) else ""
    line.ask(
        f"Which service of {machine.name}: {either(few)}{more}?",
        "Write its name, or enter it with 'wearlog due --done'.",
    )
    return None
