"""The machine screen in words: components by subsystem with age against life, the bars, and what broke last."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import Dimension, Evidence, MachineKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, format_positions
from wearlog.facts.wearing import Breakage
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.parts.strip_geometry import StripPicture, StripPosition, shade_of
from wearlog.present.words import capital, counted, word
from wearlog.reckoning.yard.machine_view import ComponentNow, MachineView, PositionNow


@dataclass(frozen=True, slots=True)
class ComponentLine:
    """A component in words; `age`, `life_low` and `life_high` are in the same unit, for a bar."""

    component_id: UUID
    subsystem: str
    name: str
    positions: int
    age: float | None
    life_low: float | None
    life_high: float | None
    age_words: str
    life_words: str
    broke: str
    last: str
    measured: str
    alarm: str


@dataclass(frozen=True, slots=True)
class MachinePage:
    """The page; `strips` has a picture for every component of several positions."""

    machine_id: UUID
    title: str
    about: str
    hitched_to: UUID | None
    components: tuple[ComponentLine, ...]
    strips: tuple[tuple[UUID, StripPicture], ...]
    last: tuple[str, ...]

    def strip_of(self, component_id: UUID) -> StripPicture | None:
        """Return the bar of a component."""
        return next((picture for one, picture in self.strips if one == component_id), None)


#: what the interval of a life rests on where nothing failed yet; else it is the number of failures, in brackets
_RESTS_ON = {Evidence.MACHINE_BOOK: "book", Evidence.PUBLISHED: "published"}


def machine_page(view: MachineView) -> MachinePage:
    """Say a machine."""
    measures = Measures(view.settings)
    names = {one.component.id: component_name(one.component.place, one.kind.name) for one in view.components}
    return MachinePage(
        machine_id=view.machine.id,
        title=one_line(view.machine.name),
        about=_about(view, measures),
        hitched_to=view.hitched_to.id if view.hitched_to else None,
        components=tuple(_component_line(one, measures) for one in view.components),
        strips=tuple(
            (one.component.id, strip_picture(one, measures)) for one in view.components if one.component.positions > 1
        ),
        last=tuple(_breakage_line(one, names, measures) for one in view.last),
    )


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


def _component_line(one: ComponentNow, measures: Measures) -> ComponentLine:
    kind, meter = one.kind, one.kind.meter_kind
    left = [position.position for position in one.positions if position.left]
    alarm = ""
    if left:
        # how many first: a narrow screen cuts the end
        alarm = f"{len(left)} LEFT: {format_positions(left)}" if one.component.positions > 1 else "LEFT"
    return ComponentLine(
        component_id=one.component.id,
        subsystem=capital(word(kind.subsystem)),
        name=component_name(one.component.place, one.kind.name),
        positions=one.component.positions,
        age=one.oldest,
        life_low=one.life.low,
        life_high=one.life.high,
        age_words=measures.usage(meter, one.oldest) if one.oldest is not None else "unknown",
        life_words=_life_words(one, measures),
        broke=number(one.breakages) if one.breakages else NOTHING,
        last=measures.day(one.last_broke),
        measured=_measured(one, measures),
        alarm=alarm,
    )


def _life_words(one: ComponentNow, measures: Measures) -> str:
    """Return the interval, and in a word or a number of failures what it rests on."""
    life, kind = one.life, one.kind.meter_kind
    if life.low is None or life.high is None:
        return "no guess"
    low = _rounded(measures.usage_number(kind, life.low))
    rests_on = f"({life.failures})" if life.failures else _RESTS_ON.get(life.evidence, "guess")
    if life.high > 100 * life.low:
        # so few failures say no more than that it is long
        return f"over {low} {measures.usage_unit(kind)} {rests_on}"
    high = _rounded(measures.usage_number(kind, life.high))
    return f"{low}-{high} {measures.usage_unit(kind)} {rests_on}"


def _rounded(usage: float) -> str:
    """Three digits that mean something: an interval that is thousands wide is not told to the unit."""
    digits = max(0, len(str(int(usage))) - 3)
    return number(round(usage, -digits))


def _measured(one: ComponentNow, measures: Measures) -> str:
    if one.measured is None or one.kind.dimension is Dimension.NONE:
        return ""
    limit = f", limit {measures.small_length(one.kind.limit_micrometres)}" if one.kind.limit_micrometres else ""
    return (
        f"{word(one.kind.dimension)} {measures.small_length(one.measured.measured_micrometres)}{limit}"
        f" ({measures.day(one.measured.at)})"
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
            f"{hot.first}-{hot.last} were hit {hot.breakages} times, more than an even spread explains "
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
    left = ", LEFT IN SERVICE broken" if position.left else ""
    return StripPosition(
        breakages=position.breakages,
        shade=shade_of(position.age, one.life.high, fitted=position.fitted),
        left=position.left,
        words=f"{state}, {broke}{left}",
    )


def _breakage_line(one: Breakage, names: dict[UUID, str], measures: Measures) -> str:
    where = f"{names.get(one.component_id, '')} {format_positions(one.positions)}"
    note = f": {one.note}" if one.note else ""
    return one_line(f"{measures.day(one.at)}  {where}, {word(one.mode)}, {word(one.cause)}, {word(one.action)}{note}")
