"""Where along its components one kind is hit as an answer: each row of positions with its breakages and its hot window."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from wearlog.facts.positions import component_name, place_said, span_words
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.json_form import rounded
from wearlog.present.words import counted
from wearlog.reckoning.wear.hot_windows import HotPlace
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook


def hot_place_sheet(
    components: Sequence[ComponentOutlook], places: Sequence[HotPlace], names: Mapping[UUID, str], measures: Measures
) -> AnswerSheet[ComponentOutlook]:
    """Return the answer of the components of several positions; `names` are those of the machines."""
    hot = {place.component.id: place for place in places if place.is_hot}

    def window(row: ComponentOutlook) -> HotPlace | None:
        return hot.get(row.component_id)

    columns: tuple[AnswerColumn[ComponentOutlook], ...] = (
        AnswerColumn(
            "machine",
            lambda row, _: names.get(row.machine_id, NOTHING),
            "machine",
            lambda row, _: names.get(row.machine_id),
            least=8,
            most=18,
        ),
        AnswerColumn("place", lambda row, _: row.place, "component", lambda row, _: row.place, least=10, most=30),
        AnswerColumn(
            "positions",
            lambda row, _: number(row.positions),
            "positions",
            lambda row, _: row.positions,
            least=9,
            figures=True,
            gives=2,
        ),
        AnswerColumn(
            "broke",
            lambda row, _: number(row.breakages),
            "breakages",
            lambda row, _: row.breakages,
            least=5,
            figures=True,
            gives=1,
        ),
        AnswerColumn(
            "stones", lambda row, _: _window_text(window(row)), "hot", lambda row, _: _json(window(row)), least=18
        ),
    )
    return AnswerSheet(
        name="where",
        columns=columns,
        rows=[one for one in components if one.positions > 1],
        measures=measures,
        sentences=[hot_sentence(place, names) for place in places if place.is_hot],
        empty="It has one position on each component, so nothing can bunch.",
        key_of=lambda row: (row.component_id, 0),
        shouts=lambda row: row.component_id in hot,
    )


def _window_text(hot: HotPlace | None) -> str:
    return "no place stands out" if hot is None else f"HOT {span_words(hot.window.first, hot.window.last)}"


def _json(hot: HotPlace | None) -> dict[str, Any] | None:
    if hot is None:
        return None
    window = hot.window
    return {
        "first": window.first,
        "last": window.last,
        "hits": window.breakages,
        "of_hits": hot.hits,
        "times_as_often": rounded(window.ratio, 1),
        "p": rounded(window.p_value, 5),
        "rows_looked_at": hot.looked_at,
    }


def hot_sentence(place: HotPlace, names: Mapping[UUID, str]) -> str:
    """Say where stones hit more than they should, and what to look at."""
    window, component = place.window, place.component
    where = place_said(names.get(component.machine_id, ""), component_name(component.place, place.kind))
    times = f"{window.ratio:.0f} times as often as elsewhere" if window.ratio < 1000 else "and nowhere else"
    return (
        f"HOT: {where} {_were_hit(place)} {times} ({window.breakages} of {counted(place.hits, 'hit')}; "
        f"p = {window.p_value:.2g} on {counted(place.looked_at, 'row')} looked at). "
        "Look there for a bent guard, a skid set low, a hold-down out of register."
    )


def _were_hit(place: HotPlace) -> str:
    window = place.window
    return f"{span_words(window.first, window.last)} {'was' if window.first == window.last else 'were'} hit"
