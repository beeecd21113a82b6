"""read, cut, stop, runs, breakages: meters, areas cut and stops entered, and the lists of what was cut and what broke."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import click

from wearlog.cli.figures import WholeBetween
from wearlog.cli.options import (
    answer_sheet,
    asked,
    command,
    local_now,
    moment,
    only_lists,
    opened,
    say,
    say_saved,
    tell_care,
    with_at,
    with_db,
    with_json,
    with_save,
    with_yes,
)
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import CropState, CutHeight, MachineKind, MeterKind, StopReason
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.files import ListQuery


_METERS = {"engine": MeterKind.ENGINE_HOURS, "separator": MeterKind.SEPARATOR_HOURS, "area": MeterKind.AREA}


@command(
    "read",
    examples=("wearlog read kestrel engine 2331.5", "wearlog read kestrel separator 1,712.5 --at 'yesterday 21:00'"),
)
@click.argument("machine")
@click.argument("meter", type=click.Choice(list(_METERS)))
@click.argument("shown")
@click.option("--replaced", is_flag=True, help="The meter is a new one; its count begins here.")
@with_yes
@with_at
@with_db
def read_command(machine: str, meter: str, shown: str, *, replaced: bool, yes: bool, at: str, db: str) -> None:
    """Enter what a meter shows. MACHINE is a name or its beginning.

    Where the meter would have gained more than the hours since its last reading, it asks.
    """
    from wearlog.logbook.names import known_names, machine_named
    from wearlog.logbook.said.measures import farm_reader
    from wearlog.logbook.work.working import read_meter

    kind = _METERS[meter]
    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        found = machine_named(known, machine)
        usage = farm_reader(known).usage(kind, shown)
        when = moment(at, store)
        done = asked(lambda sure: read_meter(store, found, kind, usage, at=when, replaced=replaced, sure=sure), yes=yes)
    say_saved(done)


@command(
    "cut",
    examples=(
        "wearlog cut kestrel 120 --field 'north quarter' --crop wheat --hours 9.5",
        "wearlog cut kestrel 48.5ha --from 'yesterday 9:00' --to 'yesterday 20:30'",
    ),
)
@click.argument("combine")
@click.argument("area")
@click.option("--field", default="", help="Which field, by the beginning of its name.")
@click.option("--crop", default="", help="Which crop.")
@click.option("--header", default="", help="Which header; else the one that is hitched.")
@click.option("--hours", default="", metavar="H", help="Separator hours of this run.")
@click.option("--from", "started", default="", metavar="TIME", help="When it began; else by --hours before the end.")
@click.option("--to", "ended", default="", metavar="TIME", help="When it ended; else now.")
@click.option("--height", type=click.Choice([one.value for one in CutHeight]), help="How low the cut was.")
@click.option("--state", type=click.Choice([one.value for one in CropState]), help="How the crop stood.")
@with_yes
@with_db
def cut_command(
    combine: str,
    area: str,
    *,
    field: str,
    crop: str,
    header: str,
    hours: str,
    started: str,
    ended: str,
    height: str | None,
    state: str | None,
    yes: bool,
    db: str,
) -> None:
    """Enter an area cut by COMBINE, and say for which header it counts.

    Where no header was on when the run began, the one hitched during it is taken; where there is none, it asks.
    """
    from wearlog.facts.work import Run
    from wearlog.logbook.names import known_names, machine_named, pick
    from wearlog.logbook.said.measures import farm_reader
    from wearlog.logbook.said.measures import hours as read_hours
    from wearlog.logbook.work.working import cut

    seconds = read_hours(hours) if hours else None
    if not started and seconds is None:
        raise UsageError("When did it begin?", "Give --from, or --hours.")
    with opened(db) as store:
        end = moment(ended, store)
        begin = moment(started, store) if started else end - timedelta(seconds=seconds or 0)
        with store.reading() as connection:
            known = known_names(connection)
        run = Run(
            combine_id=machine_named(known, combine, MachineKind.COMBINE).id,
            header_id=machine_named(known, header, MachineKind.HEADER).id if header else None,
            field_id=pick(known.fields, lambda row: row.name, field, "field").id if field else None,
            crop_id=pick(known.crops, lambda row: row.name, crop, "crop").id if crop else None,
            started_at=begin,
            ended_at=end,
            area_square_metres=farm_reader(known).area(area),
            separator_seconds=seconds,
            cut_height=CutHeight(height) if height else None,
            crop_state=CropState(state) if state else None,
        )
        done = asked(lambda sure: cut(store, run, sure=sure), yes=yes)
    say_saved(done)


@command(
    "stop",
    examples=(
        "wearlog stop",
        "wearlog stop kestrel weather",
        "wearlog stop kestrel breakdown '45 min'",
        "wearlog stop kestrel other '20 min' --note 'feeder plugged'",
        "wearlog stop kestrel --over",
    ),
)
@click.argument("machine", required=False)
@click.argument("reason", required=False, type=click.Choice([reason.value for reason in StopReason]))
@click.argument("lasted", required=False)
@click.option("--over", is_flag=True, help="It runs again.")
@click.option("--note", default="", help="Anything worth keeping.")
@click.option("--all", "every", is_flag=True, help="The stops of all seasons, not only of the latest.")
@with_at
@with_save
@with_json
@with_db
def stop_command(
    machine: str | None,
    reason: str | None,
    lasted: str | None,
    *,
    over: bool,
    note: str,
    every: bool,
    at: str,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show the stops, or enter that MACHINE stood and why; without a duration it stands until you say --over."""
    if machine is None:
        if over or note or at:
            raise UsageError("Of which machine?", "Write MACHINE first: wearlog stop kestrel --over")
        _show_stops(db, every=every, as_json=as_json, save=save)
        return
    only_lists(all=every, save=save, json=as_json)
    from wearlog.facts.cautions import hazards_said
    from wearlog.facts.work import Stoppage
    from wearlog.logbook.names import known_names, machine_named
    from wearlog.logbook.said.measures import read_duration
    from wearlog.logbook.work.working import end_stop, stop

    if (reason is None) is not over:
        raise UsageError("Say why it stood, or --over when it runs again.", "For example: wearlog stop kestrel weather")
    why = StopReason(reason or StopReason.OTHER)
    with opened(db) as store:
        when = moment(at, store)
        with store.reading() as connection:
            found = machine_named(known_names(connection), machine)
        if over:
            done = end_stop(store, found, at=when)
        else:
            # "45 min" entered now means the 45 minutes that have just passed
            length = timedelta(seconds=read_duration(lasted)) if lasted else None
            tell_care(hazards_said(note))
            began = when - length if length and not at else when
            done = stop(
                store,
                Stoppage(
                    machine_id=found.id,
                    reason=why,
                    started_at=began,
                    ended_at=began + length if length else None,
                    note=note,
                ),
            )
    say(saved_lines(done))


