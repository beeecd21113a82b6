"""How many of the parts now on will break in the season ahead, as a law and not only on the mean. No words."""

from __future__ import annotations

import numpy as np

from wearlog.reckoning.wear_outlook import CountRange, KindOutlook
from wearlog.wear.counts import Counts, counts_of, sum_of_counts
from wearlog.wear.predict import count_first_failures


def break_counts(row: KindOutlook, level: float = 0.9) -> CountRange | None:
    """Return how many break by wear and by stones, each part now on counted at most once by wear.

    Notes
    -----
    Parts of the kind share one life that is not known, so they break many together or few together: given a law each part fails by
    itself, and the laws are weighed by what is believed of them. What was measured goes by its own chance, what has failed and is
    still on counts as one. Parts of unknown age are in none of it. None where nothing can be said of any part.
    """
    laws = [law for law in (_by_age(row), _by_measurement(row), _by_stones(row)) if law is not None]
    if not laws:
        return None
    law, tail = sum_of_counts(laws), 0.5 - level / 2
    failed = sum(len(group.positions) for one in row.components for group in one.groups if group.failed)
    return CountRange(law.mean + failed, law.quantile(tail) + failed, law.quantile(1 - tail) + failed, level)


def _by_age(row: KindOutlook) -> Counts | None:
    if row.life.posterior is None:
        return None
    ages, usage = [], []
    for one in row.components:
        for group in one.groups:
            if group.age is not None and group.survives is not None and not (group.failed or group.by_measurement):
                ages += [group.age] * len(group.positions)
                usage += [one.usage] * len(group.positions)
    return count_first_failures(row.life.posterior.few_nodes(), ages, usage) if ages else None


def _by_measurement(row: KindOutlook) -> Counts | None:
    chances = [
        group.survives
        for one in row.components
        for group in one.groups
        if group.by_measurement and group.survives is not None
        for _ in group.positions
    ]
    return sum_of_counts([counts_of(np.array([chance, 1 - chance])) for chance in chances]) if chances else None


def _by_stones(row: KindOutlook) -> Counts | None:
    if row.life.impacts is None or not row.components:
        return None
    return row.life.impacts.predict(np.sum([one.area_by_ground for one in row.components], axis=0))
