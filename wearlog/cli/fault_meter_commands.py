"""faults meter: what a meter should show, what a sound wire loses, how full a battery is, whether a fuse's colour fits."""

from __future__ import annotations

import click

from wearlog.cli.fault_answer_commands import tell_cautions
from wearlog.cli.options import answer_sheet, command, say, with_json
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import CheckKind


@command(
    "meter",
    examples=(
        "wearlog faults meter",
        "wearlog faults meter --volts 12.3",
        "wearlog faults meter --gauge 16 --loop 40 --amps 10",
        "wearlog faults meter --fuse 15 --colour blue",
    ),
)
@click.option("--volts", type=float, help="Of a battery at rest: how full it is.")
@click.option(
    "--nominal", type=click.Choice(["12", "24"]), default="12", show_default=True, help="Volts of the machine."
)
@click.option("--gauge", type=int, help="Wire gauge, AWG 10 to 20: what a sound wire loses.")
@click.option("--loop", type=click.FloatRange(min=0), help="Feet of wire, there and back.")
@click.option("--amps", type=click.FloatRange(min=0), help="Current that the load takes.")
@click.option("--celsius", type=float, default=20.0, show_default=True, help="How warm the wire is.")
@click.option("--stranded", is_flag=True, help="Stranded wire (published for even gauges).")
@click.option("--fuse", type=click.FloatRange(min=0), help="Amperes printed on a blade fuse: whether its colour fits.")
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
