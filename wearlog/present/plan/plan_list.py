"""The season plan on a screen: its answer in sentences, the purse beside the sections, and each saving drawn against nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor, log10
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Choice
from wearlog.facts.positions import component_name
from wearlog.facts.short_names import MOST, short_name
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import NOTHING, Measures, amount, duration, number
from wearlog.present.drawing.drawn import about, chance_figure, figures_of, joined, share_boxes
from wearlog.present.drawing.sum_strip import SavingRange, SavingScale, saving_strip
from wearlog.present.plan.money_sheet import money_rows
from wearlog.present.plan.plan_line_sheet import PlanRow, in_number, row_says
from wearlog.present.plan.plan_page import limits_sentence, parts_left_out
from wearlog.present.plan.plan_words import line_name, which_words
from wearlog.present.words import capital, counted, listed
from wearlog.reckoning.plan.line import PlanLine, Undecided
from wearlog.reckoning.plan.season_plan import SeasonPlanView

#: cells of the scale where there is room, and on a usual terminal
WIDE, NARROW = 24, 15
#: cells that a machine's name and a short name need at most before they are cut
_NAME: Final = 28
#: cells of the positions: "148 of 160"
_FEW: Final = 10
#: while the rest of the money is not spent anew
_SPENDING: Final = "Spending the rest of the money anew ..."


@dataclass(frozen=True, slots=True)
class PlanAnswer:
    """What the plan says: to do, what of the saving comes from where, and what of the limits is used.

    `briefly_saved_by` is the same without what was chosen by hand; `ahead` is the season in one row; `hint` what to do first,
    where nothing can be said yet; `purse` stands beside the sections, the longest form first.
    """

    to_do: str
    saved_by: str
    briefly_saved_by: str
    purse: Sequence[str]
    ahead: str = ""
    hint: str = ""


def plan_answer(view: SeasonPlanView, measures: Measures, *, settling: bool = False) -> PlanAnswer:
    """Return the answer of a plan; while it is `settling` the rest of the money is not spent anew yet."""
    if view.nothing_to_come:
        plans = "a plans a field."
        return PlanAnswer(f"No {measures.area_word} are planned for {view.harvest_year}.", plans, plans, (), hint=plans)
    done = _to_do(view, measures)
    if not done and view.lines and all(line.undecided is Undecided.NO_PRICE for line in view.lines):
        how = "7, then a, enters a part with its price."
        ahead = _ahead(view, measures, settling=settling)
        return PlanAnswer(_no_price(len(view.lines)), how, how, _purse(view, measures), ahead, how)
    return PlanAnswer(
        done or f"Nothing pays to buy or to renew before {view.harvest_year}.",
        saved_by(view, measures) if done else "",
        saved_by(view, measures, by_hand=False) if done else "",
        _purse(view, measures),
        _ahead(view, measures, settling=settling),
    )


def _no_price(lines: int) -> str:
    which = f"none of the {lines} parts has a price" if lines > 1 else "the one part has no price"
    return f"What pays cannot be said: {which} yet."


def steps_to_do(view: SeasonPlanView, measures: Measures) -> list[str]:
    """Return "buy for 5,961 USD" and "work 11 h 16 min in the shop", each where there is any of it."""
    sum_said = measures.money(view.found.orders.sum_minor, cents=False)
    return [f"{step} in the shop" if step.startswith("work") else step for step in _steps(view, measures, sum_said)]


def _steps(view: SeasonPlanView, measures: Measures, sum_said: str) -> list[str]:
    totals = view.found.totals
    steps = [f"buy for {sum_said}"] if view.found.orders.orders else []
    return [*steps, f"work {duration(totals.shop_seconds)}"] if totals.shop_seconds else steps


def spares_you(view: SeasonPlanView, measures: Measures) -> str:
    """Return "spares you about 31,400 USD", or what it costs."""
    saved = view.found.totals.saving_minor
    verb = "spares you" if saved >= 0 else "costs you"
    return f"{verb} {about(abs(saved) / 100, measures.settings.currency)}"


def _to_do(view: SeasonPlanView, measures: Measures) -> str:
    """Return "Replace Plover knife sections and 3 more; buy 35 x guard and 12 other parts for 5,961 USD; work 16 h: spares ..."."""
    steps = [f"replace {replaced}"] if (replaced := _first_replaced(view)) else []
    if view.found.orders.orders:
        steps.append(f"buy {_first_bought(view)} for {_of_budget(view, measures)}".replace("buy  for", "buy for"))
    if view.found.totals.shop_seconds:
        steps.append(f"work {duration(view.found.totals.shop_seconds)}")
    return f"{capital('; '.join(steps))}: {spares_you(view, measures)}." if steps else ""


def _first_replaced(view: SeasonPlanView) -> str:
    """Name what is replaced before the season: the line that saves most, and how many more."""
    done = [(line.saving_minor(one), line_name(line)) for line, one in _replaced(view)]
    if not done:
        return ""
    first = max(done, key=lambda found: found[0])[1]
    return f"{first} and {len(done) - 1} more" if len(done) > 1 else first


def _replaced(view: SeasonPlanView) -> list[tuple[PlanLine, tuple[int, ...]]]:
    return [(line, done) for line, done in zip(view.lines, view.found.replaced, strict=True) if done]


def _first_bought(view: SeasonPlanView) -> str:
    """Name what is bought: the pieces that save most, and how many others; nothing where no piece has a name."""
    bought = [row for row in money_rows(view)[0] if row.pieces]
    if not bought:
        return ""
    first, others = bought[0], sum(row.pieces for row in bought[1:])
    said = f"{first.pieces} x {first.name}"
    return f"{said} and {counted(others, 'other part')}" if others else said


def _of_budget(view: SeasonPlanView, measures: Measures) -> str:
    """Return "5,997 of 6,000 USD", of what is still left of it where some came in; without a budget the sum alone."""
    paid, budget = view.found.orders.sum_minor, view.limits_left.budget_minor
    if budget is None:
        return measures.money(paid, cents=False)
    left = " left" if view.spent.received_minor else ""
    return f"{amount(paid, cents=False)} of {measures.money(budget, cents=False)}{left}"


def saved_by(view: SeasonPlanView, measures: Measures, *, by_hand: bool = True) -> str:
    """Return what of the saving comes of not waiting for parts and what of replacing, as round as the whole of it.

    `by_hand` adds what a choice by hand loses of it.
    """
    totals = view.found.totals
    replacing = totals.saving_by_replacing_minor
    waiting = totals.saving_minor - replacing
    # parts of one sum share its step and add up as they are shown: 31,100 and 300 of 31,400
    step = _step_of(totals.saving_minor / 100)
    shown = _parts_shown(totals.saving_minor, waiting, replacing, step=step)
    hows = ("by not waiting for parts", "by replacing before the season")
    sources = list(zip((waiting, replacing), shown, hows, strict=True))
    saved = [f"{_shown(steps, step)} of it {how}" for minor, steps, how in sources if minor > 0]
    lost = [f"{_shown(-steps, step)} more is spent {how}" for minor, steps, how in sources if minor < 0]
    if len(saved) == 2:
        saved[1] = saved[1].replace(" of it", "")
    said = ", ".join([*saved, *lost])
    losing = _by_hand(view, measures, shown[1], step) if by_hand else ""
    return f"{capital(said)}{losing}." if said else ""


def _parts_shown(whole: int, one: int, other: int, *, step: float) -> tuple[int, int]:
    """Two parts of a sum in steps: the smaller is rounded, the larger is what of the rounded sum is left."""
    whole_steps, steps = _whole_steps(whole, step), (_whole_steps(one, step), _whole_steps(other, step))
    return (whole_steps - steps[1], steps[1]) if abs(one) >= abs(other) else (steps[0], whole_steps - steps[0])


def _by_hand(view: SeasonPlanView, measures: Measures, replacing: int, step: float) -> str:
    """Name what was chosen by hand and loses, since the lines in view then do not add up to what replacing saves."""
    gains = [(line, line.saving_minor(done)) for line, done in _replaced(view)]
    losing = [line for line, gain in gains if gain < 0 and line.by_hand is Choice.REPLACE]
    if not losing:
        return ""
    lost = -sum(gain for line, gain in gains if line in losing)
    names = listed([line_name(line) for line in losing]) if len(losing) < 3 else counted(len(losing), "line")
    away = _whole_steps(lost, step)
    return f" ({_shown(replacing + away, step)} less {_shown(away, step)} for {names}, chosen by hand)"


def _step_of(value: float) -> float:
    return 10.0 ** max(floor(log10(abs(value))) - 2, 0) if abs(value) >= 1 else 1.0


def _whole_steps(minor: int, step: float) -> int:
    return round(minor / 100 / step)


def _shown(steps: int, step: float) -> str:
    return number(steps * step) if steps else f"under {number(step)}"


def _ahead(view: SeasonPlanView, measures: Measures, *, settling: bool) -> str:
    """The season in one row; what the limits keep from being done stands with the money, but for what goes beyond them."""
    not_reckoned, choice = sum(parts_left_out(view)), view.found.choice
    less = f"; {counted(not_reckoned, 'part')} not counted" if not_reckoned else ""
    beyond = limits_sentence(view, measures) if choice.overspent_minor or choice.over_shop_seconds else ""
    if settling:
        # in one row as well: nothing may jump when it comes
        return f"{view.harvest_year}: still about {counted(round(view.found.totals.stops), 'breakage')}. {_SPENDING}"
    return f"{view.harvest_year}: still about {_still(view)}{less}. {beyond}".strip()


def _still(view: SeasonPlanView) -> str:
    """Return "122 breakages and 82 h standing"."""
    totals = view.found.totals
    standing = figures_of(totals.hours_down, 2 if totals.hours_down < 100 else 3)
    return f"{counted(round(totals.stops), 'breakage')} and {standing} h standing"


def _purse(view: SeasonPlanView, measures: Measures) -> list[str]:
    """What is used of money and shop hours; beyond a limit it says so."""
    limits, orders, shop = view.limits_left, view.found.orders, view.found.totals.shop_seconds
    paid, currency = amount(orders.sum_minor, cents=False), measures.settings.currency
    left = " left" if view.spent.received_minor else ""
    money, boxes = f"money {paid} {currency}", ""
    if limits.budget_minor is not None:
        too_much = " TOO MUCH" if orders.sum_minor > limits.budget_minor else ""
        money = f"money {paid} of {amount(limits.budget_minor, cents=False)}{left}{too_much}"
        boxes = f"  {joined(share_boxes(orders.sum_minor / limits.budget_minor))}" if limits.budget_minor else ""
    if orders.without_price:
        money += f", {orders.without_price} without a price"
    hours = f"shop {number(shop / 3600)} h"
    shop_boxes = ""
    if limits.shop_seconds is not None:
        still = " left" if view.spent.shop_seconds else ""
        hours = f"shop {number(shop / 3600)} of {number(limits.shop_seconds / 3600)} h{still}"
        shop_boxes = f" {joined(share_boxes(shop / limits.shop_seconds))}" if limits.shop_seconds else ""
    # the answer says the sum and the limit: a phone's row of sections has no room for both
    brief = "TOO MUCH" if "TOO MUCH" in money else f"{paid} {currency}"
    return [f"{money}{boxes}   {hours}{shop_boxes}", f"{money}{boxes}", money, brief]


def with_savings(sheet: AnswerSheet[PlanRow], every: Sequence[PlanRow]) -> AnswerSheet[PlanRow]:
    """Return lines with each saving drawn against nothing; how sure it is stands in the strip, and in the sentence of the row.

    Parameters
    ----------
    sheet : AnswerSheet of PlanRow
    every : sequence of PlanRow
        All lines: one scale holds the savings of those worth a look, and a short name is that of one of them alone.
    """
    in_plan, part, which, age, limit, fails, saves, _, says = sheet.shown
    names = short_names(every)
    # a short name is whole before anything beside it has room
    whole = min(max([len(one) for one in names.values()], default=19), _NAME)
    part = replace(part, least=min(19, whole), most=64, room=whole, short=(lambda row, _: names[row.component_id],))
    beside = [
        replace(age, gives=4),
        replace(limit, title="pays past", gives=6),
        replace(fails, title="fails", words=_fails, gives=5),
    ]
    return replace(
        sheet,
        columns=[
            in_plan,
            part,
            replace(which, words=_which, least=_FEW, most=_FEW),
            *beside,
            replace(saves, least=6),
            saving_column([row for row in every if row.is_worth]),
            # a word that is cut is no word
            replace(says, words=_says, least=says.most),
        ],
        made={},
    )


def short_names(rows: Sequence[PlanRow]) -> dict[UUID, str]:
    """Return "Tamarack elevator chain" where no other line is called so, else the whole name."""
    brief = [in_number(row, f"{row.line.machine.name} {_brief(row)}") for row in rows]
    return {
        row.component_id: name if brief.count(name) == 1 else in_number(row, line_name(row.line))
        for row, name in zip(rows, brief, strict=True)
    }


def _brief(row: PlanRow) -> str:
    whole = component_name(row.line.component.place, row.line.kind.name)
    return whole if len(whole) <= MOST else short_name(row.line.kind.name)


def _which(row: PlanRow, _: Measures) -> str:
    named = which_words(row.line, row.positions)
    return named if len(named) <= _FEW else f"{len(row.positions)} of {row.line.component.positions}"


def _says(row: PlanRow, measures: Measures) -> str:
    # the box before it says which of the two was chosen
    return row_says(row, measures).replace("run by hand", "by hand")


def _fails(row: PlanRow, measures: Measures) -> str:
    """The chance of the worst one; what is broken and still on has none."""
    if row.line.failed:
        return "BROKEN"
    decision = row.line.decision
    if decision is None:
        return NOTHING
    return chance_figure(1 - min(one.lasts_season for one in decision.by_position))


def saving_column(rows: Sequence[PlanRow]) -> AnswerColumn[PlanRow]:
    """Return the column of the strips; `rows` are those that its scale must hold."""
    ranges = [one for one in map(_range, rows) if one is not None]
    wide, narrow = (SavingScale.of(ranges, cells) for cells in (WIDE, NARROW))
    return AnswerColumn(
        wide.heading(),
        lambda row, _: joined(saving_strip(_range(row), wide)),
        least=NARROW,
        most=WIDE,
        gives=2,
        short=(lambda row, _: joined(saving_strip(_range(row), narrow)),),
        titles=(narrow.heading(),),
        # the spaces in it are its scale
        drawn=True,
        legend="The strip: the bracket holds the saving in 8 of 10 cases, in {money}; the upright line is nothing saved.",
    )


def _range(row: PlanRow) -> SavingRange | None:
    saving = row.saving
    if saving is None:
        return None
    return SavingRange(saving.mean_minor / 100, saving.low_minor / 100, saving.high_minor / 100)
