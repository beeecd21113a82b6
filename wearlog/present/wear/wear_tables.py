"""The table twins of the charts of wear: survival by age, a measurement against its limit, breakages by season."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from wearlog.facts.plain_text import one_line
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.tables import Column, folded, text_table, width
from wearlog.present.wear.wear_words import course_sentence, rough
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.reckoning.wear.repairs_again import RepairsAgain
from wearlog.reckoning.wear.wear_outlook import KindOutlook

_AGES = 12
#: cells of the longest bar
_BAR = 30
#: a sentence above a table fits the narrowest screen
_NARROW = 44
_EIGHTHS = " ▏▎▍▌▋▊▉█"


def trimmed_table(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], wide: int, gives: Sequence[tuple[int, int]]
) -> list[str]:
    """Return a table in at most `wide` columns, as far as it can be had.

    `gives` names the columns that are cut for want of room, the first to give first, and the least width of each.
    """
    cut = list(columns)
    for place, least in gives:
        over = max(width(line) for line in text_table(cut, rows)) - wide
        if over <= 0:
            break
        longest = max([width(cut[place].title), *(width(row[place]) for row in rows)])
        cut[place] = replace(cut[place], widest=max(least, min(longest, cut[place].widest) - over))
    return text_table(cut, rows)


def survival_table(row: KindOutlook, machine_names: dict[object, str], measures: Measures) -> list[str]:
    """Return the share still whole by age with its interval, and beside it the components whose oldest part is of that age."""
    posterior, meter = row.life.posterior, row.life.kind.meter_kind
    if posterior is None:
        return []
    oldest = [(one.oldest, f"{machine_names.get(one.machine_id, '')} {one.place}") for one in row.components]
    known = [(age, one_line(name)) for age, name in oldest if age is not None]
    end = max(posterior.life_at(0.98).median, 1.05 * max((age for age, _ in known), default=0.0))
    ages = np.linspace(0.0, end, _AGES + 1)[1:]
    found = posterior.survival(ages)
    rows, before = [], 0.0
    for place, age in enumerate(ages):
        here = "; ".join(name for known_age, name in known if before <= known_age < age)
        low, middle, high = (float(column[place]) for column in (found.low, found.mean, found.high))
        rows.append(
            (
                rough(measures.usage_number(meter, float(age))),
                percent(middle),
                f"{low * 100:.0f}-{high * 100:.0f} %",
                here,
            )
        )
        before = float(age)
    columns = (
        Column(f"age, {measures.usage_unit(meter)}", figures=True),
        Column("still whole", figures=True),
        Column("90 %", figures=True),
        Column("oldest now, up to this age", widest=60),
    )
    return text_table(columns, rows)


def measurement_table(part: MeasuredPart, measures: Measures) -> list[str]:
    """Return every reading with what is expected there, which stand apart, when the limit is met, and how wear runs."""
    meter = part.kind.meter_kind
    line = None if part.line is None else (part.line if part.path is None else part.path).value_at(part.usage)
    rows = [
        (
            measures.usage(meter, float(usage)),
            measures.small_length(float(part.micrometres[place])),
            "-" if line is None else measures.small_length(float(line[place])),
            "stands apart" if place in part.outliers else "",
        )
        for place, usage in enumerate(part.usage)
    ]
    rows.append((measures.usage(meter, part.usage_now), "today", "", f"limit {measures.small_length(part.limit)}"))
    crossing = part.crossing()
    if crossing is not None and np.isfinite(crossing.usage):
        limit = measures.small_length(part.limit)
        rows.append((measures.usage(meter, crossing.usage), "", limit, "meets its limit, by the readings"))
        sure = "known" if part.past_limit else "90 %"
        for usage, said in ((crossing.low, f"from here, {sure}"), (crossing.high, f"to here, {sure}")):
            if usage is not None:
                known = np.isfinite(usage)
                rows.append(
                    (measures.usage(meter, usage) if known else "-", "", "", said if known else "not known to end")
                )
    columns = (Column("age", figures=True), Column("read", figures=True), Column("expected", figures=True), Column(""))
    how = course_sentence(part)
    return [*folded([how] if how else [], width=_NARROW), *text_table(columns, rows)]


def season_bars(again: RepairsAgain) -> list[str]:
    """Return the breakages of all machines of a kind counted up by season: a bar and its figures for each."""
    years = [year for year, _, _ in again.machines[0].by_season]
    sums = [
        (
            year,
            sum(one.by_season[place][1] for one in again.machines),
            sum(one.by_season[place][2] for one in again.machines),
        )
        for place, year in enumerate(years)
    ]
    most = max((so_far for _, _, so_far in sums), default=0)
    lines = [f"Breakages on all {again.kind.value}s, counted up by season"]
    for year, count, so_far in sums:
        bar = text_bar(so_far / most if most else 0.0, _BAR)
        lines.append(f"{year} {bar} {number(so_far):>5} so far, {number(count)} that season")
    return lines


def mean_count_table(again: RepairsAgain, measures: Measures) -> list[str]:
    """Return the mean count of breakages per machine at some ages, with its interval; nothing before the first breakage."""
    if again.mean is None:
        return []
    low, high = again.mean.bounds()
    last = len(again.mean.age) - 1
    places = sorted({round(last * share) for share in np.linspace(0, 1, _AGES)})
    rows = [
        (
            measures.usage(again.meter_kind, float(again.mean.age[place])),
            f"{again.mean.count[place]:.1f}",
            f"{low[place]:.1f}-{high[place]:.1f}" if np.isfinite(high[place]) else NOTHING,
            number(int(again.mean.at_risk[place])),
        )
        for place in places
    ]
    columns = (
        Column("after", figures=True),
        Column("breakages per machine", figures=True),
        Column("90 %", figures=True),
        Column("machines seen", figures=True),
    )
    return text_table(columns, rows)


def text_bar(share: float, cells: int) -> str:
    """Return a bar of block characters, `cells` wide when full."""
    filled = min(max(share, 0.0), 1.0) * cells
    whole = int(filled)
    part = int((filled - whole) * 8)
    return f"{'█' * whole}{_EIGHTHS[part] if part and whole < cells else ''}".ljust(cells)
