"""Finding what a person names: a machine, field, crop, part or kind by its name or a unique beginning of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from difflib import get_close_matches
from typing import TypeVar

from wearlog.errors import NotFoundError, UsageError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.electrics import CircuitNode
from wearlog.facts.machines import Machine, Meter
from wearlog.facts.parts import Part, PartKind
from wearlog.facts.planning import SeasonPlan
from wearlog.facts.service import ServiceItem
from wearlog.facts.wearing import Component
from wearlog.facts.work import Crop, Field, Season
from wearlog.logbook.known_names import KnownNames
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

T = TypeVar("T")


def known_names(connection: Connection) -> KnownNames:
    """Read the small tables whose rows people name."""
    return KnownNames(
        machines=tuple(find_all(connection, Machine)),
        meters=tuple(find_all(connection, Meter)),
        fields=tuple(find_all(connection, Field)),
        crops=tuple(find_all(connection, Crop)),
        seasons=tuple(find_all(connection, Season)),
        part_kinds=tuple(find_all(connection, PartKind)),
        parts=tuple(find_all(connection, Part)),
        components=tuple(find_all(connection, Component)),
        service_items=tuple(find_all(connection, ServiceItem)),
        circuit_nodes=tuple(find_all(connection, CircuitNode)),
        season_plans=tuple(find_all(connection, SeasonPlan)),
        settings=tuple(find_all(connection, Setting)),
    )


def pick(rows: Iterable[T], name_of: Callable[[T], str], text: str, what: str) -> T:
    """Return the one row that `text` names: exactly, or by the beginning of its name or of a word of it, in any case.

    Raises
    ------
    NotFoundError
        When nothing begins so; the hint names the nearest.
    UsageError
        When several do; the hint lists them.
    """
    rows = list(rows)
    wanted = text.strip().casefold()
    exact = [row for row in rows if name_of(row).casefold() == wanted]
    found = exact or [row for row in rows if _begins(name_of(row).casefold(), wanted)]
    if len(found) == 1:
        return found[0]
    if found:
        names = ", ".join(f"'{name_of(row)}'" for row in found[:6])
        raise UsageError(f"'{text}' could be any of {len(found)} {what}s.", f"Write more of the name: {names}.")
    raise NotFoundError(f"There is no {what} '{text}'.", _nearest(wanted, [name_of(row) for row in rows]))


def _begins(name: str, wanted: str) -> bool:
    return bool(wanted) and (name.startswith(wanted) or any(word.startswith(wanted) for word in name.split()))


def _nearest(wanted: str, names: Sequence[str]) -> str:
    if not names:
        return "None has been entered yet."
    by_lower = {name.casefold(): name for name in names}
    close = get_close_matches(wanted, by_lower, n=3, cutoff=0.5)
    shown = [by_lower[name] for name in close] or sorted(names)[:6]
    return f"{'The nearest' if close else 'There'} {'is' if len(shown) == 1 else 'are'} {', '.join(shown)}."


def machine_named(known: KnownNames, text: str, *kinds: MachineKind) -> Machine:
    """Return the machine that `text` names, of one of `kinds` if any are given."""
    rows = [machine for machine in known.machines if not kinds or machine.kind in kinds]
    what = kinds[0].value if len(kinds) == 1 else "machine"
    return pick(rows, lambda machine: machine.name, text, what)


def place_of(known: KnownNames, component: Component) -> str:
    """Return a component as people name it: "North header, knife"."""
    machine = next((machine for machine in known.machines if machine.id == component.machine_id), None)
    return f"{machine.name}, {component.place}" if machine else component.place
