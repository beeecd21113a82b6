"""Lines about upkeep: "greased plover", "changed oil alder 5025 h", "checked extinguishers on all combines"."""

from __future__ import annotations

from collections.abc import Sequence
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
from wearlog.logbook.quickline.scan import either
from wearlog.logbook.quickline.tokens import words_of
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
    **dict.fromkeys(("oils", "oil", "oiled"), "oil"),
    **dict.fromkeys(("diesel", "fuel"), "fuel"),
    **dict.fromkeys(("motor", "engine"), "engine"),
    **dict.fromkeys(("bearings", "bearing"), "bearings"),
}
#: a service is said by one of these, and never by a word that tells where only
_TELLING: Final = frozenset(
    {"grease", "oil", "filter", "coolant", "extinguishers", "tension", "lubricant", "brakes", "separator"}
)
_VERBS: Final = frozenset(
    {"checked", "check", "changed", "change", "done", "did", "serviced", "greased", "topped", "drained", "flushed"}
)


#: what is wrong with a thing, and no word that anything was done
_TROUBLE: Final = (
    *(
        "plugged",
        "clogged",
        "low",
        "dirty",
        "blocked",
        "needs",
        "due",
        "overdue",
        "leaking",
        "broken",
        "broke",
        "bad",
        "empty",
    ),
    *("leaks", "out of", "needed", "not", "no", "should"),
)


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


def _said(line: Line) -> frozenset[str]:
    texts = [token.text for token in line.tokens]
    pairs = {a + b for a, b in pairwise(texts)}
    return frozenset(_SAME.get(word, word) for word in {*texts, *pairs})


def read_services(line: Line, spans: TimeSpans, when: When, assumed: list[str]) -> list[HeardEntry]:
    """Return the service that was done, one for each machine; asks which machine or which service where that is open."""
    machines = line.many or [
        machine_by_id(line, one)
        for one in dict.fromkeys(one for mark in said_machines(line) for one in mark.phrase.machines)
    ]
    if not machines:
        machines = _only_one(line)
        assumed.extend(["machine"] if machines else [])
    trouble = next((word for word in _TROUBLE if line.has(word)), "")
    if trouble and not line.has(*_VERBS):
        line.ask(f"The line says '{trouble}': was it changed or cleaned?", "Write 'changed' or 'done' when it was.")
    if not machines:
        wanted = _kind_name(line)
        owners = list(
            dict.fromkeys(
                machine_by_id(line, one.machine_id).name
                for one in line.farm.services
                if not wanted or one.name == wanted
            )
        )
        line.ask(
            f"On which machine: {either(owners[:7] or ['its name'])}?",
            "A service is kept for each machine: add its name.",
        )
        return [HeardEntry(what=LineVerdict.SERVICE, kind=wanted, at=when.at)]
    cost = next((round(one.value * 100) for one in figures_of(line) if one.unit == "money"), None)
    labour = spans.labour if spans.labour is not None else spans.lone
    if spans.lone is not None and spans.labour is None:
        assumed.append("labour")
    entries = []
    for machine in machines:
        service = _service(line, machine, assumed)
        entries.append(
            HeardEntry(
                what=LineVerdict.SERVICE,
                machine=machine,
                kind=service.name if service else "",
                at=when.at,
                labour_seconds=labour,
                service_id=service.id if service else None,
                cost_minor=cost,
                amount=_amount(line, spans, cost),
                note=note_of(line, 0, len(line.tokens)) if len(line.tokens) > 12 else "",
            )
        )
    return entries


def _amount(line: Line, spans: TimeSpans, cost: int | None) -> str:
    if cost is not None:
        return f"{cost / 100:.2f}"
    return f"{spans.hours[0][1] / 3600:g} h" if spans.hours else ""


def _only_one(line: Line) -> list[KnownMachine]:
    """Return the machine of the only service that fits, where one machine alone has it."""
    best = max((_score(line, one) for one in line.farm.services), default=0)
    fitting = {one.machine_id for one in line.farm.services if _score(line, one) == best > 0}
    return [machine_by_id(line, one) for one in fitting] if len(fitting) == 1 else []


def _kind_name(line: Line) -> str:
    best = max((_score(line, one) for one in line.farm.services), default=0)
    names = list(dict.fromkeys(one.name for one in line.farm.services if _score(line, one) == best > 0))
    return names[0] if len(names) == 1 else ""


def _score(line: Line, service: KnownService) -> int:
    """Return how well a service fits the words of the line; 0 where it does not."""
    words, said = _words(service), _said(line)
    hits = words & said - SMALL
    if not hits & _TELLING:
        return 0
    # plain oil is the engine's
    engine = "oil" in said and "engine" in words and not said & {"hydraulic", "gearbox", "final", "drives", "header"}
    return 10 * len(hits) - len(words - said) + 8 * engine


def _service(line: Line, machine: KnownMachine, assumed: list[str]) -> KnownService | None:
    own = [one for one in line.farm.services if one.machine_id == machine.id]
    scored = sorted(((_score(line, one), one) for one in own), key=lambda pair: -pair[0])
    if scored and scored[0][0] > 0 and (len(scored) == 1 or scored[0][0] > scored[1][0]):
        if len(_words(scored[0][1]) & _said(line)) < 2:
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
