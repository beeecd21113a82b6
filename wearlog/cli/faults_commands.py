"""faults: the list of electrical faults, and the group of its subcommands, three modules of which stand beside.

What is told of a fault beside its signs (tell, undone, put-back) is here too.
"""

from __future__ import annotations

from importlib import import_module
from typing import Final, NamedTuple

import click

from wearlog.cli.fault_entry_commands import fault_meant
from wearlog.cli.options import (
    answer_sheet,
    command,
    local_now,
    moment,
    opened,
    say,
    with_at,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import UsageError
from wearlog.facts.electrics import Answer, Opened, OthersTried
from wearlog.present.words import saved_lines


class _Sub(NamedTuple):
    module: str
    about: str


#: name -> where it is and its line of help, in the order in which a fault goes
SUBCOMMANDS: Final = {
    "open": _Sub("fault_entry", "open one: machine, title, signs, conditions"),
    "sign": _Sub("fault_entry", "add a sign or a condition"),
    "tell": _Sub("faults", "answer what costs nothing: others tried, is it there now, who takes it up"),
    "suspects": _Sub("fault_answer", "who did it, in per cent"),
    "next": _Sub("fault_answer", "which check to do next, and what to expect"),
    "check": _Sub("fault_entry", "note a check"),
    "undone": _Sub("faults", "keep what was unplugged or taken out"),
    "put-back": _Sub("faults", "note that it is put back"),
    "close": _Sub("fault_entry", "note what it was, and close it"),
    "trail": _Sub("fault_answer", "over the seasons: how often, what it cost, has the fix held"),
    "diagram": _Sub("fault_diagram", "draw a machine's circuits, enter or edit them"),
    "meter": _Sub("fault_diagram", "what a meter shows where nothing is wrong; wire, battery, fuse"),
    "codes": _Sub("fault_diagram", "what a code by the open standard (SPN/FMI) means"),
}

_EXAMPLES: Final = (
    "wearlog faults",
    "wearlog faults --open",
    "wearlog faults open kestrel 'header fuse blows' --sign 'header fuse blew on movement' --when 'header raised'",
    "wearlog faults next 1",
)


class _FaultGroup(click.Group):
    """A group that loads a subcommand's module when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(SUBCOMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in SUBCOMMANDS:
            return None
        module = import_module(f"wearlog.cli.{SUBCOMMANDS[cmd_name].module}_commands")
        command: click.Command = getattr(module, f"{cmd_name.replace('-', '_')}_command")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, sub.about) for name, sub in SUBCOMMANDS.items()])


@click.group(
    "faults",
    cls=_FaultGroup,
    invoke_without_command=True,
    epilog="\b\nExamples:\n" + "\n".join(f"  {example}" for example in _EXAMPLES),
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.option("--open", "only_open", is_flag=True, help="Only those that are open.")
@with_save
@with_json
@with_db
@click.pass_context
def faults_command(ctx: click.Context, *, only_open: bool, as_json: bool, save: str, db: str) -> None:
    """List electrical faults, the open ones first; a number, or the beginning of a title, names one in the commands below."""
    if ctx.invoked_subcommand is not None:
        if only_open or as_json or save or db:
            name = ctx.invoked_subcommand
            raise UsageError(
                "The options stand in the wrong place.", f"Write them behind it: wearlog faults {name} ..."
            )
        return
    from wearlog.present.digits import Measures
    from wearlog.present.faults.fault_sheet import fault_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.faults.fault_list import fault_lines

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        rows = fault_lines(connection, farm)
    names = {machine.id: machine.name for machine in farm.machines}
    sheet = fault_sheet(rows, names, Measures(farm.settings), only_open=only_open)
    answer_sheet(sheet, as_json=as_json, save=save)


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
    from wearlog.logbook.faults.faulting import tell_more

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
    from wearlog.logbook.faults.faulting import note_undone

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
    from wearlog.logbook.faults.faulting import put_back

    with opened(db) as store:
        done = put_back(store, fault_meant(store, fault), node, at=moment(at, store))
    say(saved_lines(done))
