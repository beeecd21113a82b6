"""The age to which each combine is cheapest to keep as an answer, and the mean yearly cost by years kept of one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from wearlog.costs.economic_life import EconomicLife
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, money_value
from wearlog.present.costs.cost_sheet import hours_json, hours_name
from wearlog.present.costs.own_cost_sheet import NO_COMBINE
from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.json_form import money, rounded
from wearlog.present.words import counted
from wearlog.reckoning.costs.own_costs import MachineLife


def _best(life: EconomicLife | None) -> str:
    if life is None:
        return NOTHING
    if life.still_falling:
        return f"over {life.best_years} y"
    return f"{life.best_years} y ({life.as_good_from}-{life.as_good_to})"


def _by_own(life: MachineLife, _: Measures) -> str:
    if life.missing:
        return NOTHING
    return _best(life.own) if life.own else "too few records"


def _is_past(life: MachineLife) -> bool | None:
    """Whether one more year costs more than the mean of a whole life; None where nobody knows."""
    found, ahead = life.own or life.published, life.next_year_own_minor or life.next_year_published_minor
    if life.missing or found is None or ahead is None:
        return None
    return ahead > found.yearly_cost_minor[found.best_years - 1]


def _next_year(life: MachineLife, _: Measures) -> str:
    if life.missing:
        return f"needs {life.missing}"
    past = _is_past(life)
    return NOTHING if past is None else "PAST its cheapest age" if past else "pays to keep"


def _life_json(
    life: EconomicLife | None, next_year_minor: int | None, owning_minor: int | None, currency: str
) -> dict[str, Any] | None:
    if life is None:
        return None
    return {
        "best_years": life.best_years,
        "as_good_from": life.as_good_from,
        "as_good_to": life.as_good_to,
        "still_falling": life.still_falling,
        "yearly_cost": money(life.yearly_cost_minor[life.best_years - 1], currency),
        "owning_cost": money(owning_minor, currency),
        "next_year_cost": money(next_year_minor, currency),
    }


def _whose(life: MachineLife) -> str | None:
    return None if life.own is None else "all_combines" if life.own_is_fleet else "this_combine"


_COLUMNS: Final[tuple[AnswerColumn[MachineLife], ...]] = (
    AnswerColumn("combine", lambda one, _: one.name, "machine", lambda one, _: one.name, least=8, most=18),
    AnswerColumn(
        "age",
        lambda one, _: NOTHING if one.age_years is None else f"{number(one.age_years)} y",
        "age_years",
        lambda one, _: one.age_years,
        least=5,
        most=6,
        figures=True,
    ),
    data("engine_hours", lambda one, _: rounded(one.engine_hours, 1)),
    data("field_hours", lambda one, _: rounded(one.hours, 1)),
    data("field_hours_per_year", lambda one, _: rounded(one.hours_per_year, 1)),
    data("hours_by", lambda one, _: hours_json(one.basis)["hours_by"]),
    data("engine_per_field_hour", lambda one, _: hours_json(one.basis)["engine_per_field_hour"]),
    AnswerColumn(
        "by published",
        lambda one, _: NOTHING if one.missing else _best(one.published),
        "published",
        lambda one, measures: _life_json(
            one.published, one.next_year_published_minor, one.owning_published_minor, measures.settings.currency
        ),
        least=12,
        most=16,
    ),
    AnswerColumn(
        "by own records",
        _by_own,
        "own",
        lambda one, measures: _life_json(
            one.own, one.next_year_own_minor, one.owning_own_minor, measures.settings.currency
        ),
        least=14,
        most=18,
    ),
    data("own_curve_of", lambda one, _: _whose(one)),
    AnswerColumn("one more year", _next_year, least=21, most=44),
    AnswerColumn(
        "worth now",
        lambda one, _: amount(one.worth_minor, cents=False),
        "worth_now",
        money_value(lambda one: one.worth_minor),
        least=9,
        most=10,
        figures=True,
        gives=1,
    ),
    data("missing", lambda one, _: one.missing or None),
)


def life_sheet(lives: Sequence[MachineLife], measures: Measures, interest: float) -> AnswerSheet[MachineLife]:
    """Return the answer; `interest` is per cent a year on what is tied up."""
    past = sum(bool(_is_past(life)) for life in lives)
    told = sum(_is_past(life) is not None for life in lives)
    return AnswerSheet(
        name="machines",
        columns=_COLUMNS,
        rows=lives,
        measures=measures,
        headline=f"{past} of {counted(told, 'combine')} past the cheapest age." if told else "",
        sentences=_rests_on(interest) if lives else (),
        empty=NO_COMBINE,
        beside={"interest_percent": interest},
        key_of=id,
        about=lambda life, measures: " ".join(life_lines(life, measures)),
        shouts=lambda life: bool(_is_past(life)),
    )


def _rests_on(interest: float) -> tuple[str, ...]:
    return (
        "Cheapest age: where the mean yearly cost (value lost and repairs, from new at today's list price"
        f"{f', {interest:g} % interest' if interest else ', without interest'}) is least.",
        "Value by ASAE D497 (coefficients from memory). Standing in harvest is not in it; the costs of a season have it.",
    )


def life_lines(life: MachineLife, measures: Measures) -> list[str]:
    """Return the economic life of one combine in sentences."""
    age = "age unknown" if life.age_years is None else f"{number(life.age_years)} years"
    hours = f"{number(life.hours)} {hours_name(life.basis)}"
    worth = "" if life.worth_minor is None else f", worth about {measures.money(life.worth_minor, cents=False)} now"
    head = f"{life.name}: {age}, {hours}, {number(life.hours_per_year)} a year{worth}."
    if life.missing:
        return [head, f"It needs: {life.missing}."]
    whose = "all combines' own curve" if life.own_is_fleet else "its own curve"
    published = _life_sentence(life.published, life.next_year_published_minor, life.owning_published_minor, measures)
    own = _life_sentence(life.own, life.next_year_own_minor, life.owning_own_minor, measures)
    return [head, f"By the published curve: {published}", f"By {whose}: {own}"]


def _life_sentence(
    life: EconomicLife | None, next_year_minor: int | None, owning_minor: int | None, measures: Measures
) -> str:
    if life is None:
        return "too few records for a curve."
    least = life.yearly_cost_minor[life.best_years - 1]
    text = f"cheapest to about {life.best_years} years ({life.as_good_from} to {life.as_good_to} are as good)"
    if life.still_falling:
        text = f"cheaper every year up to {life.best_years} years and beyond"
    text += f", {measures.money(least, cents=False)} a year"
    if owning_minor is not None:
        text += f" ({measures.money(owning_minor, cents=False)} of it value lost and interest, the rest repairs)"
    if next_year_minor is None:
        return f"{text}."
    past = next_year_minor > least
    said = "more than that: past its cheapest age" if past else "less than that: it still pays to keep"
    return f"{text}; one more year costs {measures.money(next_year_minor, cents=False)}, {said}."


def years_kept_sheet(life: MachineLife, measures: Measures) -> AnswerSheet[int]:
    """Return the mean yearly cost of one combine by years kept; a row is a number of years."""
    currency = measures.settings.currency

    def cost(found: EconomicLife | None, years: int) -> int | None:
        return None if found is None else found.yearly_cost_minor[found.years_kept.index(years)]

    def column(title: str, found: EconomicLife | None) -> AnswerColumn[int]:
        return AnswerColumn(
            title,
            lambda years, _: amount(cost(found, years), cents=False),
            title,
            lambda years, _: money(cost(found, years), currency),
            figures=True,
        )

    return AnswerSheet(
        name="years",
        columns=(
            AnswerColumn("kept", lambda years, _: f"{years} y", "years_kept", lambda years, _: years, figures=True),
            column("published", life.published),
            column("own", life.own),
        ),
        rows=() if life.published is None else life.published.years_kept,
        measures=measures,
        empty=f"It needs: {life.missing}." if life.missing else "",
    )
