"""faults suspects, next, trail: what the log and the diagram say about a fault. Enters nothing."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from wearlog.cli.figures import WholeBetween
from wearlog.cli.options import answer, answer_sheet, command, local_now, opened, tell, with_db, with_json, with_save
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import CheckKind

if TYPE_CHECKING:
    from wearlog.facts.cautions import Caution
    from wearlog.faults.next_check import NextStep
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.farm import Farm
    from wearlog.reckoning.faults.fault_case import Advice, FaultCase
    from wearlog.reckoning.faults.fault_log import FaultLog
    from wearlog.reckoning.faults.fault_trail import FaultTrail
    from wearlog.store.connection import Connection

#: checks that are made at no place of the diagram
WITHOUT_PLACE = frozenset({CheckKind.BEYOND, CheckKind.MAKE_HAPPEN})
CHECK_KINDS = {kind.value.replace("_", "-"): kind for kind in CheckKind}


@contextmanager
def fault_view(db: str) -> Iterator[tuple[Connection, Farm, FaultLog]]:
    """Open a log and read the farm and everything about its faults in one view."""
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.faults.fault_log import read_fault_log

    with opened(db) as store, store.reading() as connection:
        yield connection, farm_from(connection, local_now()), read_fault_log(connection)


def terminal_form() -> tuple[int, bool]:
    """Return the width of the terminal, and whether only ASCII can be drawn on it."""
    encoding = sys.stdout.encoding or "ascii"
    try:
        "├─└│…".encode(encoding)
    except UnicodeEncodeError:
        return shutil.get_terminal_size().columns, True
    return shutil.get_terminal_size().columns, False


@command("suspects", examples=("wearlog faults suspects 1", "wearlog faults suspects 'header fuse' --draw --json"))
@click.argument("fault")
@click.option("--most", type=WholeBetween(min=1), default=8, show_default=True, help="How many to list.")
@click.option("--draw", is_flag=True, help="Draw the diagram with the chances beside it.")
@with_save
@with_json
@with_db
def suspects_command(fault: str, *, most: int, draw: bool, as_json: bool, save: str, db: str) -> None:
    """Rank what could be wrong, with percentages that add up to 100. FAULT is a number of the list or a beginning of its title."""
    from wearlog.present.digits import Measures
    from wearlog.present.faults.drawing_sheet import drawing_sheet, drawn_nodes
    from wearlog.present.faults.suspect_sheet import every_suspect, suspect_sheet
    from wearlog.present.sheet_faces import sheet_json, table_lines
    from wearlog.reckoning.faults.fault_case import fault_case
    from wearlog.reckoning.faults.fault_log import fault_named

    with fault_view(db) as (_, farm, log):
        case = fault_case(log, farm, fault_named(log, fault))
    measures = Measures(farm.settings)
    sheet = suspect_sheet(case, measures, most=most)
    lines = [sheet.headline, "", *table_lines(sheet), "", *sheet.sentences]
    content = sheet_json(every_suspect(case, measures))
    if draw:
        width, ascii_only = terminal_form()
        drawing = drawing_sheet(drawn_nodes(case.circuit, case.suspects, ascii_only=ascii_only), measures)
        lines += ["", *table_lines(drawing, width)]
        content |= sheet_json(drawing)
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: lines, content=lambda: content)


@command(
    "next",
    examples=("wearlog faults next 1", "wearlog faults next 1 --without unplug", "wearlog faults next 1 --json"),
)
@click.argument("fault")
@click.option(
    "--most",
    type=WholeBetween(min=1),
    default=3,
    show_default=True,
    help="How many steps to list at most; the list ends at a repair that is likelier right than wrong.",
)
@click.option(
    "--without", multiple=True, type=click.Choice(list(CHECK_KINDS)), help="A kind of check that cannot be made now."
)
@click.option("--cautions", "all_cautions", is_flag=True, help="All cautions again, not the one line of them.")
@with_json
@with_db
def next_command(
    fault: str, *, most: int, without: tuple[str, ...], all_cautions: bool, as_json: bool, db: str
) -> None:
    """Say which check or repair takes the least time to a found and fixed fault, with what to expect there."""
    from wearlog.faults.cautions import CARE_AGAIN
    from wearlog.present.digits import Measures
    from wearlog.present.faults.suspect_sheet import step_sheet
    from wearlog.reckoning.faults.fault_case import advise, every_caution, fault_case
    from wearlog.reckoning.faults.fault_log import fault_named

    with fault_view(db) as (_, farm, log):
        case = fault_case(log, farm, fault_named(log, fault))
    advice = advise(case, most=most, without=frozenset(CHECK_KINDS[kind] for kind in without))
    if advice.is_again and not all_cautions:
        tell(f"{CARE_AGAIN} All of it: wearlog faults next {case.number} --cautions")
    tell_cautions(every_caution(advice) if all_cautions else advice.cautions)
    measures = Measures(farm.settings)
    sheet = step_sheet(advice, measures)
    # no file: the cautions stand before the checks, and a sheet of rows would go without them
    answer_sheet(sheet, as_json=as_json, lines=lambda: _next_lines(sheet, advice, measures))


def _next_lines(sheet: AnswerSheet[NextStep], advice: Advice, measures: Measures) -> list[str]:
    """The steps, above them how the last time went, below them how to note the first."""
    from wearlog.present.faults.fault_case_words import (
        fuse_words,
        how_to_note,
        lamp_words,
        last_time,
        question_lines,
        taken_up_words,
        undone_words,
    )
    from wearlog.present.faults.suspect_sheet import checklist_sheet, step_lines
    from wearlog.present.sheet_faces import table_lines

    case, lines = advice.case, [sheet.headline]
    if case.before:
        past = checklist_sheet(case.before[0], measures)
        lines += [last_time(case.before[0], measures), *(f"  {line}" for line in table_lines(past))]
    lines += [taken_up_words(case.taken_up, measures)] if case.taken_up else []
    lines += [undone_words(one, case.number, measures) for one in advice.undone]
    lines += [f"The lamp: {lamp}"] if (lamp := lamp_words(case)) else []
    lines += question_lines(advice.questions, case.number)
    lines += [
        *step_lines(sheet),
        *sheet.sentences,
        *how_to_note(case.number, advice.steps[0], case.suspects.case.circuit),
    ]
    return lines + [fuse_words(fuse) for fuse in advice.blown]


def tell_cautions(cautions: tuple[Caution, ...]) -> None:
    """Write cautions to stderr, the machine's own book last: they stand before the check."""
    from wearlog.facts.cautions import BOOK_COMES_FIRST

    if cautions:
        tell("Before you touch it:")
        for one in cautions:
            tell(f"- {one.sentence}")
        tell(f"- {BOOK_COMES_FIRST}")


