"""Getting a part as an answer: the ways to it, when it is here, what each costs, whom to ring first."""

from __future__ import annotations

from typing import Any, Final

from wearlog.facts.parts import PartKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, money_value
from wearlog.present.digits import NOTHING, Measures, amount, number, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.plan.mending_words import mending_said
from wearlog.present.words import counted
from wearlog.reckoning.plan.fetch_part import FetchView, FetchWay, Source
from wearlog.reckoning.plan.stop_costs import Missing
from wearlog.units import MILE_METRES

_WHERE: Final = {Source.SHELF: "the shelf", Source.DELIVERY: "delivery", Source.MEND: "mend it"}
_NO_PART: Final = "No part in the log fits it; 'wearlog add part' enters one."


def fetch_sheet(view: FetchView, measures: Measures) -> AnswerSheet[FetchWay]:
    """Return the ways to the part, the cheapest first."""
    answer = _answer(view, measures)
    return AnswerSheet(
        name="ways",
        columns=COLUMNS,
        rows=view.ways,
        measures=measures,
        headline=answer,
        answer=answer,
        sentences=_sentences(view, measures),
        empty=_NO_PART if view.part is None else "Nobody knows a way to this part.",
        beside=_beside(view, measures),
        key_of=lambda row: (row.source, row.name),
        about=lambda row, measures: _about(view, row, measures),
    )


def way_named(row: FetchWay) -> str:
    """Return what a way is called in a list."""
    if row.source is Source.DONOR:
        return f"off {one_line(row.name)}"
    if row.source is Source.DELIVERY and row.name:
        return f"sent by {one_line(row.name)}"
    return one_line(row.name) if row.source is Source.SUPPLIER else _WHERE[row.source]


def _here(row: FetchWay, measures: Measures) -> str:
    return NOTHING if row.here_at is None else measures.moment(row.here_at)


COLUMNS: Final[tuple[AnswerColumn[FetchWay], ...]] = (
    AnswerColumn("from", lambda row, _: way_named(row), "from", lambda row, _: row.name or None, least=14, most=30),
    data("source", lambda row, _: row.source),
    AnswerColumn(
        "road",
        lambda row, measures: NOTHING if row.distance is None else measures.road(row.distance),
        "distance_metres",
        lambda row, _: None if row.distance is None else round(row.distance),
        least=6,
        figures=True,
        gives=2,
    ),
    AnswerColumn(
        "here",
        _here,
        "here_at",
        lambda row, _: None if row.here_at is None else row.here_at.isoformat(timespec="minutes"),
        least=16,
        most=16,
        gives=1,
    ),
    AnswerColumn(
        "has it",
        lambda row, _: percent(row.chance) if row.source is Source.SUPPLIER else NOTHING,
        "chance",
        lambda row, _: rounded(row.chance, 4) if row.source is Source.SUPPLIER else None,
        least=6,
        figures=True,
        gives=3,
    ),
    AnswerColumn(
        "costs",
        lambda row, _: NOTHING if row.minor is None else amount(row.minor, cents=False),
        "cost",
        money_value(lambda row: row.minor),
        least=8,
        figures=True,
        legend="costs: standing until it is here, the drive, and the price over the usual one ({money}).",
    ),
    data("phone", lambda row, _: row.phone or None),
    data("late_phone", lambda row, _: row.late_phone or None),
    data("opened_after_hours", lambda row, _: row.opened_late),
    data("answers", lambda row, _: row.answers),
    data("days_9_in_10", lambda row, _: None if row.nine_in_ten_days is None else rounded(row.nine_in_ten_days, 1)),
)


def _answer(view: FetchView, measures: Measures) -> str:
    shelf = next((one for one in view.ways if one.source is Source.SHELF), None)
    if shelf is not None and view.part is not None:
        return f"It lies on the shelf: {counted(view.part.on_hand, 'piece')} of {one_line(view.part.part.number)}."
    if view.ringing is not None and view.ringing.order:
        first, *more = (view.rung[place] for place in view.ringing.order)
        then = "".join(f", then {one_line(one.name)} ({amount(one.minor, cents=False)})" for one in more)
        mean = ""
        if view.sure is not None:
            sure = f"{_sure_words(view.sure)} {amount(view.sure.minor, cents=False)}"
            mean = f" On the mean {amount(view.ringing.expected, cents=False)}; {sure}."
        return (
            f"{_doubt(view, first)}Ring {one_line(first.name)} first ({measures.road(first.distance or 0.0)}, "
            f"{measures.money(first.minor, cents=False)} if they have it: {percent(first.chance)}){then}.{mean}"
        )
    if view.sure is not None:
        here = "runs" if view.sure.source is Source.MEND else "here"
        costs = measures.money(view.sure.minor, cents=False)
        return f"{_doubt(view, view.sure)}{_sure_do(view.sure)}: {costs}, {here} {_here(view.sure, measures)}."
    return ""


def _doubt(view: FetchView, best: FetchWay) -> str:
    """Return "Either way, COOP or off Plover. " where another first way may be as good; else nothing."""
    return "" if view.either is None else f"Either way, {way_named(best)} or {way_named(view.either)}. "


def _sure_words(way: FetchWay) -> str:
    if way.source is Source.MEND:
        return "mending it"
    return "waiting for the delivery" if way.source is Source.DELIVERY else f"taking it {way_named(way)}"


