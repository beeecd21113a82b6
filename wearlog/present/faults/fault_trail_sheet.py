"""A fault over the seasons as an answer: every time it came, what was found, what it cost, whether the fix has held."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Final

from wearlog.facts.plain_text import one_line
from wearlog.faults.held import Held, rate_limit_per_hour
from wearlog.faults.held_by_trail import HeldByTrail
from wearlog.faults.trail import ConditionShare, LaplaceTrend
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, duration, number, percent
from wearlog.present.faults.fault_case_words import how_it_went
from wearlog.present.faults.suspect_sheet import checklist_sheet, checklist_told
from wearlog.present.json_form import money, rounded
from wearlog.present.sheet_faces import sheet_json
from wearlog.present.words import counted, listed, ordinal, word
from wearlog.reckoning.faults.fault_case import PastTime
from wearlog.reckoning.faults.fault_trail import FaultTrail
from wearlog.units import ACRE_SQUARE_METRES

#: below this a test is said to show something
_TELLING = 0.05

#: a range narrower than this is not worth a sentence
_WORTH_SAYING: Final = 0.05
#: engine hours from which on a machine is said to have run since a fix
_HAS_RUN: Final = 0.5


def trail_sheet(trail: FaultTrail, measures: Measures) -> AnswerSheet[PastTime]:
    """Return the answer; a row is one time it came."""
    return AnswerSheet(
        name="episodes",
        columns=_columns(trail),
        rows=trail.times,
        measures=measures,
        headline=heading(trail),
        sentences=_follows(trail, measures),
        beside=_beside(trail, measures),
        key_of=lambda past: past.fault.id,
        about=lambda past, measures: _told(trail, past, measures),
    )


def _columns(trail: FaultTrail) -> tuple[AnswerColumn[PastTime], ...]:
    def quiet(past: PastTime) -> float | None:
        return quiet_before(trail).get(past.number)

    return (
        AnswerColumn(
            "no.", lambda past, _: str(past.number), "number", lambda past, _: past.number, least=3, figures=True
        ),
        data("id", lambda past, _: past.fault.id),
        data("title", lambda past, _: past.fault.title),
        AnswerColumn(
            "opened",
            lambda past, measures: measures.day(past.fault.opened_at),
            "opened",
            lambda past, _: past.fault.opened_at,
            least=10,
        ),
        data("closed", lambda past, _: past.fault.closed_at),
        AnswerColumn("checks", lambda past, _: str(len(past.checks)), figures=True, gives=2),
        AnswerColumn("found", lambda past, _: _found(past), "node", lambda past, _: past.node or None, least=16),
        data("mode", lambda past, _: past.finding.mode if past.finding else None),
        data("fix", lambda past, _: past.finding.fix if past.finding else None),
        AnswerColumn(
            "evidence",
            lambda past, _: word(past.finding.evidence) if past.finding else NOTHING,
            "evidence",
            lambda past, _: past.finding.evidence if past.finding else None,
            least=8,
            most=26,
            gives=1,
        ),
        data("found_at", lambda past, _: past.found_at),
        AnswerColumn(
            "quiet before",
            lambda past, _: NOTHING if (hours := quiet(past)) is None else f"{number(hours)} h",
            "quiet_engine_hours_before",
            lambda past, _: rounded(quiet(past), 1),
            least=7,
            figures=True,
        ),
        data("checks", lambda past, measures: sheet_json(checklist_sheet(past, measures))["checks"]),
    )


def quiet_before(trail: FaultTrail) -> dict[int, float]:
    """Return the hours without it before a time, by the number of the fault: those that came after a time that was closed."""
    after_closed = [past.number for before, past in pairwise(trail.times) if before.fault.closed_at is not None]
    return {number: gap.hours for number, gap in zip(after_closed, trail.trail.gaps, strict=True)}


def _told(trail: FaultTrail, past: PastTime, measures: Measures) -> str:
    """One time as a sentence."""
    hours = quiet_before(trail).get(past.number)
    quiet = "" if hours is None else f"after {number(hours)} quiet hours, "
    found = "still open" if past.fault.closed_at is None else how_it_went(past)
    return f"{past.number}. {measures.date_said(past.fault.opened_at)}: {quiet}{found}"


def _follows(trail: FaultTrail, measures: Measures) -> list[str]:
    """What follows from the times, the answer last: whether the fix has held."""
    lines = [_gap_sentence(trail, measures)] if trail.trail.gaps else []
    if trail.trail.trend is not None:
        lines.append(trend_sentence(trail.trail.trend))
    lines += [condition_sentence(share) for share in trail.conditions if share.p < _TELLING]
    return [*lines, cost_sentence(trail, measures), held_sentence(trail, measures)]


def heading(trail: FaultTrail) -> str:
    """Return "Tamarack: header fuse blows when the header moves, for the 4th time"."""
    last = trail.times[-1].fault
    times = len(trail.times)
    return f"{trail.machine.name}: {one_line(last.title)}, {'so far once' if times == 1 else f'for the {ordinal(times)} time'}"


def _found(past: PastTime) -> str:
    if past.fault.closed_at is None:
        return "still open"
    if past.finding is None or not past.node:
        return "not found"
    return f"{past.node}, {word(past.finding.mode)}"


def _gap_sentence(trail: FaultTrail, measures: Measures) -> str:
    gaps = [f"{number(gap.hours)} h ({measures.area(gap.acres)})" for gap in trail.trail.gaps]
    return f"It came back after {listed(gaps)}."


def trend_sentence(trend: LaplaceTrend) -> str:
    """Return whether it comes faster or slower; few times seldom prove either."""
    if trend.p_two_sided >= _TELLING:
        return f"No trend that so few times could prove ({_p(trend.p_two_sided)})."
    faster = "closer together" if trend.score > 0 else "further apart"
    return f"The times lie {faster} ({_p(trend.p_two_sided)})."


def condition_sentence(share: ConditionShare) -> str:
    """Return a condition that goes with the trail."""
    return (
        f"It goes with {word(share.condition)}: noted {share.in_trail} of {share.of_trail} times, "
        f"with other faults {share.elsewhere} of {share.of_elsewhere} ({_p(share.p)})."
    )


def _p(chance: float) -> str:
    return f"p {chance:.2f}" if chance >= 0.01 else "p under 0.01"


def cost_sentence(trail: FaultTrail, measures: Measures) -> str:
    """Return what the trail has cost so far, and what was counted."""
    cost = trail.cost
    counts = [counted(cost.repairs, "repair"), counted(cost.stops, "stop"), counted(cost.parts, "part")]
    if cost.search_seconds:
        counts.append(f"{duration(cost.search_seconds)} of checks without a repair")
    unknown = f"; {counted(cost.unknown_parts, 'part')} of unknown cost left out" if cost.unknown_parts else ""
    return f"So far it has cost {measures.money(cost.total_minor)} ({listed(counts)} at its moments{unknown})."


def held_sentence(trail: FaultTrail, measures: Measures) -> str:
    """Return "quiet 140 h; 88 % that it has held; 95 % after 60 more hours", or that it is open."""
    if trail.held is None:
        return f"Open since {measures.date_said(trail.times[-1].fault.opened_at)}."
    return held_words(trail.held) + _held_range(trail.held)


def _held_range(held: HeldByTrail) -> str:
    """Say how far it depends on how many of the quiet hours were under the conditions in which the fault shows."""
    if held.highest - held.lowest < _WORTH_SAYING:
        return ""
    ends = f"{percent(held.lowest)} to {percent(held.highest)}"
    return f" ({ends}, as none or all of these hours were under the conditions in which it shows)"


def held_words(held: Held) -> str:
    """Return whether a fix has held; the hours still needed are rounded up, so that they are never too few."""
    if held.quiet_hours < _HAS_RUN:
        said = f"not run since; {percent(held.chance)} that it holds"
    else:
        said = f"quiet {number(held.quiet_hours)} h; {percent(held.chance)} that it has held"
    if held.hours_to_target <= 0:
        return said
    more = -int(-held.hours_to_target // 1)
    return f"{said}; {percent(held.target)} after {counted(more, 'more hour')}"


def rarest_return(held: Held) -> float | None:
    """Return the hours in which a fault that is still there comes at most once (95 % sure), after so long a quiet."""
    return 1 / rate_limit_per_hour(held.quiet_hours) if held.quiet_hours > 0 else None


def trails_json(trails: Sequence[FaultTrail], measures: Measures) -> dict[str, Any]:
    """Return trails with their times, tests, cost, and whether the last fix has held."""
    return {"trails": [sheet_json(trail_sheet(trail, measures)) for trail in trails]}


def _beside(trail: FaultTrail, measures: Measures) -> dict[str, Any]:
    trend, held, cost = trail.trail.trend, trail.held, trail.cost
    currency = measures.settings.currency
    return {
        "machine": trail.machine.name,
        "title": trail.times[-1].fault.title,
        "count": len(trail.times),
        "open": trail.is_open,
        "gaps": [
            {"engine_hours": rounded(gap.hours, 1), "acres": rounded(gap.acres / float(ACRE_SQUARE_METRES), 1)}
            for gap in trail.trail.gaps
        ],
        "trend": None if trend is None else {"score": rounded(trend.score), "p": rounded(trend.p_two_sided)},
        "conditions": [
            {
                "condition": share.condition,
                "in_trail": share.in_trail,
                "of_trail": share.of_trail,
                "elsewhere": share.elsewhere,
                "of_elsewhere": share.of_elsewhere,
                "p": rounded(share.p, 4),
            }
            for share in trail.conditions
        ],
        "cost": {
            "total": money(cost.total_minor, currency),
            "labour": money(cost.labour_minor, currency),
            "hired": money(cost.hired_minor, currency),
            "downtime": money(cost.downtime_minor, currency),
            "parts": money(cost.parts_minor, currency),
            "repairs": cost.repairs,
            "stops": cost.stops,
            "parts_count": cost.parts,
            "search_hours": rounded(cost.search_seconds / 3600, 2),
            "parts_of_unknown_cost": cost.unknown_parts,
        },
        "evidence": trail.evidence,
        "held": None
        if held is None
        else {
            "quiet_engine_hours": rounded(held.quiet_hours, 1),
            "chance": rounded(held.chance, 4),
            "chance_lowest": rounded(held.lowest, 4),
            "chance_highest": rounded(held.highest, 4),
            "target": held.target,
            "engine_hours_to_target": rounded(held.hours_to_target, 1),
            "returns_at_most_once_in_hours": rounded(rarest_return(held), 1),
        },
    }


def trail_page(trail: FaultTrail, measures: Measures) -> tuple[str, ...]:
    """Return a trail as lines, its heading first: what follows from its times, the times, how the count grew, every checklist."""
    sheet = trail_sheet(trail, measures)
    checklists = [
        line
        for past in reversed(trail.times)
        for line in (
            "",
            f"CHECKLIST OF {measures.date_said(past.fault.opened_at)}",
            *checklist_told(checklist_sheet(past, measures)),
        )
    ]
    return (
        *(sheet.headline, *reversed(sheet.sentences), "", "EVERY TIME"),
        *(sheet.about(past, measures) for past in sheet.rows),
        *("", *count_lines(trail, measures), *checklists),
    )


def count_lines(trail: FaultTrail, measures: Measures) -> list[str]:
    """Return the count so far, year by year, as bars: steps of one height are a fault that stays as it is."""
    years = [measures.local(past.fault.opened_at).year for past in trail.times]
    rows, count = [f"COUNT SO FAR: {counted(len(years), 'time')}"], 0
    for year in range(min(years), max(years) + 1):
        new = years.count(year)
        count += new
        rows.append(f"  {year} {'█' * (4 * count)} {count}{f' (+{new})' if new else ''}")
    return rows
