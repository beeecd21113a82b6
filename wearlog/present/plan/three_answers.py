"""The three answers that a season begins with: what to do, what will break, what an acre cost. Each with its one uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.facts.positions import many_of
from wearlog.plan.positions import Saving
from wearlog.present.costs.cost_sheet import per_area_text
from wearlog.present.digits import Measures, number, percent
from wearlog.present.plan.plan_line_sheet import plan_rows
from wearlog.present.plan.plan_list import spares_you, steps_to_do
from wearlog.present.plan.plan_page import left_out_words
from wearlog.present.wear.wear_words import expected_text
from wearlog.present.words import capital, counted, listed
from wearlog.reckoning.costs.costs import CostRow, CostTable
from wearlog.reckoning.plan.desk import SpareLine
from wearlog.reckoning.plan.season_plan import SeasonPlanView

#: parts that the cover names; the plan has all of them
_NAMED: Final = 3
_SURE: Final = 0.9
#: fewer are hardly to be expected
_WORTH_NAMING: Final = 0.5


@dataclass(frozen=True, slots=True)
class CoverAnswer:
    """One answer: what was asked, the answer in large type, and how sure it is."""

    asked: str
    answer: str
    sure: str


def three_answers(view: SeasonPlanView, seasons: CostTable, measures: Measures) -> tuple[CoverAnswer, ...]:
    """Return them."""
    return (_what_to_do(view, measures), _what_will_break(view), _what_it_cost(seasons, measures))


def _what_to_do(view: SeasonPlanView, measures: Measures) -> CoverAnswer:
    steps = steps_to_do(view, measures)
    asked = f"What to do before {view.harvest_year}"
    if not steps:
        return CoverAnswer(asked, "Nothing pays to buy or to renew.", "")
    return CoverAnswer(asked, f"{capital(' and '.join(steps))}: it {spares_you(view, measures)}.", _how_sure(view))


def _how_sure(view: SeasonPlanView) -> str:
    """Say of how many replacements it is sure that they save at all."""
    savings: list[Saving] = [row.saving for row in plan_rows(view) if row.done and row.saving is not None]
    pieces = []
    if savings:
        sure = sum(one.chance >= _SURE for one in savings)
        many = f"{sure or 'none'} {'is' if sure == 1 else 'are'}"
        pieces.append(f"Of {counted(len(savings), 'replacement')} {many} 9 in 10 sure to save")
    if view.found.spares:
        pieces.append(f"chance of a season without waiting for a part: {percent(view.found.totals.stop_free_chance)}")
    said = "; ".join(pieces)
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def _what_will_break(view: SeasonPlanView) -> CoverAnswer:
    asked = f"What will break in {view.harvest_year} with that done"
    worth = [one for one in view.found.spares if one.advice.expected >= _WORTH_NAMING]
    first = sorted(worth, key=lambda one: -one.advice.expected)[:_NAMED]
    if not first:
        return CoverAnswer(asked, "Nothing that the log can reckon.", _in_none(view))
    said = listed([_so_many(view, one) for one in first])
    ranges = listed([f"{_part(view, one)} {_range(one)}" for one in first])
    return CoverAnswer(asked, f"About {said}.", f"9 in 10: {ranges}. {_in_none(view)}".strip())


def _so_many(view: SeasonPlanView, one: SpareLine) -> str:
    """Return "57 knife sections", "8 reel tines", "1.4 drive chains": behind "about" nobody needs a zero."""
    many = expected_text(one.advice.expected).removesuffix(".0")
    return f"{many} {_part(view, one) if many == '1' else many_of(_part(view, one))}"


def _part(view: SeasonPlanView, one: SpareLine) -> str:
    return view.needs[one.need].shelf.part.name


def _range(one: SpareLine) -> str:
    """The counts that are undershot or exceeded once in twenty each."""
    return f"{number(one.demand.protection(0.05))} to {number(one.demand.protection(0.95))}"


def _in_none(view: SeasonPlanView) -> str:
    left_out = left_out_words(view)
    return f"Left out: {left_out}." if left_out else ""


def _what_it_cost(seasons: CostTable, measures: Measures) -> CoverAnswer:
    unit = "acre" if measures.area_unit == "ac" else "hectare"
    cut = [row for row in seasons.rows if row.area > 0]
    asked = f"What {'an' if unit == 'acre' else 'a'} {unit} cost"
    if not cut:
        return CoverAnswer(asked, "Nothing has been cut yet.", "")
    last, currency = max(cut, key=lambda row: row.key), measures.settings.currency
    answer = f"{per_area_text(last, measures)} {currency} in {last.key}"
    if len(cut) > 1:
        answer += f"; {per_area_text(seasons.total, measures)} over {len(cut)} seasons"
    hour = measures.settings.downtime_minor
    rate = f"{measures.money(hour, cents=False)} an hour" if hour else "no rate"
    sure = f"Why, in {last.key}: {listed(_pieces(last))}. Downtime at {rate} is a reckoning and no bill."
    if seasons.unknown_units:
        verb = "is" if seasons.unknown_units == 1 else "are"
        sure += f" {counted(seasons.unknown_units, 'piece')} of unknown cost {verb} in no sum."
    return CoverAnswer(asked, f"{answer}.", sure)


def _pieces(row: CostRow) -> list[str]:
    shares = (
        ("downtime", row.downtime_minor),
        ("parts", row.parts_minor),
        ("service", row.service_minor),
        ("labour", row.labour_minor),
    )
    whole = row.total_minor or 1
    ordered = sorted(((minor / whole, name) for name, minor in shares), reverse=True)
    return [f"{name} {percent(share)}" for share, name in ordered if share >= 0.005]
