"""What the JSON of a kind's wear has of how this farm departs from the plain model: speeds, slopes and factors with intervals."""

from __future__ import annotations

from typing import Any

from wearlog.present.digits import Measures
from wearlog.present.json_form import rounded
from wearlog.reckoning.wear.wear_outlook import KindOutlook
from wearlog.wear.intervals import Estimate


def own_machines_json(row: KindOutlook, measures: Measures) -> dict[str, Any] | None:
    """Return each machine's own life, and over that of a machine in the middle; null where machines are taken as alike."""
    own = row.life.machines
    if own is None:
        return None
    meter = row.life.kind.meter_kind
    machines = []
    for name, place, law in zip(own.names, own.numbers, own.fitted.laws, strict=True):
        here = row.life.law_on(place)
        life = (law if here is None else here).median_life()
        ends = [rounded(measures.usage_number(meter, end), 1) for end in (life.median, life.low, life.high)]
        machines.append(
            {
                "machine": name,
                "times_the_usual_life": _estimate(law.ratio),
                "life_median": ends[0],
                "life_low": ends[1],
                "life_high": ends[2],
                "failures": round(law.failures),
            }
        )
    return {"chance_that_they_differ": rounded(own.fitted.differ), "machines": machines}


def ground_json(row: KindOutlook, _: Measures) -> dict[str, Any] | None:
    """Return by ground how many acres an acre counts; null where all ground wears alike."""
    ground = row.life.ground
    if ground is None:
        return None
    return {where.value: _estimate(ground.speeds.speed(place)) for place, where in enumerate(ground.grounds)}


def years_json(row: KindOutlook, _: Measures) -> dict[str, Any] | None:
    """Return by which share lives grow shorter each year, of the kind and of the farm; null where no year is unlike another."""
    years = row.life.years
    return (
        None if years is None else {"kind": _estimate(years.slope.shorter()), "farm": _estimate(years.farm.shorter())}
    )


def part_numbers_json(row: KindOutlook, _: Measures) -> dict[str, Any] | None:
    """Return how many times as long the number fitted now lasts as each other; null where there is one only.

    A number that nobody noted is null.
    """
    parts = row.life.parts
    if parts is None:
        return None
    now, *before = parts.failures
    others = [
        {"number": name or None, "lasts_times_as_long": _estimate(parts.speeds.speed(place)), "failures": round(failed)}
        for place, (name, failed) in enumerate(zip(parts.others, before, strict=True))
    ]
    return {"number": parts.newest or None, "failures": round(now), "others": others}


def _estimate(estimate: Estimate) -> dict[str, float | None]:
    ends = {"median": estimate.median, "low": estimate.low, "high": estimate.high, "level": estimate.level}
    return {key: rounded(value, 4) for key, value in ends.items()}
