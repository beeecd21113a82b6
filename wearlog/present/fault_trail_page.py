"""Checklists and the trail of a fault as lines that fit a narrow screen. The sentences and tables are in fault_trail_words.py."""

from __future__ import annotations

from wearlog.present.digits import Measures, number
from wearlog.present.fault_case_words import check_name, how_it_went
from wearlog.present.fault_trail_words import heading, trail_lines
from wearlog.present.words import counted, word
from wearlog.reckoning.fault_case import PastTime
from wearlog.reckoning.fault_trail import FaultTrail


def checklist_told(past: PastTime) -> list[str]:
    """Return a checklist as it was made: each check with its verdict, and under it what was expected and what was seen."""
    lines = []
    for one in past.checks:
        minutes = "" if one.minutes is None else f", {number(one.minutes)} min"
        node = one.node or "a place no longer drawn"
        lines.append(f"{one.step}. {check_name(one.kind)} {node}: {word(one.verdict).upper()}{minutes}")
        told = [
            *([f"expected {one.expected}"] if one.expected else []),
            *([f"seen {one.measured}"] if one.measured else []),
        ]
        lines += [f"   {'; '.join(told)}"] if told else []
    return lines or ["No check was made."]


def trail_page(trail: FaultTrail, measures: Measures) -> tuple[str, ...]:
    """Return a trail as lines, its heading first: what follows from its times, the times, how the count grew, every checklist."""
    # behind the heading, two lines of titles and a line for each time stand the sentences
    sentences = trail_lines(trail, measures)[3 + len(trail.times) :]
    checklists = [
        line
        for past in reversed(trail.times)
        for line in ("", f"CHECKLIST OF {measures.day(past.fault.opened_at)}", *checklist_told(past))
    ]
    return (
        *(heading(trail), *reversed(sentences), "", "EVERY TIME"),
        *_times_told(trail, measures),
        *("", *count_lines(trail, measures), *checklists),
    )


def _times_told(trail: FaultTrail, measures: Measures) -> list[str]:
    after_closed = [place + 1 for place, past in enumerate(trail.times[:-1]) if past.fault.closed_at is not None]
    gaps = dict(zip(after_closed, trail.trail.gaps, strict=True))
    lines = []
    for place, past in enumerate(trail.times):
        quiet = f"after {number(gaps[place].hours)} quiet hours, " if place in gaps else ""
        found = "still open" if past.fault.closed_at is None else how_it_went(past)
        lines.append(f"{past.number}. {measures.day(past.fault.opened_at)}: {quiet}{found}")
    return lines


def count_lines(trail: FaultTrail, measures: Measures) -> list[str]:
    """Return the count so far, year by year, as bars: steps of one height are a fault that stays as it is."""
    years = [measures.local(past.fault.opened_at).year for past in trail.times]
    rows, count = [f"COUNT SO FAR: {counted(len(years), 'time')}"], 0
    for year in range(min(years), max(years) + 1):
        new = years.count(year)
        count += new
        rows.append(f"  {year} {'█' * (4 * count)} {count}{f' (+{new})' if new else ''}")
    return rows
