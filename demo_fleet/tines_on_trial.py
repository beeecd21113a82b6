"""What came of a try: one reel got cheaper tines of plastic. Has draws of its own, so that the story told before it stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Final, TypeVar
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, Mode, Removal, StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.parts import Part, PartFit, StockMove
from wearlog.facts.wearing import Breakage, Fitting, Repair
from wearlog.facts.work import Run
from wearlog.ids import derived_id
from wearlog.units import ACRE_SQUARE_METRES

from .draws import Draws
from .farm_land import LAST_YEAR
from .known_lives import TRIED
from .records import FARM_ZONE, Records, farm_time

_Entered = TypeVar("_Entered", bound=Fact)
#: of the draws that chance could make, one that leaves the question open
_TELLING: Final = 1
_HEADER: Final = "Plover"
_PLACE: Final = "reel tines"
_NUMBER: Final = "QF-1061"
_NAME: Final = "reel tine, plastic"
#: for one: what it costs today, and what was paid when the reel got them
_PRICE_MINOR: Final = 645
_PAID_MINOR: Final = 588
_PACK: Final = 5
_SUPPLIER: Final = "Hollow Road Parts"
#: the shelf is counted in autumn, as the rest of it is
_COUNTED: Final = (11, 12, 15)


def try_tines(records: Records) -> None:
    """Let the set that now sits on one reel be of the other number, with what broke of it. Nothing where another story is told.

    A farm drawn otherwise may have renewed that reel not at all, or broken a tine of it since: there nothing was tried.
    """
    component = records.id_of("component", f"{_HEADER} {_PLACE}")
    fitted = [one for one in records.facts if isinstance(one, Fitting) and one.component_id == component]
    now = [one for one in fitted if one.removed_at is None]
    since = max(one.fitted_at for one in now)
    renewed = next(
        (one for one in _of(records, Repair) if one.component_id == component and one.ended_at == since), None
    )
    broke = any(one.component_id == component and one.at > since for one in _of(records, Breakage))
    if renewed is None or broke or any(one.fitted_at != since for one in now):
        return
    part = _enter_part(records)
    _fit_instead(records, part, now)
    spare = _buy_instead(records, part, renewed, len(now))
    _break(records, part, now)
    _count(records, part, spare, since)


def _of(records: Records, fact: type[_Entered]) -> list[_Entered]:
    return [one for one in records.facts if isinstance(one, fact)]


def _enter_part(records: Records) -> UUID:
    part = Part(
        id=records.id_of("part", _NAME),
        number=records.named(_NUMBER),
        name=_NAME,
        price_minor=_PRICE_MINOR,
        pack_size=_PACK,
        lead_time_days=3,
        supplier=_SUPPLIER,
    )
    records.add(part)
    kind = derived_id("part_kind", "reel tine")
    records.add(PartFit(id=records.id_of("part_fit", _NAME), part_id=part.id, part_kind_id=kind))
    return part.id


def _fit_instead(records: Records, part: UUID, now: Sequence[Fitting]) -> None:
    on = {one.id for one in now}
    records.facts = [
        replace(one, part_id=part) if isinstance(one, Fitting) and one.id in on else one for one in records.facts
    ]


def _buy_instead(records: Records, part: UUID, renewed: Repair, number: int) -> int:
    """Turn what was bought and taken for this work into the other number, a pack more of it; return how many are left."""
    used = next(one for one in _of(records, StockMove) if one.repair_id == renewed.id)
    came = next(
        one
        for one in _of(records, StockMove)
        if one.part_id == used.part_id and one.change is StockChange.RECEIVED and one.quantity == number
        if used.at - timedelta(days=7) < one.at < used.at
    )
    bought = -(-number // _PACK) * _PACK + _PACK
    instead = {
        came.id: replace(came, part_id=part, quantity=bought, unit_cost_minor=_PAID_MINOR),
        used.id: replace(used, part_id=part),
    }
    records.facts = [instead.get(one.id, one) for one in records.facts]
    return bought - number


def _break(records: Records, part: UUID, now: Sequence[Fitting]) -> None:
    """Draw a life for each and enter those that ended, found and changed when the day's work was over: nothing stood for it.

    None breaks twice: too little was cut.
    """
    draws = Draws(records.seed + _TELLING)
    header = records.id_of("machine", _HEADER)
    runs = sorted(
        (one for one in _of(records, Run) if one.header_id == header and one.started_at > now[0].fitted_at),
        key=lambda one: one.started_at,
    )
    ended = {one.position: draws.life(TRIED.shape, TRIED.scale) for one in sorted(now, key=lambda one: one.position)}
    place = {one.position: one for one in now}
    cut = 0.0
    for before, run in enumerate(runs, start=1):
        cut += run.area_square_metres / float(ACRE_SQUARE_METRES)
        last = before == len(runs) or _day(runs[before].started_at) != _day(run.started_at)
        found = [one for one in ended if last and ended[one] <= cut]
        if found:
            mode = draws.pick((Mode.BROKEN, Mode.MISSING))
            _enter_break(records, part, [place[one] for one in found], run.ended_at, mode)
        for position in found:
            del ended[position]


def _count(records: Records, part: UUID, spare: int, since: datetime) -> None:
    month, day, hour = _COUNTED
    for year in range(since.year, LAST_YEAR + 1):
        at = farm_time(date(year, month, day), hour)
        taken = sum(
            one.quantity
            for one in _of(records, StockMove)
            if one.part_id == part and one.change is StockChange.USED and since < one.at < at
        )
        if taken > spare:
            # what was bought would have run out: more packs came in that spring
            more = -(-(taken - spare) // _PACK) * _PACK
            spare += more
            records.add(
                StockMove(
                    id=records.id_of("stock_move", f"{_NAME} bought {year}"),
                    part_id=part,
                    at=farm_time(date(year, 3, 1), hour),
                    change=StockChange.RECEIVED,
                    quantity=more,
                    unit_cost_minor=_PAID_MINOR,
                )
            )
        records.add(
            StockMove(
                id=records.id_of("stock_move", f"{_NAME} counted {year}"),
                part_id=part,
                at=at,
                change=StockChange.COUNTED,
                quantity=spare - taken,
            )
        )


def _day(at: datetime) -> date:
    return at.astimezone(FARM_ZONE).date()


def _enter_break(records: Records, part: UUID, fitted: Sequence[Fitting], at: datetime, mode: Mode) -> None:
    component = fitted[0].component_id
    name = f"{_NAME} {fitted[0].position}"
    breakage = Breakage(
        id=records.id_of("breakage", name),
        component_id=component,
        positions=tuple(one.position for one in fitted),
        at=at,
        cause=Cause.WEAR,
        mode=mode,
        action=Action.REPLACED,
    )
    taken = StockMove(
        id=records.id_of("stock_move", name),
        part_id=part,
        at=at,
        change=StockChange.USED,
        quantity=len(fitted),
        breakage_id=breakage.id,
    )
    off = {one.id for one in fitted}
    records.facts = [
        replace(one, removed_at=at, removal=Removal.BROKE) if isinstance(one, Fitting) and one.id in off else one
        for one in records.facts
    ]
    for fact in (breakage, taken):
        records.add(fact)
    for one in fitted:
        records.add(
            Fitting(
                id=records.id_of("fitting", f"{_NAME} {one.position}"),
                component_id=component,
                position=one.position,
                fitted_at=at,
                age_when_fitted_usage=0,
                part_id=part,
            )
        )
