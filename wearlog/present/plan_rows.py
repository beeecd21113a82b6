"""The season plan as rows and sentences for a screen: lines to replace or run, spares, orders, the sums. Draws nothing."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import Choice
from wearlog.plan.decide import Verdict
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import NOTHING, Measures, amount, duration, number, percent
from wearlog.present.order_sheet import OrderRow, order_sheets
from wearlog.present.plan_page import caution_lines, head, listed_lines
from wearlog.present.plan_sum_words import (
    left_out_words,
    limits_sentence,
    next_money_sentence,
    parts_left_out,
    pushed_out_sentence,
    saving_words,
)
from wearlog.present.plan_words import (
    how_sure,
    line_name,
    rests_on_lines,
    undecided_sentence,
    verdict_words,
    which_words,
    why_lines,
)
from wearlog.present.spare_sheet import spare_sheet
from wearlog.present.words import capital, counted
from wearlog.reckoning.plan_allocation import NextMoney
from wearlog.reckoning.plan_desk import SpareLine
from wearlog.reckoning.plan_line import PlanLine
from wearlog.reckoning.season_plan import SeasonPlanView

_NOT_SETTLED = "The rest of the money was being spent anew: what this would push out stands here when that is done."
_NOTHING_TO_COME = (
    "Nothing says what the machines will do, since no season is behind them:"
    " press 4, then a, and plan what will be cut."
)


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A component: `cells` are mark, part, which, age, limit, saves, sure, says; `about` one sentence on it.

    `by_hand` is what a person chose; `changed` says that it is not saved yet.
    """

    component_id: UUID
    number: int
    cells: tuple[str, ...]
    about: str
    in_plan: bool
    by_hand: Choice | None
    changed: bool
    replace: tuple[int, ...]
    run: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PlanSums:
    """What a choice changes at once, in words: money, shop, stops, saving; and what the failures leave out."""

    pay: str
    shop: str
    stops: str
    saving: str
    left_out: str
    parts: str


@dataclass(frozen=True, slots=True)
class PlanPage:
    """A plan in words.

    Attributes
    ----------
    title, about : str
        Which season, and what is planned within which limits.
    hint : str
        What to do first, where nothing can be reckoned yet.
    harvest_year : int
    has_limits : (int or None, int or None)
        Money and shop seconds as they stand.
    lines : tuple of PlanRow
        Every component, the largest saving first.
    listed : frozenset of int
        Numbers of the lines worth a look.
    sums : PlanSums
    bound, next_money : str
        What the limits did, and what more money would buy.
    rests_on : tuple of str
    cautions : tuple of str
        The first sentence of each; all of them stand where a line is explained.
    """

    title: str
    about: str
    hint: str
    harvest_year: int
    has_limits: tuple[int | None, int | None]
    lines: tuple[PlanRow, ...]
    listed: frozenset[int]
    spares: AnswerSheet[SpareLine]
    orders: tuple[AnswerSheet[OrderRow], ...]
    sums: PlanSums
    bound: str
    next_money: str
    rests_on: tuple[str, ...]
    cautions: tuple[str, ...]


def plan_page(
    view: SeasonPlanView, saved: SeasonPlanView, more: NextMoney | None, measures: Measures, *, settling: bool = False
) -> PlanPage:
    """Return a plan in words.

    Parameters
    ----------
    view : SeasonPlanView
        The plan as it is shown.
    saved : SeasonPlanView
        The plan as it is in the log.
    more : NextMoney or None
    measures : Measures
    settling : bool
        The rest of the money is not spent anew yet.
    """
    title, about = (line.strip() for line in head(view, measures)[:2])
    bound, buys = limits_sentence(view, measures), ""
    if settling:
        bound = "Spending the rest of the money anew ..."
    elif more is not None:
        buys = next_money_sentence(view, more, measures)
    return PlanPage(
        title=title.split(",")[0],
        about=f"{view.harvest_year}: {about}",
        hint=_NOTHING_TO_COME if view.nothing_to_come else "",
        harvest_year=view.harvest_year,
        has_limits=(view.limits.budget_minor, view.limits.shop_seconds),
        lines=tuple(_row(view, saved, place, measures) for place in range(len(view.lines))),
        listed=frozenset(listed_lines(view, show_all=False)),
        spares=spare_sheet(view, measures),
        orders=order_sheets(view, measures),
        sums=plan_sums(view, measures),
        bound=bound,
        next_money=buys,
        rests_on=tuple(rests_on_lines(view, measures)),
        # the machine's own book, named last, stands on the page of each line
        cautions=tuple(_first_sentence(caution.removeprefix("! ")) for caution in caution_lines(view)[:-1]),
    )


