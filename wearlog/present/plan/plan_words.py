"""The season plan in sentences: what the figures say of a component and why, and what it rests on. Its sums: plan_page.py."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Choice, Hazard
from wearlog.facts.positions import component_name, format_positions, positions_said
from wearlog.plan.decide import Verdict
from wearlog.present.digits import Measures, amount, duration, number, percent
from wearlog.present.words import counted, listed
from wearlog.reckoning.parts.repair_habits import Habit, TimeSource
from wearlog.reckoning.parts.stock import PriceSource
from wearlog.reckoning.plan.line import PlanLine, Undecided
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.plan.spares import CARRYING_RATE

_UNDECIDED = {
    Undecided.NO_LIFE: "nothing has worn out yet and nobody guessed its life",
    Undecided.EMPTY: "nothing is fitted there",
    Undecided.NO_AGE: "nobody knows how old the parts are; fit new ones or enter their age",
    Undecided.NO_PRICE: "no part in the log fits it with a price",
    Undecided.NO_TIME: "nobody wrote how long the work takes",
    Undecided.NO_USAGE: "nothing is planned for the machine",
}

#: letters in the column of positions
_NARROW = 12


def line_name(line: PlanLine) -> str:
    """Return "Merlin knife sections"."""
    return f"{line.machine.name} {component_name(line.component.place, line.kind.name)}"


def which_words(line: PlanLine, positions: Sequence[int]) -> str:
    """Return the positions for a narrow column: "143 of 160" where naming them takes too much room."""
    named = positions_said(line.component.positions, positions)
    return named if len(named) <= _NARROW else f"{len(positions)} of {line.component.positions}"


def verdict_words(line: PlanLine, *, in_plan: bool) -> str:
    """Return what is said of a line in the list."""
    if line.by_hand is not None:
        return "kept by hand" if line.by_hand is Choice.RUN else "by hand"
    if line.by_hand_done and not in_plan:
        return "done"
    if line.verdict is None:
        return "not decided"
    if line.verdict is Verdict.EITHER_WAY:
        return "unsure"
    if line.do is Choice.RUN:
        return "keep running"
    return "replace" if in_plan else "no money"


def sure(chance: float) -> str:
    """Return how sure it is that something saves; never quite sure, since the belief is carried by few lives."""
    return percent(min(max(chance, 0.001), 0.999))


def gain_words(low_minor: int, high_minor: int) -> str:
    """Return "saves 814 to 2,215", "loses 1,195 to 2,619", or "loses up to 120 or saves up to 400".

    Parameters
    ----------
    low_minor, high_minor : int
        The ends of the interval of a saving; below nothing it is a loss.
    """
    low, high = (amount(abs(one), cents=False) for one in (low_minor, high_minor))
    if low_minor >= 0:
        return f"saves {low} to {high}"
    return f"loses {high} to {low}" if high_minor <= 0 else f"loses up to {low} or saves up to {high}"


def undecided_sentence(line: PlanLine, measures: Measures) -> str:
    """Return why the figures say nothing of a component."""
    if line.undecided is None:
        return ""
    text = f"{line_name(line)}: {_UNDECIDED[line.undecided]}"
    if line.undecided is Undecided.NO_PRICE:
        if line.worth_below_minor is not None:
            return (
                f"{text}; worth replacing the oldest if one costs less than {measures.money(line.worth_below_minor)}."
            )
        return f"{text}; at no price is it worth replacing before it fails."
    return f"{text}."


def why_lines(view: SeasonPlanView, number_of_line: int, measures: Measures) -> list[str]:
    """Return the why of one component: age, life, chance of failing, cost of each choice, and what all that rests on."""
    line = view.lines[number_of_line]
    in_plan = bool(view.found.replaced[number_of_line])
    says = {
        "by hand": f"{line.by_hand} by hand",
        "done": "replaced as was chosen by hand; what is on has not run yet",
        "no money": "replace, but left out for want of money or shop hours",
    }
    verdict = verdict_words(line, in_plan=in_plan)
    lines = [f"{line_name(line)}: {says.get(verdict, verdict)}"]
    by_readings = _measured_sentence(view, line)
    sentences = (*_life_sentences(line, measures), *by_readings, *_cost_sentences(line, measures))
    lines += [f"  {sentence}" for sentence in sentences]
    lines += [f"  {sentence}" for sentence in _basis_sentences(line, measures)]
    if line.kind.hazard is not None:
        lines += ["  Before the work:", *(f"    {caution}" for caution in CAUTIONS[line.kind.hazard])]
    return lines


def _measured_sentence(view: SeasonPlanView, line: PlanLine) -> list[str]:
    """Name the other chance where some of the positions were measured: the wear page goes by that, the plan by ages."""
    places = (one for kind in view.outlook.kinds for one in kind.components)
    here = next((one for one in places if one.component_id == line.component.id), None)
    groups = [group for group in here.groups if group.by_measurement and not group.failed] if here else []
    chances = [group.survives for group in groups if group.survives is not None]
    if line.life.measured or here is None or not chances:
        return []
    where = format_positions(sorted(position for group in groups for position in group.positions))
    return [
        f"By what was measured at {where} the worst of them lasts the season with {percent(min(chances))}: the wear page goes by "
        f"that and expects {number(here.expected_wear, 1)} to break by wear; the plan goes by ages, since not all were measured."
    ]


def _life_sentences(line: PlanLine, measures: Measures) -> list[str]:
    meter, found = line.kind.meter_kind, []
    if line.ages:
        youngest, oldest = (measures.usage(meter, edge) for edge in (min(line.ages), max(line.ages)))
        of = "" if line.component.positions == 1 else f" ({counted(len(line.ages), 'position')})"
        found.append(f"Age: {oldest if youngest == oldest else f'{youngest} to {oldest}'}{of}.")
    if line.failed:
        where = f" at {format_positions(line.failed)}" if line.component.positions > 1 else ""
        found.append(f"Failed and still in service, or past its limit{where}: it needs its successor.")
    if line.unknown:
        found.append(f"Age unknown at {counted(len(line.unknown), 'position')}: {format_positions(line.unknown)}.")
    later = measures.usage(meter, line.usage_later)
    found.append(f"The season asks {measures.usage(meter, line.usage_now)} of it, a usual one {later}.")
    median = line.life.median
    if median is not None:
        life = measures.usage(meter, median.median)
        low, high = measures.usage(meter, median.low), measures.usage(meter, median.high)
        between = (
            f"(90 % sure: {low} to {high})"
            if math.isfinite(median.high)
            else f"(90 % sure: from {low}, not known to end)"
        )
        if line.life.measured:
            readings = counted(line.life.measured, "measurement")
            found.append(f"Its wear meets the limit at {life} {between}; reckoned from {readings} of this very part.")
        else:
            found.append(f"Half of them last {life} or longer {between}; reckoned from {_rests(line)}.")
    if line.decision is not None:
        worst = min(line.decision.by_position, key=lambda one: one.lasts_season)
        by = "what was measured on it" if line.life.measured else "its age"
        found.append(f"Chance that the most worn one fails in the season, by {by}: {percent(1 - worst.lasts_season)}.")
        limit = line.limit_age
        told = "no age makes a planned replacement pay" if limit is None else f"past {measures.usage(meter, limit)}"
        found.append(f"One alone is worth replacing before the season {told}." if limit else f"Limit age: {told}.")
    return found


def _rests(line: PlanLine) -> str:
    records = f"{counted(round(line.life.failures), 'failure')} in {counted(round(line.life.lives), 'life', 'lives')}"
    if not line.life.lives:
        return "the starting guess alone (common practice, no source)"
    return f"{records} and the starting guess" if line.life.has_guess else records


def _cost_sentences(line: PlanLine, measures: Measures) -> list[str]:
    decision = line.decision
    if decision is None:
        return [undecided_sentence(line, measures)]
    positions = line.proposed or line.best
    saving = line.saving(positions)
    if saving is None:
        return []
    where = positions_said(line.component.positions, positions)
    run, done = decision.cost_run_minor, decision.cost_run_minor - saving.mean_minor
    found = [
        f"Run: {_money(run, measures)} over the seasons to come. Replace {where or 'it'}: {_money(done, measures)}.",
        f"Replacing {'loses' if saving.mean_minor < 0 else 'saves'} {_money(abs(saving.mean_minor), measures)} on the mean"
        f" ({sure(saving.chance)} sure that it saves; 8 in 10: it {gain_words(saving.low_minor, saving.high_minor)}).",
    ]
    if saving.verdict is Verdict.EITHER_WAY:
        found.append("It may save nothing: unsure.")
    stops, left = line.stops(()), line.stops(positions)
    found.append(f"Failures expected in the season: {number(stops, 1)} run, {number(left, 1)} replaced.")
    return found


def _basis_sentences(line: PlanLine, measures: Measures) -> list[str]:
    basis, habits, found = line.basis, line.basis.habits, []
    if line.part is not None:
        source = {
            PriceSource.LIST: "its price in the log",
            PriceSource.LAST_RECEIPT: "what it cost when it last came",
            PriceSource.MISSING: "no price is written down",
        }[line.part.price_source]
        found.append(f"Part {line.part.part.number}: {measures.money(line.part.price_minor)} ({source}).")
    else:
        found.append("No part in the log fits it.")
    if basis.costs is not None:
        found.append(
            f"In the shop: {_time(habits.shop_opening)} to open and close, {_time(habits.shop_each)} for each,"
            f" {_source(habits.shop_each)}: {_money(basis.costs.setup_minor + basis.costs.each_minor, measures)} for one."
        )
        found.append(
            f"In the field: stands {_time(habits.standing)} ({_source(habits.standing)}),"
            f" labour {_time(habits.field_labour)} ({_source(habits.field_labour)}):"
            f" {_money(basis.costs.failure_minor, measures)} each time."
        )
    return found


def _money(minor: int, measures: Measures) -> str:
    return measures.money(minor, cents=False)


def _time(habit: Habit) -> str:
    return "an unknown time" if habit.seconds is None else duration(habit.seconds)


def _source(habit: Habit) -> str:
    return {
        TimeSource.OWN: f"own records, {habit.records}",
        TimeSource.MIXED: f"own records, {habit.records}, and the usual time once",
        TimeSource.GUESS: "the usual time of the work: a guess",
        TimeSource.UNKNOWN: "nobody wrote it",
    }[habit.source]


def rests_on_lines(view: SeasonPlanView, measures: Measures) -> list[str]:
    """Return what the whole plan rests on."""
    settings = measures.settings
    lines = [
        f"An hour of standing: {measures.money(settings.downtime_minor)}: {settings.downtime_source}",
        f"An hour of labour: {measures.money(settings.labour_rate_minor)}.",
        f"Carrying a part over a year costs {percent(CARRYING_RATE)} of its price; waiting for one costs 7 field hours"
        " a day, or 10 hours and a quarter on the price in a hurry (common practice, no source).",
        "Costs to come count 5 % less each season (common practice, no source).",
    ]
    if view.ahead.season is None and view.ahead.seasons_taken:
        taken = view.ahead.seasons_taken
        past = "like the last one" if taken == 1 else f"as the mean of the last {taken}"
        lines.insert(0, f"No area is planned: the season is taken {past}.")
    if view.passed_over:
        years = listed([str(year) for year in view.passed_over])
        lines.append(f"{years} comes before this season and is not in it: ages are as of today, and so is the stock.")
    guessed = sum(1 for line in view.lines if line.decision is not None and not line.life.lives)
    if guessed:
        rest = "rests" if guessed == 1 else "rest"
        lines.append(
            f"{counted(guessed, 'component')} {rest} on the starting guess alone (common practice, no source)."
        )
    return lines


def hazards_of(view: SeasonPlanView) -> list[Hazard]:
    """Return the dangers in the work that is planned, each once."""
    found = {
        line.kind.hazard: None
        for line, done in zip(view.lines, view.found.replaced, strict=True)
        if done and line.kind.hazard
    }
    return [hazard for hazard in found if hazard is not None]