@command("trail", examples=("wearlog faults trail", "wearlog faults trail 1", "wearlog faults trail --json"))
@click.argument("fault", required=False)
@click.option("--all", "show_all", is_flag=True, help="Also faults that came once only.")
@with_save
@with_json
@with_db
def trail_command(fault: str | None, *, show_all: bool, as_json: bool, save: str, db: str) -> None:
    """Show faults that came back: when, what was found, what they cost, and whether the last fix has held.

    With FAULT only its trail, with all its checklists.
    """
    if save and fault is None:
        raise UsageError("A file holds one trail.", f"Name the fault: wearlog faults trail 1 --save {save}")
    from wearlog.present.digits import Measures
    from wearlog.present.faults.fault_trail_sheet import trail_sheet, trails_json
    from wearlog.reckoning.faults.fault_log import fault_named
    from wearlog.reckoning.faults.fault_trail import fault_trails, trail_of

    with fault_view(db) as (connection, farm, log):
        if fault is None:
            trails = fault_trails(connection, log, farm)
            trails = trails if show_all else tuple(trail for trail in trails if len(trail.times) > 1)
        else:
            trails = (trail_of(connection, log, farm, fault_named(log, fault)),)
    measures = Measures(farm.settings)
    if save:
        answer_sheet(trail_sheet(trails[0], measures), as_json=as_json, save=save)
        return
    pages = [_trail_lines(trail, measures, with_checks=fault is not None) for trail in trails]
    lines = [line for page in pages for line in ("", *page)][1:] or ["No fault has come back."]
    answer(lines, as_json, lambda: trails_json(trails, measures))


def _trail_lines(trail: FaultTrail, measures: Measures, *, with_checks: bool) -> list[str]:
    """One trail: its heading, every time it came, and what follows from them."""
    from wearlog.present.faults.fault_trail_sheet import trail_sheet
    from wearlog.present.faults.suspect_sheet import checklist_sheet
    from wearlog.present.sheet_faces import table_lines

    sheet = trail_sheet(trail, measures)
    lines = [sheet.headline, *table_lines(sheet)]
    if with_checks:
        for past in trail.times:
            heading = f"Checklist of {measures.date_said(past.fault.opened_at)}:"
            lines += ["", heading, *table_lines(checklist_sheet(past, measures))]
        lines.append("")
    return [*lines, *sheet.sentences]


def opening_lines(case: FaultCase, measures: Measures) -> list[str]:
    """Return what is known of a fault that was opened just now, if it came before."""
    from wearlog.present.faults.fault_case_words import last_time
    from wearlog.present.words import ordinal

    if not case.before:
        return []
    return [f"It is here for the {ordinal(len(case.before) + 1)} time; {last_time(case.before[0], measures)}."]
