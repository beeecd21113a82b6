"""brief and demo: everything on one page, of the own farm or of a fresh private copy of the demo fleet."""

from __future__ import annotations

import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wearlog.cli.figures import WHOLE
from wearlog.cli.options import answer, command, local_now, opened, say, tell, with_db, with_json
from wearlog.errors import NotFoundError, RefusedError
from wearlog.progress import stretch

#: the demo farm's story ends here; its brief is that of this day
DEMO_DAY = datetime(2026, 11, 20, 18, 0, tzinfo=UTC)


@command("brief", examples=("wearlog", "wearlog brief --json"))
@with_json
@with_db
def brief_command(*, as_json: bool, db: str) -> None:
    """Print the state of the fleet on one page. In a terminal `wearlog` alone opens the screens instead."""
    try:
        with opened(db) as store:
            _print_brief(store, local_now(), as_json=as_json)
    except NotFoundError as error:
        if as_json or db:
            raise
        say([error.message, "", *_FIRST_STEPS])


_FIRST_STEPS = (
    "To look around on an invented farm:      wearlog demo",
    "To begin your own log:                   wearlog add combine NAME --engine 2310.4",
    "                                         wearlog add header NAME --width 40ft --knife 160",
    "                                         wearlog hitch HEADER COMBINE",
    "To bring in what you have written down:  wearlog import FOLDER",
)

if TYPE_CHECKING:
    from wearlog.store.opening import Store


def _print_brief(store: Store, now: datetime, *, as_json: bool) -> None:
    from wearlog.present.yard.brief_page import brief_json, brief_lines
    from wearlog.reckoning.yard.brief_view import brief

    found = brief(store, now, intervals=as_json)
    answer(brief_lines(found), as_json, lambda: brief_json(found))


@command("demo", examples=("wearlog demo", "wearlog demo --keep demo.db", "wearlog demo --json </dev/null"))
@click.option("--keep", "keep", type=click.Path(path_type=Path), help="Keep the copy here, to work with it by --db.")
@click.option("--brief", "only_brief", is_flag=True, help="Print the brief, also in a terminal.")
@with_json
def demo_command(*, keep: Path | None, only_brief: bool, as_json: bool) -> int:
    """Look around on a fresh private copy of an invented farm: six seasons, three combines, four headers.

    In a terminal it opens the screens; without one, or with --json or --brief, it prints the farm's brief.
    """
    with tempfile.TemporaryDirectory(prefix="wearlog-demo-", ignore_cleanup_errors=True) as folder:
        file = keep or Path(folder) / "demo.db"
        _make_demo(file)
        if not (as_json or only_brief):
            from wearlog.tui.start import can_show, open_screens

            if can_show():
                return open_screens(str(file))
        with opened(str(file)) as store:
            _print_brief(store, DEMO_DAY, as_json=as_json)
    if keep:
        tell(f"The demo log is {keep}; try: wearlog wear --db {keep}")
    return 0


def _make_demo(file: Path) -> None:
    from wearlog.exchange.importer import import_source
    from wearlog.logbook.farm.first_day import start_log
    from wearlog.settings import shipped
    from wearlog.store.location import Location

    if sys.stderr.isatty():
        tell("Bringing in six seasons of the demo farm ...")
    store = start_log(Location(file=file))
    try:
        import_source(store, shipped("demo_fleet"), dry_run=False, replace=False)
    finally:
        store.close()


#: what somebody may want who asks for the report of a season that is over
_OF_A_PAST_SEASON = (
    "The report plans a season still to come; without --season it takes the next one. What {year} cost: "
    "'wearlog cost --season {year}'."
)


@command("report", examples=("wearlog report season.html", "wearlog report season.html --season 2027"))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--season", "season", type=WHOLE, help="Whose plan (else the next one planned).")
@with_db
def report_command(file: Path, *, season: int | None, db: str) -> None:
    """Write the plan, the orders, what wears, faults, services and costs into one file that prints on A4 or Letter."""
    from wearlog.exchange.season_report.content import write_report
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.plan.season_plan import season_plan

    now = local_now()
    with opened(db) as store, stretch():
        with store.reading() as connection:
            with stretch(last=0.2):
                farm = farm_from(connection, now)
            with stretch(0.2, 0.6):
                try:
                    view = season_plan(connection, farm, harvest_year=season)
                except RefusedError as error:
                    raise RefusedError(error.message, _OF_A_PAST_SEASON.format(year=season)) from error
        with stretch(first=0.6):
            written = write_report(store, now, file, view)
    say(f"Wrote {written}.")
