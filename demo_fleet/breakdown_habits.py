"""How a breakage of each kind usually goes on this farm: its modes, what is done, how long it takes. Invented; draws nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.facts.closed_lists import Mode


@dataclass(frozen=True, slots=True)
class Habit:
    """`minutes` of standing still for one position, before the scatter; shares of breakages that are mended or left in service."""

    minutes: float
    worn_modes: tuple[Mode, ...]
    struck_modes: tuple[Mode, ...] = (Mode.BROKEN,)
    mended: float = 0.0
    left: float = 0.0
    people: int = 1


HABITS: Final = {
    "knife section": Habit(14, (Mode.BROKEN, Mode.CRACKED, Mode.WORN), (Mode.BROKEN, Mode.MISSING), left=0.02),
    "guard": Habit(22, (Mode.WORN, Mode.BROKEN), (Mode.BENT, Mode.BROKEN), mended=0.24, left=0.02),
    "hold-down": Habit(18, (Mode.WORN, Mode.LOOSE), mended=0.2),
    "knife head": Habit(95, (Mode.CRACKED, Mode.BROKEN, Mode.WORN), people=2),
    "knife drive": Habit(260, (Mode.FAILED, Mode.LEAKING), people=2),
    "reel tine": Habit(15, (Mode.BROKEN, Mode.MISSING), (Mode.BENT, Mode.BROKEN), mended=0.15, left=0.2),
    "draper belt": Habit(150, (Mode.TORN,), mended=0.3, people=2),
    "auger finger": Habit(24, (Mode.BROKEN, Mode.BENT), (Mode.BENT, Mode.BROKEN), mended=0.1),
    "skid plate": Habit(35, (Mode.WORN, Mode.CRACKED), mended=0.3),
    "universal joint": Habit(70, (Mode.SEIZED, Mode.WORN)),
    "feeder conveyor chain": Habit(280, (Mode.BROKEN, Mode.STRETCHED), people=2),
    "feeder slat": Habit(45, (Mode.BENT, Mode.LOOSE), (Mode.BENT,), mended=0.4),
    "rasp bars": Habit(380, (Mode.WORN, Mode.CRACKED), (Mode.BENT,), people=2),
    "concave": Habit(260, (Mode.WORN,), (Mode.BENT,), mended=0.3, people=2),
    "cleaning fan belt": Habit(55, (Mode.BROKEN, Mode.TORN)),
    "clean grain elevator chain": Habit(170, (Mode.BROKEN, Mode.STRETCHED), people=2),
    "elevator paddle": Habit(40, (Mode.TORN, Mode.LOOSE)),
    "auger flighting": Habit(240, (Mode.WORN, Mode.CRACKED), mended=0.5),
    "unloading shear bolt": Habit(22, (Mode.BROKEN,)),
    "chopper blades": Habit(110, (Mode.BROKEN, Mode.WORN), (Mode.BROKEN,)),
    "main drive belt": Habit(100, (Mode.BROKEN, Mode.TORN)),
    "drive chain": Habit(60, (Mode.BROKEN, Mode.STRETCHED), mended=0.3),
    "bearing": Habit(130, (Mode.SEIZED, Mode.FAILED)),
    "hydraulic hose": Habit(65, (Mode.LEAKING, Mode.TORN)),
    "battery": Habit(35, (Mode.FAILED,)),
    "speed sensor": Habit(40, (Mode.FAILED, Mode.LOOSE), mended=0.3),
}
