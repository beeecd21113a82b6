"""The cautions that stand before a task, by the kind of danger in it. Words only; who shows them and when is decided elsewhere.

They rest on 29 CFR 1928.57 (a)(6) (train, guards, stop, disconnect power, wait for motion to stop), on extension sheets (Ontario
WSPS, Purdue S-74, Colorado State on injection of fluid) and on operator's manuals; the rest is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from wearlog.facts.closed_lists import Hazard

#: stands last under every list of cautions
BOOK_COMES_FIRST: Final = "The machine's own book comes before this list: where they differ, do what the book says."

#: hazard -> sentences in the order in which they are to be followed
CAUTIONS: Final[Mapping[Hazard, tuple[str, ...]]] = MappingProxyType(
    {
        Hazard.UNDER_HEADER: (
            "Park on level ground, engine off, key out and in your pocket.",
            "Set the header on its mechanical stop or on stands, shut the lift cylinder valve, and put the reel props in.",
            "Never trust hydraulics to hold a header, reel or feeder house above you.",
            BOOK_COMES_FIRST,
        ),
        Hazard.KNIFE: (
            "Engine off, key out, header on its stop. Wear cut-proof gloves.",
            "Turn the knife by hand from its drive only, and say so to your helper before you do.",
            "Keep fingers out of the path of the sections: the knife can jump when a jam comes free.",
            BOOK_COMES_FIRST,
        ),
        Hazard.UNPLUGGING: (
            "Try the reverser first, from the seat.",
            "Then disengage the drives, engine off, key out, and wait until every rotor has run down.",
            "Stand clear of the crop as you pull: what is jammed can turn when it frees.",
            BOOK_COMES_FIRST,
        ),
        Hazard.HYDRAULIC: (
            "Lower everything to the ground, engine off, relieve the pressure and discharge the accumulators.",
            "Look for a leak with a piece of card or wood, never with a hand, and cover your eyes.",
            "Oil under the skin feels like a sting and is a surgical emergency: go at once and say which fluid it was.",
            BOOK_COMES_FIRST,
        ),
        Hazard.ELECTRICAL: (
            "For work on a harness take the negative battery lead off; take rings and watches off too.",
            "Never bridge a fuse; put back the same rating, never a larger one.",
            "Unplug the controllers before any welding, and keep wires and hands away from the hot exhaust side.",
            BOOK_COMES_FIRST,
        ),
        Hazard.ROTATING_DRIVE: (
            "Engine off, key out, power disconnected; wait until all motion has stopped. One person keeps the key.",
            "No loose clothing. Set belt and chain tension with the power off.",
            "Put every guard back before the engine starts, and see that everyone is clear.",
            BOOK_COMES_FIRST,
        ),
        Hazard.HOT_PART: (
            "Bearings, brakes and exhaust burn: measure with the infrared gun before you touch.",
            "Let it cool, engine off and key out, and clean chaff and oil away first.",
            "Keep an extinguisher at hand and a fire watch for 30 minutes after hot work.",
            BOOK_COMES_FIRST,
        ),
        Hazard.GRAIN_TANK: (
            "Engine off, key out, and the unloading auger locked out before anyone climbs in.",
            "Nobody enters a tank with a moving auger or with grain flowing.",
            "Keep a second person outside in sight of you.",
            BOOK_COMES_FIRST,
        ),
    }
)
