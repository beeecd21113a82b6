"""The spares to carry as an answer: what the season may take of each part, what to buy, how likely it runs out, what that costs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from wearlog.plan.newsvendor import Stock, best_stock
from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, RowRule, data
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.words import counted
from wearlog.reckoning.plan.desk import SpareLine
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.plan.spares import PartNeed

#: a part that runs out with less than this chance is carried in enough numbers
_MAY_RUN_OUT: Final = 0.05
_NO_PART: Final = "No part in the log fits anything on the fleet; 'wearlog add part' enters one."


def spare_sheet(view: SeasonPlanView, measures: Measures) -> AnswerSheet[SpareLine]:
    """Return the answer; worth a look is a part of which some are bought, or that may well run out."""
    needs = view.needs
    return AnswerSheet(
        name="spares",
        columns=_columns(needs),
        rows=view.found.spares,
        measures=measures,
        empty=_NO_PART,
        rule=RowRule(
            _is_wanted, lambda left: f"Of {counted(left, 'part')} more there is enough.", "What is on hand is enough."
        ),
        key_of=lambda row: needs[row.need].shelf.part.id,
        about=lambda row, measures: _about(needs[row.need], row, measures),
    )


def _is_wanted(row: SpareLine) -> bool:
    return bool(row.advice.buy) or row.advice.run_out_chance >= _MAY_RUN_OUT


def _columns(needs: Sequence[PartNeed]) -> tuple[AnswerColumn[SpareLine], ...]:
    return (
        AnswerColumn(
            "number",
            lambda row, _: needs[row.need].shelf.part.number,
            "part",
            lambda row, _: needs[row.need].shelf.part.number,
            least=8,
            most=14,
            gives=1,
        ),
        AnswerColumn(
            "part",
            lambda row, _: needs[row.need].shelf.part.name,
            "name",
            lambda row, _: needs[row.need].shelf.part.name,
            least=16,
            most=34,
        ),
        AnswerColumn(
            "on hand",
            lambda row, _: number(needs[row.need].shelf.on_hand),
            "on_hand",
            lambda row, _: needs[row.need].shelf.on_hand,
            least=7,
            most=8,
            figures=True,
        ),
        data("for_replacement", lambda row, _: row.for_replacement),
        AnswerColumn(
            "expected",
            lambda row, _: number(row.advice.expected, 1),
            "expected",
            lambda row, _: rounded(row.advice.expected),
            least=8,
            most=8,
            figures=True,
            gives=2,
        ),
        AnswerColumn(
            "buy",
            lambda row, _: _buy(needs[row.need], row),
            "buy",
            lambda row, _: row.advice.buy,
            least=8,
            most=8,
            figures=True,
            tells_more=True,
        ),
        data("packs", lambda row, _: row.advice.packs),
        data("best_alone", lambda row, measures: _alone(needs[row.need], row, measures)),
        AnswerColumn(
            "runs out",
            lambda row, _: percent(row.advice.run_out_chance),
            "run_out_chance",
            lambda row, _: rounded(row.advice.run_out_chance, 6),
            least=9,
            most=9,
            figures=True,
        ),
        AnswerColumn(
            "hours lost",
            lambda row, _: number(row.advice.hours_lost, 1),
            "hours_lost",
            lambda row, _: rounded(row.advice.hours_lost, 2),
            least=10,
            most=10,
            figures=True,
            gives=1,
        ),
        AnswerColumn(
            "without one",
            lambda row, measures: need_why(needs[row.need], measures),
            "wait_hours",
            lambda row, _: rounded(needs[row.need].wait_hours, 1),
            least=20,
            most=46,
            gives=ONLY_WITH_ROOM,
        ),
        data("priced", lambda row, _: needs[row.need].shelf.price_minor is not None),
    )


def _buy(need: PartNeed, row: SpareLine) -> str:
    if need.shelf.price_minor is None:
        return "no price"
    return number(row.advice.buy) if row.advice.buy else NOTHING


def need_why(need: PartNeed, measures: Measures) -> str:
    """Return what being without a part costs, and how that is known."""
    cost = f"{number(need.wait_hours)} h, {measures.money(need.wait_minor, cents=False)}"
    if need.hurried:
        return f"{cost} (in a hurry)"
    days = counted(need.lead_days, "day")
    return f"{cost} ({days} to get it{', a guess' if need.lead_guessed else ''})"


def best_alone(need: PartNeed, row: SpareLine) -> Stock | None:
    """Return how many would lie there at the start if money were no bound and pieces came singly; None without a price."""
    if need.spare is None:
        return None
    return best_stock(row.demand, overage=need.spare.overage_minor, shortage=need.spare.shortage_minor)


def _alone(need: PartNeed, row: SpareLine, measures: Measures) -> dict[str, Any] | None:
    found = None if not _has_costs(need) else best_alone(need, row)
    if found is None:
        return None
    cost = money(round(found.expected_cost), measures.settings.currency)
    return {"pieces": round(found.level), "expected_cost": cost}


def _has_costs(need: PartNeed) -> bool:
    return need.spare is not None and need.spare.overage_minor + need.spare.shortage_minor > 0


def _about(need: PartNeed, row: SpareLine, measures: Measures) -> str:
    part = need.shelf.part
    taken = f"; the replacements take {row.for_replacement}" if row.for_replacement else ""
    found = best_alone(need, row) if _has_costs(need) else None
    alone = "" if found is None else f"; with no bound on money and sold singly, {number(found.level)} would lie there"
    return f"{part.number} {part.name}: without one {need_why(need, measures)}{taken}{alone}."
