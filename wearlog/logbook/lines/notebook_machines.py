"""Machines that a notebook names and the log does not have: what they are, and the words of the farm with them in it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter
from wearlog.logbook.farm.machines import METERS
from wearlog.logbook.plain_line import FarmWords
from wearlog.logbook.plain_line.farm_words import KnownMeter
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.units import to_stored

_WIDTH = re.compile(r"(\d+(?:\.\d+)?)\s*(ft|m)\b")


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
        raise UsageError(f"'{text}' is no machine.", "Write it like --make 'East=header 35 ft' or --make Ivy=combine.")
    width = _WIDTH.search(what.casefold())
    return Machine(
        name=name.strip(),
        kind=MachineKind(sort),
        cut_width_micrometres=to_stored(Decimal(width[1]), width[2]) if width is not None else None,
    )


def machine_facts(machines: Sequence[Machine]) -> list[Fact]:
    """Return the machines with their meters."""
    return [
        fact for one in machines for fact in (one, *(Meter(machine_id=one.id, kind=kind) for kind in METERS[one.kind]))
    ]


def with_machines(farm: FarmWords, facts: Sequence[Fact]) -> FarmWords:
    """Return the words of a farm with machines that are still to be made."""
    machines = tuple(KnownMachine(one.id, one.name, one.kind, ()) for one in facts if isinstance(one, Machine))
    meters = tuple(KnownMeter(one.id, one.machine_id, one.kind) for one in facts if isinstance(one, Meter))
    there = {one.name.casefold() for one in farm.vocabulary.machines}
    taken = next((one.name for one in machines if one.name.casefold() in there), "")
    if taken:
        raise UsageError(f"{taken} is in the log already.", "Leave it out of --make.")
    vocabulary = replace(farm.vocabulary, machines=(*farm.vocabulary.machines, *machines))
    return replace(farm, vocabulary=vocabulary, meters=(*farm.meters, *meters))
