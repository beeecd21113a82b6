"""Why a line of the plan says what it says, as a screen shows it: the money, the wear and the work as rows, with strips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final

from wearlog.facts.closed_lists import Choice, Hazard
from wearlog.facts.positions import positions_said
from wearlog.plan.decide import Verdict
from wearlog.plan.positions import Saving
from wearlog.present.digits import Measures, amount, duration, number
from wearlog.present.drawing.drawn import FREE, NOTHING_SAVED, chance_figure, figures_of, joined, range_words
from wearlog.present.drawing.life_strip import Life, SeasonScale, season_strip
from wearlog.present.drawing.sum_strip import SavingRange, SavingScale, saving_strip
from wearlog.present.plan.plan_shown import why_page
from wearlog.present.plan.plan_words import line_name, sure, undecided_sentence
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.season_plan import SeasonPlanView

#: cells of a strip of savings between its two sums
_CELLS: Final = 19
#: columns from which on a label stands before its value, and not over it
_WIDE: Final = 72
_LABEL: Final = 24


@dataclass(frozen=True, slots=True)
class WhyRow:
    """A value and what it is."""

    label: str
    value: str

    def lines(self, columns: int) -> list[str]:
        """Return it on one line, or on a phone on two."""
        if columns >= _WIDE or not self.value:
            return [f"  {self.label:<{_LABEL}}  {self.value}".rstrip()]
        return [f" {self.label}", f"   {self.value}"] if self.label else [f"   {self.value}"]


@dataclass(frozen=True, slots=True)
class WhyShown:
    """The page: the answer and its second half, the dangers of the work, blocks of rows, and all of it in words."""

    title: str
    answer: str
    second: str
    hazards: tuple[Hazard, ...]
    blocks: tuple[tuple[str, tuple[WhyRow, ...]], ...]
    sentences: tuple[str, ...]


def why_shown(
    view: SeasonPlanView, number_of_line: int, measures: Measures, columns: int, *, settling: bool = False
) -> WhyShown:
    """Return the page of one line; strips are drawn for a screen of so many columns.

    While the rest of the money is not spent anew yet (`settling`) nobody knows what the line would push out.
    """
    line = view.lines[number_of_line]
    _, sentences = why_page(view, number_of_line, measures, settling=settling)
    second, rest = _split(sentences)
    return WhyShown(
        f"WHY  {line_name(line)}",
        _answer(view, number_of_line, measures),
        second,
        (line.kind.hazard,) if line.kind.hazard is not None else (),
        tuple(
            (heading, tuple(rows))
            for heading, rows in (
                ("THE MONEY", _money_rows(view, line, measures)),
                (_wear_heading(line, measures), _wear_rows(view, line, measures, columns)),
                ("THE WORK", _work_rows(line, measures)),
            )
            if rows
        ),
        rest,
    )


#: with what a sentence begins that says why a line is not in the plan, or not whole
_ABOUT_MONEY: Final = ("Left out:", "In the plan:", "The rest of the money")


def _split(sentences: Sequence[str]) -> tuple[str, tuple[str, ...]]:
    first = sentences[0] if sentences else ""
    if first.startswith(_ABOUT_MONEY):
        return first, tuple(sentences[1:])
    return "", tuple(sentences)


def _positions(view: SeasonPlanView, number_of_line: int) -> tuple[int, ...]:
    line = view.lines[number_of_line]
    return view.found.replaced[number_of_line] or line.proposed or line.best


def _answer(view: SeasonPlanView, number_of_line: int, measures: Measures) -> str:
    line, positions = view.lines[number_of_line], _positions(view, number_of_line)
    in_plan = bool(view.found.replaced[number_of_line])
    saving = line.saving(positions) if line.decision is not None else None
    name = line_name(line)
    if saving is None:
        return undecided_sentence(line, measures) or f"{name}: nothing is to be decided."
    many = f"{len(positions)} of {line.component.positions}" if len(positions) > 1 else ""
    which = many or positions_said(line.component.positions, positions) or "it"
    by_hand = ", chosen by hand," if line.by_hand is Choice.REPLACE else ""
    money = measures.money(abs(saving.mean_minor), cents=False)
    verb = ("saves" if in_plan else "would save") if saving.mean_minor >= 0 else "costs" if in_plan else "would cost"
    more = "" if saving.mean_minor >= 0 else " more"
    unsure = ", or nothing: unsure" if saving.verdict is Verdict.EITHER_WAY else ""
    return f"{name}: replacing {which}{by_hand} {verb} {money}{more}{unsure}."


def _saving(line: PlanLine) -> Saving | None:
    return None if line.decision is None else line.saving(line.proposed or line.best)


def _money_rows(view: SeasonPlanView, line: PlanLine, measures: Measures) -> list[WhyRow]:
    saving, currency = _saving(line), measures.settings.currency
    if saving is None or line.decision is None:
        return []
    run = line.decision.cost_run_minor
    low, middle, high = (one / 100 for one in (saving.low_minor, saving.mean_minor, saving.high_minor))
    scale = SavingScale(min(low, 0.0) if low < 0 else low, max(high, 0.0) if high < 0 else high, _CELLS)
    strip = joined(saving_strip(SavingRange(middle, low, high), scale))
    positions = line.proposed or line.best
    return [
        WhyRow(
            "all seasons to come",
            f"{amount(run, cents=False)} if run on, {amount(run - saving.mean_minor, cents=False)} {currency} if replaced",
        ),
        WhyRow(*_range_row(low, high, strip, currency)),
        WhyRow("sure that it saves", sure(saving.chance)),
        WhyRow(
            f"breakages in {view.harvest_year}",
            f"{number(line.stops(()), 1)} if run on, {number(line.stops(positions), 1)} if replaced",
        ),
    ]


def _range_row(low: float, high: float, strip: str, currency: str) -> tuple[str, str]:
    """What it saves in 8 of 10 cases at both ends of the strip; an end below nothing is said as a loss."""
    ends = figures_of(abs(low)), figures_of(abs(high))
    if low < 0 < high:
        return "8 in 10", f"loses {ends[0]} {strip} saves {ends[1]} {currency}"
    return f"{'loses' if low < 0 else 'saves'}, 8 in 10", f"{ends[0]} {strip} {ends[1]} {currency}"


def _wear_heading(line: PlanLine, measures: Measures) -> str:
    season = measures.usage(line.kind.meter_kind, line.usage_later)
    return f"THE WEAR  seasons of life on {line.machine.name}; one is {season}"


def _wear_rows(view: SeasonPlanView, line: PlanLine, measures: Measures, columns: int) -> list[WhyRow]:
    meter, median = line.kind.meter_kind, line.life.median
    if median is None:
        return []
    age = max(line.ages) if line.ages else None
    scale = SeasonScale(4) if columns >= _WIDE else SeasonScale(2)
    high = median.high if isfinite(median.high) else median.median * 1e6
    life = Life(age, median.low, median.median, high, guessed=not line.life.failures)
    half = measures.usage(meter, median.median)
    unit = measures.usage_unit(meter)
    low, end = (measures.usage_number(meter, one) for one in (median.low, median.high))
    between = range_words(low, end, unit, to=True) if isfinite(end) else f"from {figures_of(low)} {unit} on"
    rows = [
        WhyRow("", scale.heading()),
        WhyRow(
            "age not known" if age is None else f"{measures.usage(meter, age)} old",
            joined(season_strip(life, line.usage_later, scale)),
        ),
        WhyRow("half last", f"{half} (90 % sure: {between})"),
    ]
    if line.limit_age is not None:
        rows.insert(2, WhyRow(f"pays past {measures.usage(meter, line.limit_age)}", _mark(line, scale)))
    if line.decision is not None:
        worst = 1 - min(one.lasts_season for one in line.decision.by_position)
        rows.append(
            WhyRow(f"worst one fails in {view.harvest_year}", "BROKEN" if line.failed else chance_figure(worst))
        )
    return rows


def _mark(line: PlanLine, scale: SeasonScale) -> str:
    """The age from which on it pays, as an upright line on the scale of the strip."""
    cells = [FREE] * scale.cells
    if line.limit_age and line.usage_later:
        place = scale.place(line.limit_age / line.usage_later)
        if 0 <= place < scale.cells:
            cells[place] = NOTHING_SAVED
    return "".join(cells)


def _work_rows(line: PlanLine, measures: Measures) -> list[WhyRow]:
    costs, habits = line.basis.costs, line.basis.habits
    if costs is None:
        return []

    def took(seconds: float | None) -> str:
        return "an unknown time" if seconds is None else duration(seconds)

    shop = measures.money(costs.setup_minor + costs.each_minor, cents=False)
    field = measures.money(costs.failure_minor, cents=False)
    return [
        WhyRow("in the shop", f"{took(habits.shop_opening.seconds)}, and {took(habits.shop_each.seconds)} each"),
        WhyRow("", f"{shop} for one"),
        WhyRow("in the field", f"stands {took(habits.standing.seconds)}, {took(habits.field_labour.seconds)} work"),
        WhyRow("", f"{field} each time"),
    ]
