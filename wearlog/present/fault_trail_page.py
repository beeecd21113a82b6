"""A trail as lines that fit a narrow screen: what follows, every time, how the count grew, every checklist."""

from __future__ import annotations

from wearlog.present.digits import Measures
from wearlog.present.fault_check_sheet import checklist_sheet, checklist_told
from wearlog.present.fault_trail_sheet import trail_sheet
from wearlog.present.words import counted
from wearlog.reckoning.fault_trail import FaultTrail


def trail_page(trail: FaultTrail, measures: Measures) -> tuple[str, ...]:
    """Return a trail as lines, its heading first: what follows from its times, the times, how the count grew, every checklist."""
    sheet = trail_sheet(trail, measures)
    checklists = [
        line
        for past in reversed(trail.times)
        for line in (
            "",
            f"CHECKLIST OF {measures.day(past.fault.opened_at)}",
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
