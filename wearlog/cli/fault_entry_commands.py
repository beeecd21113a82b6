"""faults open, sign, check, close: entering a fault as it goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.fault_answer_commands import CHECK_KINDS, WITHOUT_PLACE, fault_view, opening_lines, tell_cautions
from wearlog.cli.figures import NumberBetween
from wearlog.cli.options import asked, command, moment, opened, say, with_at, with_db, with_yes
from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, FaultMode, FixEvidence
from wearlog.facts.electrics import Fault, Supplied
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.logbook.open_log import Store

_VERDICTS = {verdict.value.replace("_", "-"): verdict for verdict in CheckVerdict}
_MODES = {mode.value.replace("_", "-"): mode for mode in FaultMode if mode is not FaultMode.NOT_FOUND}
_SUPPLIED = {one.value.replace("_", "-"): one for one in Supplied}
_HELD = {"in-hand": "in_hand", "socket": "socket", "opened": "opened"}
_EVIDENCE = {one.value.replace("_", "-"): one for one in FixEvidence}

_with_signs = click.option(
    "--sign", "signs", multiple=True, metavar="SIGN", help='"PLACE dead", "PLACE works", "fuse blew at once", "639/9".'
)
_with_conditions = click.option(
    "--when", "conditions", multiple=True, metavar="CONDITION", help="When it shows: rain, rough ground, header raised."
)


@command(
    "open",
    examples=(
        "wearlog faults open kestrel 'header fuse blows when the header moves' --sign 'header fuse blew on movement' "
        "--sign 'reel lift valve dead' --sign 'left work light works' --when 'header raised' --when 'rough ground'",
        "wearlog faults open merlin 'controllers drop off' --sign '639/9 at engine controller'",
    ),
)
@click.argument("machine")
@click.argument("title")
@_with_signs
@_with_conditions
@click.option("--circuit", default="", help="Which circuit; else that of the first place named.")
@click.option("--note", default="", help="Anything worth keeping.")
@with_yes
@with_at
@with_db
def open_command(
    machine: str,
    title: str,
    *,
    signs: tuple[str, ...],
    conditions: tuple[str, ...],
    circuit: str,
    note: str,
    yes: bool,
    at: str,
    db: str,
) -> None:
    """Open a fault on MACHINE with what was seen, and say whether it is one that has come back."""
    from wearlog.faults.cautions import ELECTRICAL_CAUTIONS
    from wearlog.logbook.faults.faulting import open_fault
    from wearlog.logbook.names import known_names, machine_named

    with opened(db) as store:
        with store.reading() as connection:
            found = machine_named(known_names(connection), machine)
        when = moment(at, store)
        more, shown = {"circuit": circuit, "note": note}, ", ".join(conditions)
        done = asked(
            lambda sure: open_fault(store, found, title, at=when, conditions=shown, signs=signs, sure=sure, **more),
            yes=yes,
        )
        if done is None:
            return
        fault = next(fact for fact in done.facts if isinstance(fact, Fault))
    tell_cautions(ELECTRICAL_CAUTIONS)
    say([*saved_lines(done), *_known_before(fault, db)])


def _known_before(fault: Fault, db: str) -> list[str]:
    from wearlog.present.digits import Measures
    from wearlog.reckoning.faults.fault_case import fault_case

    with fault_view(db) as (_, farm, log):
        number = log.number(fault)
        try:
            before = opening_lines(fault_case(log, farm, fault), Measures(farm.settings))
        except WearlogError as error:
            # it is saved: what cannot be told about it must not look like a failure to save
            return [f"It is fault {number}. {error.message}", f"  {error.hint}"]
    return [*before, f"It is fault {number}: 'wearlog faults next {number}' says what to check first."]


@command(
    "sign",
    examples=("wearlog faults sign 1 'stubble lights dead'", "wearlog faults sign 1 'fuse whole' --when rain"),
)
@click.argument("fault")
@click.argument("signs", nargs=-1)
@_with_conditions
@with_yes
@with_db
def sign_command(fault: str, signs: tuple[str, ...], *, conditions: tuple[str, ...], yes: bool, db: str) -> None:
    """Add what was seen to an open FAULT: "PLACE dead", "PLACE flickers", "PLACE works", "fuse blew later", "639/9 at PLACE"."""
    from wearlog.logbook.faults.faulting import add_signs

    with opened(db) as store:
        seen, shown = fault_meant(store, fault), ", ".join(conditions)
        done = asked(lambda sure: add_signs(store, seen, signs, conditions=shown, sure=sure), yes=yes)
    if done is not None:
        say(saved_lines(done))


@command(
    "check",
    examples=(
        "wearlog faults check 1 unplug 'header plug' good --minutes 5",
        "wearlog faults check 1 voltage 'engine plug' --measured '0.2 V'",
        "wearlog faults check 1 voltage 'battery' --measured '12.4 V' --state key-on",
        "wearlog faults check 1 voltage 'header plug' --measured '8 V' --battery 12.4 --state key-on --load on",
        "wearlog faults check 1 try-it 'stubble lights' good",
        "wearlog faults check 1 lamp 'header plug' good --in-place-of 'header fuse'",
        "wearlog faults check 1 resistance 'data line plug' --held opened --side 'data line rear'",
        "wearlog faults check 1 beyond good --measured 'no kit, no radio'",
        "wearlog faults check 1 look 'feeder harness' bad --measured 'chafed to the copper behind the clamp'",
        "wearlog faults check 1 swap 'header relay' good",
    ),
)
@click.argument("fault")
@click.argument("kind", type=click.Choice(list(CHECK_KINDS)))
@click.argument("node", metavar="[PLACE]", required=False, default="")
@click.argument("verdict", required=False, type=click.Choice(list(_VERDICTS)))
@click.option("--state", type=click.Choice(list(_SUPPLIED)), help="Of the machine when the meter was read.")
@click.option("--load", type=click.Choice(["on", "off"]), help="Whether the load ran while it was read.")
@click.option("--battery", default="", metavar="VOLTS", help="What the battery itself showed in the same state.")
@click.option("--in-place-of", default="", metavar="FUSE", help="Of a lamp: the fuse in whose place it is.")
@click.option(
    "--held",
    type=click.Choice(list(_HELD)),
    help="Of a data line: a terminator in the hand, its empty socket, an opened plug.",
)
@click.option(
    "--side", default="", metavar="PLACE", help="Of an opened plug: the next place on the side that shows 0 ohm."
)
@click.option("--measured", default="", metavar="TEXT", help="What was read or seen: '0.3 V', 'green pins'.")
@click.option("--minutes", type=NumberBetween(min=0, max=10_000), help="How long it took.")
@with_yes
@with_at
@with_db
def check_command(
    fault: str,
    kind: str,
    node: str,
    verdict: str | None,
    *,
    state: str | None,
    load: str | None,
    battery: str,
    in_place_of: str,
    held: str | None,
    side: str,
    measured: str,
    minutes: float | None,
    yes: bool,
    at: str,
    db: str,
) -> None:
    """Note a check of an open FAULT: what was done, at which PLACE, and whether that was good or bad.

    Without a verdict the measured number decides where a published rule judges it. A swap or a repair that changed nothing is
    noted as "swap PLACE good". A look beyond the diagram and trying to make it happen need no PLACE.
    """
    if node in _VERDICTS and verdict is None and CHECK_KINDS[kind] in WITHOUT_PLACE:
        node, verdict = "", node
    from wearlog.logbook.faults.checking import note_check
    from wearlog.logbook.faults.fault_sentences import CheckEntry

    entry = CheckEntry(
        kind=CHECK_KINDS[kind],
        node=node,
        measured=measured,
        verdict=_VERDICTS[verdict] if verdict else None,
        duration_seconds=None if minutes is None else round(minutes * 60),
        supplied=_SUPPLIED[state] if state else None,
        load_on=None if load is None else load == "on",
        battery_volts=_volts(battery),
        second=side or in_place_of,
        held=_HELD[held] if held else "",
    )
    with opened(db) as store:
        checked = fault_meant(store, fault)
        when = moment(at, store)
        done = asked(lambda sure: note_check(store, checked, entry, at=when, sure=sure), yes=yes)
    if done is None:
        return
    say([*saved_lines(done), *_what_it_says(checked, db)])


def _volts(text: str) -> float | None:
    from wearlog.faults.measured_text import measured_number

    volts = measured_number(text, "V") if text else None
    if text and (volts is None or volts <= 0):
        raise UsageError(f"'{text}' is no voltage.", "Give what the battery showed: --battery 12.4")
    return volts


def _what_it_says(fault: Fault, db: str) -> list[str]:
    """What the reading that was just noted says by itself."""
    from wearlog.faults.line_halving import is_opened
    from wearlog.present.faults.how_to_measure import lamp_sentence, opened_sentence, reading_lines
    from wearlog.reckoning.faults.fault_case import fault_case

    with fault_view(db) as (_, farm, log):
        try:
            case = fault_case(log, farm, next(one for one in log.faults if one.id == fault.id)).suspects.case
        except WearlogError:
            return []
    last = case.results[-1] if case.results else None
    if last is not None and is_opened(last.check) and last.verdict is not CheckVerdict.UNCLEAR:
        return [f"  {opened_sentence(last.check)}"]
    if last is not None and last.check.kind is CheckKind.LAMP:
        said = lamp_sentence(case.circuit, last.check, last.verdict)
        return [f"  {said}"] if said else []
    if last is None or last.reading is None or case.circumstances is None:
        return []
    return [
        f"  {line}" for line in reading_lines(case.circuit, last.check, last.reading, case.circumstances.nominal_volts)
    ]


@command(
    "close",
    examples=(
        "wearlog faults close 1 'feeder harness' short-to-ground --fix 'sleeved, clamp moved off the edge' --fuse 15",
        "wearlog faults close 2 --fix 'dried the plug'",
    ),
)
@click.argument("fault")
@click.argument("node", required=False, default="", metavar="[PLACE]")
@click.argument("mode", required=False, type=click.Choice(list(_MODES)))
@click.option("--fix", default="", help="What was done.")
@click.option("--evidence", type=click.Choice(list(_EVIDENCE)), help="What that rests on; else the checks say.")
@click.option("--fuse", default="", metavar="AMPERES", help="The fuse that was put in: the same rating and no other.")
@with_yes
@with_at
@with_db
def close_command(
    fault: str, node: str, mode: str | None, *, fix: str, evidence: str | None, fuse: str, yes: bool, at: str, db: str
) -> None:
    """Note what FAULT was and close it; without PLACE it was not found. Says whether the fix will have to prove itself."""
    from wearlog.logbook.faults.fault_sentences import FindingEntry
    from wearlog.logbook.faults.faulting import close_fault
    from wearlog.units import milliamperes

    entry = FindingEntry(
        node=node,
        mode=_MODES[mode] if mode else FaultMode.NOT_FOUND,
        fix=fix,
        evidence=_EVIDENCE[evidence] if evidence else None,
        fuse_milliamperes=milliamperes(fuse) if fuse else None,
    )
    with opened(db) as store:
        closing = fault_meant(store, fault)
        when = moment(at, store)
        done = asked(lambda sure: close_fault(store, closing, entry, at=when, sure=sure), yes=yes)
    if done is None:
        return
    say([*saved_lines(done), *_after_closing(closing, db)])


def _after_closing(fault: Fault, db: str) -> list[str]:
    from wearlog.present.digits import Measures
    from wearlog.present.faults.fault_case_words import undone_words
    from wearlog.present.faults.fault_trail_sheet import heading, held_sentence
    from wearlog.reckoning.faults.fault_case import case_undone
    from wearlog.reckoning.faults.fault_trail import trail_of

    with fault_view(db) as (connection, farm, log):
        try:
            trail = trail_of(connection, log, farm, next(one for one in log.faults if one.id == fault.id))
        except WearlogError as error:
            return [error.message, f"  {error.hint}"]
        undone = case_undone(log, fault)
    measures = Measures(farm.settings)
    left = [undone_words(one, log.number(fault), measures) for one in undone]
    return [f"{heading(trail)}.", held_sentence(trail, measures), *left]


def fault_meant(store: Store, text: str) -> Fault:
    """Return the fault that a person names. Errors as `fault_named`."""
    from wearlog.reckoning.faults.fault_log import fault_named, read_fault_log

    with store.reading() as connection:
        return fault_named(read_fault_log(connection), text)
