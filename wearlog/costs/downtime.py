"""What an hour of standing still is worth: by timeliness, by hired capacity, by idle people, or as set. Each says its source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum, unique

from wearlog.costs.published_rates import LOST_DAY_HOURS, PublishedRate
from wearlog.errors import DataError
from wearlog.facts.closed_lists import Evidence


@unique
class Basis(StrEnum):
    """How an hour's value was found."""

    TIMELINESS = "timeliness"
    HIRED_CAPACITY = "hired_capacity"
    IDLE_CREW = "idle_crew"
    LOST_DAY = "lost_day"
    SET = "set"


@dataclass(frozen=True, slots=True)
class HourValue:
    """What one hour is worth, in whole minor units, and the sentence that says where the figure comes from."""

    basis: Basis
    minor_per_hour: int
    evidence: Evidence
    source: str


@dataclass(frozen=True, slots=True)
class DowntimeValue:
    """The value that is used, the ceiling that stands beside it, and all that were looked at."""

    used: HourValue
    ceiling: HourValue | None
    considered: tuple[HourValue, ...]

    @property
    def above_ceiling(self) -> bool:
        """Tell whether hiring a machine would cost less than the hour is said to be worth."""
        return self.ceiling is not None and self.used.minor_per_hour > self.ceiling.minor_per_hour


def hour_by_timeliness(
    *,
    loss_per_day: float,
    area_standing: float,
    yield_per_area: float,
    price_minor: float,
    hours_per_day: float,
    workable_share: float,
) -> HourValue:
    """Value an hour by the crop that waits for it: K x A x Y x V / (G x pwd).

    Parameters
    ----------
    loss_per_day : float
        Share of the crop's value lost for each day of delay (K).
    area_standing : float
        Area still to cut, in any one unit of area. Over a whole season its mean is half of what is planned.
    yield_per_area : float
        In any one unit of grain per that unit of area.
    price_minor : float
        Minor units of money per that unit of grain.
    hours_per_day, workable_share : float
        Field hours in a day fit for harvest, and the share of days that are.

    References
    ----------
    ASAE EP496 (from memory); the cost of one hour is derived from its season formula.
    """
    _above_zero(hours_per_day=hours_per_day, workable_share=workable_share)
    _not_negative(loss_per_day=loss_per_day, area=area_standing, grain=yield_per_area, price=price_minor)
    per_day = loss_per_day * area_standing * yield_per_area * price_minor
    return HourValue(
        Basis.TIMELINESS,
        round(per_day / (hours_per_day * workable_share)),
        Evidence.COMPUTED,
        f"timeliness: {100 * loss_per_day:g} % of the standing crop's value for each day of delay (ASAE EP496, from memory)",
    )


def timeliness_cost_of_season(
    *,
    loss_per_day: float,
    area: float,
    yield_per_area: float,
    price_minor: float,
    hours_per_day: float,
    workable_share: float,
    area_per_hour: float,
    straddles_best_date: bool = False,
) -> int:
    """Return what is lost over a season because the work takes time, W = K A^2 Y V / (Z G C pwd), in whole minor units.

    Z is 4 when the work straddles the best date, 2 when it starts or ends on it (ASAE EP496, from memory).

    Parameters
    ----------
    loss_per_day : float
        Share of the crop lost with each day of delay.
    area : float
        Area of the season, any unit.
    yield_per_area : float
        Yield, units of grain per unit of area.
    price_minor : float
        Price of a unit of grain, minor units.
    hours_per_day : float
        Hours of field work in a day.
    workable_share : float
        Share of the days that can be worked, 0 to 1.
    area_per_hour : float
        Effective field capacity, units of area per hour.
    straddles_best_date : bool
        Whether the work lies on both sides of the best date.
    """
    _above_zero(hours_per_day=hours_per_day, workable_share=workable_share, area_per_hour=area_per_hour)
    _not_negative(loss_per_day=loss_per_day, area=area, grain=yield_per_area, price=price_minor)
    # straddling the best date, half the work waits half as long on either side of it
    z = 4.0 if straddles_best_date else 2.0
    value = loss_per_day * area**2 * yield_per_area * price_minor
    return round(value / (z * hours_per_day * area_per_hour * workable_share))


def hour_by_hired_capacity(
    rate_minor_per_area: float, area_per_hour: float, *, rate_source: str, evidence: Evidence = Evidence.COMPUTED
) -> HourValue:
    """Value an hour by what it costs to have the same area cut by others: custom rate x effective field capacity.

    Parameters
    ----------
    rate_minor_per_area : float
        Custom rate, minor units per unit of area.
    area_per_hour : float
        Effective field capacity, units of area per hour.
    rate_source : str
        Where the rate comes from.
    evidence : Evidence
        What the rate rests on.
    """
    _not_negative(rate=rate_minor_per_area, capacity=area_per_hour)
    return HourValue(
        Basis.HIRED_CAPACITY, round(rate_minor_per_area * area_per_hour), evidence, f"hired capacity: {rate_source}"
    )