def _show_stops(db: str, *, every: bool, as_json: bool, save: str) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.present.work.stop_sheet import stop_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.work.stops import stop_lines

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        sheet = stop_sheet(stop_lines(connection, farm), Measures(farm.settings))
    shown = sheet if every else sheet.short()
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: answer_lines(shown, headed=bool(sheet.rows)))


_with_last = click.option(
    "--last", "last", default=20, type=WholeBetween(1, 1_000_000), help="How many, latest first (20)."
)


@command(
    "runs",
    examples=("wearlog runs", "wearlog runs kestrel wheat", "wearlog runs --last 500 --save runs.csv"),
)
@click.argument("words", nargs=-1)
@_with_last
@with_save
@with_json
@with_db
def runs_command(words: tuple[str, ...], *, last: int, as_json: bool, save: str, db: str) -> None:
    """Show the runs, latest first. WORDS, or parts of them: a combine, a field, a crop, a header; each must be found."""
    from wearlog.present.work.daybook_sheet import run_sheet
    from wearlog.reckoning.files import run_query

    asked = " ".join(words)
    _show(run_query(None, asked, "when", backwards=True), run_sheet, last, asked, as_json=as_json, save=save, db=db)


@command(
    "breakages",
    examples=("wearlog breakages", "wearlog breakages north section rock", "wearlog breakages --last 500 --json"),
)
@click.argument("words", nargs=-1)
@_with_last
@with_save
@with_json
@with_db
def breakages_command(words: tuple[str, ...], *, last: int, as_json: bool, save: str, db: str) -> None:
    """Show what broke, latest first. WORDS, or parts of them: a machine, a place, a kind, a cause, what was done, a remark."""
    from wearlog.present.work.daybook_sheet import breakage_sheet, short_word
    from wearlog.reckoning.files import breakage_query

    asked = " ".join(words)
    query = breakage_query(asked, "when", backwards=True, spoken=short_word)
    _show(query, breakage_sheet, last, asked, as_json=as_json, save=save, db=db)


def _show(
    query: ListQuery,
    sheet_of: Callable[..., AnswerSheet[Any]],
    last: int,
    words: str,
    *,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.present.tables import WIDEST
    from wearlog.reckoning.files import latest_rows

    with opened(db) as store:
        rows, count, settings = latest_rows(store, query, last)
    sheet = sheet_of(rows, count, Measures(settings), words=words)

    def lines() -> Sequence[str]:
        return answer_lines(sheet, WIDEST, headed=bool(rows))

    answer_sheet(sheet, as_json=as_json, save=save, lines=lines)
