"""wear: how long parts last, what the season ahead threatens, what the figures rest on; and any life table on its own."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from wearlog.cli.figures import FIGURE
from wearlog.cli.options import answer, answer_sheet, command, local_now, opened, tell, with_db, with_json, with_save
from wearlog.errors import UsageError
from wearlog.facts.departures import Departure
from wearlog.progress import stretch

Range = tuple[float, float]

#: the share of an answer's time that reading the farm takes
_READ = 0.4


@command(
    "wear",
    examples=(
        "wearlog wear",
        "wearlog wear 'knife section'",
        "wearlog wear --explain 'knife section'",
        "wearlog wear --machine Kestrel --json",
        "wearlog wear --machine Kestrel --components",
        "wearlog wear guard --without stones",
        "wearlog wear --repairs",
        "wearlog wear --all --save wear.xlsx",
        "wearlog wear --lives table.csv --prior-life 1500 8000 --prior-shape 1.5 4 --survive 900 1400",
    ),
)
@click.argument("kind", required=False)
@click.option(
    "--machine", "machine", default="", metavar="NAME", help="One machine, by its own records and those of the others."
)
@click.option("--explain", "explain", default="", metavar="KIND", help="Say in plain words what the figures rest on.")
@click.option(
    "--components",
    is_flag=True,
    help="What sits on the --machine: age against life, how often each broke, what is left broken.",
)
@click.option(
    "--repairs", is_flag=True, help="Breakages of whole machines counted up, and whether they come ever closer."
)
@click.option(
    "--without",
    "without",
    multiple=True,
    metavar="WHAT",
    help=f"Leave this out of the reckoning of KIND from now on: {', '.join(Departure)}.",
)
@click.option("--with", "taken", multiple=True, metavar="WHAT", help="Take it up again.")
@click.option("--all", "every", is_flag=True, help="Also the kinds that sit on no machine; of one KIND every row.")
@click.option(
    "--lives",
    "lives",
    type=click.Path(path_type=Path),
    metavar="FILE.csv",
    help="Fit a table: entry,exit,failed,count,last_seen_whole.",
)
@click.option("--prior-life", "prior_life", nargs=2, type=FIGURE, metavar="LOW HIGH", help="Guess of the median life.")
@click.option("--prior-shape", "prior_shape", nargs=2, type=FIGURE, metavar="LOW HIGH", help="Guess of the shape.")
@click.option(
    "--survive", "survive", nargs=2, type=FIGURE, metavar="FROM TO", help="Chance of lasting from age to age."
)
@with_save
@with_json
@with_db
def wear_command(
    kind: str | None,
    *,
    machine: str,
    explain: str,
    components: bool,
    repairs: bool,
    without: tuple[str, ...],
    taken: tuple[str, ...],
    every: bool,
    lives: Path | None,
    prior_life: Range | None,
    prior_shape: Range | None,
    survive: Range | None,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show how long each kind of part lasts and what the season ahead threatens, or one KIND in full.

    A chance to last the season is that of not wearing out; stones are told beside it.
    Where a farm is not the plain model the reckoning allows for it, and the page of the KIND says so; --without sets that aside
    for all answers.
    A guess is LOW and HIGH, between which it lies on eight farms of ten. Guesses and --survive go with --lives.
    """
    if lives is not None:
        if kind or machine or explain or components or repairs or every or save:
            raise UsageError(
                "--lives fits a table on its own.",
                "Leave KIND, --machine, --explain, --components, --repairs, --all and --save away.",
            )
        if db:
            raise UsageError("--lives reads no log.", "Leave --db away.")
        _life_table(lives, prior_life, prior_shape, survive, as_json=as_json)
    elif components and (not machine or kind or explain or repairs or every):
        raise UsageError(
            "--components lists what sits on one machine.", "For example: wearlog wear --machine Kestrel --components."
        )
    elif every and ((machine and not kind) or explain or repairs):
        raise UsageError("--all goes with the list of all kinds, or with one KIND.", "Leave it away, or the rest.")
    elif save and explain:
        raise UsageError("--save writes rows, and --explain is words.", "Leave one of them away.")
    elif prior_life or prior_shape or survive:
        raise UsageError("A guess or a stretch of ages goes with --lives FILE.", "'wearlog wear -h' shows an example.")
    elif kind and explain:
        raise UsageError(
            f"'{kind}' and --explain '{explain}' are two answers.", f"For one of them: wearlog wear --explain '{kind}'."
        )
    elif repairs and explain:
        raise UsageError("--repairs and --explain are two answers.", "Ask for one, then for the other.")
    elif (without or taken) and (not (kind or explain) or repairs or save):
        raise UsageError(
            "--without and --with go with one KIND.", "For example: wearlog wear 'knife section' --without stones."
        )
    elif repairs:
        _repairs(db, kind, machine, as_json=as_json, save=save)
    elif kind or explain:
        if without or taken:
            _set_aside(db, explain or kind or "", without, taken)
        _kind(db, explain or kind or "", machine, in_words=bool(explain), every=every, as_json=as_json, save=save)
    elif components:
        _components(db, machine, as_json=as_json, save=save)
    elif machine:
        _machine(db, machine, as_json=as_json, save=save)
    else:
        _table(db, every=every, as_json=as_json, save=save)


