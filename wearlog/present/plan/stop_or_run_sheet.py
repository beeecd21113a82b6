"""Run on or stop as an answer: the times at which the part can be changed, what each costs, and what that rests on."""

from __future__ import annotations

from typing import Any, Final

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import Measures, amount, low_to_high, number, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.plan.mending_words import mending_said
from wearlog.present.words import ByCommand, capital, counted, listed, word
from wearlog.reckoning.plan.field_wait import PartWait
from wearlog.reckoning.plan.stop_costs import Missing
from wearlog.reckoning.plan.stop_or_run import ChangeTime, PartState, StopOrRunView, StopWay

WHEN: Final = {
    ChangeTime.NOW: "now",
    ChangeTime.NEXT_STOP: "the next stop",
    ChangeTime.DUSK: "dusk",
    ChangeTime.FIELD_DONE: "field done",
    ChangeTime.SEASON_END: "season's end",
    ChangeTime.MEND: "mend it now",
}
_DO: Final = {
    ChangeTime.NOW: "Stop and change it now",
    ChangeTime.NEXT_STOP: "Run to the next stop, change it then",
    ChangeTime.DUSK: "Run to dusk, change it then",
    ChangeTime.FIELD_DONE: "Finish the field, change it then",
    ChangeTime.SEASON_END: "Run on to season's end, change it in the shop",
}
_THEN: Final = {
    ChangeTime.NEXT_STOP: "at the next stop",
    ChangeTime.DUSK: "at dusk",
    ChangeTime.FIELD_DONE: "when the field is done",
    ChangeTime.SEASON_END: "at season's end",
}
_MISSING: Final = {
    Missing.PART: "No part in the log fits it: its price is left out of every way.",
    Missing.PRICE: "Nobody wrote the part's price: it is left out of every way.",
    Missing.STANDING: "An hour of standing is worth nothing by the settings: standing costs nothing here.",
    Missing.CROP: "The crop's price, or its yield on any run, is not written: what is not cut tonight loses nothing here.",
    Missing.LIFE: "Nobody has an idea of the life of its kind: usage given away costs nothing here.",
}
#: what is believed is never the whole of what can be: no way is the best for certain, and none for certain not
_HARDLY: Final = 1e-6


def stop_or_run_sheet(view: StopOrRunView, measures: Measures) -> AnswerSheet[StopWay]:
    """Return the times at which the part can be changed, in their order."""
    return AnswerSheet(
        name="ways",
        columns=_columns(view),
        rows=view.ways,
        measures=measures,
        headline=_headline(view, measures),
        answer=_answer(view, measures),
        sentences=_sentences(view, measures),
        beside=_beside(view, measures),
        key_of=lambda row: row.when,
        about=lambda row, measures: _about(view, row, measures),
        shouts=lambda row: row is view.best,
    )


def _columns(view: StopOrRunView) -> tuple[AnswerColumn[StopWay], ...]:
    meter = view.kind.meter_kind
    return (
        AnswerColumn("change it", lambda row, _: WHEN[row.when], "when", lambda row, _: row.when, least=13, most=14),
        AnswerColumn(
            "after",
            lambda row, measures: measures.usage(meter, row.cost.usage),
            value=lambda row, measures: {
                f"usage_{_unit_word(meter, measures)}": rounded(measures.usage_number(meter, row.cost.usage), 1)
            },
            least=8,
            most=10,
            figures=True,
            gives=2,
            inlaid=True,
        ),
        AnswerColumn(
            "{money}",
            lambda row, _: amount(row.cost.cost_minor, cents=False),
            "cost",
            lambda row, measures: money(round(row.cost.cost_minor), measures.settings.currency),
            least=6,
            most=10,
            figures=True,
            legend="{money}: what it costs on the mean, less the usage that the old part still gives.",
        ),
        AnswerColumn(
            "8 in 10",
            lambda row, _: low_to_high(
                amount(row.cost.low_minor, cents=False), amount(row.cost.high_minor, cents=False)
            ),
            least=10,
            most=18,
            figures=True,
        ),
        data("then", lambda row, _: row.then),
        data("cost_low", lambda row, measures: money(round(row.cost.low_minor), measures.settings.currency)),
        data("cost_high", lambda row, measures: money(round(row.cost.high_minor), measures.settings.currency)),
        AnswerColumn(
            "goes first",
            lambda row, _: percent(row.cost.breaks_first),
            "chance_breaks_first",
            lambda row, _: rounded(row.cost.breaks_first, 4),
            least=10,
            most=10,
            figures=True,
        ),
        AnswerColumn(
            "best",
            lambda row, _: percent(min(max(row.cost.chance_best, _HARDLY), 1 - _HARDLY)),
            "chance_best",
            lambda row, _: rounded(row.cost.chance_best, 4),
            least=9,
            most=9,
            figures=True,
            gives=1,
            legend="best: in so much of what is believed this way costs least.",
        ),
    )


