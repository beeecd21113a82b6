"""What each combine does in an hour as an answer, with how far the harvest has come and the days it still takes beside it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, duration, number, percent
from wearlog.present.harvest.finish_sheet import finish_json, progress_sentence
from wearlog.present.json_form import rounded
from wearlog.present.words import ByCommand, counted, listed
from wearlog.reckoning.harvest.field_time import GUESS_SPEED, FieldPace
from wearlog.reckoning.harvest.harvest_view import CombineWork, HarvestView


def _hours(seconds: Callable[[CombineWork], float | None]) -> Callable[[CombineWork, Measures], float | None]:
    return lambda row, _: None if (found := seconds(row)) is None else rounded(found / 3600, 2)


def _between(row: CombineWork, _: Measures) -> str:
    ready = row.availability
    if ready.between_failures is None:
        return NOTHING
    ends = f"{number(ready.between_failures_low / 3600)}-{number(ready.between_failures_high / 3600)}"
    return f"{number(ready.between_failures / 3600)} ({ends})"


def _each(row: CombineWork, _: Measures) -> str:
    return NOTHING if row.availability.to_repair is None else duration(row.availability.to_repair)


def _could(row: CombineWork, measures: Measures) -> float | None:
    return None if row.pace is None else measures.area_number(row.pace.capacity.theoretical * 3600)


COLUMNS: Final[tuple[AnswerColumn[CombineWork], ...]] = (
    AnswerColumn("combine", lambda row, _: row.name, "combine", lambda row, _: row.name, least=10, most=18),
    AnswerColumn(
        "year",
        lambda row, _: str(row.time.season.harvest_year),
        "season",
        lambda row, _: row.time.season.harvest_year,
        least=4,
        gives=4,
    ),
    AnswerColumn(
        "{area}",
        lambda row, measures: number(measures.area_number(row.time.area)),
        "cut_{acres}",
        lambda row, measures: rounded(measures.area_number(row.time.area), 1),
        figures=True,
        gives=3,
    ),
    AnswerColumn(
        "field h",
        lambda row, _: number(row.time.seconds / 3600),
        "field_hours",
        _hours(lambda row: row.time.seconds),
        least=7,
        figures=True,
        gives=2,
    ),
    AnswerColumn(
        "{area}/h",
        lambda row, measures: number(measures.area_number(row.capacity), 1),
        "{acres}_per_hour",
        lambda row, measures: rounded(measures.area_number(row.capacity), 2),
        least=5,
        figures=True,
    ),
    AnswerColumn(
        "could",
        lambda row, measures: number(_could(row, measures), 1),
        "theoretical_{acres}_per_hour",
        lambda row, measures: rounded(_could(row, measures), 2),
        least=5,
        figures=True,
        gives=6,
    ),
    AnswerColumn(
        "of it",
        lambda row, _: NOTHING if row.pace is None else percent(row.pace.capacity.efficiency),
        "field_efficiency",
        lambda row, _: None if row.pace is None else rounded(row.pace.capacity.efficiency, 4),
        least=5,
        figures=True,
        gives=5,
    ),
    data("hours_outside_the_field", _hours(lambda row: row.time.outside_seconds)),
    AnswerColumn(
        "stops",
        lambda row, _: number(row.availability.failures),
        "breakdowns",
        lambda row, _: row.availability.failures,
        least=5,
        figures=True,
    ),
    AnswerColumn(
        "h between",
        _between,
        "hours_between_breakdowns",
        _hours(lambda row: row.availability.between_failures),
        least=12,
        figures=True,
        tells_more=True,
    ),
    data("hours_between_low", _hours(lambda row: row.availability.between_failures_low)),
    data("hours_between_high", _hours(lambda row: row.availability.between_failures_high)),
    AnswerColumn(
        "each",
        _each,
        "hours_to_repair",
        _hours(lambda row: row.availability.to_repair),
        least=10,
        figures=True,
        gives=1,
        tells_more=True,
    ),
    AnswerColumn(
        "ready",
        lambda row, _: percent(row.availability.share),
        "availability",
        lambda row, _: rounded(row.availability.share, 4),
        least=5,
        figures=True,
    ),
    data("level", lambda row, _: row.availability.level),
)


def capacity_sheet(view: HarvestView, measures: Measures) -> AnswerSheet[CombineWork]:
    """Return the answer; a row is one combine by the latest season that says enough."""
    return AnswerSheet(
        name="combines",
        columns=COLUMNS,
        rows=view.combines,
        measures=measures,
        headline=progress_sentence(view, measures),
        sentences=[*_notes(view), _efficiency(view, measures)],
        empty="No combine has cut yet, so that nothing is measured. 'wearlog cut', or on the screen c, enters an area cut.",
        beside={
            "season": view.season.harvest_year if view.season else None,
            "calendar_year": view.by_calendar,
            f"cut_{measures.area_word}": rounded(measures.area_number(view.cut), 1),
            f"planned_{measures.area_word}": (
                None if view.planned is None else rounded(measures.area_number(view.planned), 1)
            ),
            "finish": None if view.finish is None else finish_json(view.finish, measures),
        },
        key_of=lambda row: row.machine_id,
    )


def _notes(view: HarvestView) -> list[str]:
    notes = [
        "{area}/h: area over field time, turning, unloading and waiting in it; breakdowns, service and weather are not. stops: "
        "breakdowns. ready: hours between them / (those + hours to repair). In brackets the 90 % interval."
    ]
    left_out = sum(one.time.left_out for one in view.combines)
    if left_out:
        notes.append(f"{counted(left_out, 'run')} without hours (totals of weeks) are left out.")
    return notes


def _efficiency(view: HarvestView, measures: Measures) -> str:
    """Say what the field efficiency rests on, or what is wanting for it."""
    paces = [(one.name, one.pace) for one in view.combines if one.pace is not None]
    usual = "65 to 80 % is usual (ASAE D497, from memory)"
    if not paces:
        known = f"of it: field efficiency, {usual}, is known once"
        by_command = f"wearlog harvest --speed '{measures.speed(GUESS_SPEED)}'"
        return ByCommand(
            f"{known} a speed is: {by_command}, or a speed check of the combine.",
            f"{known} there is a speed check of the combine.",
        )
    by = listed([f"{name} {measures.width(round(one.width * 1e6))} at {_speed(one, measures)}" for name, one in paces])
    return f"could: without a pause, {by}; of it: field efficiency, {usual}."


def _speed(pace: FieldPace, measures: Measures) -> str:
    source = f"{counted(pace.checks, 'speed check')}" if pace.checks else "as you say"
    return f"{measures.speed(pace.speed)} ({source})"