def _sure_do(way: FetchWay) -> str:
    if way.source is Source.DONOR:
        return f"Take it {way_named(way)}"
    if way.source is Source.MEND:
        return "Mend it"
    return "Order it" if not way.name else f"Order it from {one_line(way.name)}"


def _sentences(view: FetchView, measures: Measures) -> list[str]:
    if not view.ways or view.ways[0].source is Source.SHELF:
        return []
    found = []
    if view.still_cut is not None:
        found.append(f"{measures.area(view.still_cut)} still fit before dark.")
    without = [one for one in view.ways if one.source is Source.SUPPLIER and one.distance is None]
    found += [
        f"Nobody wrote how far {one_line(one.name)} is: wearlog supplier '{one_line(one.name)}' --distance 12"
        for one in without
    ]
    phones = [said for one in view.ways if (said := _phones(one, measures))]
    if phones:
        found.append(f"By phone: {'; '.join(phones)}.")
    if not view.rung and not without:
        found.append("No supplier of it is known: wearlog supplier NAME --distance 12, then enter supply.")
    if view.idle_drives:
        found.append("While another combine cuts, the operator of this one drives: his hours cost nothing.")
    found += [
        f"{one_line(one.name)} is closed when you come there: opened for {measures.money(one.late_fee_minor, cents=False)} it "
        "costs less than waiting."
        for one in view.ways
        if one.opened_late
    ]
    if view.mending is not None:
        found.append(mending_said(view.mending, kind_of(view), measures))
    if Missing.STANDING in view.missing:
        found.append("An hour of standing is worth nothing by the settings: only the drive and the price count.")
    calls = sum(one.answers for one in view.rung)
    came = counted(view.deliveries, "delivery", "deliveries")
    found.append(
        f"Reckoned from {counted(calls, 'call')} and {came} on record, {_drive(measures)}; "
        "a supplier whose hours nobody wrote is open 8-17 on weekdays."
    )
    return found


def _phones(row: FetchWay, measures: Measures) -> str:
    """Return by which numbers a supplier is rung: "Far Barn 555-0137, after hours 555-0138 for 50 USD"; empty for none."""
    found = [one_line(row.phone)] if row.phone else []
    if row.late_phone:
        fee = "" if row.late_fee_minor is None else f" for {measures.money(row.late_fee_minor, cents=False)}"
        found.append(f"after hours {one_line(row.late_phone)}{fee}")
    return f"{one_line(row.name)} {', '.join(found)}" if found else ""


def _drive(measures: Measures) -> str:
    settings = measures.settings
    unit = 1000.0 if settings.is_metric else float(MILE_METRES)
    speed = number(settings.driving_metres_an_hour / unit)
    fast = f"{speed} {'km/h' if settings.is_metric else 'mph'}"
    each = f"{measures.money(settings.driving_minor_a_metre * unit)} a {'km' if settings.is_metric else 'mile'}"
    usual = [
        what
        for what, said in (("driving_speed", settings.driving_speed), ("driving_cost", settings.driving_cost))
        if not said
    ]
    label = f" (usual figures, no source; yours: wearlog set {usual[0]} ...)" if usual else ""
    return f"{fast} and {each}{label}"


def _about(view: FetchView, row: FetchWay, measures: Measures) -> str:
    told = [f"{way_named(row).capitalize() if row.source is Source.SHELF else way_named(row)}"]
    if row.opened_late:
        told.append("closed when you come there: opened for the fee")
    if row.source is Source.MEND:
        told.append("changed later: what it then costs, and that it breaks again before, are counted")
    if row.waits:
        told.append("closed when you come there now: counted from when it opens")
    if _phones(row, measures):
        told.append(f"phone {_phones(row, measures).removeprefix(one_line(row.name)).strip()}")
    if row.price_minor is not None:
        told.append(f"{measures.money(row.price_minor)} apiece there")
    if row.source is Source.SUPPLIER:
        told.append(f"has it with {percent(row.chance)} by {counted(row.answers, 'call')}")
    if row.nine_in_ten_days is not None:
        told.append(f"9 times in 10 within {number(row.nine_in_ten_days, 1)} days")
    if row.source is Source.DONOR:
        told.append("the place there is filled again later, and what is older fails sooner: both counted")
    return "; ".join(told) + "."


def kind_of(view: FetchView) -> PartKind:
    """Return the kind of the part."""
    return next(one for one in view.farm.part_kinds if one.id == view.component.part_kind_id)


def part_wanted(view: FetchView) -> str:
    """Return whose part it is, as a heading."""
    return place_said(view.machine.name, component_name(view.component.place, kind_of(view).name))


def _beside(view: FetchView, measures: Measures) -> dict[str, Any]:
    currency = measures.settings.currency
    ringing = view.ringing
    return {
        "component": part_wanted(view),
        "part": None if view.part is None else view.part.part.number,
        "either_way": view.either is not None,
        "ring_order": [] if ringing is None else [view.rung[one].name for one in ringing.order],
        "expected_cost": None if ringing is None or view.sure is None else money(round(ringing.expected), currency),
        "none_has_it_chance": None if ringing is None else rounded(ringing.none_has_it, 4),
        f"still_cut_today_{measures.area_word}": None
        if view.still_cut is None
        else rounded(measures.area_number(view.still_cut), 1),
        "idle_operator_drives": view.idle_drives,
        "missing": [*view.missing],
    }
