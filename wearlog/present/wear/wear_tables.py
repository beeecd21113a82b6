"""The table twins of the charts of wear as answers: survival by age, a measurement against its limit, breakages counted up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, NamedTuple
from uuid import UUID

import numpy as np

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.json_form import millimetres, rounded
from wearlog.present.wear.measured_sheet import limit_text
from wearlog.present.wear.wear_words import course_sentence, rough
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.reckoning.wear.repairs_again import RepairsAgain
from wearlog.reckoning.wear.wear_outlook import KindOutlook

_AGES: Final = 12
#: cells of the longest bar
_BAR: Final = 30
_EIGHTHS: Final = " ▏▎▍▌▋▊▉█"


class WholeAtAge(NamedTuple):
    """The share of new parts that are still whole at an age, with its 90 % interval, and whose oldest part is of that age now."""

    age: float
    low: float
    whole: float
    high: float
    oldest: tuple[str, ...]


def survival_sheet(row: KindOutlook, machine_names: Mapping[UUID, str], measures: Measures) -> AnswerSheet[WholeAtAge]:
    """Return the share still whole by age with its interval, and beside it the components whose oldest part is of that age."""
    meter = row.life.kind.meter_kind
    columns: tuple[AnswerColumn[WholeAtAge], ...] = (
        AnswerColumn(
            f"age, {measures.usage_unit(meter)}",
            lambda row, measures: rough(measures.usage_number(meter, row.age)),
            "age",
            lambda row, measures: rounded(measures.usage_number(meter, row.age), 1),
            figures=True,
            # three digits that mean something, where the value has them all
            tells_more=True,
        ),
        AnswerColumn(
            "still whole",
            lambda row, _: percent(row.whole),
            "whole",
            lambda row, _: rounded(row.whole, 4),
            least=9,
            figures=True,
        ),
        AnswerColumn(
            "90 %",
            lambda row, _: f"{row.low * 100:.0f}-{row.high * 100:.0f} %",
            "interval",
            lambda row, _: [rounded(row.low, 4), rounded(row.high, 4)],
            least=8,
            figures=True,
            tells_more=True,
        ),
        AnswerColumn(
            "oldest now, up to this age",
            lambda row, _: "; ".join(row.oldest),
            "oldest_now",
            lambda row, _: [*row.oldest],
            least=12,
            most=60,
        ),
    )
    return AnswerSheet(
        name="survival",
        columns=columns,
        rows=[*_survival(row, machine_names)],
        measures=measures,
        empty="Nobody knows yet how long it lasts.",
    )


def _survival(row: KindOutlook, machine_names: Mapping[UUID, str]) -> Iterator[WholeAtAge]:
    posterior = row.life.law
    if posterior is None:
        return
    oldest = [(one.oldest, f"{machine_names.get(one.machine_id, '')} {one.place}") for one in row.components]
    known = [(age, name) for age, name in oldest if age is not None]
    end = max(posterior.life_at(0.98).median, 1.05 * max((age for age, _ in known), default=0.0))
    ages = np.linspace(0.0, end, _AGES + 1)[1:]
    found = posterior.survival(ages)
    before = 0.0
    for place, age in enumerate(ages.tolist()):
        low, middle, high = (float(column[place]) for column in (found.low, found.mean, found.high))
        yield WholeAtAge(age, low, middle, high, tuple(name for known_age, name in known if before <= known_age < age))
        before = age


class ReadingLine(NamedTuple):
    """A reading of one part, or an age that its line speaks of; lengths in micrometres."""

    usage: float | None
    read: float | None
    expected: float | None
    says: str


def reading_sheet(part: MeasuredPart, measures: Measures) -> AnswerSheet[ReadingLine]:
    """Return every reading with what is expected there, which stand apart, when the limit is met, and how wear runs."""
    meter = part.kind.meter_kind
    columns: tuple[AnswerColumn[ReadingLine], ...] = (
        AnswerColumn(
            "age" if part.age_known else "since fitted",
            lambda row, measures: measures.usage(meter, row.usage),
            "age",
            lambda row, measures: None if row.usage is None else rounded(measures.usage_number(meter, row.usage), 1),
            figures=True,
        ),
        AnswerColumn(
            "read",
            lambda row, measures: "" if row.read is None else measures.small_length(row.read),
            "read_mm",
            lambda row, _: millimetres(row.read),
            least=9,
            figures=True,
            tells_more=True,
        ),
        AnswerColumn(
            "expected",
            lambda row, measures: "" if row.expected is None else measures.small_length(row.expected),
            "expected_mm",
            lambda row, _: millimetres(row.expected),
            least=9,
            figures=True,
            tells_more=True,
        ),
        AnswerColumn("", lambda row, _: row.says, "says", lambda row, _: row.says, least=14),
    )
    how = course_sentence(part)
    return AnswerSheet(
        name="readings",
        columns=columns,
        rows=[*_readings(part, measures)],
        measures=measures,
        sentences=[how] if how else [],
    )


def _readings(part: MeasuredPart, measures: Measures) -> Iterator[ReadingLine]:
    expected = None if part.line is None else (part.line if part.path is None else part.path).value_at(part.usage)
    for place, usage in enumerate(part.usage.tolist()):
        apart = "stands apart" if place in part.outliers else ""
        here = None if expected is None else float(expected[place])
        yield ReadingLine(usage, float(part.micrometres[place]), here, apart)
    yield ReadingLine(part.usage_now, None, None, f"today; limit {limit_text(part, measures)}")
    crossing = part.crossing()
    if crossing is None or not np.isfinite(crossing.usage):
        return
    yield ReadingLine(crossing.usage, None, part.limit, "meets its limit, by the readings")
    sure = "known" if part.past_limit else "90 %"
    for usage, said in ((crossing.low, f"from here, {sure}"), (crossing.high, f"to here, {sure}")):
        if usage is not None:
            known = bool(np.isfinite(usage))
            yield ReadingLine(usage if known else None, None, None, said if known else "not known to end")


class CountAtAge(NamedTuple):
    """The mean count of breakages of a machine up to a usage, with its 90 % interval (None: not known), of so many machines."""

    usage: float
    mean: float
    interval: tuple[float, float] | None
    machines: int


def mean_count_sheet(again: RepairsAgain, measures: Measures) -> AnswerSheet[CountAtAge]:
    """Return the mean count of breakages per machine at some ages, with its interval; without rows before the first breakage."""
    meter = again.meter_kind
    columns: tuple[AnswerColumn[CountAtAge], ...] = (
        AnswerColumn(
            "after",
            lambda row, measures: measures.usage(meter, row.usage),
            "usage",
            lambda row, measures: rounded(measures.usage_number(meter, row.usage), 1),
            least=8,
            figures=True,
        ),
        AnswerColumn(
            "breakages per machine",
            lambda row, _: number(row.mean, 1),
            "breakages_per_machine",
            lambda row, _: rounded(row.mean),
            least=9,
            figures=True,
        ),
        AnswerColumn(
            "90 %",
            lambda row, _: NOTHING if row.interval is None else "-".join(f"{end:.1f}" for end in row.interval),
            "interval",
            lambda row, _: None if row.interval is None else [rounded(end) for end in row.interval],
            least=9,
            figures=True,
            tells_more=True,
        ),
        AnswerColumn(
            "machines seen",
            lambda row, _: number(row.machines),
            "machines_seen",
            lambda row, _: row.machines,
            least=8,
            figures=True,
            gives=1,
        ),
    )
    return AnswerSheet(
        name="counted_up",
        columns=columns,
        rows=[*_mean_counts(again)],
        measures=measures,
        empty="Nothing has broken yet.",
    )


def _mean_counts(again: RepairsAgain) -> Iterator[CountAtAge]:
    if again.mean is None:
        return
    low, high = again.mean.bounds()
    last = len(again.mean.age) - 1
    for place in sorted({round(last * share) for share in np.linspace(0, 1, _AGES)}):
        interval = (float(low[place]), float(high[place])) if np.isfinite(high[place]) else None
        yield CountAtAge(
            float(again.mean.age[place]), float(again.mean.count[place]), interval, int(again.mean.at_risk[place])
        )


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


def text_bar(share: float, cells: int) -> str:
    """Return a bar of block characters, `cells` wide when full."""
    filled = min(max(share, 0.0), 1.0) * cells
    whole = int(filled)
    part = int((filled - whole) * 8)
    return f"{'█' * whole}{_EIGHTHS[part] if part and whole < cells else ''}".ljust(cells)
