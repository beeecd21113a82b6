"""faults diagram, codes and meter: a machine's circuits, what a trouble code means, what a meter should show if all is sound."""

from __future__ import annotations

from pathlib import Path

import click

from wearlog.cli.fault_answer_commands import fault_view, tell_cautions, terminal_form
from wearlog.cli.figures import FIGURE, WHOLE, NumberBetween
from wearlog.cli.options import answer, answer_sheet, command, opened, piped, say, tell, with_db, with_json, with_save
from wearlog.errors import NotFoundError, UsageError
from wearlog.facts.closed_lists import CheckKind
from wearlog.present.words import saved_lines

_LARGEST_FILE = 1_000_000


@command(
    "diagram",
    examples=(
        "wearlog faults diagram --starts",
        "wearlog faults diagram merlin --start header",
        "wearlog faults diagram merlin",
        "wearlog faults diagram merlin --circuit header",
        "wearlog faults diagram merlin --text > merlin.txt",
        "wearlog faults diagram merlin --set merlin.txt",
        "wearlog faults diagram merlin --type '30 ft flex' --share",
        "wearlog faults diagram kestrel --type '30 ft flex'",
        "wearlog faults diagram kestrel --text > kestrel.txt",
        "wearlog faults diagram kestrel --set kestrel.txt --only-here",
        "wearlog faults diagram kestrel --as-type",
    ),
)
@click.argument("machine", required=False)
@click.option("--circuit", default="", help="Only this circuit, with what it hangs on.")
@click.option("--text", "as_text", is_flag=True, help="As the text to edit and to set again.")
@click.option(
    "--set", "file", default="", metavar="FILE", help="Enter or edit the diagram from a text file (- for stdin)."
)
@click.option("--start", default="", metavar="NAME", help="Put a starting diagram onto the machine.")
@click.option("--starts", is_flag=True, help="List the starting diagrams.")
@click.option("--type", "type_name", default="", metavar="NAME", help="Of which type the machine is, in your words.")
@click.option("--share", is_flag=True, help="Give its diagram to all machines of its type.")
@click.option("--unshare", is_flag=True, help="Make it this machine's own again.")
@click.option(
    "--only-here/--for-type",
    "only_here",
    default=None,
    help="A shared diagram: what is set counts for this machine alone, or for all of the type (usual).",
)
@click.option("--as-type", is_flag=True, help="Take back what differs on this machine.")
@click.option("--place", default="", metavar="NAME", help="With --as-type: at this place alone.")
@with_json
@with_db
def diagram_command(
    machine: str | None,
    *,
    circuit: str,
    as_text: bool,
    file: str,
    start: str,
    starts: bool,
    type_name: str,
    share: bool,
    unshare: bool,
    only_here: bool | None,
    as_type: bool,
    place: str,
    as_json: bool,
    db: str,
) -> None:
    """Draw what is known of MACHINE's circuits, or enter it: one node a line, indented under what feeds it.

    Machines of one type share a diagram once one of them gives its own (--share); what differs on a machine is set --only-here.
    """
    if starts:
        _list_starts(as_json=as_json)
        return
    if machine is None:
        raise UsageError("Which machine?", "Write it like: wearlog faults diagram kestrel")
    if sum((bool(file), bool(start), bool(share or type_name), unshare, as_type)) > 1:
        raise UsageError(
            "Several things at once?", "One after the other: each is an entry of its own, with its own undo."
        )
    if place and not as_type:
        raise UsageError("What of this place?", "--place goes with --as-type: what differs there is taken back.")
    if file or start:
        _draw_in(machine, file=file, start=start, circuit=circuit, only_here=only_here, db=db)
    elif only_here is not None:
        raise UsageError("What counts there?", "--only-here and --for-type go with --set FILE or --start NAME.")
    elif share or type_name:
        _share(machine, circuit=circuit, type_name=type_name, share=share, db=db)
    elif unshare or as_type:
        _take_back(machine, unshare=unshare, place=place, db=db)
    else:
        _show(machine, circuit=circuit, as_text=as_text, as_json=as_json, db=db)


def _share(machine: str, *, circuit: str, type_name: str, share: bool, db: str) -> None:
    from wearlog.logbook.faults.circuits import share_diagram
    from wearlog.logbook.names import known_names, machine_named

    with opened(db) as store:
        with store.reading() as connection:
            found = machine_named(known_names(connection), machine)
        done = share_diagram(store, found, circuit=circuit, type_name=type_name, share=share)
    say(saved_lines(done))


def _take_back(machine: str, *, unshare: bool, place: str, db: str) -> None:
    from wearlog.logbook.faults.circuits import take_back_differences, unshare_diagram
    from wearlog.logbook.names import known_names, machine_named

    with opened(db) as store:
        with store.reading() as connection:
            found = machine_named(known_names(connection), machine)
        done = unshare_diagram(store, found) if unshare else take_back_differences(store, found, place)
    say(saved_lines(done))


def _show(machine: str, *, circuit: str, as_text: bool, as_json: bool, db: str) -> None:
    from wearlog.logbook.names import known_names, machine_named
    from wearlog.present.faults.meter_sheet import diagram_json, diagram_lines, diagram_text
    from wearlog.reckoning.faults.fault_list import diagram_of

    with fault_view(db) as (connection, _, log):
        diagram = diagram_of(log, machine_named(known_names(connection), machine), circuit)
    width, ascii_only = terminal_form()
    lines = (
        diagram_text(diagram).splitlines() if as_text else diagram_lines(diagram, width=width, ascii_only=ascii_only)
    )
    answer(lines, as_json, lambda: diagram_json(diagram))


