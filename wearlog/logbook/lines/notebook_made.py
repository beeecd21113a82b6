"""What is made with a notebook since the log does not have it: machines, fields, crops, kinds; and the farm's words with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Ground, MachineKind, MeterKind, Subsystem
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter
from wearlog.facts.parts import PartKind
from wearlog.facts.plain_text import folded
from wearlog.facts.work import Crop, Field
from wearlog.logbook.farm.machines import METERS
from wearlog.logbook.plain_line import FarmWords
from wearlog.logbook.plain_line.phrases import KnownMeter
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.logbook.said.measures import AREAS, WIDTHS, measure
from wearlog.units import with_fraction

_HOW = (
    "Write it like --make 'East=header 35 ft', Ivy=combine, 'North=field 160 ac few stones', Canola=crop or "
    "'auger boot=kind header'."
)
_HOW_FIELD = "Write it like --make 'North=field 160 ac few stones'."
#: parts of these are worn by acres where nobody says otherwise, those of the engine by its hours (common practice, no source)
_BY_ACRES = frozenset({Subsystem.HEADER})
_BY_ENGINE = frozenset({Subsystem.ENGINE, Subsystem.FUEL, Subsystem.CAB, Subsystem.ELECTRICAL, Subsystem.GROUND_DRIVE})


def machine_to_make(text: str) -> Machine:
    """Read "East=header 35 ft" or "Ivy=combine" as a machine that is to be made.

    Raises
    ------
    UsageError
        When it says no name or no sort of machine.
    """
    name, _, what = text.partition("=")
    sort = what.split()[0].casefold() if what.split() else ""
    if not name.strip() or sort not in {one.value for one in MachineKind}:
        raise UsageError(f"'{text}' is no machine.", _HOW)
    width = what.split(maxsplit=1)[1:]
    return Machine(
        name=name.strip(),
        kind=MachineKind(sort),
        cut_width_micrometres=_width(text, width[0]) if width else None,
    )


def _width(text: str, said: str) -> int:
    return _measured(text, said, WIDTHS, _HOW)


def _area(text: str, said: str) -> int:
    return _measured(text, said, AREAS, _HOW_FIELD)


def _measured(text: str, said: str, units: tuple[str, ...], how: str) -> int:
    """Read all of what is said as one measure with its unit; half of a figure is none."""
    if said[-1].isdigit():
        raise UsageError(f"'{text}' says no unit of '{said}'.", how)
    try:
        return measure(said, units, "", with_fraction)
    except UsageError as error:
        raise UsageError(f"'{text}': {error.message}", how) from error


def facts_to_make(text: str) -> list[Fact]:
    """Read "East=header 35 ft", "North=field 160 ac few stones", "Canola=crop" or "auger boot=kind header" as what is to be made.

    Raises
    ------
    UsageError
        When it says no name, or nothing that can be made.
    """
    name, _, what = (one.strip() for one in text.partition("="))
    words = what.casefold().replace("_", " ").split()
    sort, rest = (words[0], " ".join(words[1:])) if words else ("", "")
    if name and sort == "crop" and not rest:
        return [Crop(name=name)]
    if name and sort == "field":
        ground = next((one for one in reversed(Ground) if rest.endswith(one.value.replace("_", " "))), None)
        area = rest.removesuffix(ground.value.replace("_", " ")).strip() if ground is not None else ""
        if ground is None or not area:
            raise UsageError(f"'{text}' says no size or no ground.", _HOW_FIELD)
        return [Field(name=name, area_square_metres=_area(text, area), ground=ground)]
    if name and sort == "kind":
        subsystem = next((one for one in Subsystem if one.value.replace("_", " ") == rest), None)
        if subsystem is None:
            listed = ", ".join(one.value.replace("_", " ") for one in Subsystem)
            raise UsageError(f"'{text}' does not say where such a part sits.", f"Say it behind kind: {listed}.")
        return [PartKind(name=folded(name), words=(), subsystem=subsystem, meter_kind=_meter(subsystem))]
    machine = machine_to_make(text)
    return [machine, *(Meter(machine_id=machine.id, kind=kind) for kind in METERS[machine.kind])]


def _meter(subsystem: Subsystem) -> MeterKind:
    if subsystem in _BY_ACRES:
        return MeterKind.AREA
    return MeterKind.ENGINE_HOURS if subsystem in _BY_ENGINE else MeterKind.SEPARATOR_HOURS


def with_made(farm: FarmWords, facts: Sequence[Fact]) -> FarmWords:
    """Return the words of a farm with what is still to be made."""
    machines = tuple(KnownMachine(one.id, one.name, one.kind, ()) for one in facts if isinstance(one, Machine))
    meters = tuple(KnownMeter(one.id, one.machine_id, one.kind) for one in facts if isinstance(one, Meter))
    kinds = [one for one in facts if isinstance(one, PartKind)]
    fields = tuple((one.id, one.name) for one in facts if isinstance(one, Field))
    crops = tuple((one.id, one.name) for one in facts if isinstance(one, Crop))
    there = {one.name for one in farm.vocabulary.machines} | {name for _, name in (*farm.fields, *farm.crops)}
    there |= {name for name, _ in farm.vocabulary.every_kind().values()}
    named = [one.name for one in machines] + [one.name for one in kinds] + [name for _, name in (*fields, *crops)]
    taken = next((one for one in named if one.casefold() in {name.casefold() for name in there}), "")
    if taken:
        raise UsageError(f"{taken} is in the log already.", "Leave it out of --make.")
    vocabulary = replace(
        farm.vocabulary,
        machines=(*farm.vocabulary.machines, *machines),
        kind_words=(*farm.vocabulary.kind_words, *((one.id, one.name, one.words) for one in kinds)),
    )
    return replace(
        farm,
        vocabulary=vocabulary,
        meters=(*farm.meters, *meters),
        fields=(*farm.fields, *fields),
        crops=(*farm.crops, *crops),
        subsystems={**farm.subsystems, **{one.id: one.subsystem for one in kinds}},
    )
