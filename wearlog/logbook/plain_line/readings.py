"""Figures with their units ("2,901.5", "60 ac", "$140"), and lines that say what a meter shows: "tamarack engine 2890"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.logbook.plain_line.heard import HeardEntry, LineVerdict
from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.plain_line.machines import machine_by_id, said_machines
from wearlog.logbook.plain_line.phrases import KnownMeter
from wearlog.logbook.plain_line.when import When
from wearlog.logbook.quickline.tokens import Role, either
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.logbook.quickline.words import WORDS
from wearlog.units import plain_number

METER_WORDS: Final = {
    **dict.fromkeys(("engine", "eng", "motor"), MeterKind.ENGINE_HOURS),
    **dict.fromkeys(("separator", "sep", "thresher", "threshing", "rotor"), MeterKind.SEPARATOR_HOURS),
}

#: more than a machine works between two readings that a person forgot to enter
_MOST_GAINED: Final = 1_500 * 3_600

_HOUR: Final = 3_600
#: less than this on a meter that nobody has read yet is how long somebody worked, unless its name is said
_LEAST_FIRST: Final = 24 * _HOUR


def is_reading(line: Line, *, named: bool) -> bool:
    """Say whether the line is a figure of a meter: a machine or the word for a meter, and a figure of hours."""
    figures = [one for one in figures_of(line) if one.unit in ("", "h")]
    if not figures:
        return False
    meter = any(line.has(word) for word in METER_WORDS) or line.has(
        "meter", "clock", "hour meter", "hourmeter", "counter"
    )
    return (
        meter
        or (named and any(one.unit == "h" for one in figures))
        or (named and len(figures) == 1 and figures[0].value >= 100)
    )


def read_meters(line: Line, when: When, assumed: list[str]) -> list[HeardEntry]:
    """Return what the meters of the line show; asks where a figure fits no meter, or fits several."""
    machines = [
        machine_by_id(line, one)
        for one in dict.fromkeys(one for mark in said_machines(line) for one in mark.phrase.machines)
    ]
    figures = [one for one in figures_of(line) if one.unit in ("", "h")]
    if len(machines) > 1:
        line.ask(f"Which machine shows that: {either([one.name for one in machines])}?", "Write a line for each.")
        return []
    machine = machines[0] if machines else None
    entries = []
    _ask_new_meter(line)
    for figure in figures:
        kind = _kind_near(line, figure, alone=len(figures) == 1)
        found = _meter(line, machine, kind, figure, when, assumed)
        owner = machine or (machine_by_id(line, found.machine_id) if found is not None else None)
        shown = found.kind if found is not None else kind
        entries.append(
            HeardEntry(
                what=LineVerdict.READING,
                machine=owner,
                kind=shown.value if shown else "",
                at=when.at,
                meter=shown,
                usage=round(figure.value * _HOUR),
                amount=f"{figure.shown} h",
            )
        )
    told = [entry.meter for entry in entries]
    twice = next((one for one in told if one is not None and told.count(one) > 1), None)
    if twice is not None:
        name = twice.value.replace("_", " ")
        line.ask(f"The line says {len(told)} figures of the {name}.", "Keep the one that the meter shows.")
    return entries


def _ask_new_meter(line: Line) -> None:
    """Ask about a meter that was replaced: the figure would be read off the old one."""
    if line.has("meter", "clock", "hourmeter", "counter") and line.has("replaced", "changed", "swapped", "new"):
        line.ask("Was the meter itself replaced?", "Enter the new one with 'wearlog read --replaced'.")


def _kind_near(line: Line, figure: Figure, *, alone: bool) -> MeterKind | None:
    """Return the meter that is named right before or behind the figure, with no other figure between."""
    for steps in (range(figure.start - 1, max(-1, figure.start - 4), -1), range(figure.stop, figure.stop + 4)):
        for at in steps:
            if line.text(at) in METER_WORDS:
                return METER_WORDS[line.text(at)]
            if 0 <= at < len(line.tokens) and (line.tokens[at].is_number or line.text(at) in (",", ";")):
                break
    if not alone:
        return None
    said = {METER_WORDS[token.text] for token in line.tokens if token.text in METER_WORDS}
    return next(iter(said)) if len(said) == 1 else None


def _meter(
    line: Line,
    machine: KnownMachine | None,
    kind: MeterKind | None,
    figure: Figure,
    when: When,
    assumed: list[str],
) -> KnownMeter | None:
    """Return the meter that a figure is of; asks and returns None where that is open or cannot be."""
    usage = round(figure.value * _HOUR)
    hours = [one for one in line.farm.meters if one.kind in (MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS)]
    own = [one for one in hours if machine is None or one.machine_id == machine.id]
    if machine is not None and not own:
        what = "is a header and has" if machine.kind is MachineKind.HEADER else "has"
        line.ask(
            f"{machine.name} {what} no hour meter on record.",
            "Name the combine, or enter the meter with 'wearlog read'.",
        )
        return None
    if kind is not None:
        own = [one for one in own if one.kind is kind]
        if len(own) == 1:
            return own[0] if _may_show(line, own[0], usage, when.at) else None
    if figure.unit != "h" and kind is None and not line.has("meter", "clock", "hour meter", "counter"):
        line.ask(
            f"What is the {figure.shown}: hours of which meter, or acres?", "Write it like 'engine 2890' or '60 ac'."
        )
        return None
    fitting = [one for one in own if _fits(line, one, usage, when.at)]
    if len(fitting) == 1:
        assumed.extend(("meter",) if machine is not None else ("machine", "meter"))
        return fitting[0]
    _ask_which(line, fitting or own, figure, when, fits=bool(fitting))
    return None


def _around(line: Line, meter: KnownMeter, at: datetime) -> tuple[int | None, int | None]:
    """Return what a meter showed last before `at` and first after it, in seconds; None where nobody read it."""
    shown = line.farm.readings(meter.id)
    before = [usage for when, usage in shown if when <= at]
    after = [usage for when, usage in shown if when > at]
    return (before[-1] if before else None), (after[0] if after else None)


def _fits(line: Line, meter: KnownMeter, usage: int, at: datetime) -> bool:
    before, after = _around(line, meter, at)
    if before is None and usage < _LEAST_FIRST:
        return False
    return (before is None or before <= usage <= before + _MOST_GAINED // 5) and (after is None or usage <= after)


def _may_show(line: Line, meter: KnownMeter, usage: int, at: datetime) -> bool:
    before, after = _around(line, meter, at)
    name, shown = machine_by_id(line, meter.machine_id).name, meter.kind.value.replace("_", " ")
    if before is not None and usage < before:
        line.ask(
            f"{name} showed {before / _HOUR:,.1f} {shown} before; less than that is a slip or a new meter.",
            "Check the figure; 'wearlog read --replaced' enters a new meter.",
        )
    elif before is not None and usage > before + _MOST_GAINED:
        more = (usage - before) / _HOUR
        line.ask(
            f"{name} showed {before / _HOUR:,.1f} {shown} last; that would be {more:,.0f} h more.",
            "Was a point left out?",
        )
    elif after is not None and usage > after:
        line.ask(f"{name} showed only {after / _HOUR:,.1f} {shown} later.", "Check the figure and the day.")
    else:
        return True
    return False


def _ask_which(line: Line, meters: Sequence[KnownMeter], figure: Figure, when: When, *, fits: bool) -> None:
    shown = [_meter_said(line, one, when.at) for one in meters]
    if not shown:
        line.ask(f"Which meter shows {figure.shown}?", "Name the machine and the meter.")
    elif fits:
        line.ask(f"Which meter shows {figure.shown}: {either(shown[:4])}?", "Name the machine and the meter.")
    else:
        line.ask(
            f"{figure.shown} h fits no meter: {either(shown[:4], 'and')}.",
            "Check the figure, and name the machine and the meter.",
        )


def _meter_said(line: Line, meter: KnownMeter, at: datetime) -> str:
    shown = f"{machine_by_id(line, meter.machine_id).name} {meter.kind.value.replace('_', ' ')}"
    return f"{shown} ({(_around(line, meter, at)[0] or 0) / _HOUR:,.1f} so far)"


_SIZES: Final = {
    **dict.fromkeys(WORDS.hours, "h"),
    **dict.fromkeys(("ac", "acre", "acres", "acers"), "ac"),
    **dict.fromkeys(("ha", "hectare", "hectares"), "ha"),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure at the tokens [start, stop): its value, its unit ("" for none), and as it was written."""

    start: int
    stop: int
    value: Decimal
    unit: str
    shown: str