def _unit_word(meter: MeterKind, measures: Measures) -> str:
    if meter is MeterKind.CALENDAR:
        return "days"
    return measures.area_word if meter is MeterKind.AREA else "hours"


def part_named(view: StopOrRunView) -> str:
    """Return "North header, knife section 41"."""
    component = view.component
    name = component_name(component.place, view.kind.name)
    return place_said(view.machine.name, name, component.positions, (view.position,))


def _answer(view: StopOrRunView, measures: Measures) -> str:
    if view.endangers_people:
        return "Stop: that is not a matter of cost. If it goes in work it can hurt somebody."
    best = view.best
    if not view.has_later:
        now = measures.money(best.cost.cost_minor, cents=False)
        return f"No acres ahead are known, so there is no later time to weigh; changing it now costs {now}."
    beside_it = (ChangeTime.NOW, ChangeTime.MEND, ChangeTime.SEASON_END)
    others = [row for row in view.ways if row is not best and row.when in beside_it]
    beside = "; ".join(f"{WHEN[row.when]} {measures.money(row.cost.cost_minor, cents=False)}" for row in others)
    cost = measures.money(best.cost.cost_minor, cents=False)
    said = f"{_do(best)}: {cost}{f' ({beside})' if beside else ''}."
    if view.found.either_way:
        ranked = sorted(view.ways, key=lambda row: row.cost.cost_minor)
        return f"Either way, {WHEN[ranked[0].when]} or {WHEN[ranked[1].when]}. {said}"
    return said


def _do(row: StopWay) -> str:
    return f"Mend it now, change it {_THEN[row.then]}" if row.then is not None else _DO[row.when]


def _headline(view: StopOrRunView, measures: Measures) -> str:
    best = view.best.cost
    said = [_answer(view, measures)]
    if not view.endangers_people and view.has_later and best.usage > 0:
        costs = measures.money(view.failure_minor, cents=False)
        said.append(f"{capital(percent(best.breaks_first))} that it goes first, which costs {costs}.")
    return " ".join(said)


def _sentences(view: StopOrRunView, measures: Measures) -> list[str]:
    said = [f"{part_named(view)}: {_state(view, measures)}.", rests_on(view, measures)]
    if not view.has_later:
        said.append(
            ByCommand(
                "Acres ahead are those of the season's plan ('wearlog plan area'), or what is said with --left.",
                "Acres ahead are those of the season's plan (6, Acres), or what l says is left.",
            )
        )
    if view.wait is not None and view.wait.hours:
        said.append(_waits(view, view.wait))
    if view.mending is not None:
        said.append(mending_said(view.mending, view.kind, measures))
    taken = view.collateral
    costs = f", about {measures.money(taken.cost_minor, cents=False)}" if taken.cost_minor else ""
    said.append(
        f"One failure in {number(1 / taken.chance)} takes something along ({percent(taken.chance)}, 90 % sure: "
        f"{percent(taken.low)} to {percent(taken.high)}){costs}."
    )
    said += [_MISSING[what] for what in view.missing]
    said.append("Another part that runs on broken stays so; a repair that fails itself is not reckoned.")
    return said


