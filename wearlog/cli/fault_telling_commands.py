"""faults tell, undone, put-back: what is told of a fault beside its signs, and what must be put back before the start."""

from __future__ import annotations

import click

from wearlog.cli.fault_entry_commands import fault_meant
from wearlog.cli.options import command, moment, say, with_at, with_db
from wearlog.facts.electrics import Answer, Opened, OthersTried
from wearlog.logbook.doors import opened
from wearlog.present.words import saved_lines

OTHERS = {one.value.replace("_", "-"): one for one in OthersTried}
PRESENT = {one.value.replace("_", "-"): one for one in Answer}
_UNDONE = {one.value.replace("_", "-"): one for one in Opened}


@command(
    "tell",
    examples=(
        "wearlog faults tell 1 --others all-fine --present yes",
        "wearlog faults tell 1 --worked-on 'header plug' --all-conditions",
        "wearlog faults tell 1 --present no --note 'dry again, works since noon'",
    ),
)
@click.argument("fault")
@click.option("--others", type=click.Choice(list(OTHERS)), help="Of the loads that nobody named.")
@click.option("--present", type=click.Choice(list(PRESENT)), help="Whether it is there now; a new visit begins.")
@click.option(
    "--worked-on", default="", metavar="PLACE", help="What was worked on since it last ran right, or nothing."
)
@click.option("--all-conditions", is_flag=True, help="It shows under no condition but those that were noted.")
@click.option("--taken-up-by", "person", default="", metavar="NAME", help="Who takes it up now.")
@click.option("--note", default="", help="For whoever takes it up next.")
@with_at
@with_db
def tell_command(
    fault: str,
    *,
    others: str | None,
    present: str | None,
    worked_on: str,
    all_conditions: bool,
    person: str,
    note: str,
    at: str,
    db: str,
) -> None:
    """Answer what 'faults next' asks first of an open FAULT; each answer moves the suspects and costs nothing."""
    from wearlog.logbook.faults.fault_sentences import ToldMore
    from wearlog.logbook.faults.telling import tell_more

    told = ToldMore(
        others=OTHERS[others] if others else None,
        present=PRESENT[present] if present else None,
        worked_on=worked_on,
        all_conditions=all_conditions,
        person=person,
        note=note,
    )
    with opened(db) as store:
        done = tell_more(store, fault_meant(store, fault), told, at=moment(at, store))
    say(saved_lines(done))


@command(
    "undone",
    examples=(
        "wearlog faults undone 1 unplugged 'header plug'",
        "wearlog faults undone 1 battery-lead-off",
    ),
)
@click.argument("fault")
@click.argument("what", type=click.Choice(list(_UNDONE)))
@click.argument("node", required=False, default="", metavar="[PLACE]")
@click.option("--note", default="", help="Anything that whoever puts it back should know.")
@with_at
@with_db
def undone_command(fault: str, what: str, node: str, *, note: str, at: str, db: str) -> None:
    """Keep WHAT was undone on the machine for FAULT: 'faults next' and closing it say so until it is put back."""
    from wearlog.logbook.faults.telling import note_undone

    with opened(db) as store:
        done = note_undone(store, fault_meant(store, fault), _UNDONE[what], node, note=note, at=moment(at, store))
    say(saved_lines(done))


@command("put-back", examples=("wearlog faults put-back 1 'header plug'", "wearlog faults put-back 1"))
@click.argument("fault")
@click.argument("node", required=False, default="", metavar="[PLACE]")
@with_at
@with_db
def put_back_command(fault: str, node: str, *, at: str, db: str) -> None:
    """Note that what was undone for FAULT is put back: all of it, or what was undone at PLACE."""
    from wearlog.logbook.faults.telling import put_back

    with opened(db) as store:
        done = put_back(store, fault_meant(store, fault), node, at=moment(at, store))
    say(saved_lines(done))
