"""Part numbers of a kind as an answer: how long each lasts on the same ground, what it costs, which is likely the cheapest."""

from __future__ import annotations

from typing import Any, Final

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import many_of
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, amount, number, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.words import counted
from wearlog.reckoning.wear.parts_compared import SURE, PartAnswer, PartsCompared

#: below such a chance of the best nothing tells two parts apart
_TOLD: Final = 0.6
_LEAST: Final = 0.01
#: hours for which costs on an hour meter are told
_HOURS: Final = 100.0


def parts_compared_sheet(view: PartsCompared | None, kind_name: str, measures: Measures) -> AnswerSheet[PartAnswer]:
    """Return the part numbers (or suppliers) of a kind, the cheapest first."""
    noted = f"No {one_line(kind_name)} says which part it is. Note the part number when you fit one, then they can be compared."
    if view is None:
        return AnswerSheet("parts", _NO_COLUMNS, (), measures, empty=noted)
    return AnswerSheet(
        name="parts",
        columns=_columns(view, measures),
        rows=view.parts,
        measures=measures,
        headline=_answer(view, measures),
        answer=_answer(view, measures),
        sentences=_sentences(view, measures),
        empty=noted,
        beside=_beside(view),
        key_of=lambda row: row.name,
        about=lambda row, measures: _about(view, row, measures),
    )


_NO_COLUMNS: Final[tuple[AnswerColumn[PartAnswer], ...]] = (AnswerColumn("part", lambda row, _: row.name, "part"),)


def _per(view: PartsCompared, measures: Measures) -> tuple[float, str]:
    """Units of usage that costs are told for, and their words."""
    if view.kind.meter_kind is MeterKind.AREA:
        return 1000 / measures.area_number(1.0), f"1,000 {measures.area_unit}"
    if view.kind.meter_kind is MeterKind.CALENDAR:
        return 365.25 * 86_400, "year"
    return _HOURS * 3600, "100 h"


def _named(row: PartAnswer) -> str:
    return row.name or "not noted"


def _chance(row: PartAnswer) -> str:
    if row.chance_cheapest is None:
        return NOTHING
    # as many draws as there are cannot say that it is never the cheapest
    return "under 1 %" if row.chance_cheapest < _LEAST else percent(row.chance_cheapest)


def _columns(view: PartsCompared, measures: Measures) -> tuple[AnswerColumn[PartAnswer], ...]:
    each, words = _per(view, measures)
    meter = view.kind.meter_kind

    def cost(row: PartAnswer) -> float | None:
        return None if row.cost is None or row.cost.mean is None else row.cost.mean * each

    def ends(row: PartAnswer) -> dict[str, Any] | None:
        if row.cost is None:
            return None
        currency = measures.settings.currency
        return {
            "mean": money(round((row.cost.mean or 0.0) * each), currency),
            "low": money(round(row.cost.low * each), currency),
            "high": money(round(row.cost.high * each), currency),
        }

    def usage(value: float) -> float | None:
        return rounded(measures.usage_number(meter, value), 1)

    return (
        AnswerColumn(
            "supplier" if view.by_supplier else "part",
            lambda row, _: _named(row),
            "part",
            lambda row, _: row.name or None,
            least=10,
            most=24,
        ),
        data("supplier", lambda row, _: row.supplier or None),
        AnswerColumn(
            "lives", lambda row, _: number(row.lives), "lives", lambda row, _: row.lives, least=5, figures=True, gives=3
        ),
        AnswerColumn(
            "broke", lambda row, _: number(row.failures), "failures", lambda row, _: row.failures, least=5, figures=True
        ),
        AnswerColumn(
            "lasts",
            lambda row, measures: measures.usage(meter, row.life.median),
            "life_median",
            lambda row, _: {"median": usage(row.life.median), "low": usage(row.life.low), "high": usage(row.life.high)},
            least=8,
            most=10,
            figures=True,
            tells_more=True,
            legend="lasts: median life by wear on the ground with most lives; broke: by wear.",
        ),
        AnswerColumn(
            f"{{money}}/{words}",
            lambda row, _: NOTHING if (found := cost(row)) is None else amount(found),
            "cost",
            lambda row, _: ends(row),
            least=8,
            most=14,
            figures=True,
            tells_more=True,
            legend=f"{{money}}/{words}: one position kept going, part, labour and standing, renewed at the age that costs least.",
        ),
        AnswerColumn(
            "cheapest",
            lambda row, _: _chance(row),
            "chance_cheapest",
            lambda row, _: rounded(row.chance_cheapest, 4),
            least=8,
            figures=True,
            legend="cheapest: the chance that it costs least of those with a price.",
        ),
        data(
            "terms_worth",
            lambda row, measures: (
                None if row.terms_minor is None else money(round(row.terms_minor), measures.settings.currency)
            ),
        ),
        data(
            "expected_loss",
            lambda row, measures: (
                None
                if row.expected_loss is None
                else money(round(row.expected_loss * each), measures.settings.currency)
            ),
        ),
    )


