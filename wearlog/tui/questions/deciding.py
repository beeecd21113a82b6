"""Questions of the decisions: when a part is to be changed. They run in threads of the gateway."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.present.words import by_keys
from wearlog.tui.questions.asked import OfferTyped, RainTyped, StopTyped, TradeTyped, custom_answer
from wearlog.tui.section import Section, cautions_section, sheet_section

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wearlog.facts.closed_lists import Hazard
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class Decided:
    """An answer to one question: what it is about, its two halves, its sections, and what is dangerous in the work."""

    sheet: AnswerSheet[Any]
    title: str
    answer: str
    second: str
    sections: tuple[Section, ...]
    hazards: tuple[Hazard, ...]
    #: the two halves of the answer of each section that has one of its own
    said: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    #: the answers of other sections
    more: tuple[AnswerSheet[Any], ...] = ()
    #: the machines of which it could be asked
    machines: tuple[str, ...] = ()

    def about(self, key: Hashable | None) -> str:
        """Return the sentence of one row, of whichever section."""
        for sheet in (self.sheet, *self.more):
            row = next((one for one in sheet.rows if sheet.key_of(one) == key), None)
            if row is not None:
                return sheet.about(row, sheet.measures)
        return ""


def _decided(title: str, name: str, sheet: AnswerSheet[Any], hazards: Sequence[Hazard]) -> Decided:
    sections = [shown_once(name, sheet)]
    if hazards:
        sections.append(cautions_section(hazards))
    return Decided(sheet, title, *answer_of(sheet), tuple(sections), tuple(hazards))


def answer_of(sheet: AnswerSheet[Any]) -> tuple[str, str]:
    """Return the two halves of the answer; of an empty one why it is: what to do about it stands below."""
    return sheet.halves if sheet.said else (_why_and_what(sheet)[0], "")


def shown_once(name: str, sheet: AnswerSheet[Any]) -> Section:
    """Return the section of an answer; of an empty one that says so in the answer only what to do about it."""
    if sheet.listed or sheet.said:
        return sheet_section(name, sheet)
    return Section(name, tuple(one for one in _why_and_what(sheet)[1:] if one))


def _why_and_what(sheet: AnswerSheet[Any]) -> tuple[str, str]:
    why, ends, what = by_keys(sheet.empty).partition(". ")
    return f"{why}{ends.strip()}", what


def claims_now(door: Door) -> Decided:
    """Read what can be claimed under warranty, and which places have failed far too early."""
    from wearlog.present.digits import Measures
    from wearlog.present.parts.claim_sheet import claim_sheet, early_sheet
    from wearlog.reckoning.parts.claims import claim_list
    from wearlog.reckoning.wear.early_failures import early_failures

    with door.log.reading() as connection:
        farm = door.farm(connection)
        found, early = claim_list(connection, farm), early_failures(connection, farm)
    measures = Measures(farm.settings)
    claims, places = claim_sheet(found, measures), early_sheet(early, farm, measures)
    said = {
        _CLAIMS: answer_of(claims),
        _EARLY: answer_of(places),
    }
    sections = (shown_once(_CLAIMS, claims), shown_once(_EARLY, places))
    return Decided(claims, "Warranty", *said[_CLAIMS], sections, (), said, (places,))


#: the sections of what broke too early
_CLAIMS, _EARLY = "Claims", "Far too early"
#: the sections of a part that is to be changed
_STOP, _FETCH = "Stop or run", "Get the part"


def stop_ways(door: Door, component_id: UUID, evening: StopTyped | None = None) -> Decided:
    """Weigh when the worst part of a component is to be changed. NotFoundError when the component is gone."""
    from wearlog.present.digits import Measures
    from wearlog.present.plan.fetch_sheet import fetch_sheet
    from wearlog.present.plan.stop_or_run_sheet import part_named, stop_or_run_sheet
    from wearlog.reckoning.plan.fetch_part import fetch_part
    from wearlog.reckoning.plan.stop_or_run import stop_or_run

    with door.log.reading() as connection:
        farm = door.farm(connection)
        component = next((one for one in farm.components if one.id == component_id), None)
        if component is None:
            raise NotFoundError("This component is not in the log any more.")
        kind = next(one for one in farm.part_kinds if one.id == component.part_kind_id)
        asked = (evening or StopTyped()).asked(farm, kind.meter_kind)
        view = stop_or_run(connection, farm, component, asked)
        # rain of the night keeps nobody from fetching
        ways = fetch_part(connection, farm, component, replace(asked, rain=0.0))
    hazard = view.kind.hazard
    measures = Measures(farm.settings)
    sheet, fetched = stop_or_run_sheet(view, measures), fetch_sheet(ways, measures)
    decided = _decided(part_named(view), _STOP, sheet, () if hazard is None else (hazard,))
    stop, *cautions = decided.sections
    said = {_STOP: (decided.answer, decided.second), _FETCH: answer_of(fetched)}
    return replace(decided, sections=(stop, shown_once(_FETCH, fetched), *cautions), said=said, more=(fetched,))


def supply_asked(door: Door, component_id: UUID, supplier: str, *, had: bool) -> str:
    """Save what a supplier said when it was asked for a component's part, and say so. NotFoundError where the log lacks one."""
    from wearlog.logbook.parts.suppliers import enter_asked
    from wearlog.present.words import saved_line
    from wearlog.reckoning.parts.stock import part_choices

    with door.log.reading() as connection:
        part = part_choices(connection, door.farm(connection)).part_of(component_id)
    if part is None:
        raise NotFoundError("No part in the log fits it any more.")
    return saved_line(enter_asked(door.log, part.part, supplier, had_it=had, at=door.now()))