def _draw_in(machine: str, *, file: str, start: str, circuit: str, only_here: bool | None, db: str) -> None:
    from wearlog.logbook.faults.circuits import bring_in_diagram, circuit_on, put_starting_diagram
    from wearlog.logbook.names import known_names, machine_named
    from wearlog.present.faults.meter_sheet import gap_lines

    text = _read(file) if file else ""
    with opened(db) as store:
        with store.reading() as connection:
            found = machine_named(known_names(connection), machine)
        if file:
            done = bring_in_diagram(store, found, text, circuit=circuit, only_here=only_here)
        else:
            done = put_starting_diagram(store, found, start, circuit=circuit, only_here=only_here)
        with store.reading() as connection:
            missing = gap_lines(circuit_on(connection, found.id))
    say(saved_lines(done))
    for line in missing:
        tell(line)


def _read(file: str) -> str:
    if file == "-":
        return piped(_LARGEST_FILE)
    path = Path(file)
    try:
        return path.read_text(encoding="utf-8-sig")[:_LARGEST_FILE]
    except FileNotFoundError as error:
        raise NotFoundError(f"There is no file {file}.", "Look at its name.") from error
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"{file} cannot be read as text.", "Save it as plain text (UTF-8).") from error


def _list_starts(*, as_json: bool) -> None:
    from wearlog.faults.starting_diagrams import STARTING_DIAGRAMS

    lines = [
        f"{one.name}: for a {one.machine_kind}, {len(one.circuit().nodes)} nodes; {one.label}"
        for one in STARTING_DIAGRAMS
    ]
    answer(
        lines,
        as_json,
        lambda: {
            "starting_diagrams": [
                {"name": one.name, "machine_kind": one.machine_kind, "evidence": one.evidence, "text": one.text}
                for one in STARTING_DIAGRAMS
            ]
        },
    )


@command(
    "codes",
    examples=(
        "wearlog faults codes 639/9",
        "wearlog faults codes 'SPN 168 FMI 18'",
        "wearlog faults codes 5",
        "wearlog faults codes",
    ),
)
@click.argument("code", required=False)
@with_save
@with_json
def codes_command(code: str | None, *, as_json: bool, save: str) -> None:
    """Say what a code by the open standard means (SPN/FMI, or an FMI alone); without one list all failure modes."""
    from wearlog.faults.codes import FAILURE_MODES, failure_mode, parse_code
    from wearlog.present.faults.meter_sheet import code_lines, mode_sheet

    if code is None:
        answer_sheet(mode_sheet(FAILURE_MODES), as_json=as_json, save=save)
    elif code.strip().isdecimal():
        answer_sheet(mode_sheet((failure_mode(int(code)),)), as_json=as_json, save=save)
    else:
        read = parse_code(code)
        sheet = mode_sheet((read.failure_mode,), (read,))
        answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: code_lines(read))


@command(
    "meter",
    examples=(
        "wearlog faults meter",
        "wearlog faults meter --volts 12.3",
        "wearlog faults meter --gauge 16 --loop 40 --amps 10",
        "wearlog faults meter --fuse 15 --colour blue",
    ),
)
@click.option("--volts", type=FIGURE, help="Of a battery at rest: how full it is.")
@click.option(
    "--nominal", type=click.Choice(["12", "24"]), default="12", show_default=True, help="Volts of the machine."
)
@click.option("--gauge", type=WHOLE, help="Wire gauge, AWG 10 to 20: what a sound wire loses.")
@click.option("--loop", type=NumberBetween(min=0), help="Feet of wire, there and back.")
@click.option("--amps", type=NumberBetween(min=0), help="Current that the load takes.")
@click.option("--celsius", type=FIGURE, default=20.0, show_default=True, help="How warm the wire is.")
@click.option("--stranded", is_flag=True, help="Stranded wire (published for even gauges).")
@click.option("--fuse", type=NumberBetween(min=0), help="Amperes printed on a blade fuse: whether its colour fits.")
@click.option("--colour", default="", help="The colour of that fuse.")
@click.option("--maxi", is_flag=True, help="It is a large blade.")
@with_json
def meter_command(
    *,
    volts: float | None,
    nominal: str,
    gauge: int | None,
    loop: float | None,
    amps: float | None,
    celsius: float,
    stranded: bool,
    fuse: float | None,
    colour: str,
    maxi: bool,
    as_json: bool,
) -> None:
    """Say what a meter shows where nothing is wrong. Reads no log."""
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.faults.cautions import cautions_for
    from wearlog.faults.fuses import FuseForm
    from wearlog.present.digits import Measures
    from wearlog.present.faults.meter_sheet import battery_sentence, fuse_sentence, meter_sheet, wire_sentence

    said = []
    if volts is not None:
        said.append(battery_sentence(volts, int(nominal)))
    if gauge is not None:
        if loop is None or amps is None:
            raise UsageError("How long is the wire, and what does the load take?", "Give --loop 40 --amps 10.")
        said.append(wire_sentence(gauge, loop, amps, celsius=celsius, stranded=stranded))
    if fuse is not None:
        if not colour:
            raise UsageError("Which colour has it?", "Give --colour blue.")
        said.append(fuse_sentence(round(fuse * 1000), colour, FuseForm.MAXI if maxi else FuseForm.STANDARD))
    if said and as_json:
        raise UsageError("--json gives the list.", "Leave out the rest.")
    # no file, as for the next checks of a fault: the cautions stand before what is measured
    tell_cautions(cautions_for(kind=CheckKind.VOLTAGE_DROP))
    if said:
        say(said)
    else:
        answer_sheet(meter_sheet(Measures(FarmSettings())), as_json=as_json)
