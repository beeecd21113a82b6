"""The wear of kinds in words: how long they last, what it rests on, what the season ahead threatens; tables, no JSON."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from textwrap import wrap

from wearlog.facts.closed_lists import Evidence, MeterKind
from wearlog.facts.parts import PartKind
from wearlog.present.digits import NOTHING, Measures, number, significant
from wearlog.present.tables import Column, text_table
from wearlog.present.words import counted, word
from wearlog.reckoning.kind_life import KindLife
from wearlog.reckoning.season_ahead import SeasonAhead
from wearlog.reckoning.wear_outlook import KindOutlook, WearOutlook
from wearlog.wear.intervals import Estimate

#: a median shape between these is as good as chance
_CHANCE = (0.8, 1.25)

LEGEND = (
    "lasts: half of them last so long, with its 90 % interval. B10: one in ten is gone by then.",
    "fails: wear-out (the older, the sooner), early (the newer, the sooner), chance, or unclear yet.",
    "ahead: expected to break in the season ahead, and parts that have failed and still run.",
    "rests on: worn out in lives seen, and the starting guess (common practice, no source).",
)


def folded(sentences: Iterable[str], *, indent: str = "", width: int = 100) -> list[str]:
    """Return sentences as lines of at most `width` columns; what runs on stands two further in."""
    return [
        line
        for sentence in sentences
        for line in wrap(
            sentence, width, initial_indent=indent, subsequent_indent=f"{indent}  ", break_on_hyphens=False
        )
    ]


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


def way_of_failing(life: KindLife) -> str:
    """Return wear-out, early, chance or unclear, by where the shape surely lies."""
    if life.posterior is None:
        return NOTHING
    shape = life.posterior.shape()
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
    """Return the same to stand after "rests on"."""
    said = rests_on(life)
    return f"the {said}" if said.startswith("starting guess") else said


def rests_on_briefly(life: KindLife) -> str:
    """Return the same for a narrow column: "71 in 2,516 + guess", "guess only"."""
    if not life.lives.count:
        return "guess only" if life.has_guess else "nothing yet"
    return f"{number(life.lives.failures)} in {number(life.lives.count)}{' + guess' if life.has_guess else ''}"


def breakage_rate(row: KindOutlook, measures: Measures) -> str:
    """Return breakages of any cause per 1,000 acres cut by the machines the kind sits on."""
    return significant(measures.per_thousand(row.breakages / row.life.area)) if row.life.area > 0 else NOTHING


def wear_lines(outlook: WearOutlook, measures: Measures) -> list[str]:
    """Return the table of kinds, what the season ahead threatens most first."""
    columns = (
        Column("part", widest=26),
        Column("lasts", widest=30),
        Column("B10", figures=True),
        Column("fails"),
        Column(f"/{measures.per_thousand_unit()}", figures=True),
        Column("ahead", figures=True),
        Column("rests on"),
    )
    lines = text_table(columns, [_kind_cells(row, measures) for row in outlook.kinds])
    return [*lines, "", *folded([season_sentence(outlook.ahead, measures), *LEGEND])]


def _kind_cells(row: KindOutlook, measures: Measures) -> tuple[str, ...]:
    life, meter = row.life, row.life.kind.meter_kind
    b10 = life.b10
    return (
        life.kind.name,
        lasting(meter, life.median_life, measures),
        NOTHING if b10 is None else rough(measures.usage_number(meter, b10.median)),
        way_of_failing(life),
        breakage_rate(row, measures),
        expected_text(row.expected),
        rests_on_briefly(life),
    )


def expected_text(expected: float) -> str:
    """Return an expected count: 73, 2.8, or "<0.1" for what is hardly to be expected."""
    return "<0.1" if 0 < expected < 0.05 else number(expected, 0 if expected >= 9.95 else 1)


def season_sentence(ahead: SeasonAhead, measures: Measures) -> str:
    """Say what the season ahead is taken to be."""
    area = measures.area(ahead.cut_area)
    if ahead.season is not None:
        return f"Season ahead: {ahead.season.harvest_year} as planned, {area} still to cut."
    if ahead.seasons_taken == 1:
        return f"Season ahead: nobody planned it; taken like the last one, {area}."
    if ahead.seasons_taken:
        return f"Season ahead: nobody planned it; taken as the mean of the last {ahead.seasons_taken}, {area}."
    return "Season ahead: none is planned and none has been cut, so nothing can be expected of it yet."


def difference_lines(differ: Sequence[tuple[str, float]]) -> list[str]:
    """Say for which kinds the machines differ; each with the p-value of the likelihood-ratio test."""
    return folded([_differ(differ)])


def _differ(differ: Sequence[tuple[str, float]]) -> str:
    if not differ:
        return "Do machines differ? Too few failures on more than one machine to tell for any kind."
    surely = [f"{name} (p = {_p(p)})" for name, p in sorted(differ, key=lambda row: row[1]) if p < 0.05]
    if not surely:
        return (
            f"Do machines differ? For none of the {len(differ)} kinds that can be tested (likelihood ratio, p below 0.05): "
            "the life of the whole fleet, without --machine, rests on more."
        )
    return (
        f"Do machines differ? Yes for {', '.join(surely)}, by the likelihood-ratio test; of {len(differ)} tests one in twenty "
        "says so by chance. For the others the whole fleet's life, without --machine, rests on more."
    )


def difference_sentence(p_value: float | None) -> str:
    """Say whether the machines wear a kind differently."""
    if p_value is None:
        return "Whether machines differ cannot be told yet: too few failures on more than one machine."
    if p_value < 0.05:
        return f"The machines differ (likelihood-ratio test, p = {_p(p_value)}): look at each alone with --machine."
    return f"The records do not show that machines differ (likelihood-ratio test, p = {_p(p_value)})."


def _p(p_value: float) -> str:
    return "under 0.001" if p_value < 0.001 else f"{p_value:.2g}"
