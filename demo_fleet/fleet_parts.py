"""Which kinds of part sit where on the demo fleet, how old they were when the log began, and when they are renewed in winter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from .farm_land import COMBINES, HEADERS


@dataclass(frozen=True, slots=True)
class Spot:
    """A component to be: `age` in acres or hours when the log begins; `renew_at` is the age at which winter work renews it all.

    `age_known` False: the machine was bought used and nobody knows; the true age is `age` all the same.
    """

    kind: str
    place: str
    positions: int
    age: int = 0
    renew_at: int | None = None
    age_known: bool = True
    overhaul: bool = False


#: header -> sections, guards, hold-downs, tines; a section is 3 in wide, a double guard 6 in
_CUTTERBARS: Final = {
    "Kestrel": (160, 80, 32, 40),
    "Merlin": (160, 160, 32, 40),
    "Plover": (120, 120, 24, 30),
    "Wren": (120, 60, 24, 30),
}
#: header -> ages of guards, hold-downs, tines, drapers, skids, joints when the log begins (Wren: when it was bought)
_HEADER_AGES: Final = {
    "Kestrel": (2600, 2600, 3200, 450, 2600, 450),
    "Merlin": (1400, 1400, 1400, 180, 1400, 180),
    "Plover": (0, 1900, 0, 0, 3100, 700),
    "Wren": (5200, 2800, 4100, 640, 4300, 640),
}
#: combine -> separator hours when the log begins
START_SEPARATOR_HOURS: Final = {"Juniper": 1410, "Tamarack": 820, "Alder": 2260}
#: combine -> engine hours when the log begins
START_ENGINE_HOURS: Final = {"Juniper": 1985, "Tamarack": 1140, "Alder": 3310}


def header_spots(header: str) -> tuple[Spot, ...]:
    """Return the components of a header. Its knife is new when the log begins: it was renewed in the winter before."""
    sections, guards, hold_downs, tines = _CUTTERBARS[header]
    guard_age, hold_down_age, tine_age, draper_age, skid_age, joint_age = _HEADER_AGES[header]
    known = header != "Wren"
    spots = [
        Spot("knife section", "knife sections", sections, 0, 2500),
        Spot("guard", "guards", guards, guard_age, 7500, known),
        Spot("hold-down", "hold-downs", hold_downs, hold_down_age, 3300, known),
        Spot("knife head", "knife head", 1, guard_age // 2, 9000, known),
        Spot("knife drive", "knife drive", 1, guard_age, None, known),
        Spot("reel tine", "reel tines", tines, tine_age, 7600, known, overhaul=True),
        Spot("skid plate", "skid plates", 4, skid_age, 8500, known),
        Spot("universal joint", "driveline joints", 2, joint_age, None, known),
    ]
    if header == "Plover":
        spots.append(Spot("auger finger", "cross auger fingers", 24, 900, 15000, overhaul=True))
    else:
        spots.append(Spot("draper belt", "draper belts", 3, draper_age, 1300, known))
    return tuple(spots)


def combine_spots(combine: str) -> tuple[Spot, ...]:
    """Return the components of a combine with the ages that its earlier hours gave them."""
    hours = START_SEPARATOR_HOURS[combine]
    engine = START_ENGINE_HOURS[combine]
    return (
        Spot("feeder conveyor chain", "feeder conveyor chain", 1, hours % 700, 950, overhaul=True),
        Spot("feeder slat", "feeder slats", 20, hours % 700, 1900),
        Spot("rasp bars", "rasp bars", 1, hours % 640, 880, overhaul=True),
        Spot("concave", "concave", 1, hours % 1500, 1750, overhaul=True),
        Spot("cleaning fan belt", "cleaning fan belt", 1, hours % 600, 900),
        Spot("clean grain elevator chain", "clean grain elevator chain", 1, hours % 800, 1350, overhaul=True),
        Spot("elevator paddle", "clean grain paddles", 30, hours % 800, 2600),
        Spot("auger flighting", "clean grain and tailings augers", 3, hours, 3600, overhaul=True),
        Spot("unloading shear bolt", "unloading shear bolt", 1, 0),
        Spot("chopper blades", "chopper blades", 1, hours % 400, 520),
        Spot("main drive belt", "main drive belts", 4, hours % 900, 1100),
        Spot("drive chain", "drive chains", 3, hours % 900, 1800),
        Spot("bearing", "threshing and cleaning bearings", 14, hours),
        Spot("hydraulic hose", "hydraulic hoses", 10, engine),
        Spot("battery", "batteries", 2, engine % 900, 2000),
        Spot("speed sensor", "speed sensors", 4, engine),
        Spot("wiring harness", "wiring harness", 1, engine),
    )


def spots_of(machine: str) -> tuple[Spot, ...]:
    """Return the components of a machine. KeyError for a machine that is not of this fleet."""
    if machine in HEADERS:
        return header_spots(machine)
    if machine in COMBINES:
        return combine_spots(machine)
    raise KeyError(machine)
