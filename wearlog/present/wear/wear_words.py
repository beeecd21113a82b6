"""The wear of kinds in words: how long they last, what it rests on, what the season ahead threatens; no tables, no JSON."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wearlog.facts.closed_lists import Evidence, MeterKind
from wearlog.facts.parts import PartKind
from wearlog.present.digits import NOTHING, Measures, number, percent, significant
from wearlog.present.tables import folded
from wearlog.present.words import counted, listed, word
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.reckoning.wear.season_ahead import SeasonAhead, TakenFrom
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook
from wearlog.wear.intervals import Estimate
from wearlog.wear.path_nodes import COURSES

#: a median shape between these is as good as chance
_CHANCE = (0.8, 1.25)


def rough(value: float) -> str:
    """Return a figure with three digits that mean something: 8,480, 312, 4.7."""
    if value <= 0 or not math.isfinite(value):
        return number(value) if math.isfinite(value) else "no end"
    places = 2 - math.floor(math.log10(value))
    return number(round(value, places), max(places, 0) if value < 10 else 0)


def lasting(kind: MeterKind, estimate: Estimate | None, measures: Measures) -> str:
    """Return "8,480 (7,550-9,840) ac", or a dash when nobody knows."""
    if estimate is None:
        return NOTHING
    middle, low, high = (measures.usage_number(kind, one) for one in (estimate.median, estimate.low, estimate.high))
    return f"{rough(middle)} ({rough(low)}-{rough(high)}) {measures.usage_unit(kind)}"


def lasting_within(kind: MeterKind, estimate: Estimate | None, measures: Measures) -> str:
    """Return the interval alone, where there is no room for more: "7,550-9,840 ac"."""
    if estimate is None:
        return NOTHING
    low, high = (measures.usage_number(kind, one) for one in (estimate.low, estimate.high))
    return f"{rough(low)}-{rough(high)} {measures.usage_unit(kind)}"


def way_of_failing(life: KindLife) -> str:
    """Return wear-out, early, chance or unclear, by where the shape surely lies."""
    if life.law is None:
        return NOTHING
    shape = life.law.shape()
    if shape.low > 1:
        return "wear-out"
    if shape.high < 1:
        return "early"
    return "chance" if _CHANCE[0] <= shape.median <= _CHANCE[1] else "unclear"


def guess_label(kind: PartKind) -> str:
    """Return what the starting guess rests on."""
    if kind.guess_evidence is Evidence.COMMON_PRACTICE:
        return "common practice, no source"
    return word(kind.guess_evidence)


def rests_on(life: KindLife) -> str:
    """Return "71 worn in 2,516 lives, and the starting guess" or "starting guess only, common practice, no source"."""
    lives = counted(round(life.lives.count), "life", "lives")
    seen = f"{number(life.lives.failures)} worn in {lives}"
    if life.posterior is None:
        return (
            f"{seen}, no starting guess, too little to tell" if life.lives.failures else f"{lives}, no starting guess"
        )
    if not life.lives.count:
        return f"starting guess only, {guess_label(life.kind)}"
    return f"{seen}, and the starting guess" if life.has_guess else f"{seen}, no starting guess"


def rests_on_in_a_sentence(life: KindLife) -> str:
    """Return the same to stand after "reckoned from"."""
    said = rests_on(life)
    return f"the {said}" if said.startswith("starting guess") else said


def rests_on_briefly(life: KindLife) -> str:
    """Return the same for a narrow column: "71 in 2,516 + guess", "guess only"."""
    if not life.lives.count:
        return "guess only" if life.has_guess else "nothing yet"
    return f"{number(life.lives.failures)} in {number(life.lives.count)}{' + guess' if life.has_guess else ''}"


def rests_on_in_a_word(life: KindLife) -> str:
    """Return the same where there is hardly any room: "71 + guess", "guess only", "5 seen"."""
    if not life.lives.count:
        return "guess only" if life.has_guess else "nothing"
    return f"{number(life.lives.failures)} {'+ guess' if life.has_guess else 'worn'}"


def breakage_rate(row: KindOutlook, measures: Measures) -> str:
    """Return breakages of any cause per 1,000 acres cut by the machines the kind sits on."""
    return significant(measures.per_thousand(row.breakages / row.life.area)) if row.life.area > 0 else NOTHING


def expected_text(expected: float | None) -> str:
    """Return an expected count: 73, 2.8, "<0.1" for what is hardly to be expected, a dash for what nobody can reckon."""
    if expected is None:
        return NOTHING
    return "<0.1" if 0 < expected < 0.05 else number(expected, 0 if expected >= 9.95 else 1)


def ahead_text(row: KindOutlook | ComponentOutlook, ahead: SeasonAhead) -> str:
    """Return what is expected to break, and how many parts are in none of it: "24 +25?", "- +1?"."""
    expected = row.expected_known if is_known(ahead) else None
    more = f" +{number(row.not_reckoned)}?" if row.not_reckoned and is_known(ahead) else ""
    return f"{expected_text(expected)}{more}"


def failures_text(row: KindOutlook | ComponentOutlook, ahead: SeasonAhead) -> str:
    """Return the failures of the season, successors counted, where they are more than what is to break of the parts now on."""
    failures = row.failures_known if is_known(ahead) else None
    said = expected_text(failures)
    return "" if failures is None or said == expected_text(row.expected_known) else said


def unknown_ages(row: KindOutlook | ComponentOutlook) -> int:
    """Return how many parts are in no figure because nobody knows their age; those that have failed are in."""
    components = row.components if isinstance(row, KindOutlook) else (row,)
    groups = (group for one in components for group in one.groups)
    return sum(len(group.positions) for group in groups if group.age is None and group.expected is None)


def unknown_text(row: KindOutlook | ComponentOutlook, ahead: SeasonAhead) -> str:
    """Return "25 of unknown age (about 2.1 more to break, by the mean life alone)"; nothing where all are reckoned."""
    ages = unknown_ages(row)
    pieces = []
    if ages:
        steady = row.expected_steady if is_known(ahead) else None
        more = "" if steady is None else f" ({about_text(steady)} more to break, by the mean life alone)"
        pieces.append(f"{number(ages)} of unknown age{more}")
    if row.not_reckoned > ages:
        pieces.append(f"{number(row.not_reckoned - ages)} of which nobody knows how long they last")
    return " and ".join(pieces)


def about_text(expected: float) -> str:
    """Return "about 2.1", or "under 0.1"."""
    said = expected_text(expected)
    return f"under {said[1:]}" if said.startswith("<") else f"about {said}"


def left_out_sentence(left_out: int) -> str:
    """Say how many lives are in none of the figures; nothing where all are in."""
    if not left_out:
        return ""
    lives = "1 more life is" if left_out == 1 else f"{number(left_out)} more lives are"
    return f"{lives} left out of it: nobody knows the age of the part, or its meter had not moved; --explain tells."


def is_known(ahead: SeasonAhead) -> bool:
    """Whether anything can be said of the season ahead."""
    return ahead.taken_from is not TakenFrom.NOTHING


def season_sentence(ahead: SeasonAhead, measures: Measures) -> str:
    """Say what the season ahead is taken to be."""
    area = _asked(ahead, measures)
    if ahead.season is not None:
        return f"Season ahead: {ahead.season.harvest_year} as planned, {area} still to cut."
    if ahead.taken_from is TakenFrom.CALENDAR_YEARS:
        years = listed([str(year) for year in ahead.years])
        return (
            f"Season ahead: nobody planned it; taken {'like' if len(ahead.years) == 1 else 'as the mean of'} {years}, {area} "
            "(whole calendar years, where no season is entered: 'wearlog add season YEAR')."
        )
    if len(ahead.years) == 1:
        return f"Season ahead: nobody planned it; taken like the last one, {area}."
    if ahead.years:
        return f"Season ahead: nobody planned it; taken as the mean of the last {len(ahead.years)}, {area}."
    return (
        "Season ahead: none is planned and nothing has been cut, so nothing can be expected of it yet "
        "('wearlog add season YEAR', 'wearlog plan make YEAR')."
    )


def _asked(ahead: SeasonAhead, measures: Measures) -> str:
    """How much the season asks of the machines: the area, or their hours where nobody noted areas."""
    hours = [
        f"{measures.usage(kind, float(ahead.usage[:, place].sum()))} by the {word(kind)}"
        for place, kind in enumerate(MeterKind)
        if kind not in (MeterKind.AREA, MeterKind.CALENDAR) and ahead.usage[:, place].any()
    ]
    if ahead.cut_area or not hours:
        return measures.area(ahead.cut_area)
    return f"{listed(hours)} (no area is noted)"


def difference_lines(differ: Sequence[tuple[str, float]]) -> list[str]:
    """Say for which kinds the machines differ; each with the p-value of the likelihood-ratio test."""
    return folded([_differ(differ)])


def _differ(differ: Sequence[tuple[str, float]]) -> str:
    if not differ:
        return "Do machines differ? Too few failures on more than one machine to tell for any kind."
    surely = [f"{name} (p = {p_text(p)})" for name, p in sorted(differ, key=lambda row: row[1]) if p < 0.05]
    if not surely:
        return (
            f"Do machines differ? For none of the {len(differ)} kinds that can be tested (likelihood ratio, p below 0.05): "
            "each goes by the life of the whole fleet, unless its page says otherwise."
        )
    return (
        f"Do machines differ? Yes for {', '.join(surely)}, by the likelihood-ratio test; of {len(differ)} tests one in twenty "
        "says so by chance. Where the page of a kind says so each machine goes by its own life, else by that of the fleet."
    )


def difference_sentence(p_value: float | None, *, own: bool = False, aside: bool = False) -> str:
    """Say whether the machines wear a kind differently, and by which life each goes: its `own`, or one set `aside` for all."""
    if p_value is None and own:
        return (
            "Machines may differ, though too few failed on more than one to test it: each goes by its own life and what the others "
            "say; --explain says by how much."
        )
    if p_value is None:
        return "Whether machines differ cannot be told yet: too few failures on more than one machine."
    test = f"likelihood-ratio test, p = {p_text(p_value)}"
    if own:
        sure = "" if p_value < 0.05 else " may"
        return (
            f"The machines{sure} differ ({test}), and each goes by its own life: --explain says which and by how much."
        )
    if p_value < 0.05 and aside:
        return f"The machines differ ({test}), but are taken as alike, as the farm set it."
    if p_value < 0.05:
        return f"The machines differ ({test}), but all go by one life: their records say too little of each."
    return f"The records do not show that machines differ ({test})."


def p_text(p_value: float) -> str:
    """Return a p-value with two digits, or "under 0.001"."""
    return "under 0.001" if p_value < 0.001 else f"{p_value:.2g}"


def course_sentence(part: MeasuredPart) -> str:
    """Return "By 4 readings wear runs straight (71 %; ever faster 20 %, ever slower 9 %)."; nothing where too few tell."""
    if part.path is None or part.past_limit:
        return ""
    chances = part.path.course_chances
    first, *others = sorted(COURSES, key=lambda one: -chances[one])
    rest = ", ".join(f"{one} {percent(chances[one])}" for one in others)
    return f"By {counted(part.usage.size, 'reading')} wear runs {first} ({percent(chances[first])}; {rest})."


def courses_said(parts: Sequence[MeasuredPart]) -> list[str]:
    """Say in how many parts wear runs which way, and how sure that is."""
    sure = {
        course: [one.path.course_chances[course] for one in parts if one.path and one.path.course is course]
        for course in COURSES
    }
    found = [
        f"{course} in {counted(len(chances), 'part')} ({_between(min(chances), max(chances))} sure)"
        for course, chances in sure.items()
        if chances
    ]
    if not found:
        return []
    untold = sum(one.path is None for one in parts)
    more = f"; too few readings tell in {counted(untold, 'part')}" if untold else ""
    return [f"By the readings wear runs {', '.join(found)}{more}."]


def _between(low: float, high: float) -> str:
    return percent(high) if percent(low) == percent(high) else f"{percent(low)} to {percent(high)}"
