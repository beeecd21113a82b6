"""The sums of a season plan in sentences: stops, waiting for parts, what the limits did, what more money would buy."""

from __future__ import annotations

from wearlog.facts.closed_lists import Choice
from wearlog.facts.positions import positions_said
from wearlog.plan.budget import Bound
from wearlog.present.digits import Measures, duration, number, percent
from wearlog.present.plan.plan_words import line_name
from wearlog.present.wear.wear_words import about_text
from wearlog.present.words import counted, listed
from wearlog.reckoning.plan.allocation import NextMoney
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.plan.toggle import pushed_out_by

_BOUND = {
    Bound.NOTHING_LISTED: "There is nothing on the list.",
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
