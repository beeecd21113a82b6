"""Questions that only look: the yard, a machine, and the names that the command palette finds."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.tui.pointed import Found

if TYPE_CHECKING:
    from wearlog.present.machine_page import MachinePage
    from wearlog.present.yard_rows import YardPage
    from wearlog.tui.door import Door


def yard(door: Door) -> YardPage:
    """Return the yard in words."""
    from wearlog.present.yard_page import yard_page
    from wearlog.reckoning.yard_view import yard_view

    with door.log.reading() as connection:
        return yard_page(yard_view(connection, door.farm(connection)))


def glance(door: Door) -> YardPage:
    """Return what the yard can say at once, without reading what every machine has done."""
    from wearlog.present.yard_rows import yard_glance_page
    from wearlog.reckoning.yard_glance import yard_glance

    with door.log.reading() as connection:
        return yard_glance_page(yard_glance(connection, door.now()))


def guesses(door: Door) -> tuple[str, ...]:
    """Return what the trade supposes of the parts that are fitted, while nothing has broken on this farm yet."""
    from wearlog.facts.plain_text import one_line
    from wearlog.present.digits import Measures
    from wearlog.present.guess_words import guess_line
    from wearlog.reckoning.guess_view import guess_view

    with door.log.reading() as connection:
        view = guess_view(door.farm(connection))
    measures = Measures(view.settings)
    return tuple(one_line(guess_line(one.kind, one.positions, measures)) for one in view.kinds)


def make_ready(door: Door) -> None:
    """Load the modules of the machine screen and of the entry of a breakage, so that opening them takes no time."""
    from importlib import import_module

    for name in ("present.machine_page", "reckoning.machine_view", "logbook.breakage_start", "logbook.quick_entry"):
        import_module(f"wearlog.{name}")


def names(door: Door) -> tuple[Found, ...]:
    """Return everything on the farm that a person may look for by name."""
    from wearlog.reckoning.named_things import named_things

    with door.log.reading() as connection:
        return tuple(Found(one.what, one.name, one.row_id, one.machine_id) for one in named_things(connection))


def machine(door: Door, machine_id: UUID | None) -> MachinePage | None:
    """Return a machine in words; without an id, or when it is gone, the first one; None when there is none at all."""
    from wearlog.present.machine_page import machine_page
    from wearlog.reckoning.machine_view import machine_view

    with door.log.reading() as connection:
        farm = door.farm(connection)
        ids = [one.id for one in farm.machines]
        if not ids:
            return None
        wanted = machine_id if machine_id in ids else _order(farm.machines)[0]
        return machine_page(machine_view(connection, farm, wanted))


def machine_order(door: Door) -> tuple[UUID, ...]:
    """Return the machines in the order of the yard."""
    with door.log.reading() as connection:
        return _order(door.farm(connection).machines)


def _order(machines: Iterable[Machine]) -> tuple[UUID, ...]:
    order = list(MachineKind)
    return tuple(one.id for one in sorted(machines, key=lambda one: (order.index(one.kind), one.name)))


def combines(door: Door) -> tuple[Found, ...]:
    """Return the combines, by name."""
    from wearlog.reckoning.named_things import named_machines

    with door.log.reading() as connection:
        found = named_machines(connection, MachineKind.COMBINE)
    return tuple(Found(one.what, one.name, one.row_id, one.machine_id) for one in found)
