"""When the harvest is done as an answer: the chance to be done by a day; how far it has come, and what that rests on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, Final

import numpy as np

from wearlog.facts.days import date_said
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.charts import Chart, Curve, Drawn
from wearlog.present.digits import NOTHING, Measures, duration, number, percent
from wearlog.present.json_form import rounded
from wearlog.present.sheet_faces import sheet_json
from wearlog.present.words import capital, counted
from wearlog.reckoning.harvest.field_time import GUESS_EFFICIENCY, GUESS_SPEED, GuessedPace
from wearlog.reckoning.harvest.harvest_quality import LossTrend
from wearlog.reckoning.harvest.harvest_view import Finish, HarvestView, WorkableDays

#: what is told in a sentence; the table has more of them
_TOLD: Final = (0.5, 0.8, 0.9)
_CHANCES: Final = (0.1, 0.25, 0.5, 0.75, 0.8, 0.9, 0.95)


@dataclass(frozen=True, slots=True)
class DoneBy:
    """A chance, the day by whose end the work is done with it, and its date; None beyond the horizon, or before the season."""

    chance: float
    day: int | None
    on: date | None


COLUMNS: Final[tuple[AnswerColumn[DoneBy], ...]] = (
    AnswerColumn(
        "chance to be done",
        lambda row, _: f"{row.chance * 100:.0f} %",
        "chance",
        lambda row, _: row.chance,
        least=8,
        figures=True,
    ),
    AnswerColumn(
        "day",
        lambda row, _: NOTHING if row.day is None else str(row.day),
        "day",
        lambda row, _: row.day,
        least=4,
        figures=True,
    ),
    AnswerColumn(
        "date",
        lambda row, _: NOTHING if row.on is None else f"{row.on:%a} {row.on.isoformat()}",
        "date",
        lambda row, _: row.on,
        least=14,
    ),
)


def finish_sheet(finish: Finish, measures: Measures) -> AnswerSheet[DoneBy]:
    """Return the answer; a row is one chance."""
    return AnswerSheet(
        name="chances",
        columns=COLUMNS,
        rows=[DoneBy(chance, finish.answer.day_by(chance), finish.date_by(chance)) for chance in _CHANCES],
        measures=measures,
        headline=_when(finish, measures),
        sentences=_rests_on(finish, measures),
    )


def progress_sentence(view: HarvestView, measures: Measures) -> str:
    """Say how far the season has come."""
    if view.season is None:
        return "No season is entered and nothing is cut yet; 'wearlog add season YEAR' enters one."
    year = view.season.harvest_year
    taken = f" (the calendar year: no season is entered, 'wearlog add season {year}')" if view.by_calendar else ""
    cut = f"{year}{taken}: {measures.area(view.cut)} cut"
    if not view.planned:
        return f"{cut}; nobody planned how much."
    return f"{cut} of {measures.area(view.planned)} planned, {percent(min(view.cut / view.planned, 1.0))}."


def finish_sentences(view: HarvestView, measures: Measures) -> list[str]:
    """Say when the work is done, and what that rests on; one sentence alone when nothing can be said."""
    if view.finish is not None:
        sheet = finish_sheet(view.finish, measures)
        return [sheet.headline, *sheet.sentences]
    if not view.combines and view.season is None:
        return []
    if view.planned:
        return [
            "So little of the plan is left that it counts as done; for days to finish say how much: wearlog harvest --left 20."
        ]
    return ["Days to finish: say how much is left (wearlog harvest --left 850), or plan the season."]


def finish_json(finish: Finish, measures: Measures) -> dict[str, Any]:
    """Return the answer with everything that it rests on."""
    unit, weather = measures.area_word, finish.weather
    return {
        "season": finish.season.harvest_year if finish.season else None,
        f"left_{unit}": rounded(measures.area_number(finish.left), 1),
        "has_begun": finish.first_day is not None,
        "field_days": rounded(finish.answer.field_days, 2),
        "days": {f"{chance * 100:.0f}": finish.answer.day_by(chance) for chance in _TOLD},
        "dates": {f"{chance * 100:.0f}": finish.date_by(chance) for chance in _TOLD},
        **sheet_json(finish_sheet(finish, measures)),
        "combines": finish.machines,
        f"{unit}_per_hour": rounded(measures.area_number(finish.capacity), 2),
        "capacity_is_guess": finish.capacity_is_guess,
        "hours_per_day": rounded(finish.hours_per_day, 2),
        "hours_are_guess": finish.hours_are_guess,
        "workable_share": rounded(weather.share, 4),
        "workable_is_guess": weather.is_guess,
        "days_cut": weather.cut,
        "days_on_record": weather.days,
        "expected_stops": rounded(finish.answer.expected_stops, 2),
        "expected_lost_hours": rounded(finish.answer.expected_lost_hours, 2),
        "mean_days_without_breakdowns": rounded(finish.mean_days, 2),
        "wanted_days": rounded(finish.wanted_days, 2),
        f"needed_{unit}_per_hour": (
            None if finish.needed_capacity is None else rounded(measures.area_number(finish.needed_capacity), 2)
        ),
        "breakdowns_on_record": finish.failures,
        "breakdowns_are_guess": finish.breakdowns_are_guess,
    }


def _when(finish: Finish, measures: Measures) -> str:
    year = finish.season.harvest_year if finish.season else ""
    area, days = measures.area(finish.left), [finish.answer.day_by(chance) for chance in _TOLD]
    fields = f"{number(finish.answer.field_days, 1)} field days"
    if finish.first_day is None:
        parts = ", ".join(
            f"{'more than a year' if day is None else counted(day, 'day')} ({chance * 100:.0f} %)"
            for chance, day in zip(_TOLD, days, strict=True)
        )
        takes = f"{year} has not begun: {area} to cut is {fields}, and takes with weather and breakdowns {parts}."
        return " ".join(one for one in (takes, usual_dates(finish)) if one)
    by = ", ".join(
        f"{_by(finish.date_by(chance), day)} with {chance * 100:.0f} %" for chance, day in zip(_TOLD, days, strict=True)
    )
    return f"{area} left is {fields}; done by {by}."


def usual_dates(finish: Finish) -> str:
    """Return the dates of a season that has not begun, were it to begin as the last ones; nothing where none was cut."""
    begin, even, nine = finish.usual_first_day, finish.usual_date_by(0.5), finish.usual_date_by(0.9)
    if begin is None or even is None:
        return ""
    late = f", 9 in 10 by {date_said(nine, begin)}" if nine is not None else ""
    return f"Done about {date_said(even, begin)}{late}, if begun {date_said(begin, begin)} as before."


def _by(day: date | None, count: int | None) -> str:
    return (
        "nobody knows when" if day is None or count is None else f"{day:%a} {date_said(day)} ({counted(count, 'day')})"
    )


def _rests_on(finish: Finish, measures: Measures) -> list[str]:
    pace = f"{number(measures.area_number(finish.capacity), 1)} {measures.area_unit} an hour"
    guess = "" if finish.guess is None else f" ({_guess(finish.guess, measures)})"
    hours = " (a guess, from memory: 8 to 12)" if finish.hours_are_guess else ""
    machines = counted(finish.machines, "combine")
    lines = [f"{capital(machines)} at {pace}{guess} each, {number(finish.hours_per_day, 1)} h a day{hours}."]
    lines.append(workable_sentence(finish.weather))
    stops, lost = number(finish.answer.expected_stops, 1), duration(finish.answer.expected_lost_hours * 3600)
    if finish.breakdowns_are_guess:
        rest = "a guess (common practice, no source): no breakdown is on record"
    else:
        mean = duration(finish.breakdowns.repair_hours * 3600)
        rest = f"by {counted(finish.failures, 'breakdown')} in {number(finish.breakdowns.hours)} h, {mean} each in the mean"
    lines.append(f"Breakdowns on the way: {stops} stops, {lost} lost, {rest}.")
    return [*lines, _in_time(finish, measures)]


def _guess(guess: GuessedPace, measures: Measures) -> str:
    width, speed = measures.width(round(guess.width * 1e6)), measures.speed(GUESS_SPEED)
    return f"a guess, computed from {width}, {speed} and {percent(GUESS_EFFICIENCY)}: nothing is cut yet"


def _in_time(finish: Finish, measures: Measures) -> str:
    """Say how long it takes in the mean, and what it would take to be done sooner."""
    mean = f"Without breakdowns {number(finish.mean_days, 1)} days in the mean"
    if finish.wanted_days is None or finish.needed_capacity is None:
        return f"{mean}."
    pace = f"{number(measures.area_number(finish.needed_capacity), 1)} {measures.area_unit} an hour"
    return f"{mean}; to be done in {number(finish.wanted_days, 1)} each would have to cut {pace}."


def workable_sentence(weather: WorkableDays) -> str:
    """Say how often a day is fit, and whether that is a guess."""
    share = f"{weather.share * 100:.0f} % of days are fit for cutting"
    if weather.is_given:
        return f"{share}, as you say."
    if not weather.days:
        return f"{share}: a guess (6 of 7, from memory), until days are on record."
    seen = f"cut on {weather.cut} of {counted(weather.days, 'day')} from the first to the last of a harvest"
    label = "mostly a guess (6 of 7, from memory)" if weather.is_guess else "by records"
    return f"{share}, {label}: {seen}, so that rain, rest and waiting for a crop to ripen are in it."


_POINTS = 60


def finish_chart(finish: Finish) -> Chart:
    """Return the chance to be done by each day; the days of 80 and 90 % stand upright."""
    sure = finish.answer.day_by(0.99)
    last = max(5, len(finish.answer.finished) - 1 if sure is None else sure)
    days = np.arange(last + 1)
    chances = tuple(100 * finish.answer.chance_by(int(day)) for day in days)
    marks = [day for day in (finish.answer.day_by(0.8), finish.answer.day_by(0.9)) if day is not None]
    since = "from today" if finish.first_day is not None else "from the first day of the harvest"
    return Chart(
        curves=(Curve(tuple(days.tolist()), chances),),
        x_label=f"days {since}",
        y_label="done, % (upright: 80 and 90 %)",
        x_end=float(last),
        upright=tuple(float(day) for day in sorted(set(marks))),
    )


def loss_chart(trend: LossTrend) -> Chart:
    """Return the checks of one combine in one crop, the line through them, and where the next check will lie."""
    end = 1.1 * float(trend.hours.max())
    hours = np.linspace(0.0, end, _POINTS)
    low, high = trend.line.next_between(hours)
    top = 1.1 * max(float(trend.percent.max()), float(trend.line.at(end)))
    faint = [Curve(tuple(hours.tolist()), tuple(np.clip(one, 0, top).tolist()), Drawn.FAINT) for one in (low, high)]
    return Chart(
        curves=(
            *faint,
            Curve(tuple(hours.tolist()), tuple(np.clip(trend.line.at(hours), 0, top).tolist())),
            Curve(tuple(trend.hours.tolist()), tuple(trend.percent.tolist()), Drawn.POINTS),
        ),
        x_label="separator hours of the rasp bars",
        y_label=f"machine loss, % of crop: {trend.combine}, {trend.crop} (dots: where the next check lies, 90 %)",
        x_end=end,
        y_high=top,
    )
