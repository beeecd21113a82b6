"""What a machine runs in a usual season, on each meter: by it a life in acres and one in hours can be laid side by side."""

from __future__ import annotations

import numpy as np

from wearlog.facts.closed_lists import MeterKind
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.meters import YEAR_SECONDS
from wearlog.reckoning.season_ahead import SeasonAhead, past_seasons
from wearlog.store.histories import NONE, Floats, Ints, code_of


def seasons_of_use(farm: Farm, ahead: SeasonAhead) -> Floats:
    """Return a usual season of every machine.

    Parameters
    ----------
    farm : Farm
    ahead : SeasonAhead
        What is to come: it stands for a usual season of a machine that has none behind it.

    Returns
    -------
    ndarray of float, shape (machines, meters)
        By MeterKind in its order: square metres, separator seconds, engine seconds; of the calendar a season is a year. It is the
        mean over the seasons on record in which the machine did anything on that meter, one that has only begun left out. 0
        where neither a season on record nor one to come says anything.
    """
    machines = np.arange(len(farm.machines))
    worked = past_seasons(farm, machines)
    usage = np.array([one.usage for one in worked]) if worked else np.zeros((0, machines.size, len(MeterKind)))
    seasons = (usage > 0).sum(axis=0)
    known = np.where(seasons > 0, usage.sum(axis=0) / np.maximum(seasons, 1), ahead.usage)
    known[:, code_of(MeterKind.CALENDAR)] = YEAR_SECONDS
    return np.asarray(known)


def usual_season(usual: Floats, machines: Ints, meter: MeterKind) -> float | None:
    """Return a usual season of these machines on a meter: their mean, each once; None where of none of them one is known."""
    own = np.unique(machines[machines != NONE])
    seasons = usual[own, code_of(meter)]
    known = seasons[seasons > 0]
    return float(known.mean()) if known.size else None
