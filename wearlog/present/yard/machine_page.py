"""The machine screen in words: what sits on it, the bars of positions, and what broke last."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, format_positions, span_words
from wearlog.facts.wearing import Breakage
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import Measures, percent
from wearlog.present.parts.strip_geometry import StripPicture, StripPosition, shade_of
from wearlog.present.words import counted, word
from wearlog.present.yard.component_sheet import component_sheet
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
