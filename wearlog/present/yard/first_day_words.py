"""The first day in words: everything that is about to be entered, and what the trade supposes of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.days import date_said
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.logbook.farm.first_answers import FirstDay, first_seasons
from wearlog.machine_clock import MachineClock
from wearlog.present.digits import Measures, number
from wearlog.present.wear.guess_words import GUESS_TITLE, guess_line


def first_day_lines(day: FirstDay, settings: FarmSettings) -> list[str]:
    """Return what the first day will enter, and what the trade supposes of it."""
    measures = Measures(settings)
    kinds = {kind.name: kind for kind in STARTING_KINDS}
    age = "age unknown" if day.knife_age is None else "new" if day.knife_age == 0 else measures.area(day.knife_age)
    guards = f", and {day.guards} guards" if day.guards else ""
    hitched = f", on {day.combine}" if day.is_hitched else ", not hitched"
    rows = (
        ("Combine", f"{day.combine}, read {moment_words(day.at)}:"),
        ("", f"engine {_known(day.engine_seconds)}, separator {_known(day.separator_seconds)}"),
        ("Header", f"{day.header}, {measures.width(day.width_micrometres)}{hitched}"),
        ("Knife", f"{day.sections} sections{guards}, {age}"),
        (
            "Parts",
            f"the usual eight wearing parts, {part_ages_words(day.part_ages)}"
            if day.with_wearing_parts
            else "none yet",
        ),
        ("Season", _seasons_words(first_seasons(day))),
    )
    guesses = [guess_line(kinds["knife section"], day.sections, measures)]
    if day.guards:
        guesses.append(guess_line(kinds["guard"], day.guards, measures))
    shown = [f"{label:<9} {one_line(words)}" for label, words in rows]
    return [*shown, "", GUESS_TITLE, *guesses]


def _seasons_words(years: Sequence[int]) -> str:
    """Return "2025", or after the harvest "2026, and 2027: the harvest to come"."""
    this, *next_one = map(str, years)
    return f"{this}, and {next_one[0]}: the harvest to come" if next_one else this


def part_ages_words(ages: Sequence[tuple[MeterKind, int]]) -> str:
    """Say the ages of the usual wearing parts: "1,702.0 separator h, 2,310.0 engine h old"."""
    if not ages:
        return "age unknown"
    if not any(age for _, age in ages):
        return "new"
    names = {MeterKind.SEPARATOR_HOURS: "separator", MeterKind.ENGINE_HOURS: "engine"}
    said = [f"{number(age / 3600, 1)} {names.get(meter, '')} h" for meter, age in ages]
    return f"{', '.join(said)} old"


def _known(seconds: int | None) -> str:
    return hours_words(seconds) or "not known"


def hours_words(seconds: int | None) -> str:
    """Return hours with one decimal, nothing for None."""
    return "" if seconds is None else f"{number(seconds / 3600, 1)} h"


def moment_words(at: datetime) -> str:
    """Return a moment with its day of the week, by this machine's clock: no farm has set another one yet."""
    local = at.astimezone(MachineClock())
    return f"{local:%A} {date_said(local.date())} {local:%H:%M}"
