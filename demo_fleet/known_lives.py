"""What is true on the invented farm: the lives, impacts and wear that its failures are drawn from. No facts, no dates of runs.

All numbers are invented for the demo; tests compare with them what the maths recovers. Each median life lies within the library's
starting guess of its kind where there is one.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from wearlog.facts.closed_lists import Ground

GROUNDS: Final = tuple(Ground)


@dataclass(frozen=True, slots=True)
class KnownLife:
    """Weibull life of one position on the kind's own meter (acres or hours).

    `impacts` are events per 1,000 acres of one component on clean, few stones, stony and very stony ground.
    """

    kind: str
    shape: float
    scale: float
    impacts: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class KnownWear:
    """Growth of a measured dimension in micrometres per acre or hour of the part's age, and the scatter of one measurement."""

    kind: str
    micrometres_per_usage: float
    scatter_micrometres: float


@dataclass(frozen=True, slots=True)
class HotWindow:
    """Positions of one header that stones hit `times` as often from a day on: a skid set too low."""

    header: str
    kind: str
    first: int
    last: int
    times: float
    since: date


@dataclass(frozen=True, slots=True)
class RecurringFault:
    """The fault that came back: where it really sat all the time."""

    machine: str
    circuit: str
    node: str
    mode: str
    seasons: tuple[int, ...]


LIVES: Final = (
    KnownLife("knife section", 3.8, 8800, (0.15, 0.45, 1.4, 3.2)),
    KnownLife("guard", 3.4, 21500, (0.05, 0.2, 0.7, 1.6)),
    KnownLife("hold-down", 4.2, 9800),
    KnownLife("knife head", 2.0, 11000),
    KnownLife("knife drive", 2.5, 17000),
    KnownLife("reel tine", 2.8, 22600, (0.1, 0.15, 0.3, 0.6)),
    KnownLife("draper belt", 2.6, 1350),
    KnownLife("auger finger", 2.2, 18000, (0.1, 0.2, 0.4, 0.8)),
    KnownLife("skid plate", 3.0, 14500),
    KnownLife("universal joint", 2.0, 2600),
    KnownLife("feeder conveyor chain", 4.0, 1500),
    KnownLife("feeder slat", 2.0, 8500, (0.0, 0.04, 0.1, 0.2)),
    KnownLife("rasp bars", 3.0, 1500, (0.0, 0.02, 0.06, 0.15)),
    KnownLife("concave", 3.2, 2400, (0.0, 0.01, 0.04, 0.1)),
    KnownLife("cleaning fan belt", 2.0, 1300),
    KnownLife("clean grain elevator chain", 4.0, 1900),
    KnownLife("elevator paddle", 2.0, 9000),
    KnownLife("auger flighting", 3.0, 3600),
    KnownLife("unloading shear bolt", 1.0, 420),
    KnownLife("chopper blades", 2.2, 950, (0.0, 0.05, 0.1, 0.25)),
    KnownLife("main drive belt", 2.0, 1700),
    KnownLife("drive chain", 2.5, 2000),
    KnownLife("bearing", 1.5, 7000),
    KnownLife("hydraulic hose", 1.8, 8500),
    KnownLife("battery", 3.0, 3000),
    KnownLife("speed sensor", 1.0, 9000),
)

#: the plastic tine that was tried on one reel (`tines_on_trial`)
TRIED: Final = KnownLife("reel tine, plastic", 2.8, 8800)

WEAR: Final = (
    KnownWear("feeder conveyor chain", 12.2, 260.0),
    KnownWear("clean grain elevator chain", 8.6, 240.0),
    KnownWear("rasp bars", 2.7, 110.0),
    KnownWear("concave", 2.6, 190.0),
    KnownWear("hold-down", 0.062, 25.0),
)

HOT_WINDOW: Final = HotWindow("Merlin", "knife section", 61, 72, 16.0, date(2024, 7, 1))

RECURRING_FAULT: Final = RecurringFault(
    machine="Tamarack",
    circuit="header",
    node="Header plug pigtail",
    mode="short_to_ground",
    seasons=(2022, 2023, 2024, 2025),
)


def life_of(kind: str) -> KnownLife | None:
    """Return the known life of a kind; None for a kind that never fails by age or impact on this farm."""
    return next((life for life in LIVES if life.kind == kind), None)


def wear_of(kind: str) -> KnownWear | None:
    """Return how a kind's dimension grows; None where nothing is measured."""
    return next((wear for wear in WEAR if wear.kind == kind), None)