def lost_grain(door: Door) -> Decided:
    """Weigh renewing the threshing parts of every combine against the grain that they lose."""
    from wearlog.present.digits import Measures
    from wearlog.present.plan.grain_lost_sheet import grain_lost_sheet
    from wearlog.reckoning.plan.grain_lost import grain_lost

    with door.log.reading() as connection:
        farm = door.farm(connection)
        found = grain_lost(connection, farm)
    hazards = tuple(sorted({row.line.kind.hazard for row in found.rows if row.line.kind.hazard is not None}))
    return _decided("Wear costs grain", "Renew or run", grain_lost_sheet(found, Measures(farm.settings)), hazards)


#: the sections of keep or trade
TRADE, CUT_FOR_OTHERS = "Keep or trade", "Cut for others"


def keep_or_trade(door: Door, offer: OfferTyped | None = None, other: TradeTyped | None = None) -> Decided:
    """Weigh keeping a combine, or each, against what is offered for it, and cutting for others against what is offered.

    Without an offer each stands against a new one at its own list price.
    """
    from wearlog.facts.closed_lists import MachineKind
    from wearlog.present.digits import Measures
    from wearlog.present.plan.trade_sheet import trade_sheet
    from wearlog.reckoning.plan.trade import trade

    asked = other or TradeTyped()
    interest = asked.yearly_percent()
    with door.log.reading() as connection:
        farm = door.farm(connection)
        rows = trade(connection, farm, asked.terms(), asked.combine, yearly_rate=interest / 100)
        work = custom_answer(connection, farm, offer or OfferTyped())
    names = tuple(one.name for one in farm.machines if one.kind is MachineKind.COMBINE)
    decided = replace(_decided(TRADE, TRADE, trade_sheet(rows, Measures(farm.settings), interest), ()), machines=names)
    if work is None:
        return decided
    said = {TRADE: (decided.answer, decided.second), CUT_FOR_OTHERS: work.halves}
    sections = (*decided.sections, sheet_section(CUT_FOR_OTHERS, work))
    return replace(decided, sections=sections, said=said, more=(work,))


#: how long one may have: a section each
RAIN_HOURS = (2, 4, 6, 8)


def rain_day(door: Door, typed: RainTyped | None = None) -> Decided:
    """Weigh what is worth doing today, for a few lengths of time and the one that was typed."""
    from wearlog.present.digits import Measures
    from wearlog.present.plan.rain_list_sheet import rain_list_sheet
    from wearlog.reckoning.plan.rain_list import hazards_of, rain_jobs, rain_list

    asked = typed or RainTyped()
    own = asked.length()
    lengths = sorted({*map(float, RAIN_HOURS), *(() if own is None else (own,))})
    with door.log.reading() as connection:
        farm = door.farm(connection)
        weighed = rain_jobs(connection, farm)
    measures = Measures(farm.settings)
    lists = [rain_list(weighed, hours, people=asked.workers(), mean_hours=asked.mean()) for hours in lengths]
    sheets = [rain_list_sheet(one, measures) for one in lists]
    names = [length_said(hours) for hours in lengths]
    hazards = hazards_of(lists[-1].jobs)
    sections = [sheet_section(name, one) for name, one in zip(names, sheets, strict=True)]
    if hazards:
        sections.append(cautions_section(hazards))
    said = {name: one.halves for name, one in zip(names, sheets, strict=True)}
    return Decided(
        sheets[-1], "A day without cutting", *said[names[0]], tuple(sections), hazards, said, tuple(sheets[:-1])
    )


def length_said(hours: float) -> str:
    """Return the name of the section of a length of time: 6 h, 4.5 h."""
    return f"{hours:.4g} h"
