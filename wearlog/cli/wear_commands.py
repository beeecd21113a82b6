"""wear: how often parts break and how old they are."""

from __future__ import annotations

import click

from wearlog.cli.options import answer, command, local_now, with_db, with_json
from wearlog.logbook.doors import opened


@command("wear", examples=("wearlog wear", "wearlog wear 'knife section'", "wearlog wear --json"))
@click.argument("kind", required=False)
@with_json
@with_db
def wear_command(kind: str | None, *, as_json: bool, db: str) -> None:
    """Show breakages per 1,000 acres by kind of part, or one KIND with its components and their ages."""
    from wearlog.logbook.names import pick
    from wearlog.present.digits import Measures
    from wearlog.present.wear_words import component_lines, wear_json, wear_lines
    from wearlog.reckoning.farm import read_farm
    from wearlog.reckoning.wear_table import wear_table

    with opened(db) as store:
        farm = read_farm(store, local_now())
    measures = Measures(farm.settings)
    rows = wear_table(farm)
    if kind is None:
        answer(wear_lines(rows, measures), as_json, lambda: wear_json(rows, farm.machines, measures))
        return
    row = pick(rows, lambda one: one.name, kind, "kind of part")
    lines = [*wear_lines([row], measures), "", *component_lines(row, farm.machines, measures)]
    answer(lines, as_json, lambda: wear_json([row], farm.machines, measures))
