"""faults suspects, next, trail: what the log and the diagram say about a fault. Enters nothing."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from wearlog.cli.options import answer, command, local_now, tell, with_db, with_json
from wearlog.facts.closed_lists import CheckKind
from wearlog.logbook.doors import opened

if TYPE_CHECKING:
    from wearlog.facts.cautions import Caution
    from wearlog.present.digits import Measures
    from wearlog.reckoning.farm import Farm
    from wearlog.reckoning.fault_case import FaultCase
    from wearlog.reckoning.fault_log import FaultLog
    from wearlog.store.connection import Connection

CHECK_KINDS = {kind.value.replace("_", "-"): kind for kind in CheckKind}


@contextmanager
def fault_view(db: str) -> Iterator[tuple[Connection, Farm, FaultLog]]:
    """Open a log and read the farm and everything about its faults in one view."""
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.fault_log import read_fault_log

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
@click.option("--most", type=click.IntRange(min=1), default=8, show_default=True, help="How many to list.")
@click.option("--draw", is_flag=True, help="Draw the diagram with the chances beside it.")
@with_json
@with_db
def suspects_command(fault: str, *, most: int, draw: bool, as_json: bool, db: str) -> None:
    """Rank what could be wrong, with percentages that add up to 100. FAULT is a number of the list or a beginning of its title."""
    from wearlog.present.digits import Measures
    from wearlog.present.fault_case_words import suspect_lines, suspects_drawn, suspects_json
    from wearlog.reckoning.fault_case import fault_case
    from wearlog.reckoning.fault_log import fault_named

    with fault_view(db) as (_, farm, log):
        case = fault_case(log, farm, fault_named(log, fault))
    lines = suspect_lines(case, Measures(farm.settings), most=most)
    if draw:
        width, ascii_only = terminal_form()
        lines += ["", *suspects_drawn(case, width=width, ascii_only=ascii_only)]
    answer(lines, as_json, lambda: suspects_json(case))


@command(
    "next",
    examples=("wearlog faults next 1", "wearlog faults next 1 --without unplug", "wearlog faults next 1 --json"),
)
@click.argument("fault")
@click.option(
    "--most", type=click.IntRange(min=1), default=3, show_default=True, help="How many steps to think through."
)
@click.option(
    "--without", multiple=True, type=click.Choice(list(CHECK_KINDS)), help="A kind of check that cannot be made now."
)
@with_json
@with_db
def next_command(fault: str, *, most: int, without: tuple[str, ...], as_json: bool, db: str) -> None:
    """Say which check or repair takes the least time to a found and fixed fault, with what to expect there."""
    from wearlog.present.digits import Measures
    from wearlog.present.fault_case_words import advice_json, advice_lines
    from wearlog.reckoning.fault_case import advise, fault_case
    from wearlog.reckoning.fault_log import fault_named

    with fault_view(db) as (_, farm, log):
        case = fault_case(log, farm, fault_named(log, fault))
    advice = advise(case, most=most, without=frozenset(CHECK_KINDS[kind] for kind in without))
    tell_cautions(advice.cautions)
    answer(advice_lines(advice, Measures(farm.settings)), as_json, lambda: advice_json(advice))


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
@with_json
@with_db
def trail_command(fault: str | None, *, show_all: bool, as_json: bool, db: str) -> None:
    """Show faults that came back: when, what was found, what they cost, and whether the last fix has held.

    With FAULT only its trail, with all its checklists.
    """
    from wearlog.present.digits import Measures
    from wearlog.present.fault_trail_words import trail_lines, trails_json
    from wearlog.reckoning.fault_log import fault_named
    from wearlog.reckoning.fault_trail import fault_trails, trail_of

    with fault_view(db) as (connection, farm, log):
        if fault is None:
            trails = fault_trails(connection, log, farm)
            trails = trails if show_all else tuple(trail for trail in trails if len(trail.times) > 1)
        else:
            trails = (trail_of(connection, log, farm, fault_named(log, fault)),)
    measures = Measures(farm.settings)
    pages = [trail_lines(trail, measures, with_checks=fault is not None) for trail in trails]
    lines = [line for page in pages for line in ("", *page)][1:] or ["No fault has come back."]
    answer(lines, as_json, lambda: trails_json(trails, measures))


def opening_lines(case: FaultCase, measures: Measures) -> list[str]:
    """Return what is known of a fault that was opened just now, if it came before."""
    from wearlog.present.fault_case_words import last_time
    from wearlog.present.fault_trail_words import ordinal

    if not case.before:
        return []
    return [f"It is here for the {ordinal(len(case.before) + 1)} time; {last_time(case.before[0], measures)}."]
