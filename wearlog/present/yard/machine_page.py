"""The machine screen in words: every component with its age and what it needs, the bars of positions, and what broke last."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import at_positions, component_name, one_of, span_words
from wearlog.facts.wearing import Breakage
from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.drawing.drawn import chance_figure, to_figures
from wearlog.present.json_form import millimetres, rounded
from wearlog.present.parts.strip_geometry import StripPicture, StripPosition, shade_of
from wearlog.present.wear.wear_json import JSON_UNIT
from wearlog.present.words import capital, counted, listed, word
from wearlog.present.work.service_sheet import left as left_of_service
from wearlog.present.yard.component_words import (
    about_component,
    alarm_words,
    left_briefly,
    left_of,
    life_words,
    measured_alone,
    measured_words,
)
from wearlog.reckoning.yard.machine_view import ComponentNow, MachineView, PositionNow


@dataclass(frozen=True, slots=True)
class MachinePage:
    """The page; `strips` has a picture for every component of several positions."""

    machine_id: UUID
    title: str
    hitched_to: UUID | None
    components: AnswerSheet[ComponentNow]
    strips: tuple[tuple[UUID, StripPicture], ...]
    last: tuple[str, ...]
    #: what stops it next; what waits on it; what it is and has done
    said: tuple[str, str, str]
    #: the component that the answer speaks of
    first: UUID | None = None
    #: what the answer names, by what it says of it: these stand first in the list
    named: tuple[tuple[str, tuple[UUID, ...]], ...] = ()

    def strip_of(self, component_id: UUID) -> StripPicture | None:
        """Return the bar of a component."""
        return next((picture for one, picture in self.strips if one == component_id), None)


def machine_page(view: MachineView) -> MachinePage:
    """Say a machine."""
    measures = Measures(view.settings)
    names = {one.component.id: component_name(one.component.place, one.kind.name) for one in view.components}
    return MachinePage(
        machine_id=view.machine.id,
        title=one_line(view.machine.name),
        hitched_to=view.hitched_to.id if view.hitched_to else None,
        components=component_sheet(view, measures),
        strips=tuple(
            (one.component.id, strip_picture(one, measures)) for one in view.components if one.component.positions > 1
        ),
        last=tuple(_breakage_line(one, names, measures) for one in view.last),
        said=(*_answer(view, measures), f"{_named(view, measures)}."),
        first=_first(view),
        named=_named_first(view),
    )


def strip_picture(one: ComponentNow, measures: Measures) -> StripPicture:
    """Return the bar of a component."""
    hot = one.hot
    return StripPicture(
        title=f"{component_name(one.component.place, one.kind.name)}, {one.component.positions} positions",
        one=one_line(one.kind.name),
        positions=tuple(_strip_position(one, position, measures) for position in one.positions),
        hot=(hot.first, hot.last) if hot else None,
        hot_words=(
            f"{span_words(hot.first, hot.last)} {'was' if hot.first == hot.last else 'were'} hit "
            f"{hot.breakages} times, more than an even spread explains "
            f"(chance {percent(hot.chance)}): look there for a bent guard or a loose hold-down"
            if hot
            else ""
        ),
    )


def _strip_position(one: ComponentNow, position: PositionNow, measures: Measures) -> StripPosition:
    if not position.fitted:
        state = "nothing fitted"
    elif position.age is None:
        state = "age unknown"
    else:
        state = f"{measures.usage(one.kind.meter_kind, position.age)} old"
    rock = f" ({position.impacts} by rock)" if position.impacts else ""
    broke = f"broke {counted(position.breakages, 'time')}{rock}" if position.breakages else "never broke"
    left = ", RUNS BROKEN" if position.left else ""
    return StripPosition(
        breakages=position.breakages,
        shade=shade_of(position.age, one.life.high, fitted=position.fitted),
        left=position.left,
        words=f"{state}, {broke}{left}",
    )


def _breakage_line(one: Breakage, names: dict[UUID, str], measures: Measures) -> str:
    where = at_positions(names.get(one.component_id, ""), one.positions)
    note = f": {one.note}" if one.note else ""
    return one_line(
        f"{measures.date_said(one.at)}  {where}, {word(one.mode)}, {word(one.cause)}, {word(one.action)}{note}"
    )


def component_sheet(view: MachineView, measures: Measures) -> AnswerSheet[ComponentNow]:
    """Return the answer; components stand by subsystem."""
    answer, then = _answer(view, measures)
    return AnswerSheet(
        name="components",
        columns=COLUMNS,
        rows=view.components,
        measures=measures,
        headline=" ".join(one for one in (answer, then, _named(view, measures)) if one),
        answer=answer,
        empty="Nothing is fitted to this machine in the log yet.",
        beside={"machine": view.machine.name},
        key_of=lambda row: row.component.id,
        about=about_component,
        shouts=lambda row: bool(left_of(row)),
    )


def _end(row: ComponentNow, end: float | None, measures: Measures) -> float | None:
    return None if end is None else rounded(measures.usage_number(row.kind.meter_kind, end), 1)


COLUMNS: Final[tuple[AnswerColumn[ComponentNow], ...]] = (
    AnswerColumn(
        "",
        lambda row, _: capital(word(row.kind.subsystem)),
        "subsystem",
        lambda row, _: row.kind.subsystem,
        least=8,
        most=24,
        gives=ONLY_WITH_ROOM,
    ),
    AnswerColumn(
        "component",
        lambda row, _: component_name(row.component.place, row.kind.name),
        "component",
        lambda row, _: row.component.place,
        least=14,
        most=34,
        room=32,
        clauses=True,
    ),
    data("kind", lambda row, _: row.kind.name),
    data("positions", lambda row, _: row.component.positions),
    AnswerColumn(
        "age",
        lambda row, measures: "unknown" if row.oldest is None else measures.usage(row.kind.meter_kind, row.oldest),
        "age",
        lambda row, measures: _end(row, row.oldest, measures),
        least=9,
        most=9,
        figures=True,
        legend="age: of the oldest position whose age is known.",
    ),
    data("unit", lambda row, measures: JSON_UNIT[measures.usage_unit(row.kind.meter_kind)]),
    data("unknown_age", lambda row, _: row.unknown),
    AnswerColumn(
        "half last, 90 % (failures)",
        lambda row, measures: life_words(row, measures),
        "life_low",
        lambda row, measures: _end(row, row.life.low, measures),
        least=21,
        most=28,
        gives=4,
        legend="half last: half of them last so long, 90 % sure; in brackets the failures it rests on, guess: none yet.",
        tells_more=True,
    ),
    data("life_high", lambda row, measures: _end(row, row.life.high, measures)),
    data("failures", lambda row, _: row.life.failures),
    data("evidence", lambda row, _: row.life.evidence),
    AnswerColumn(
        "broke",
        lambda row, _: number(row.breakages) if row.breakages else NOTHING,
        "breakages",
        lambda row, _: row.breakages,
        least=5,
        most=7,
        figures=True,
        gives=2,
    ),
    AnswerColumn(
        "last broke",
        lambda row, measures: measures.day(row.last_broke),
        "last_broke",
        lambda row, measures: None if row.last_broke is None else measures.local(row.last_broke),
        least=10,
        gives=5,
    ),
    AnswerColumn(
        "now",
        lambda row, measures: alarm_words(row) or measured_words(row, measures),
        least=4,
        most=60,
        gives=1,
        short=(
            lambda row, measures: alarm_words(row) or measured_words(row, measures).partition(" (")[0],
            lambda row, measures: alarm_words(row) or measured_words(row, measures).partition(", limit")[0],
            lambda row, measures: left_briefly(row) or measured_alone(row, measures),
            # that something is broken stands there, however little room there is
            lambda row, _: "BROKEN" if left_of(row) else "",
        ),
    ),
    data("left_in_service", lambda row, _: left_of(row)),
    data(
        "measured_mm", lambda row, _: None if row.measured is None else millimetres(row.measured.measured_micrometres)
    ),
)


def _answer(view: MachineView, measures: Measures) -> tuple[str, str]:
    """What stops it next, and what waits on it.

    What runs broken stands before what most likely breaks next. What waits is an open fault before an overdue service. Where
    nothing says what is to come, what waits is the answer, and with nothing waiting what is furthest into its life.
    """
    broken = [_called(row) for row in view.components if left_of(row)]
    stops = [f"FIRST mend what runs broken: {listed(broken)}."] if broken else []
    stops += [_next_to_break(view, measures)] if view.next is not None else []
    waits = _faults_and_services(view, measures)
    if not stops and waits:
        stops, waits = [f"FIRST {waits[0]}."], waits[1:]
    if waits:
        # the answer says what breaks next: what is to be done today must not be called the first as well
        begin = "Then" if broken or view.next is None else "Now"
        return one_line(" ".join(stops)), one_line(f"{begin} {'; then '.join(waits)}.")
    return one_line(" ".join(stops) or _furthest_words(view, measures)), ""


def _next_to_break(view: MachineView, measures: Measures) -> str:
    """Return "Next to break: a knife section, over 99 % in 2027, even odds within 67 ac."."""
    assert view.next is not None
    row = next(one for one in view.components if one.component.id == view.next.component_id)
    name = component_name(row.component.place, row.kind.name)
    when = "the season ahead" if view.next.harvest_year is None else str(view.next.harvest_year)
    meter, within = row.kind.meter_kind, ""
    if view.next.within is not None:
        figure = number(to_figures(measures.usage_number(meter, view.next.within), 2))
        within = f", even odds within {figure} {measures.usage_unit(meter)}"
    some = f"one {one_of(name)} of {row.component.positions}" if row.component.positions > 1 else name
    return f"Next to break: {some}, {chance_figure(view.next.chance)} in {when}{within}."


def _furthest_words(view: MachineView, measures: Measures) -> str:
    row = _furthest(view)
    if row is None:
        return ""
    name = component_name(row.component.place, row.kind.name)
    age = measures.usage(row.kind.meter_kind, row.oldest)
    half = life_words(row, measures).rpartition(" ")[0]
    return f"Nothing waits. Furthest into its life: {name}, {age} old; half last {half}."


def _furthest(view: MachineView) -> ComponentNow | None:
    """The component that is furthest into its life: a wide interval must not make its part the first by its low end alone."""
    lived = [
        (row.oldest / sqrt(row.life.low * row.life.high), row)
        for row in view.components
        if row.oldest and row.life.low and row.life.high
    ]
    return max(lived, key=lambda one: one[0])[1] if lived else None


def _first(view: MachineView) -> UUID | None:
    """The component that the answer speaks of; none where that is a fault, or a service of the whole machine."""
    broken = next((row.component.id for row in view.components if left_of(row)), None)
    if broken is not None:
        return broken
    if view.next is not None:
        return view.next.component_id
    if view.faults:
        return None
    if view.overdue:
        return view.overdue[0].item.component_id
    row = _furthest(view)
    return row.component.id if row is not None else None


def _named_first(view: MachineView) -> tuple[tuple[str, tuple[UUID, ...]], ...]:
    """What the answer names of the components, under what it says of them; each stands once."""
    broken = tuple(row.component.id for row in view.components if left_of(row))
    first = _first(view)
    found = [("RUNS BROKEN", broken)] if broken else []
    if view.next is not None:
        found += [("NEXT TO BREAK", (view.next.component_id,))] if view.next.component_id not in broken else []
    elif first is not None and not broken:
        found += [("SERVICE OVERDUE" if view.overdue else "FURTHEST INTO ITS LIFE", (first,))]
    return tuple(found)


def _faults_and_services(view: MachineView, measures: Measures) -> list[str]:
    said = []
    if view.faults:
        more = f", and {len(view.faults) - 1} more" if len(view.faults) > 1 else ""
        said.append(f"find the open fault: {view.faults[0].title}{more}")
    if view.overdue:
        first, more = view.overdue[0], f", and {len(view.overdue) - 1} more" if len(view.overdue) > 1 else ""
        over = left_of_service(first, measures)
        over = f"since {measures.date_said(first.due_on, view.as_of)}" if over == NOTHING and first.due_on else over
        said.append(f"do the overdue service: {first.item.name}{'' if over == NOTHING else f', {over}'}{more}")
    return said


def _called(row: ComponentNow) -> str:
    name, left = component_name(row.component.place, row.kind.name), left_of(row)
    return at_positions(name, left) if row.component.positions > 1 else name


def _named(view: MachineView, measures: Measures) -> str:
    return f"{one_line(view.machine.name)}: {_about(view, measures)}"


def _about(view: MachineView, measures: Measures) -> str:
    shown = view.shown
    pieces = [word(view.machine.kind)]
    if view.machine.cut_width_micrometres:
        pieces.append(measures.width(view.machine.cut_width_micrometres))
    if shown.engine_seconds is not None:
        pieces.append(f"engine {number(shown.engine_seconds / 3600, 1)} h")
    if shown.separator_seconds is not None:
        pieces.append(f"separator {number(shown.separator_seconds / 3600, 1)} h")
    if view.machine.kind in (MachineKind.COMBINE, MachineKind.HEADER):
        pieces.append(f"{measures.area(shown.area)} cut in all, {measures.area(shown.season_area)} this season")
    if view.hitched_to is not None:
        verb = "on" if view.machine.kind is MachineKind.HEADER else "with"
        pieces.append(f"{verb} {one_line(view.hitched_to.name)}")
    return ", ".join(pieces)