def _waits(view: StopOrRunView, wait: PartWait) -> str:
    early = listed([WHEN[when] for when in view.too_early])
    so = f"; {early} comes too early for it" if early else ""
    rests = f"{counted(len(wait.taken), 'delivery', 'deliveries')} on record, " if wait.taken else ""
    rests += "nobody quoted any days" if wait.quoted is None else f"{counted(wait.quoted, 'day')} quoted"
    hurry = "" if wait.hours >= wait.delivery_hours else f", fetched in a hurry {number(wait.hours)}"
    return (
        f"None is on the shelf: ordered now it is here in {number(wait.days, 1)} days, {number(wait.delivery_hours)} field hours"
        f"{hurry} ({rests}); now waits for it{so}."
    )


def _state(view: StopOrRunView, measures: Measures) -> str:
    meter = view.kind.meter_kind
    age = "" if view.age is None else f" at {measures.usage(meter, view.age)}"
    if view.state is PartState.LEFT and view.mode is not None:
        return f"{word(view.mode)} and left as it is{age}"
    return {
        PartState.LEFT: f"left broken as it is{age}",
        PartState.PAST_LIMIT: f"past its limit{age}",
        PartState.MEASURED: f"sound{age}, by its measured wear",
        PartState.AGED: f"sound{age}",
        PartState.UNKNOWN_AGE: "sound, of an unknown age: taken as met at a chance moment of its life",
    }[view.state]


def rests_on(view: StopOrRunView, measures: Measures) -> str:
    """Return what the belief of the usage to come rests on."""
    if view.asked.lasts is not None:
        low, high = (measures.usage(view.kind.meter_kind, end) for end in view.asked.lasts)
        guess = f"what was said, {low} to {high}"
    elif view.state in (PartState.LEFT, PartState.PAST_LIMIT):
        how = word(view.mode) if view.mode is not None else "worn"
        guess = f"a guess for {how} parts (common practice, no source)"
    else:
        records = counted(round(view.failures), "failure")
        return f"Reckoned from {records} of its kind and the starting guess. A look at it, or a measurement, makes it surer."
    if view.stretches.usage > 0:
        ran = measures.usage(view.kind.meter_kind, view.stretches.usage)
        return (
            f"Reckoned from {guess}, and from {counted(view.stretches.stretches, 'part')} left so (this one counts): "
            f"{counted(view.stretches.breaks, 'break')} in {ran}."
        )
    return f"Reckoned from {guess}, nothing of yours yet."


def _about(view: StopOrRunView, row: StopWay, measures: Measures) -> str:
    planned = measures.money(row.planned_minor, cents=False)
    if row.then is not None:
        first = percent(row.cost.breaks_first)
        return f"Mending it costs {planned} now; changed {_THEN[row.then]}. {first} that it breaks again before."
    return one_line(
        f"{WHEN[row.when].capitalize()}: changing it then costs {planned}; {percent(row.cost.breaks_first)} that it goes first."
    )


def _to_do(view: StopOrRunView) -> ChangeTime | None:
    if view.endangers_people:
        return ChangeTime.NOW
    return view.best.when if view.has_later else None


def _verdict(view: StopOrRunView) -> str:
    if view.endangers_people:
        return "danger"
    if not view.has_later:
        return "nothing_ahead"
    return "either_way" if view.found.either_way else view.best.when


def _beside(view: StopOrRunView, measures: Measures) -> dict[str, Any]:
    currency = measures.settings.currency
    return {
        "component": part_named(view),
        "position": view.position,
        "state": view.state,
        "mode": view.mode,
        "do": _to_do(view),
        "verdict": _verdict(view),
        "next_costs_more_low": money(round(view.found.next_less_best[0]), currency),
        "next_costs_more_high": money(round(view.found.next_less_best[1]), currency),
        "failure_cost": money(round(view.failure_minor), currency),
        "collateral_chance": rounded(view.collateral.chance, 4),
        "hour_value": money(view.hour_minor, currency),
        "wait_hours": 0.0 if view.wait is None else rounded(view.wait.hours, 1),
        "deliveries": 0 if view.wait is None else len(view.wait.taken),
        "mended_parts": None if view.mending is None else view.mending.stretches.stretches,
        "mended_breaks": None if view.mending is None else view.mending.stretches.breaks,
        "rests_on": rests_on(view, measures),
        "missing": [*view.missing],
    }