def _room() -> int:
    """Return how wide a table may be: the terminal, or a page of text where there is none."""
    from wearlog.present.tables import WIDEST

    return shutil.get_terminal_size((WIDEST, 24)).columns if sys.stdout.isatty() else WIDEST


def _columns() -> int:
    """Return the same, but no wider than a page of text."""
    from wearlog.present.tables import WIDEST

    return min(_room(), WIDEST)


def _table(db: str, *, every: bool, as_json: bool, save: str) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.present.wear.wear_sheet import wear_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.wear.wear_outlook import wear_outlook

    with opened(db) as store, store.reading() as connection, stretch():
        with stretch(last=_READ):
            farm = farm_from(connection, local_now())
        with stretch(first=_READ):
            # how well the chance of each part is known stands in no column of the page
            found = wear_outlook(connection, farm, every=every, intervals=as_json or bool(save))
    sheet = wear_sheet(found.kinds, found.farm.machines, found.ahead, Measures(found.farm.settings))
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: answer_lines(sheet, _room(), headed=bool(sheet.rows)))


def _machine(db: str, name: str, *, as_json: bool, save: str) -> None:
    from wearlog.logbook.names import pick
    from wearlog.present.digits import Measures
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.present.wear.wear_sheet import wear_sheet
    from wearlog.present.wear.wear_words import difference_lines
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.wear.kind_view import machine_wear

    with opened(db) as store, store.reading() as connection, stretch():
        with stretch(last=_READ):
            farm = farm_from(connection, local_now())
        machine = pick(farm.machines, lambda one: one.name, name, "machine")
        with stretch(first=_READ):
            found = machine_wear(connection, farm, farm.machine_number(machine.id))
    outlook = found.outlook
    sheet = wear_sheet(outlook.kinds, farm.machines, outlook.ahead, Measures(farm.settings), machine=found.machine)

    def lines() -> list[str]:
        if not sheet.rows:
            return [sheet.empty]
        return [sheet.caption, *answer_lines(sheet, _room(), headed=True), "", *difference_lines(found.differ)]

    answer_sheet(sheet, as_json=as_json, save=save, lines=lines)


def _components(db: str, name: str, *, as_json: bool, save: str) -> None:
    from wearlog.logbook.names import pick
    from wearlog.present.digits import Measures
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.present.yard.machine_page import component_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.yard.machine_view import machine_view

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        machine = pick(farm.machines, lambda one: one.name, name, "machine")
        sheet = component_sheet(machine_view(connection, farm, machine.id), Measures(farm.settings))
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: answer_lines(sheet, _room(), headed=True))


