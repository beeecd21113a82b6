"""The season plan as a page of text: what to replace, carry and order, its sums in sentences, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import Any, Final

from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.facts.closed_lists import Choice
from wearlog.facts.positions import positions_said
from wearlog.plan.budget import Bound
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import Measures, duration, number, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.plan.money_sheet import money_sheets
from wearlog.present.plan.plan_line_sheet import PlanRow, plan_line_sheet, plan_rows, undecided_line_sheet
from wearlog.present.plan.plan_words import hazards_of, line_name, rests_on_lines
from wearlog.present.plan.spare_sheet import order_sheet, order_sheets, spare_sheet, unpriced, when_said, whole_order
from wearlog.present.sheet_faces import sheet_json, table_lines
from wearlog.present.wear.wear_words import about_text
from wearlog.present.words import capital, counted, listed, word
from wearlog.reckoning.plan.allocation import NextMoney
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.plan.toggle import pushed_out_by

#: columns of a page; tables keep within it, sentences are broken at it
WIDTH: Final = 100


def plan_lines_of_page(
    view: SeasonPlanView, more: NextMoney | None, measures: Measures, *, show_all: bool = False
) -> list[str]:
    """Return the page, line by line; `show_all` also lists what is best run as it is."""
    rows = plan_rows(view)
    return [
        *head(view, measures),
        *_replace(view, rows, measures, show_all=show_all),
        *_spares(view, measures, show_all=show_all),
        *_orders(view, measures),
        *_money(view, measures),
        "",
        "THE SUMS",
        *_told(sum_sentences(view, more, measures)),
        *_undecided(view, rows, measures),
        "",
        "WHAT IT RESTS ON",
        *_told(rests_on_lines(view, measures)),
    ]


def _told(sentences: Iterable[str], *, indent: str = "  ") -> list[str]:
    """Sentences on lines of a page's width."""
    return [
        line
        for one in sentences
        if one
        for line in wrap(one, WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  ")
    ]


def head(view: SeasonPlanView, measures: Measures) -> list[str]:
    """Return what is planned and within which limits."""
    farm = measures.settings.farm_name or "The fleet"
    limits = []
    if view.limits.budget_minor is not None:
        limits.append(budget_words(view, measures))
    if view.limits.shop_seconds is not None:
        limits.append(shop_words(view))
    area = f"{measures.area(view.planned_area)} planned" if view.planned_area else "no area planned"
    lines = [
        f"Season plan {view.harvest_year}, {farm}, {measures.date_said(view.farm.now)}",
        f"  {capital(area)}; {', '.join(limits) or 'no limit of money or shop hours'}.",
    ]
    if view.nothing_to_come:
        make = "" if view.plan is not None else f"'wearlog plan make {view.harvest_year}' and "
        lines += _told(
            [
                "Nothing says what the machines will do: no area is planned and no season is behind them. Begin with"
                f" {make}'wearlog plan area 640ac --ground stony'."
            ]
        )
    return lines


def _replace(view: SeasonPlanView, rows: list[PlanRow], measures: Measures, *, show_all: bool) -> list[str]:
    sheet = plan_line_sheet(view, measures, rows)
    return [
        "",
        f"BEFORE THE SEASON: REPLACE OR RUN ([x] is in the plan, saves in {measures.settings.currency})",
        *_told(caution_lines(view)),
        *_shown(sheet if show_all else sheet.short(), WIDTH + 2),
    ]


def caution_lines(view: SeasonPlanView) -> list[str]:
    """Return the cautions that stand before the planned work, each danger once."""
    found = []
    for hazard in hazards_of(view):
        sentences = [sentence for sentence in CAUTIONS[hazard] if sentence != BOOK_COMES_FIRST]
        found.append(f"! {capital(word(hazard))}: {' '.join(sentences)}")
    return [*found, f"! {BOOK_COMES_FIRST}"] if found else []


def _spares(view: SeasonPlanView, measures: Measures, *, show_all: bool) -> list[str]:
    sheet = spare_sheet(view, measures)
    return ["", "SPARES TO CARRY", *_shown(sheet if show_all else sheet.short()), *_told(sheet.sentences)]


def _shown(sheet: AnswerSheet[Any], wide: int = WIDTH - 2) -> list[str]:
    """The table of an answer, two cells in, and how many rows there are more."""
    table = [f"  {line}" for line in table_lines(sheet, wide)]
    return [*table, f"  {sheet.rest.removesuffix('.')}; --all shows them."] if sheet.rest else table


def _orders(view: SeasonPlanView, measures: Measures) -> list[str]:
    orders = view.found.orders
    lines = ["", "ORDER LIST"]
    if not orders.orders:
        return [*lines, "  Nothing to order."]
    for order in whole_order(view, measures).suppliers:
        lines.append(f"  {order.heading}")
        lines += [f"    {line}" for line in table_lines(order_sheet(order, measures), WIDTH - 4)]
        lines += _told([said]) if (said := when_said(order)) else []
    without = [
        line_name(line) for line, done in zip(view.lines, view.found.replaced, strict=True) if done and not line.part
    ]
    if without:
        lines += _told([f"Not in the order, since no part in the log fits: {listed(without)}."])
    lines.append(f"  The whole order: {measures.money(orders.sum_minor)}{unpriced(orders.without_price)}")
    return lines


def _money(view: SeasonPlanView, measures: Measures) -> list[str]:
    """What the money buys as bars, and after them what it does not reach."""
    sheets = [sheet for sheet in money_sheets(view, measures) if sheet.rows]
    lines = [line for sheet in sheets for line in ("", sheet.headline, *_shown(sheet))]
    return [*lines, *_told(sheets[0].legends)] if sheets else []


def _undecided(view: SeasonPlanView, rows: list[PlanRow], measures: Measures) -> list[str]:
    sheet = undecided_line_sheet(view, measures, rows)
    said = [sheet.about(row, measures) for row in sheet.rows]
    return ["", sheet.headline.upper(), *_told(said)] if said else []


def plan_json(view: SeasonPlanView, more: NextMoney | None, measures: Measures) -> dict[str, Any]:
    """Return the whole plan."""
    currency, found = measures.settings.currency, view.found
    rows = plan_rows(view)
    buys, ends_before = money_sheets(view, measures)
    return {
        "season": view.harvest_year,
        "planned_area": rounded(measures.area_number(view.planned_area), 1),
        "area_unit": measures.area_unit,
        **sheet_json(plan_line_sheet(view, measures, rows)),
        **sheet_json(undecided_line_sheet(view, measures, rows)),
        **sheet_json(spare_sheet(view, measures)),
        **sheet_json(buys),
        **sheet_json(ends_before),
        "orders": [sheet_json(sheet) for sheet in order_sheets(view, measures)],
        "budget": money(view.limits.budget_minor, currency),
        "received": money(view.spent.received_minor, currency),
        "shop_hours": None if view.limits.shop_seconds is None else rounded(view.limits.shop_seconds / 3600, 1),
        "total": money(found.orders.sum_minor, currency),
        "lines_without_price": found.orders.without_price,
        "stop_free_chance": rounded(found.totals.stop_free_chance, 6) if found.spares else None,
        **_sums_json(view, more, currency),
    }


def _sums_json(view: SeasonPlanView, more: NextMoney | None, currency: str) -> dict[str, Any]:
    totals, choice = view.found.totals, view.found.choice
    unknown_age, unknown_life = parts_left_out(view)
    return {
        "expected_saving": money(totals.saving_minor, currency),
        "saving_by_replacing": money(totals.saving_by_replacing_minor, currency),
        "shop_hours_worked": rounded(view.spent.shop_seconds / 3600, 1),
        "shop_hours_planned": rounded(totals.shop_seconds / 3600, 1),
        "stops_expected": rounded(totals.stops, 2),
        "stops_avoided": rounded(totals.stops_avoided, 2),
        "parts_of_unknown_age": unknown_age,
        "parts_of_unknown_life": unknown_life,
        "hours_standing": rounded(totals.hours_down, 1),
        "hours_waiting_for_parts": rounded(totals.hours_for_want_of_parts, 1),
        "bound": choice.bound,
        "overspent": money(choice.overspent_minor, currency),
        "all_that_pays": money(view.found.all_that_pays[0], currency),
        "next_money": None
        if more is None or view.limits.budget_minor is None
        else {
            "extra": money(more.more.extra_minor, currency),
            "saves": money(more.more.gain_minor, currency),
            "replaces": [line_name(view.lines[line]) for line in more.lines_added],
            "spares": [
                {"part": view.needs[need].shelf.part.number, "packs": packs} for need, packs in more.packs_added
            ],
            "instead_of": [line_name(view.lines[line]) for line in more.lines_dropped],
            "next_useful": money(more.more.next_useful_minor, currency),
        },
    }


_BOUND = {
    # the answer says why nothing is
    Bound.NOTHING_LISTED: "",
    Bound.NOTHING_PAYS: "Nothing on the list saves more than it costs.",
    Bound.ALL_DONE: "All that pays is in the plan.",
    Bound.MONEY: "More would pay than the money allows: {takes}.",
    Bound.SHOP_HOURS: "More would pay than the shop hours allow: {takes}.",
    Bound.MONEY_AND_SHOP_HOURS: "More would pay than money and shop hours allow: {takes}.",
}


def sum_sentences(view: SeasonPlanView, more: NextMoney | None, measures: Measures) -> list[str]:
    """Return all the sums of a page, the same on text and paper."""
    pay, work = measures.money(view.found.orders.sum_minor), duration(view.found.totals.shop_seconds)
    sentences = (
        f"To pay at the counter {pay}; shop work {work}.",
        saving_sentence(view, measures),
        stops_sentence(view),
        want_of_parts_sentence(view),
        limits_sentence(view, measures),
        next_money_sentence(view, more, measures) if more is not None else "",
    )
    return [sentence for sentence in sentences if sentence]


def stops_sentence(view: SeasonPlanView) -> str:
    """Return the failures expected, and how many parts are in none of it."""
    totals = view.found.totals
    text = (
        f"Failures expected in the season: {number(totals.stops, 1)}, {number(max(totals.stops_avoided, 0.0), 1)} fewer than"
        f" if nothing is replaced; {number(totals.hours_down, 1)} h standing."
    )
    left_out = left_out_words(view)
    return f"{text} Left out: {left_out}." if left_out else text


def parts_left_out(view: SeasonPlanView) -> tuple[int, int]:
    """Return how many parts the failures expected leave out: those of unknown age, and those whose life nobody knows."""
    ages = sum(len(line.unknown) for line in view.lines if line.nodes is not None)
    lives = sum(len(line.positions) + len(line.unknown) for line in view.lines if line.nodes is None)
    return ages, lives


def left_out_words(view: SeasonPlanView) -> str:
    """Return "87 parts of unknown age (about 12 more, by the mean life alone)"; nothing where all are reckoned."""
    ages, lives = parts_left_out(view)
    steady = sum(row.expected_steady or 0.0 for row in view.outlook.kinds)
    more = f" ({about_text(steady)} more, by the mean life alone)" if steady else ""
    said = [f"{counted(ages, 'part')} of unknown age{more}"] if ages else []
    return listed([*said, *([f"{counted(lives, 'part')} whose life nobody knows"] if lives else [])])


def saving_sentence(view: SeasonPlanView, measures: Measures) -> str:
    """Return what the plan saves, and against what."""
    by_replacing, by_parts = saving_words(view, measures)
    return f"Against doing and buying nothing more it {by_replacing}, and {by_parts}."


def saving_words(view: SeasonPlanView, measures: Measures) -> tuple[str, str]:
    """Return what is saved by replacing, and by not waiting for parts; what is lost is called a cost."""
    totals = view.found.totals
    replacing = totals.saving_by_replacing_minor
    rest = totals.saving_minor - replacing
    waiting = "not waiting" if rest >= 0 else "waiting"
    return f"{_saved(replacing, measures)} by replacing", f"{_saved(rest, measures)} by {waiting} for parts"


def _saved(minor: int, measures: Measures) -> str:
    return (
        f"{'saves' if minor >= 0 else 'costs'} {measures.money(abs(minor), cents=False)}{'' if minor >= 0 else ' more'}"
    )


def want_of_parts_sentence(view: SeasonPlanView) -> str:
    """Return the chance of a season without waiting for a part; no figure where no part is reckoned."""
    totals, kinds = view.found.totals, {line.kind.id for line in view.lines if line.part is None}
    if not view.found.spares:
        return (
            "Chance of a season without a stop for want of a part: not known, since no part in the log fits anything."
        )
    text = (
        f"Chance of a season without a stop for want of a part: {percent(totals.stop_free_chance)};"
        f" {number(totals.hours_for_want_of_parts, 1)} h expected to be lost waiting."
    )
    without = f" Nothing in the log fits {counted(len(kinds), 'kind')}: what they may want is not in it."
    return text + without if kinds else text


def budget_words(view: SeasonPlanView, measures: Measures) -> str:
    """Return the budget, and what of it is spent already; nothing where there is none."""
    budget, received = view.limits.budget_minor, view.spent.received_minor
    if budget is None:
        return ""
    left = budget - received
    rest = f"{measures.money(left)} left" if left >= 0 else f"{measures.money(-left)} beyond it"
    came = f" ({measures.money(received)} came in already, {rest})" if received else ""
    return f"budget {measures.money(budget)}{came}"


def shop_words(view: SeasonPlanView) -> str:
    """Return the shop hours, and how many of them are worked already; nothing where there is no limit."""
    shop, done = view.limits.shop_seconds, view.spent.shop_seconds
    if shop is None:
        return ""
    worked = f" ({duration(done)} worked already, {duration(max(shop - done, 0))} left)" if done else ""
    return f"shop {number(shop / 3600)} h{worked}"


def limits_sentence(view: SeasonPlanView, measures: Measures) -> str:
    """Return what the limits did, in plain words."""
    choice, left = view.found.choice, view.limits_left
    if choice.overspent_minor or choice.over_shop_seconds:
        over = []
        if choice.overspent_minor:
            over.append(f"the budget by {measures.money(choice.overspent_minor)}")
        if choice.over_shop_seconds:
            over.append(f"the shop hours by {duration(choice.over_shop_seconds)}")
        return f"What is chosen by hand alone goes beyond {listed(over)}; nothing more that costs any is added."
    no_way = choice.bound is Bound.NOTHING_LISTED or left.shop_seconds == 0
    if left.budget_minor == 0 and not view.found.orders.orders and not no_way:
        why = "The money is spent" if view.spent.received_minor else "With no money nothing is bought"
        return f"{why}: this is what can be done from the shelf."
    money, seconds = view.found.all_that_pays
    takes = f"all of it takes {measures.money(money, cents=False)} and {duration(seconds)} of shop work"
    return _BOUND[choice.bound].format(takes=takes)


def next_money_sentence(view: SeasonPlanView, more: NextMoney, measures: Measures) -> str:
    """Return what more money would buy; nothing where there is no budget."""
    if view.limits.budget_minor is None:
        return ""
    step = measures.money(more.more.extra_minor, cents=False)
    if more.more.gain_minor > 0:
        would = []
        if more.lines_added:
            would.append(f"replace {listed([line_name(view.lines[line]) for line in more.lines_added])}")
        if more.packs_added:
            would.append(f"buy {listed([_packs(view, *one) for one in more.packs_added])}")
        instead = [line_name(view.lines[line]) for line in more.lines_dropped]
        instead += [_packs(view, *one) for one in more.packs_dropped]
        rather = f" instead of {listed(instead)}" if instead else ""
        saved = measures.money(more.more.gain_minor, cents=False)
        return f"{step} more would {' and '.join(would) or 'choose otherwise'}{rather} and save {saved}."
    least = more.more.next_useful_minor
    if least is None:
        return "More money would buy nothing that pays."
    saved = measures.money(more.more.next_gain_minor, cents=False)
    return f"{step} more would buy nothing that pays; the next step needs {measures.money(least)} and saves {saved}."


def pushed_out_sentence(view: SeasonPlanView, number_of_line: int, measures: Measures) -> str:
    """Return why a line that pays was left out, or done in part: what it would push out; nothing for any other line."""
    line, done = view.lines[number_of_line], view.found.replaced[number_of_line]
    if done and line.by_hand is None and set(done) != set(line.best):
        saves = measures.money(line.saving_minor(done), cents=False)
        only = f"In the plan: only {positions_said(line.component.positions, done)}, saving {saves}"
        return f"{only}; the rest is left out for want of money or shop hours."
    found = pushed_out_by(view, number_of_line)
    if found is None:
        return ""
    by_hand = any(one.by_hand is Choice.REPLACE for one in view.lines)
    it = "with what is chosen by hand it" if by_hand else "it alone"
    if found.overspent_minor:
        return f"Left out: {it} takes {measures.money(found.overspent_minor)} more than there is."
    if found.over_shop_seconds:
        return f"Left out: {it} takes {duration(found.over_shop_seconds)} more than the shop has."
    out = [line_name(view.lines[line]) for line in found.lines] + [_packs(view, *one) for one in found.packs]
    would = f"would push out {listed(out)}, and the plan" if out else "the plan"
    # less than one whole unit of money is no saving that anybody could tell
    if found.saving_less_minor < 50:
        return f"Left out: putting it in within these limits {would} would save no more."
    less = measures.money(found.saving_less_minor, cents=False)
    return f"Left out: putting it in within these limits {would} would save {less} less."


def _packs(view: SeasonPlanView, need: int, packs: int) -> str:
    shelf = view.needs[need].shelf
    return f"{packs * shelf.part.pack_size} x {shelf.part.name}"
