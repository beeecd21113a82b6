"""What follows from imported rows: fittings whose end nobody wrote down, the old part that ends where a breakage was replaced."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import pairwise
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Action, Removal
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.ids import derived_id


def ended_by_the_next(fittings: Sequence[Fitting]) -> list[Fitting]:
    """Return the fittings in their order, each open one that another follows ended by it as a planned change."""
    at_position: dict[tuple[UUID, int], list[int]] = defaultdict(list)
    for index, fitting in enumerate(fittings):
        at_position[fitting.component_id, fitting.position].append(index)
    ended = list(fittings)
    for indices in at_position.values():
        indices.sort(key=lambda index: fittings[index].fitted_at)
        for index, following in pairwise(indices):
            fitting, then = fittings[index], fittings[following].fitted_at
            if fitting.removed_at is None and then > fitting.fitted_at:
                ended[index] = replace(fitting, removed_at=then, removal=fitting.removal or Removal.PLANNED)
    return ended


#: a part fitted by a row of its own so soon after the breakage is the one that replaced it
SAME_REPAIR: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Replaced:
    """`fittings` are those given, in their order, some of them ended; each of `new` comes with the breakage it follows from."""

    fittings: list[Fitting]
    new: list[tuple[Breakage, Fitting]]


def replaced_parts(fittings: Sequence[Fitting], breakages: Iterable[Breakage]) -> Replaced:
    """Work out the fittings that breakages end and begin.

    Parameters
    ----------
    fittings : sequence of Fitting
        As they were written; one without an end is taken to last until the next at its position.
    breakages : iterable of Breakage
        Those whose fittings are to follow; only replaced ones have any.
    """
    current = {fitting.id: fitting for fitting in fittings}
    here: dict[tuple[UUID, int], list[UUID]] = defaultdict(list)
    for fitting in fittings:
        here[fitting.component_id, fitting.position].append(fitting.id)
    causes: dict[UUID, Breakage] = {}
    for breakage in sorted(breakages, key=lambda one: (one.at, one.id)):
        if breakage.action is not Action.REPLACED:
            continue
        for position in breakage.positions:
            ids = here[breakage.component_id, position]
            changed = _change(breakage, position, [current[one] for one in ids])
            for fitting in changed:
                if fitting.id not in current:
                    ids.append(fitting.id)
                    causes[fitting.id] = breakage
                current[fitting.id] = fitting
    return Replaced(
        [current[fitting.id] for fitting in fittings], [(breakage, current[made]) for made, breakage in causes.items()]
    )


def _change(breakage: Breakage, position: int, there: Sequence[Fitting]) -> list[Fitting]:
    """Return the fittings that one breakage changes or begins at one position."""
    at = breakage.at
    before = max((one for one in there if one.fitted_at < at), key=lambda one: one.fitted_at, default=None)
    after = min((one.fitted_at for one in there if one.fitted_at >= at), default=None)
    on = before if before is not None and (before.removed_at is None or before.removed_at > at) else None
    written = after is not None and after <= at + SAME_REPAIR
    if written or any(one.removed_at == at for one in there):
        # the replacement has a row of its own; only the reason why the old part came off may be missing
        is_open = on is not None and on.removed_at is None
        return [replace(on, removed_at=at, removal=on.removal or Removal.BROKE)] if on and is_open else []
    new = Fitting(
        id=derived_id("fitting", str(breakage.id), str(position)),
        component_id=breakage.component_id,
        position=position,
        fitted_at=at,
        removed_at=on.removed_at if on else None,
        removal=on.removal if on else None,
    )
    return [replace(on, removed_at=at, removal=Removal.BROKE), new] if on else [new]
