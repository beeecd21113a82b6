"""When the harvest is done, as the screen says it first, and the same as days on one scale."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import ceil
from typing import Final

from wearlog.facts.days import date_said
from wearlog.present.digits import Measures, number
from wearlog.present.drawing.drawn import joined
from wearlog.present.drawing.sum_strip import days_heading, days_strip
from wearlog.present.harvest.finish_sheet import progress_sentence, usual_dates
from wearlog.present.words import counted
from wearlog.reckoning.harvest.harvest_view import Finish, HarvestView

#: cells before the scale, and what is said of a day that lies beyond all that is reckoned
_LABEL: Final = 9
_BEYOND: Final = "more than a year"


def finish_answer(view: HarvestView, measures: Measures) -> tuple[str, ...]:
    """Return the answer, and what it rests on; where nothing can be said, what is known and what to do."""
    finish = view.finish
    if finish is None:
        if view.season is None:
            return (
                "No season is entered and nothing is cut yet.",
                "6, then a, plans what will be cut; c enters an area cut.",
            )
        if view.planned:
            return progress_sentence(view, measures), "That counts as done. 6, then a, plans more."
        return progress_sentence(view, measures), "How much is left to cut nobody planned: 6, then a."
    progress = progress_sentence(view, measures) if view.season is not None else ""
    dated = finish.first_day is None and bool(usual_dates(finish))
    takes = [_takes(finish, measures)] if dated else []
    return _when(finish, measures), *takes, _pace(finish, measures), progress


def _when(finish: Finish, measures: Measures) -> str:
    area = measures.area(finish.left)
    if finish.first_day is None:
        return usual_dates(finish) or _takes(finish, measures)
    by = [_on(finish.date_by(chance), finish.first_day) for chance in (0.5, 0.8, 0.9)]
    return f"{area} left, done about {by[0]}: 8 in 10 by {by[1]}, 9 in 10 by {by[2]}."


def _takes(finish: Finish, measures: Measures) -> str:
    year = f" in {finish.season.harvest_year}" if finish.season else ""
    even, eight, nine = _days(finish)
    days = f"{_counted(even)}: 8 in 10 under {_day(eight)}, 9 in 10 under {_day(nine)}"
    return f"{measures.area(finish.left)}{year} take about {days}."


def _days(finish: Finish) -> tuple[int | None, int | None, int | None]:
    even, eight, nine = (finish.answer.day_by(chance) for chance in (0.5, 0.8, 0.9))
    return even, eight, nine


def _counted(day: int | None) -> str:
    return _BEYOND if day is None else counted(day, "day")


def _day(day: int | None) -> str:
    return _BEYOND if day is None else str(day)


def _on(day: date | None, today: date) -> str:
    if day is None:
        return "nobody knows when"
    return date_said(day, today)


def _pace(finish: Finish, measures: Measures) -> str:
    pace = f"{number(measures.area_number(finish.capacity), 1)} {measures.area_unit}/h"
    guess = [
        name
        for name, is_guess in (
            ("pace", finish.capacity_is_guess),
            ("hours", finish.hours_are_guess),
            ("workable days", finish.weather.is_guess),
        )
        if is_guess
    ]
    guessed = f" Guessed: {', '.join(guess)}." if guess else ""
    fields = number(finish.answer.field_days, 1)
    hours, machines = number(finish.hours_per_day, 1), counted(finish.machines, "combine")
    share = f"{finish.weather.share * 100:.0f} % of days workable"
    return f"{fields} field days of {hours} h, {machines} at {pace}; {share}.{guessed}"


def finish_strip(finish: Finish, columns: int) -> Sequence[str]:
    """Return the days as lines: the scale, certain and likely days on it, and what each shade means."""
    days = _days(finish)
    known = [day for day in days if day is not None]
    cells = max(min(columns - _LABEL - 2, 70), 10)
    certain = finish.answer.field_days
    even, eight, nine = (float(day) if day is not None else float(max([*known, ceil(certain)])) for day in days)
    top = max(ceil(max(certain, nine) / 10) * 10.0, 10.0)
    step = 10 if top <= 100 else 50
    strip = joined(days_strip(certain, even, eight, nine, top=top, cells=cells))
    legend = (
        f"█ {number(certain, 1)} field days",
        f"▓ {_day(days[0])}: 5 in 10",
        f"▒ {_day(days[1])}: 8 in 10",
        f"░ {_day(days[2])}: 9 in 10",
    )
    whole = "   ".join(legend)
    told = [whole] if len(whole) <= cells else ["   ".join(legend[:2]), "   ".join(legend[2:])]
    heading = days_heading(top, cells, step)
    return ["", f"{'day':<{_LABEL}}{heading}", f"{'':<{_LABEL}}{strip}", *(f"{'':<{_LABEL}}{line}" for line in told)]
