"""The test whether machines wear a kind of part differently."""

from __future__ import annotations

import numpy as np

from wearlog.errors import DataError
from wearlog.reckoning.wear.kind_life import FleetLives
from wearlog.wear.compare import Comparison, compare_groups


def machines_differ(lives: FleetLives, number: int) -> Comparison | None:
    """Test whether the machines wear a kind differently.

    Returns
    -------
    Comparison or None
        None unless two machines have each seen failures at two ages: with fewer the likelihood climbs without end.
    """
    mine = lives.records.part_kind == number
    groups = [
        lives.records.of_wear(mine & (lives.records.machine == one)) for one in np.unique(lives.records.machine[mine])
    ]
    scattered = [group for group in groups if np.unique(group.exit[group.event]).size >= 2]
    if len(scattered) < 2:
        return None
    try:
        return compare_groups([group for group in groups if len(group)])
    except DataError:
        # records whose likelihood has no peak cannot be compared either
        return None