def hour_by_idle_crew(people: float, wage_minor_per_hour: float, parts_run_minor_per_hour: float = 0.0) -> HourValue:
    """Value an hour by the people who wait, and by the running for parts that goes with it.

    Parameters
    ----------
    people : float
        People who wait.
    wage_minor_per_hour : float
        What an hour of one of them costs, minor units.
    parts_run_minor_per_hour : float
        Running for parts, minor units per hour of standing.
    """
    _not_negative(people=people, wage=wage_minor_per_hour, parts_run=parts_run_minor_per_hour)
    amount = round(people * wage_minor_per_hour + parts_run_minor_per_hour)
    source = f"{people:g} waiting at the farm's wage" + (", and the run for parts" if parts_run_minor_per_hour else "")
    return HourValue(Basis.IDLE_CREW, amount, Evidence.COMPUTED, source)


def hour_by_lost_day(rate: PublishedRate) -> HourValue:
    """Value an hour by a published cost of a lost day of eight hours.

    Parameters
    ----------
    rate : PublishedRate
        A published figure with its source.
    """
    source = f"{rate.what}, {rate.source} ({rate.year}), over {LOST_DAY_HOURS} hours; corn belt, depends on the weather"
    return HourValue(Basis.LOST_DAY, round(rate.cents / LOST_DAY_HOURS), rate.evidence, source)


def hour_as_set(minor_per_hour: int) -> HourValue:
    """Take the farm's own figure.

    Parameters
    ----------
    minor_per_hour : int
        The farm's figure, minor units per hour.
    """
    _not_negative(value=minor_per_hour)
    return HourValue(Basis.SET, minor_per_hour, Evidence.OWN_RECORDS, "set by the farm")


def downtime_value(considered: Sequence[HourValue]) -> DowntimeValue:
    """Choose the value that is used.

    What the farm set goes first. Else it is the larger of timeliness and idle crew; hired capacity stands beside it as the
    ceiling and is used itself only when nothing else is known, as is the published cost of a lost day.

    Parameters
    ----------
    considered : sequence of HourValue
        The values that are known, at least one.

    Raises
    ------
    DataError
        When nothing is given.
    """
    if not considered:
        raise DataError("Nothing says what an hour of downtime is worth.", "Set a value per hour, or a wage.")
    # the cheapest way to hire is what the others have to stay below
    ceilings = [value for value in considered if value.basis is Basis.HIRED_CAPACITY]
    ceiling = min(ceilings, key=lambda value: value.minor_per_hour, default=None)
    ladder = ((Basis.SET,), (Basis.TIMELINESS, Basis.IDLE_CREW), (Basis.LOST_DAY,), (Basis.HIRED_CAPACITY,))
    for bases in ladder:
        of_these = [value for value in considered if value.basis in bases]
        if of_these:
            used = max(of_these, key=lambda value: value.minor_per_hour)
            break
    return DowntimeValue(used, ceiling, tuple(considered))


def graded_custom_rate(
    base_minor_per_area: float,
    haul_minor_per_grain: float,
    surplus_minor_per_grain: float,
    threshold: float,
    grain: float,
) -> int:
    """Return a custom rate of three parts, per unit of area: base, haul per unit of grain, and more above a threshold yield.

    Parameters
    ----------
    base_minor_per_area : float
        Base rate, minor units per unit of area.
    haul_minor_per_grain : float
        Hauling, minor units per unit of grain.
    surplus_minor_per_grain : float
        Added above the threshold, minor units per unit of grain.
    threshold : float
        Yield from which that is added, units of grain per unit of area.
    grain : float
        Yield, units of grain per unit of area.
    """
    _not_negative(base=base_minor_per_area, haul=haul_minor_per_grain, surplus=surplus_minor_per_grain, grain=grain)
    return round(
        base_minor_per_area + haul_minor_per_grain * grain + surplus_minor_per_grain * max(grain - threshold, 0.0)
    )


def _above_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not figure > 0:
            raise DataError(f"{name.replace('_', ' ')} must be above zero, not {figure:g}.", "Check the settings.")


def _not_negative(**figures: float) -> None:
    for name, figure in figures.items():
        if not figure >= 0:
            raise DataError(f"{name.replace('_', ' ')} cannot be {figure:g}.", "Check the settings.")