def _kind(db: str, name: str, on_machine: str, *, in_words: bool, every: bool, as_json: bool, save: str) -> None:
    from wearlog.logbook.names import kind_named, pick
    from wearlog.present.digits import Measures
    from wearlog.present.wear.kind_explained import explained
    from wearlog.present.wear.kind_page import kind_json, kind_lines, kind_page
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.wear.kind_view import kind_view
    from wearlog.reckoning.wear.replacement_age import replacement_age
    from wearlog.store.histories import NONE

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        kind = kind_named(farm.part_kinds, name)
        number = farm.part_kinds.index(kind)
        machine = pick(farm.machines, lambda one: one.name, on_machine, "machine") if on_machine else None
        view = kind_view(connection, farm, number, NONE if machine is None else farm.machine_number(machine.id))
        age = replacement_age(connection, farm, view.row)
    page = kind_page(view, age, farm, Measures(farm.settings))

    def lines() -> list[str]:
        return explained(view, page.measures, _columns()) if in_words else kind_lines(page, _columns(), every=every)

    answer_sheet(page.parts, as_json=as_json, save=save, lines=lines, content=lambda: kind_json(page))


def _set_aside(db: str, name: str, without: Sequence[str], taken: Sequence[str]) -> None:
    """Keep what is left out of the reckoning of a kind, as a setting of the farm; said beside the answer."""
    from wearlog.facts.departures import read_departures
    from wearlog.logbook.farm.farm_setting import set_aside
    from wearlog.logbook.names import kind_named
    from wearlog.present.words import saved_lines
    from wearlog.reckoning.farm import read_farm

    out, back = (read_departures(",".join(one)) if one else frozenset() for one in (without, taken))
    if out is None or back is None or out & back:
        raise UsageError(
            "Nothing of that name can be set aside, or it is set aside and taken up at once.",
            f"There are: {', '.join(Departure)}.",
        )
    with opened(db) as store:
        farm = read_farm(store, local_now())
        kind = kind_named(farm.part_kinds, name)
        before = farm.settings.without(kind.name)
        if (now := (before | out) - back) != before:
            done = set_aside(store, kind.name, now)
            for line in saved_lines(done):
                tell(line)


def _repairs(db: str, kind: str | None, on_machine: str, *, as_json: bool, save: str) -> None:
    from wearlog.facts.closed_lists import MachineKind
    from wearlog.logbook.names import kind_named, pick
    from wearlog.present.digits import Measures
    from wearlog.present.wear.repair_sheet import of_machine, repair_lines, repair_sheet
    from wearlog.reckoning.farm import read_farm
    from wearlog.reckoning.wear.repairs_again import repairs_again
    from wearlog.store.histories import NONE

    with opened(db) as store:
        farm = read_farm(store, local_now())
    part_kind = None if kind is None else kind_named(farm.part_kinds, kind, "kind")
    machine = pick(farm.machines, lambda one: one.name, on_machine, "machine") if on_machine else None
    carriers = farm.machines
    if part_kind is not None:
        on = {one.machine_id for one in farm.components if one.part_kind_id == part_kind.id}
        carriers = tuple(one for one in farm.machines if one.id in on)
    # where the part cannot sit there are no breakages of it to count
    kinds = {one.kind for one in carriers if machine is None or one.id == machine.id}
    number = NONE if part_kind is None else farm.part_kinds.index(part_kind)
    every = (repairs_again(farm, one, number) for one in (MachineKind.COMBINE, MachineKind.HEADER) if one in kinds)
    found = [again for again in every if again is not None]
    if machine is not None:
        found = of_machine(found, machine.id)
    worked = "No machine has worked yet" if machine is None else "This machine has not worked yet"
    if part_kind is not None and not kinds:
        worked = f"No {part_kind.name} sits {'anywhere' if machine is None else f'on {machine.name}'}"
    nothing = f"{worked}, so there is nothing to count up."
    sheet = repair_sheet(found, Measures(farm.settings), none=nothing)
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: repair_lines(sheet, found, _room()))


def _life_table(
    file: Path, prior_life: Range | None, prior_shape: Range | None, survive: Range | None, *, as_json: bool
) -> None:
    from wearlog.exchange.life_table import read_life_table
    from wearlog.present.wear.life_table_words import life_table_json, life_table_lines
    from wearlog.reckoning.wear.life_table import answer_life_table

    table = read_life_table(file)
    found = answer_life_table(table.lives, prior_life, prior_shape, survive)
    answer(life_table_lines(found, table.ignored), as_json, lambda: life_table_json(found, table.ignored))
