"""report: the season report as one HTML file to print."""

from __future__ import annotations

from pathlib import Path

import click

from wearlog.cli.options import command, local_now, say, with_db
from wearlog.logbook.doors import opened


@command("report", examples=("wearlog report season.html", "wearlog report season.html --season 2027"))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--season", "season", type=int, help="Whose plan (else the next one planned).")
@with_db
def report_command(file: Path, *, season: int | None, db: str) -> None:
    """Write the plan, the orders, what wears, faults, services and costs into one file that prints on A4 or Letter."""
    from wearlog.exchange.season_report.writing import write_report
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.season_plan import season_plan

    now = local_now()
    with opened(db) as store:
        with store.reading() as connection:
            view = season_plan(connection, farm_from(connection, now), harvest_year=season)
        written = write_report(store, now, file, view)
    say(f"Wrote {written}.")
