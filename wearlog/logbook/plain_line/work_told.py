"""Lines about work: "juniper with kestrel cut 60 ac on homeplace", "10am to 9pm", "greased plover", "changed oil alder 5025 h"."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.logbook.plain_line.heard import HeardEntry, LineVerdict, Work
from wearlog.logbook.plain_line.line import SMALL, Line, Tag, note_of
from wearlog.logbook.plain_line.machines import machine_by_id, said_machines
from wearlog.logbook.plain_line.phrases import KnownService
from wearlog.logbook.plain_line.readings import figures_of
from wearlog.logbook.plain_line.spans import TimeSpans
from wearlog.logbook.plain_line.when import When
from wearlog.logbook.quickline.tokens import Role, either, words_of
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.units import to_stored

#: more than one machine cuts in a day and a night
_MOST_ACRES: Final = 600

#: what a combine cuts in an hour where nobody says how long it took (common practice, no source)
_ACRES_AN_HOUR: Final = 12

_LONGEST_DAY: Final = 14 * 3_600


def is_cut(line: Line) -> bool:
    """Say whether the line is about an area that was cut."""
    return any(figure.unit in ("ac", "ha") for figure in figures_of(line))


def read_cut(
    line: Line, spans: TimeSpans, when: When, span: tuple[datetime, datetime] | None, assumed: list[str]
) -> list[HeardEntry]:
    """Return the run that the line tells of; asks for the machine, or about an area that cannot be."""
    figure = next(one for one in figures_of(line) if one.unit in ("ac", "ha"))
    machines = [
        machine_by_id(line, one)
        for one in dict.fromkeys(one for mark in said_machines(line) for one in mark.phrase.machines)
    ]
    combines = [one for one in machines if one.kind is not MachineKind.HEADER]
    headers = [one for one in machines if one.kind is MachineKind.HEADER]
    area = to_stored(figure.value, figure.unit)
    combine = combines[0] if len(combines) == 1 else None
    if line.many or len(combines) > 1 or line.has("all three", "both of them"):
        line.ask("How much did each machine cut?", "Write a line for each: the acres of a machine wear its parts.")
    elif combine is None:
        combine = _combine_of(line, headers, assumed)
    if area > to_stored(Decimal(_MOST_ACRES), "ac"):
        line.ask(
            f"{figure.shown} {figure.unit} is more than a combine cuts in a day.",
            "Check the figure, or write a line for each day.",
        )
    hours = span[1] - span[0] if span is not None else None
    seconds = spans.lone or spans.stood or (round(hours.total_seconds()) if hours is not None else None)
    if seconds is None:
        assumed.append("hours")
    field_id, crop_id = _first(line, Tag.FIELD), _first(line, Tag.CROP)
    work = Work(
        area_square_metres=area,
        header_id=headers[0].id if len(headers) == 1 else None,
        field_id=field_id,
        crop_id=crop_id,
        started_at=span[0] if span is not None else None,
        ended_at=span[1] if span is not None else None,
        hours_seconds=seconds,
    )
    note = _note(line, headers, field_id, crop_id, seconds)
    return [
        HeardEntry(
            what=LineVerdict.CUT,
            machine=combine,
            at=when.at,
            amount=f"{figure.shown} {figure.unit}",
            note=note,
            work=work,
        )
    ]


def _combine_of(line: Line, headers: list[KnownMachine], assumed: list[str]) -> KnownMachine | None:
    vocabulary = line.farm.vocabulary
    if len(headers) == 1 and headers[0].hitched_to is not None:
        assumed.append("machine")
        return machine_by_id(line, headers[0].hitched_to)
    combines = [one for one in vocabulary.machines if one.kind is MachineKind.COMBINE]
    working = [one for one in vocabulary.current_unit() if one.kind is MachineKind.COMBINE]
    if len(combines) == 1 or (len(working) == 1 and len(vocabulary.current_unit()) > 1):
        assumed.append("machine")
        return working[0] if working else combines[0]
    line.ask(f"Which combine cut it: {either([one.name for one in combines] or ['which'])}?", "Add its name.")
    return None


def _first(line: Line, tag: Tag) -> UUID | None:
    marks = line.of(tag)
    if not marks:
        return None
    return marks[0].phrase.field_id if tag is Tag.FIELD else marks[0].phrase.crop_id


def _note(
    line: Line, headers: list[KnownMachine], field_id: UUID | None, crop_id: UUID | None, seconds: int | None
) -> str:
    names = dict((*line.farm.fields, *line.farm.crops))
    pieces = [f"header {headers[0].name}"] if len(headers) == 1 else []
    pieces += [f"field {names[field_id]}"] if field_id is not None else []
    pieces += [f"crop {names[crop_id]}"] if crop_id is not None else []
    pieces += [f"{seconds / 3600:g} h"] if seconds is not None else []
    pieces += ["finished"] if line.has("finished", "done with") else []
    return "; ".join(pieces)


def run_of(work: Work, at: datetime) -> tuple[datetime, datetime]:
    """Return when a run began and ended: as said, else it ended at `at` and took the hours said, or those that are usual."""
    if work.started_at is not None and work.ended_at is not None:
        return work.started_at, work.ended_at
    usual = min(_LONGEST_DAY, work.area_square_metres * 3_600 // to_stored(Decimal(_ACRES_AN_HOUR), "ac"))
    return at - timedelta(seconds=work.hours_seconds or max(60, usual)), at


_UNTIL: Final = ("til", "till", "until", "to", "-")


def span_of_work(line: Line) -> tuple[datetime, datetime] | None:
    """Claim "10am to 9pm"; return when it began and ended, on the day the line names (today, or yesterday)."""
    for index in range(len(line.tokens)):
        first = _clock(line, index)
        if first is None or line.text(first[1]) not in _UNTIL:
            continue
        second = _clock(line, first[1] + 1)
        if second is None:
            continue
        day = line.now.date() - timedelta(days=1 if line.has("yesterday") else 0)
        began = datetime.combine(day, datetime.min.time(), line.now.tzinfo) + timedelta(minutes=first[0])
        ended = datetime.combine(day, datetime.min.time(), line.now.tzinfo) + timedelta(minutes=second[0])
        if ended <= began:
            ended += timedelta(days=1)
        line.scan.claim(index, second[1], Role.TIME)
        return began.astimezone(UTC), ended.astimezone(UTC)
    for index in range(len(line.tokens)):
        if line.text(index) in ("til", "till", "until") and _clock(line, index + 1) is not None:
            line.scan.claim(index, index + 1, Role.TIME)
    return None


def _clock(line: Line, index: int) -> tuple[int, int] | None:
    """Read a time of day with am or pm at `index`: minutes of the day, and where it stops."""
    digits = line.scan.digits(index, 4)
    if digits is None:
        return None
    hour, minute, at = (digits // 100, digits % 100, index + 1) if digits > 99 else (digits, 0, index + 1)
    if line.scan.sign(at, ":") and line.scan.digits(at + 1, 2) is not None:
        minute, at = line.scan.digits(at + 1, 2) or 0, at + 2
    half = line.text(at)
    if half not in ("am", "pm") or not 1 <= hour <= 12 or minute > 59:
        return None
    return (hour % 12 + (12 if half == "pm" else 0)) * 60 + minute, at + 1


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
