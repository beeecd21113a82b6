"""sheet, sheet-in: sheets for the clipboard out, and what was written on them back in by the numbers of their lines."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wearlog.cli.options import (
    answer_sheet,
    command,
    local_now,
    moment,
    opened,
    piped,
    say,
    tell,
    with_at,
    with_db,
    with_json,
)
from wearlog.errors import NotFoundError, UsageError
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.logbook.open_log import Store
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.farm import Farm
    from wearlog.reckoning.yard.printed_sheets import PrintedSheet
    from wearlog.store.connection import Connection

_WHAT = ("before-season", "after-season", "service", "header", "fault")


@command(
    "sheet",
    examples=(
        "wearlog sheet before-season kestrel --save kestrel.html",
        "wearlog sheet after-season --save inspections.html",
        "wearlog sheet service --save round.html",
        "wearlog sheet header north --save header.html",
        "wearlog sheet fault 1 --save fault.html",
    ),
)
@click.argument("what", type=click.Choice(_WHAT))
@click.argument("which", default="", metavar="[MACHINE|FAULT]")
@click.option(
    "--save", "save", default="", metavar="FILE", help="Write it: .html to print; an inspection also .csv, .xlsx."
)
@with_json
@with_db
def sheet_command(what: str, which: str, *, save: str, as_json: bool, db: str) -> None:
    """Make a sheet for the clipboard: an inspection, the service round, the list at the header, one fault to hand over.

    Its lines are numbered; 'wearlog sheet-in' takes in what was written on it. Without --save it is shown here.
    """
    from wearlog.present.digits import Measures
    from wearlog.reckoning.farm import farm_from

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        measures = Measures(farm.settings)
        if what in ("header", "fault"):
            _pages_only(connection, farm, measures, what, which, save)
            return
        sheets, hazards, page = _sheets(connection, farm, measures, what, which)
    if save and Path(save).suffix.casefold() in (".html", ".htm"):
        _write(page, save)
        return
    if len(sheets) != 1:
        raise UsageError(
            "Which machine?", f"Name it: wearlog sheet {what} MACHINE; as one page of all: --save FILE.html"
        )
    answer_sheet(sheets[0], as_json=as_json, save=save, lines=lambda: _told(sheets[0], hazards))


def _told(sheet: AnswerSheet[Any], hazards: Sequence[Hazard]) -> list[str]:
    """The cautions first, then the sheet."""
    from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.present.tables import folded
    from wearlog.present.words import capital, word

    cautions = [
        f"! {capital(word(one))}: {' '.join(said for said in CAUTIONS[one] if said != BOOK_COMES_FIRST)}"
        for one in hazards
    ]
    return [*folded([*cautions, f"! {BOOK_COMES_FIRST}"]), "", *answer_lines(sheet)]


def _write(page: str, save: str) -> None:
    from wearlog.exchange.order_files import write_whole

    tell(f"Wrote {write_whole(Path(save), page)}.")


def _sheets(
    connection: Connection, farm: Farm, measures: Measures, what: str, which: str
) -> tuple[list[AnswerSheet[Any]], Sequence[Hazard], str]:
    """The answers, the dangers of the work, and all of them as one page."""
    from wearlog.exchange.paper.clipboard import SERVICE_HAZARDS, inspection_pages, service_round
    from wearlog.facts.closed_lists import MachineKind
    from wearlog.logbook.names import known_names, machine_named
    from wearlog.present.work.service_sheet import service_round_sheet
    from wearlog.present.yard.inspection_sheet import inspection_sheet
    from wearlog.reckoning.wear.wear_outlook import wear_outlook
    from wearlog.reckoning.work.services_due import round_lines
    from wearlog.reckoning.yard.inspection import LookOver, inspection

    day = measures.date_said(farm.now)
    if what == "service":
        lines, mark = round_lines(connection, farm)
        return [service_round_sheet(lines, mark, measures)], SERVICE_HAZARDS, service_round(lines, mark, measures, day)
    if which:
        machines = [machine_named(known_names(connection), which)]
    else:
        cut = (MachineKind.COMBINE, MachineKind.HEADER)
        machines = [one for one in farm.machines if one.kind in cut]
    if not machines:
        raise NotFoundError("There is no machine yet.", "'wearlog add combine NAME' enters one.")
    outlook, when = wear_outlook(connection, farm), LookOver(what.replace("-", "_"))
    found = [inspection(connection, farm, outlook, one.id, when) for one in machines]
    sheets = [inspection_sheet(one, measures) for one in found]
    return sheets, found[0].hazards, inspection_pages(found, measures, day)


def _pages_only(connection: Connection, farm: Farm, measures: Measures, what: str, which: str, save: str) -> None:
    """The list at the header and one fault: what is written by hand on them goes in by the log and the faults."""
    from wearlog.exchange.paper.clipboard import fault_to_hand_over, header_list
    from wearlog.facts.closed_lists import MachineKind
    from wearlog.logbook.names import known_names, machine_named
    from wearlog.reckoning.faults.fault_case import advise, fault_case
    from wearlog.reckoning.faults.fault_log import fault_named, read_fault_log
    from wearlog.reckoning.faults.fault_trail import trail_of

    if Path(save).suffix.casefold() not in (".html", ".htm"):
        raise UsageError(f"This sheet is a page: wearlog sheet {what} {which or 'NAME'} --save FILE.html", "")
    day = measures.date_said(farm.now)
    if what == "header":
        headers = [one for one in farm.machines if one.kind is MachineKind.HEADER]
        chosen = [machine_named(known_names(connection), which)] if which else headers
        _write(header_list(chosen, farm.settings, day), save)
        return
    if not which:
        raise UsageError("Which fault?", "'wearlog faults' lists them with their numbers.")
    log = read_fault_log(connection)
    fault = fault_named(log, which)
    advice, trail = advise(fault_case(log, farm, fault)), trail_of(connection, log, farm, fault)
    _write(fault_to_hand_over(advice, trail, measures, day), save)


@command(
    "sheet-in",
    examples=(
        "wearlog sheet-in E2F409 '2 19.9in' '5 ok' '8 order'",
        "wearlog sheet-in E2F409 --file kestrel.txt --at 2026-11-20",
    ),
)
@click.argument("mark", metavar="SHEET")
@click.argument("answers", nargs=-1, metavar="[LINE ANSWER]...")
@click.option("--file", "file", type=click.Path(path_type=Path), help="A line each, as on the sheet.")
@with_at
@with_db
def sheet_in_command(mark: str, answers: tuple[str, ...], *, file: Path | None, at: str, db: str) -> None:
    """Enter what was written on a printed sheet, by the numbers of its lines; in a terminal it asks line by line.

    A line takes a length with its unit (of several positions: 12: 0.02in), ok, or order, with positions: 41,42 order. A service
    takes done. All of it is one entry: what was measured goes into measured wear, what is to be ordered into the plan.
    """
    from wearlog.logbook.plan.sheet_entry import enter_sheet, read_answers, without_heading
    from wearlog.present.yard.inspection_sheet import printed_line_name, printed_title

    with opened(db) as store:
        sheet, names = _sheet_of(store, mark)
        if answers:
            said = list(answers)
        elif file is not None:
            said = _read(file)
        elif sys.stdin.isatty():
            said = _asked(sheet)
        else:
            said = piped().splitlines()
        answers_read = read_answers(without_heading(said, sheet.mark, sheet.machine, names))
        done = enter_sheet(
            store,
            sheet.mark,
            sheet.machine,
            sheet.places,
            answers_read,
            at=moment(at, store),
            harvest_year=sheet.harvest_year,
        )
    called = {line.number: printed_line_name(line) for line in sheet.lines}
    listed = [f"  {one.number}. {called.get(one.number, '')}: {one.text}" for one in answers_read]
    say([*saved_lines(done), f"  {printed_title(sheet)}:", *listed])


def _read(file: Path) -> list[str]:
    try:
        return file.read_text("utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"{file.name} cannot be read.", "Name a text file (UTF-8) with a line each.") from error


def _asked(sheet: PrintedSheet) -> list[str]:
    """Follow the sheet line by line; an empty answer passes a line over, a single q ends."""
    from wearlog.present.yard.inspection_sheet import printed_line_name, printed_title

    tell(f"{printed_title(sheet)} (sheet {sheet.mark})")
    found = []
    for line in sheet.lines:
        number = line.number
        said = click.prompt(f"{number}. {printed_line_name(line)}", default="", show_default=False, err=True)
        if said.strip().casefold() == "q":
            break
        if said.strip():
            found.append(f"{number} {said}")
    return found


def _sheet_of(store: Store, mark: str) -> tuple[PrintedSheet, list[str]]:
    """The sheet of a mark, and the names of all machines."""
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.yard.printed_sheets import sheet_marked

    with store.reading() as connection:
        farm = farm_from(connection, local_now())
        return sheet_marked(connection, farm, mark), [one.name for one in farm.machines]
