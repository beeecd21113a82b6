"""Fittings whose end nobody wrote down: each lasts until the next at its position. Only rows of one import are compared."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from uuid import UUID

from wearlog.facts.closed_lists import Removal
from wearlog.facts.wearing import Fitting


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