def figures_of(line: Line, *, claimed: bool = False) -> list[Figure]:
    """Return the figures of the line that nothing has claimed as positions or times, with their units; `claimed`: all but times."""
    found: list[Figure] = []
    index = 0
    while index < len(line.tokens):
        figure = _at(line, index, claimed=claimed)
        if figure is not None:
            found.append(figure)
        index = figure.stop if figure is not None else index + 1
    return found


def _at(line: Line, index: int, *, claimed: bool) -> Figure | None:
    token = line.tokens[index]
    role = line.scan.roles[index]
    if not token.is_number or role is Role.TIME or (role in (Role.POSITION, Role.COUNT) and not claimed):
        return None
    stop = index + 1
    while _sign_at(line, stop) in (".", ",", "'") and _glued_number(line, stop + 1):
        if line.text(stop) == "'" and len(line.text(stop + 1)) != 3:
            break
        stop += 2
    written = line.scan.shown(index, stop) if token.text == token.shown else token.text
    written = "".join(one for one in written if one.isdigit() or one in ".,")
    try:
        value = plain_number(written)
    except UsageError:
        return None
    unit = "money" if line.farm.is_money(line.text(stop)) else _SIZES.get(line.text(stop), "")
    if line.text(index - 1) == "$":
        unit = "money"
    if not unit and line.text(index - 1) in WORDS.hours and not line.text(index - 2).isdigit():
        # "alder hours 5046"
        return Figure(index, stop, value, "h", str(value) if "," in written else written)
    return Figure(
        index, stop + bool(unit and line.text(index - 1) != "$"), value, unit, str(value) if "," in written else written
    )


def _sign_at(line: Line, index: int) -> str:
    return line.text(index) if index < len(line.tokens) and line.tokens[index].glued else ""


def _glued_number(line: Line, index: int) -> bool:
    return index < len(line.tokens) and line.tokens[index].glued and line.tokens[index].is_number