def _answer(view: PartsCompared, measures: Measures) -> str:
    compared, each = view.compared, _per(view, measures)
    what = "suppliers" if view.by_supplier else "part numbers"
    if len(compared) < 2:
        named = [row for row in view.parts if row.name]
        if len(named) > 1:
            return f"The {what} of {many_of(one_line(view.kind.name))} cannot be compared: fewer than two have a price."
        life = measures.usage(view.kind.meter_kind, named[0].life.median)
        return f"Only one is noted, {one_line(named[0].name)}: it lasts {life}. Nothing to compare."
    first, second = compared[0], compared[1]
    costs = [amount((row.cost.mean or 0.0) * each[0]) for row in (first, second) if row.cost is not None]
    against = f"{costs[0]} against {costs[1]} {measures.settings.currency} per {each[1]}"
    chance = first.chance_cheapest or 0.0
    if chance < _TOLD:
        return f"Either way: nothing tells {one_line(first.name)} and {one_line(second.name)} apart ({against})."
    if chance < SURE:
        return f"Either way, {one_line(first.name)} more likely the cheaper: {against}, {percent(chance)}."
    return f"{one_line(first.name)} is the cheaper: {against}, {percent(chance)}."


def _sentences(view: PartsCompared, measures: Measures) -> list[str]:
    found = []
    if view.compared:
        broke = " and ".join(str(row.failures) for row in view.compared)
        found.append(
            f"Reckoned from {broke} failures by wear and the starting guess; the ground of each life is allowed for."
        )
    with_terms = [one for one in view.compared if one.terms_minor is not None]
    if with_terms:
        worth = "; ".join(f"{one_line(one.name)} {measures.money(one.terms_minor)}" for one in with_terms)
        found.append(f"What the terms of warranty pay back on the mean is taken off the price of a piece: {worth}.")
    if view.failures_needed is not None:
        found.append(f"To be sure takes about {counted(view.failures_needed, 'failure')} of each of the two.")
    best = next(iter(view.compared), None)
    if best is not None and best.expected_loss is not None and (best.chance_cheapest or 0.0) < SURE:
        found.append(_wrong_choice(best, *_per(view, measures), measures))
    if view.confounded:
        found.append("Two of them never ran on one ground: what differs between them may be the ground.")
    if not view.standing_known:
        found.append("Nobody knows how long a change takes or how long it stands: only prices are in the costs.")
    if any(not row.name for row in view.parts):
        found.append("Parts whose number nobody noted stand in the lives and are not compared.")
    found.append("By wear alone: a stone breaks a dear part as well as a cheap one.")
    return found


def _about(view: PartsCompared, row: PartAnswer, measures: Measures) -> str:
    each, words = _per(view, measures)
    meter = view.kind.meter_kind
    said = f"{_named(row)}: {measures.usage(meter, row.life.low)} to {measures.usage(meter, row.life.high)} with 90 %."
    if row.expected_loss is not None:
        said += f" {_wrong_choice(row, each, words, measures)}"
    return one_line(said)


def _wrong_choice(row: PartAnswer, each: float, words: str, measures: Measures) -> str:
    cost = f"{amount((row.expected_loss or 0.0) * each)} {measures.settings.currency}"
    return (
        f"Choosing {one_line(_named(row))} costs {cost} per {words} on the mean for the case that another is cheaper."
    )


def _beside(view: PartsCompared) -> dict[str, Any]:
    return {
        "kind": view.kind.name,
        "failures_needed_each": view.failures_needed,
        "ground_confounded": view.confounded,
        "effective_draws": round(view.effective),
    }