def _first_sentence(caution: str) -> str:
    first, dot, _ = caution.partition(". ")
    return f"{first}." if dot else first


def plan_sums(view: SeasonPlanView, measures: Measures) -> PlanSums:
    """Return the sums of a plan."""
    totals, limits, orders = view.found.totals, view.limits_left, view.found.orders
    currency = measures.settings.currency
    left = " left" if view.spent.received_minor else ""
    of_budget = "" if limits.budget_minor is None else f" of {amount(limits.budget_minor, cents=False)}"
    still = " still" if view.spent.shop_seconds else ""
    of_shop = "" if limits.shop_seconds is None else f" of{still} {number(limits.shop_seconds / 3600)}"
    unpriced = f", {counted(orders.without_price, 'line')} without a price" if orders.without_price else ""
    over = limits.budget_minor is not None and orders.sum_minor > limits.budget_minor
    avoided = totals.stops_avoided
    chance = percent(totals.stop_free_chance) if view.found.spares else "not known, no part in the log fits"
    fewer = f"{number(abs(avoided), 1)} {'fewer' if avoided >= 0 else 'more'} than replacing nothing"
    by_replacing, by_parts = saving_words(view, measures)
    not_reckoned = sum(parts_left_out(view))
    more = f" +{number(not_reckoned)}?" if not_reckoned else ""
    return PlanSums(
        pay=f"pay {amount(orders.sum_minor)}{of_budget} {currency}{left}{unpriced}{' TOO MUCH' if over else ''}",
        shop=f"shop {duration(totals.shop_seconds)}{of_shop}",
        stops=f"failures {number(totals.stops, 1)}{more}, {fewer}; {number(totals.hours_down, 1)} h standing",
        # the second stands without its verb only where it is the same one
        saving=f"{by_replacing}, {by_parts.removeprefix('saves ') if by_replacing.startswith('saves') else by_parts}",
        left_out=f"In none of the failures: {left_out_words(view)}." if not_reckoned else "",
        parts=f"Chance of no stop for want of a part: {chance}.",
    )


def why_page(
    view: SeasonPlanView, number_of_line: int, measures: Measures, *, settling: bool = False
) -> tuple[str, tuple[str, ...]]:
    """Return the heading and the sentences of why one component is replaced or run.

    While the rest of the money is not spent anew yet (`settling`) nobody knows what a line would push out.
    """
    lines = why_lines(view, number_of_line, measures)
    left_out = _NOT_SETTLED if settling else pushed_out_sentence(view, number_of_line, measures)
    return lines[0], (*([left_out] if left_out else []), *(line.removeprefix("  ") for line in lines[1:]))


def _row(view: SeasonPlanView, saved: SeasonPlanView, place: int, measures: Measures) -> PlanRow:
    line, done, before = view.lines[place], view.found.replaced[place], saved.lines[place]
    decision, meter = line.decision, line.kind.meter_kind
    positions = done or line.proposed or line.best
    changed = (line.by_hand_replace, line.by_hand_run) != (before.by_hand_replace, before.by_hand_run)
    says = "run by hand" if line.by_hand is Choice.RUN else verdict_words(line, in_plan=bool(done))
    return PlanRow(
        component_id=line.component.id,
        number=place,
        cells=(
            "[x]" if done else "[ ]",
            line_name(line),
            which_words(line, positions),
            measures.usage(meter, max(line.ages) if line.ages else None),
            measures.usage(meter, line.limit_age),
            NOTHING if decision is None else amount(line.saving_minor(positions), cents=False),
            how_sure(line, positions),
            f"{says}{' *' if changed else ''}",
        ),
        about=_about(line, positions, measures),
        in_plan=bool(done),
        by_hand=line.by_hand,
        changed=changed,
        replace=line.by_hand_replace,
        run=line.by_hand_run,
    )


def _about(line: PlanLine, positions: tuple[int, ...], measures: Measures) -> str:
    decision, saving = line.decision, line.saving(positions)
    if decision is None or saving is None:
        return undecided_sentence(line, measures)
    low, high = (amount(one, cents=False) for one in (saving.low_minor, saving.high_minor))
    run = decision.cost_run_minor
    words = (
        f"{capital(line_name(line))} {which_words(line, positions)}".rstrip()
        + f": run {amount(run, cents=False)}, replace {amount(run - saving.mean_minor, cents=False)} over the seasons to come;"
        f" 8 in 10: it saves {low} to {high}."
    )
    return f"{words} Within its uncertainty: either way." if saving.verdict is Verdict.EITHER_WAY else words
