"""import and export: a folder of CSV sheets or a workbook in and out; the lists of the farm as a workbook."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from wearlog.cli.options import command, local_now, opened, say, tell, with_db, with_json
from wearlog.errors import RefusedError
from wearlog.present.words import capital
from wearlog.progress import stretch

if TYPE_CHECKING:
    from wearlog.exchange.importer import ImportReport
    from wearlog.logbook.open_log import Store


@command(
    "import",
    examples=(
        "wearlog import notebook/",
        "wearlog import notebook.xlsx --dry-run",
        "wearlog import notebook/ --replace",
    ),
)
@click.argument("source", type=click.Path(path_type=Path))
@click.option("--dry-run", is_flag=True, help="Only say what would be done.")
@click.option("--replace", is_flag=True, help="Where the log says otherwise, take what the file says.")
@with_json
@with_db
def import_command(source: Path, *, dry_run: bool, replace: bool, as_json: bool, db: str) -> None:
    """Bring in a folder of CSV sheets or a workbook: all of it or nothing. Importing it again adds nothing.

    docs/import-format.md says what stands in which column.
    """
    from wearlog.exchange.importer import import_source

    with opened(db, start=True) as store:
        with stretch():
            report = import_source(store, source, dry_run=dry_run, replace=replace)
        told = store.to_tell()
    for sentence in told:
        tell(sentence)
    if as_json:
        from wearlog.present.json_form import document

        say(document(_json(report)))
    else:
        for notice in report.reading.notices:
            tell(notice)
        say(_lines(report))
    if report.reading.problems:
        count = len(report.reading.problems) + report.reading.problems_left_out
        raise RefusedError(
            f"Nothing was imported: {count} {'place needs' if count == 1 else 'places need'} mending.",
            "Mend them in the file and import it again.",
        )


def _lines(report: ImportReport) -> list[str]:
    if report.brought is None:
        lines = [str(problem) for problem in report.reading.problems]
        left = report.reading.problems_left_out
        return [*lines, f"and {left:,} more"] if left else lines
    brought = report.brought
    would = "would be " if report.dry_run else ""
    if not brought.added and not brought.changed:
        return [f"Nothing new: all {brought.same:,} rows are in the log already."]
    done = capital(brought.said) if brought.said else f"{brought.rows_added:,} rows would be added"
    lines = [f"{done}; {brought.same:,} were there already:"]
    lines += [f"  {name.replace('_', ' '):<16} {count:>8,}" for name, count in brought.added]
    if brought.changed:
        lines.append(f"  {len(brought.changed):,} rows {would}changed to what the file says")
    return lines if report.dry_run else [*lines, "'wearlog undo' takes all of it back."]


def _json(report: ImportReport) -> dict[str, Any]:
    brought = report.brought
    return {
        "dry_run": report.dry_run,
        "added": dict(brought.added) if brought else {},
        "changed": len(brought.changed) if brought else 0,
        "same": brought.same if brought else 0,
        "entry": brought.deed_id if brought else None,
        "notices": list(report.reading.notices),
        "problems": [
            {
                "file": problem.file,
                "line": problem.line,
                "column": problem.column or None,
                "heading": problem.heading or None,
                "message": problem.message,
                "hint": problem.hint,
            }
            for problem in report.reading.problems
        ],
        "problems_left_out": report.reading.problems_left_out,
    }


@command(
    "export",
    examples=(
        "wearlog export farm-csv/",
        "wearlog export farm.xlsx --units metric",
        "wearlog export lists.xlsx --lists",
    ),
)
@click.argument("path", metavar="FOLDER|FILE.xlsx", type=click.Path(path_type=Path))
@click.option(
    "--units", type=click.Choice(["us", "metric"]), default="us", show_default=True, help="Units of the columns."
)
@click.option("--overwrite", is_flag=True, help="Also into a folder that holds other files; those stay.")
@click.option(
    "--lists", is_flag=True, help="Plan, wear, shelf, services, faults and costs as they are shown, into a workbook."
)
@with_db
def export_command(path: Path, *, units: str, overwrite: bool, lists: bool, db: str) -> None:
    """Write everything that counts as CSV sheets into FOLDER, or as one workbook; 'wearlog import' reads either again."""
    from wearlog.exchange.export import export_folder
    from wearlog.exchange.export_workbook import ENDING, export_workbook

    with opened(db) as store:
        if lists:
            _export_lists(store, path)
            return
        system: Literal["us", "metric"] = "metric" if units == "metric" else "us"
        if path.suffix.casefold() == ENDING:
            done = export_workbook(store, path, units=system)
        else:
            done = export_folder(store, path, units=system, overwrite=overwrite)
    say(f"Wrote {sum(count for _, count in done.rows_by_sheet):,} rows into {done.folder}.")


def _export_lists(store: Store, file: Path) -> None:
    from wearlog.exchange.export_workbook import all_lists, write_answers
    from wearlog.present.words import counted
    from wearlog.reckoning.costs.costs import Split, cost_tables
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.faults.fault_list import fault_lines
    from wearlog.reckoning.parts.stock import shelf_view
    from wearlog.reckoning.plan.season_plan import season_plan
    from wearlog.reckoning.work.services_due import services_due

    shelf = shelf_view(store)
    with store.reading() as connection:
        farm = farm_from(connection, local_now())
        sheets = all_lists(
            season_plan(connection, farm),
            shelf,
            services_due(connection, farm),
            fault_lines(connection, farm),
            cost_tables(connection, farm, (Split.SEASON, Split.MACHINE, Split.SUBSYSTEM)),
        )
    say(f"Wrote {counted(write_answers(sheets, file), 'row')} into {file}.")
