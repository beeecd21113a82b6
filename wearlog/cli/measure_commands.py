"""measure, limit: what wear was measured on a part, and how a kind of part is measured and when it is worn out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

import click

from wearlog.cli.figures import WHOLE, WholeBetween
from wearlog.cli.options import answer, command, local_now, moment, opened, tell, with_at, with_db, with_json
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Dimension
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.logbook.open_log import Store
    from wearlog.logbook.parts.measuring import MeasuredPlace, Tape
    from wearlog.logbook.parts.wear_limits import GaugeChange

_SHAPE = "wearlog measure MACHINE PLACE [POSITION] VALUE"


@command(
    "measure",
    examples=(
        "wearlog measure kestrel 'feeder chain' 19.9in",
        "wearlog measure kestrel 'feeder chain' 424mm --chain CA550 --pitches 10",
        "wearlog measure merlin 'drive chain' '387 mm' --pitches 20 --teeth 90",
        "wearlog measure north hold-downs 12 0.02in --at 'yesterday 18:00'",
        "wearlog measure kestrel concave 3/16in --json",
    ),
)
@click.argument("words", nargs=-1, required=True, metavar="MACHINE PLACE [POSITION] VALUE")
@click.option(
    "--chain", default="", metavar="NUMBER", help="Chain: its trade number (CA550, #60) or its pitch (1.63in)."
)
@click.option("--pitches", type=WholeBetween(1, 1000), help="Chain: over how many pitches you measured.")
@click.option(
    "--fixed-centres", is_flag=True, help="Chain: no take-up, parallel strands or smooth running: limit 1.5 %."
)
@click.option(
    "--teeth", type=WHOLE, metavar="N", help="Chain: teeth of the larger sprocket; beyond 66 the limit is 200/N %."
)
@with_at
@with_json
@with_db
def measure_command(
    words: tuple[str, ...],
    *,
    chain: str,
    pitches: int | None,
    fixed_centres: bool,
    teeth: int | None,
    at: str,
    as_json: bool,
    db: str,
) -> None:
    """Enter what you measured on a part: a length, gap, depth or thickness with its unit.

    A chain is measured pin centre to pin centre, taut, over 6 to 10 pitches or more without an offset link.
    """
    from wearlog.logbook.names import known_names, machine_named
    from wearlog.logbook.parts.measuring import Tape, one_position, place_named
    from wearlog.logbook.parts.wear_limits import chain_limit_percent, read_chain
    from wearlog.logbook.said.amounts import read_length

    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        machine, place, position, value = _parts(words)
        found = place_named(known, machine_named(known, machine), place)
        if found.component.positions == 1 and position and "/" in value:
            # 19 7/8in without quotes: a place that is there once has no position 19
            position, value = "", f"{position} {value}"
        tape = Tape(read_length(value, found.settings), pitches, read_chain(chain, found.settings) if chain else None)
        own_limit = None
        if fixed_centres or teeth is not None:
            if found.kind.dimension is not Dimension.LENGTH_OVER_PITCHES:
                raise UsageError(f"--fixed-centres and --teeth go with a chain; a {found.kind.name} is none.", "")
            own_limit = chain_limit_percent(teeth, fixed_centres=fixed_centres)
        which = one_position(found.component, int(position) if position else None)
        _measure(store, found, which, tape, at=moment(at, store), own_limit=own_limit, as_json=as_json)


#: "-3in" is to be told as a length below zero and not as an option that nobody knows
measure_command.context_settings["ignore_unknown_options"] = True


def _refuse_options(words: Sequence[str], name: str) -> None:
    """Refuse what looks like an option and is no value below zero."""
    unknown = next((one for one in words if one.startswith("-") and not one.lstrip("-")[:1].isdigit()), None)
    if unknown is not None:
        raise UsageError(f"No such option: {unknown}.", f"'wearlog {name} -h' shows how to write it.")


def _parts(words: tuple[str, ...]) -> tuple[str, str, str, str]:
    """Return machine, place, position ("" without) and value; a unit may stand apart from its number."""
    from wearlog.logbook.said.amounts import LENGTH_UNITS

    said = list(words)
    _refuse_options(said, "measure")
    if len(said) > 3 and said[-1].casefold() in LENGTH_UNITS:
        said[-2:] = [f"{said[-2]} {said[-1]}"]
    if len(said) == 5 and "/" in said[-1]:
        said[-2:] = [f"{said[-2]} {said[-1]}"]
    if not 3 <= len(said) <= 4:
        raise UsageError("Which machine, which part, and what does it measure?", f"Write it like: {_SHAPE}")
    position = said[2] if len(said) == 4 else ""
    if position and not position.lstrip("#").isdigit():
        raise UsageError(
            f"'{position}' is not a position.", f"Put a name of several words into quotes. The shape is: {_SHAPE}"
        )
    return said[0], said[1], position.lstrip("#"), said[-1]


def _measure(
    store: Store,
    found: MeasuredPlace,
    position: int,
    tape: Tape,
    *,
    at: datetime,
    own_limit: float | None,
    as_json: bool,
) -> None:
    from wearlog.logbook.parts.measuring import enter_measurement
    from wearlog.present.digits import Measures
    from wearlog.present.parts.measurement_words import (
        MeasuredAnswer,
        care_of,
        measured_answer_json,
        measured_answer_lines,
        measurement_saved,
        part_measured,
    )
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.wear.age_groups import outlook_basis

    done = enter_measurement(store, found, position, tape, at=at)
    # what cannot be was refused before the cautions, or it would be lost among them
    for caution in care_of(found.kind):
        tell(caution)
    with store.reading() as connection:
        farm = farm_from(connection, local_now())
        measured = outlook_basis(connection, farm).measured
    said = MeasuredAnswer(found, tape, done, own_limit, part_measured(measured, farm, measurement_saved(done)))
    measures = Measures(farm.settings)
    lines = [*measured_answer_lines(said, measures), "  'wearlog undo' takes it back."]
    answer(lines, as_json, lambda: measured_answer_json(said, measures))


_WHAT = {"gap": Dimension.GAP, "depth": Dimension.DEPTH, "thickness": Dimension.THICKNESS}


@command(
    "limit",
    examples=(
        "wearlog limit 'feeder conveyor chain'",
        "wearlog limit 'feeder conveyor chain' '1.5 %'",
        "wearlog limit 'drive chain' --teeth 90",
        "wearlog limit 'tailings elevator chain' --chain CA550 --pitches 12",
        "wearlog limit 'wear plate' 0.1in",
        "wearlog limit 'knife section' 2mm --what thickness --new 3mm",
    ),
)
@click.argument("words", nargs=-1, required=True, metavar="KIND [LIMIT]")
@click.option(
    "--what", type=click.Choice(list(_WHAT)), help="What is measured: it grows (gap, depth) or shrinks (thickness)."
)
@click.option("--new", "new", default="", metavar="VALUE", help="What a new one measures.")
@click.option(
    "--chain", default="", metavar="NUMBER", help="Chain: its trade number (CA550, #60) or its pitch (1.63in)."
)
@click.option("--pitches", type=WholeBetween(1, 1000), help="Chain: over how many pitches it is measured.")
@click.option("--fixed-centres", is_flag=True, help="Chain: no take-up, parallel strands or smooth running: 1.5 %.")
@click.option("--teeth", type=WHOLE, metavar="N", help="Chain: teeth of the larger sprocket; beyond 66 it is 200/N %.")
@with_json
@with_db
def limit_command(
    words: tuple[str, ...],
    *,
    what: str | None,
    new: str,
    chain: str,
    pitches: int | None,
    fixed_centres: bool,
    teeth: int | None,
    as_json: bool,
    db: str,
) -> None:
    """Show how the wear of a KIND of part is measured and its LIMIT, or set them: for every place where it sits.

    The limit of a chain may be an elongation ('1.5 %'). The machine's own book goes before what is listed here.
    """
    from wearlog.facts.parts import PartKind
    from wearlog.logbook.names import kind_named, known_names
    from wearlog.logbook.parts.wear_limits import set_gauge
    from wearlog.present.digits import Measures
    from wearlog.present.parts.measurement_words import gauge_json, gauge_lines

    kind, limit = _kind_and_limit(words)
    by_rule = fixed_centres or teeth is not None
    if limit and by_rule:
        raise UsageError(
            "A limit, or the rule that gives it: not both.", "Leave --fixed-centres and --teeth, or VALUE."
        )
    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        settings = known.farm
        found = kind_named(known.part_kinds, kind)
        done = None
        if limit or what or new or chain or pitches or by_rule:
            if by_rule and found.dimension is not Dimension.LENGTH_OVER_PITCHES and not chain:
                raise UsageError(f"--fixed-centres and --teeth go with a chain; a {found.name} is none.", "")
            asked = _Asked(limit, what, new, chain, pitches, teeth if by_rule else None, fixed_centres, by_rule)
            done = set_gauge(store, found, _gauge(asked, settings))
            found = next(fact for fact in done.facts if isinstance(fact, PartKind))
    said = [] if done is None else saved_lines(done)
    saved = {"saved": None if done is None else done.said, "entry": None if done is None else done.deed.id}
    places = tuple(one for one in known.components if one.part_kind_id == found.id)
    answer([*said, *gauge_lines(found, places, Measures(settings))], as_json, lambda: saved | gauge_json(found))


#: likewise "-3 %"
limit_command.context_settings["ignore_unknown_options"] = True


def _kind_and_limit(words: tuple[str, ...]) -> tuple[str, str]:
    """Return the kind and its limit, "" without; a unit may stand apart from its number."""
    _refuse_options(words, "limit")
    kind, *limit = words
    if len(limit) > 2 or (len(limit) == 2 and not limit[0].lstrip("-")[:1].isdigit()):
        raise UsageError(
            f"'{words[1]}' is not a limit.",
            "Put a name of several words into quotes: wearlog limit 'drive chain' '1.5 %'.",
        )
    return kind, " ".join(limit)


class _Asked(NamedTuple):
    """What was said of how a kind is measured, as it was typed."""

    limit: str
    what: str | None
    new: str
    chain: str
    pitches: int | None
    teeth: int | None
    fixed_centres: bool
    by_rule: bool


def _gauge(asked: _Asked, settings: FarmSettings) -> GaugeChange:
    from wearlog.logbook.parts.wear_limits import GaugeChange, chain_limit_percent, read_chain
    from wearlog.logbook.said.amounts import read_length

    if asked.by_rule:
        share: float | None = chain_limit_percent(asked.teeth, fixed_centres=asked.fixed_centres)
    else:
        share = _percent(asked.limit)
    return GaugeChange(
        dimension=_WHAT[asked.what] if asked.what else None,
        new_micrometres=read_length(asked.new, settings) if asked.new else None,
        limit_micrometres=read_length(asked.limit, settings) if asked.limit and share is None else None,
        limit_percent=share,
        pitch=read_chain(asked.chain, settings) if asked.chain else None,
        pitches=asked.pitches,
    )


def _percent(limit: str) -> float | None:
    """Read a limit that is an elongation; None for what is none."""
    if not limit.strip().endswith("%"):
        return None
    from wearlog.logbook.said.amounts import read_percent

    return read_percent(limit) / 100
