"""The harvest in words: how far it has come, what each combine does in an hour, the days it still takes and what they rest on."""

from __future__ import annotations

from datetime import date

from wearlog.facts.plain_text import one_line
from wearlog.present.digits import NOTHING, Measures, duration, number, percent
from wearlog.present.tables import Column, folded, text_table
from wearlog.present.words import capital, counted
from wearlog.reckoning.harvest_view import CombineWork, Finish, HarvestView, WorkableDays

_CHANCES = (0.5, 0.8, 0.9)


def harvest_lines(view: HarvestView, measures: Measures, width: int = 100) -> list[str]:
    """Return the page: progress, days to finish, capacity."""
    sentences = folded([progress_sentence(view, measures), *finish_sentences(view, measures)], width=width)
    return [*sentences, "", *capacity_lines(view, measures, width)]


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
    finish = view.finish
    if finish is None:
        if not view.combines and view.season is None:
            return []
        return ["Days to finish: say how much is left (wearlog harvest --left 850), or plan the season."]
    return [_when(finish, measures), *_rests_on(finish, measures)]


def _when(finish: Finish, measures: Measures) -> str:
    year = finish.season.harvest_year if finish.season else ""
    area, days = measures.area(finish.left), [finish.answer.day_by(chance) for chance in _CHANCES]
    fields = f"{number(finish.answer.field_days, 1)} field days"
    if finish.first_day is None:
        parts = ", ".join(
            f"{'more than a year' if day is None else counted(day, 'day')} ({chance * 100:.0f} %)"
            for chance, day in zip(_CHANCES, days, strict=True)
        )
        return f"{year} has not begun: {area} to cut is {fields}, and takes with weather and breakdowns {parts}."
    by = ", ".join(
        f"{_by(finish.date_by(chance), day)} with {chance * 100:.0f} %"
        for chance, day in zip(_CHANCES, days, strict=True)
    )
    return f"{area} left is {fields}; done by {by}."


def _by(day: date | None, count: int | None) -> str:
    return (
        "nobody knows when" if day is None or count is None else f"{day:%a} {day.isoformat()} ({counted(count, 'day')})"
    )


def _rests_on(finish: Finish, measures: Measures) -> list[str]:
    pace = f"{number(measures.area_number(finish.capacity), 1)} {measures.area_unit} an hour"
    guess = " (a guess, computed from 35 ft, 4.5 mph and 70 %: nothing is cut yet)" if finish.capacity_is_guess else ""
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
    return lines


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


def capacity_lines(view: HarvestView, measures: Measures, width: int = 100) -> list[str]:
    """Return what each combine does in an hour and how much of the time it can."""
    if not view.combines:
        return ["No combine has cut yet, so that nothing is measured."]
    columns = (
        Column("combine", widest=18),
        Column("season"),
        Column(measures.area_unit, figures=True),
        Column("field h", figures=True),
        Column(f"{measures.area_unit}/h", figures=True),
        Column("breakdowns", figures=True),
        Column("h between", figures=True),
        Column("each", figures=True),
        Column("ready"),
    )
    rows = [capacity_cells(one, measures) for one in view.combines]
    return [*text_table(columns, rows), *folded(capacity_notes(view, measures), width=width)]


def capacity_notes(view: HarvestView, measures: Measures) -> list[str]:
    """Say what the figures of a combine are."""
    notes = [
        f"{measures.area_unit}/h: area over field time, turning, unloading and waiting in it; breakdowns, service and weather "
        "are not. ready: hours between breakdowns / (those + hours to repair). In brackets the 90 % interval."
    ]
    left_out = sum(one.time.left_out for one in view.combines)
    if left_out:
        notes.append(f"{counted(left_out, 'run')} without hours (totals of weeks) are left out.")
    return notes


def capacity_cells(one: CombineWork, measures: Measures) -> tuple[str, ...]:
    """Return name, season, area, field hours, area an hour, breakdowns, hours between, hours each, ready."""
    ready = one.availability
    between = NOTHING
    if ready.between_failures is not None:
        ends = f"{number(ready.between_failures_low / 3600)}-{number(ready.between_failures_high / 3600)}"
        between = f"{number(ready.between_failures / 3600)} ({ends})"
    return (
        one_line(one.name),
        str(one.time.season.harvest_year),
        number(measures.area_number(one.time.area)),
        number(one.time.seconds / 3600),
        number(measures.area_number(one.capacity), 1),
        number(ready.failures),
        between,
        NOTHING if ready.to_repair is None else duration(ready.to_repair),
        percent(ready.share),
    )


def finish_rows(finish: Finish) -> list[tuple[str, str, str]]:
    """Return the table twin of the chart: chance, day, date."""
    rows = []
    for chance in (0.1, 0.25, 0.5, 0.75, 0.8, 0.9, 0.95):
        day, by = finish.answer.day_by(chance), finish.date_by(chance)
        rows.append(
            (f"{chance * 100:.0f} %", NOTHING if day is None else str(day), NOTHING if by is None else f"{by:%a} {by}")
        )
    return rows


def finish_table(finish: Finish) -> list[str]:
    """Return the same as lines."""
    columns = (Column("chance to be done", figures=True), Column("day", figures=True), Column("date"))
    return text_table(columns, finish_rows(finish))
