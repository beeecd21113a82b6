"""The cautions that stand before a task, by the kind of danger in it, and what each rests on. They are written only here.

They rest on 29 CFR 1928.57 (a)(6) (train, guards, stop, disconnect power, wait for motion to stop), on extension sheets (Ontario
WSPS, Purdue S-74, Colorado State on injection of fluid) and surveys of fires; the rest is common practice, no source. Who shows
them and when is decided elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from wearlog.facts.closed_lists import Evidence, Hazard


@dataclass(frozen=True, slots=True)
class Caution:
    """One sentence to act on before the task, and what it rests on."""

    hazard: Hazard
    sentence: str
    evidence: Evidence


#: stands last under every list of cautions
BOOK_COMES_FIRST: Final = (
    "The machine's own book comes before this list: where they differ, do what the book says. Local rules and licensed trades go "
    "before both."
)

_CP, _P = Evidence.COMMON_PRACTICE, Evidence.PUBLISHED

_SAID: Final[Mapping[Hazard, tuple[tuple[Evidence, str], ...]]] = MappingProxyType(
    {
        Hazard.UNDER_HEADER: (
            (_P, "Park on level ground, engine off, key out and in your pocket."),
            (
                _P,
                "Set the header on its mechanical stop or on stands, shut the lift cylinder valve, and put the reel props in.",
            ),
            (_CP, "Never trust hydraulics to hold a header, reel or feeder house above you."),
        ),
        Hazard.KNIFE: (
            (_P, "Engine off, key out, header on its stop. Wear cut-proof gloves."),
            (_CP, "Turn the knife by hand from its drive only, and say so to your helper before you do."),
            (_CP, "Keep fingers out of the path of the sections: the knife can jump when a jam comes free."),
        ),
        Hazard.UNPLUGGING: (
            (_CP, "Try the reverser first, from the seat."),
            (_P, "Then disengage the drives, engine off, key out, and wait until every rotor has run down."),
            (_P, "Stand clear of the crop as you pull: what is jammed can turn when it frees."),
        ),
        Hazard.HYDRAULIC: (
            (
                _CP,
                "Lower everything to the ground, engine off, relieve the pressure and discharge the accumulators.",
            ),
            (_P, "Look for a leak with a piece of card or wood, never with a hand, and cover your eyes."),
            (
                _P,
                "Oil under the skin feels like a sting and is a surgical emergency: go at once and say which fluid it was.",
            ),
        ),
        Hazard.ELECTRICAL: (
            (_P, "Stop the engine, take the key out and keep it, and wait until everything stands still."),
            (_P, "Take the negative lead off the battery before you open, cut or move a harness."),
            (_CP, "Take off rings, watch and chains: they carry a battery's full current."),
            (
                _P,
                "Never bridge a fuse and never fit a larger one: the wire burns instead. Fit the rating printed on the panel.",
            ),
            (_CP, "Stay clear of the hot exhaust side, and lead no wire along it."),
            (
                _P,
                "A fuse that keeps blowing or lights that flicker can start a fire: clear the chaff, "
                "keep an extinguisher by you.",
            ),
            (_CP, "Unplug the controllers before anything is welded on the machine."),
        ),
        Hazard.ROTATING_DRIVE: (
            (
                _P,
                "Engine off, key out, power disconnected; wait until all motion has stopped. One person keeps the key.",
            ),
            (_CP, "No loose clothing. Set belt and chain tension with the power off."),
            (_P, "Put every guard back before the engine starts, and see that everyone is clear."),
        ),
        Hazard.HOT_PART: (
            (_CP, "Bearings, brakes and exhaust burn: measure with the infrared gun before you touch."),
            (_CP, "Let it cool, engine off and key out, and clean chaff and oil away first."),
            (_CP, "Keep an extinguisher at hand and a fire watch for 30 minutes after hot work."),
        ),
        Hazard.GRAIN_TANK: (
            (_CP, "Engine off, key out, and the unloading auger locked out before anyone climbs in."),
            (_CP, "Nobody enters a tank with a moving auger or with grain flowing."),
            (_CP, "Keep a second person outside in sight of you."),
        ),
        Hazard.BATTERY: (
            (_P, "Batteries give off gas that explodes: no flame, no spark, eyes covered, rings and chains off."),
            (_P, "Negative lead off first and on last, and never with the engine running."),
            (_CP, "A frozen or bulging battery is neither charged nor boosted."),
        ),
        Hazard.FIRE: (
            (
                _CP,
                "Engine off and cooled down; wear eye and breathing protection, and stand upwind of what you blow off.",
            ),
            (
                _P,
                "Clear chaff and dust from the engine, exhaust, brakes, bearings and wiring every day, more often when dry.",
            ),
            (_P, "Keep charged extinguishers on the machine and at hand; call for help before you fight a fire."),
        ),
        Hazard.TIRE: (
            (_P, "Let all air out before you loosen a rim or take a tire off."),
            (
                _CP,
                "Inflate through a clip-on chuck and a long hose, out of the line of tread and rim, in a cage if you can.",
            ),
            (_CP, "A tire that ran flat or hot is left to those who have the tools for it."),
        ),
        Hazard.LIFTING: (
            (_CP, "Level, firm ground; wheels blocked. A jack or a hoist lifts, stands hold: nobody under what hangs."),
            (_CP, "Slings and chains rated for the load, and everybody out of its path."),
            (_CP, "Drain the tank and lower the header before the machine is jacked up."),
        ),
        Hazard.SPRING: (
            (_CP, "A wound or pressed spring flies: ease it with its own tool or screw before a pin is driven out."),
            (_CP, "Stand out of its line, eyes covered."),
        ),
    }
)

#: hazard -> what to read before the task, in the order in which it is to be followed, each with what it rests on
CAUTIONS_WITH_EVIDENCE: Final[Mapping[Hazard, tuple[Caution, ...]]] = MappingProxyType(
    {
        hazard: tuple(Caution(hazard, sentence, evidence) for evidence, sentence in said)
        for hazard, said in _SAID.items()
    }
)

#: hazard -> the same as sentences, and the machine's own book last
CAUTIONS: Final[Mapping[Hazard, tuple[str, ...]]] = MappingProxyType(
    {
        hazard: (*(caution.sentence for caution in cautions), BOOK_COMES_FIRST)
        for hazard, cautions in CAUTIONS_WITH_EVIDENCE.items()
    }
)

#: more, when a check needs the circuit live and something watched while it moves (wiggle, voltage drop under load)
LIVE_CIRCUIT: Final = (
    Caution(
        Hazard.ELECTRICAL,
        "If it must run to be measured, one person holds the key and everybody stands clear before it starts.",
        _P,
    ),
    Caution(
        Hazard.ELECTRICAL,
        "Use a lamp of a few amperes across the fuse contacts, not a breaker that closes again by itself.",
        _P,
    ),
    Caution(
        Hazard.ELECTRICAL,
        "Unplug controllers and anything that fires a charge before you feed a circuit through a lamp.",
        _CP,
    ),
)


#: dangers whose whole list is read and said to be read before the work; of a drive and of fire the row of acts says all of it
RISKS_A_LIFE: Final = frozenset(Hazard) - {Hazard.ROTATING_DRIVE, Hazard.FIRE}


#: hazard -> its acts, what comes first first; the shorter words are for a phone
ACTS: Final[Mapping[Hazard, tuple[tuple[str, str], ...]]] = MappingProxyType(
    {
        Hazard.UNDER_HEADER: (("key out", "key out"), ("header on its stop", "header on stop")),
        Hazard.KNIFE: (
            ("key out", "key out"),
            ("header on its stop", "header on stop"),
            ("cut-proof gloves", "gloves on"),
        ),
        Hazard.UNPLUGGING: (
            ("reverser first", "reverser first"),
            ("key out", "key out"),
            ("rotors still", "rotors still"),
        ),
        Hazard.HYDRAULIC: (("pressure off", "pressure off"), ("card, not hand", "card, not hand")),
        Hazard.ELECTRICAL: (("key out", "key out"), ("negative lead off", "battery lead off")),
        Hazard.ROTATING_DRIVE: (("key out", "key out"), ("all still", "all still"), ("guards back", "guards back")),
        Hazard.HOT_PART: (("let it cool", "let it cool"), ("extinguisher by", "extinguisher by")),
        Hazard.GRAIN_TANK: (("key out", "key out"), ("second person outside", "2nd man outside")),
        Hazard.BATTERY: (
            ("no flame", "no flame"),
            ("eyes covered", "eyes covered"),
            ("negative lead first", "lead off first"),
        ),
        Hazard.FIRE: (("cooled down", "cooled down"), ("extinguisher by", "extinguisher by")),
        Hazard.TIRE: (("all air out", "all air out"), ("out of its line", "out of its line")),
        Hazard.LIFTING: (("wheels blocked", "wheels blocked"), ("on stands", "on stands")),
        Hazard.SPRING: (("spring eased", "spring eased"), ("out of its line", "out of its line")),
    }
)


#: acts of a check that is done from the seat with the key on, whatever its circuit feeds; the shorter words are for a phone
FROM_SEAT: Final[tuple[tuple[str, str], ...]] = (
    ("everybody clear", "all clear"),
    ("start no drive", "start no drive"),
    ("key out before touching", "key out to touch"),
)


def acts_of(hazards: Iterable[Hazard], *, short: bool = False) -> tuple[str, ...]:
    """Return the acts of these dangers, each once, the first danger's first.

    Examples
    --------
    >>> acts_of((Hazard.KNIFE, Hazard.ELECTRICAL))
    ('key out', 'header on its stop', 'cut-proof gloves', 'negative lead off')
    """
    found = [act[short] for hazard in hazards for act in ACTS[hazard]]
    return tuple(dict.fromkeys(found))


def sentences_of(hazards: Iterable[Hazard]) -> tuple[str, ...]:
    """Return every sentence of these dangers once, without the one that sends to the machine's own book."""
    found = [caution.sentence for hazard in hazards for caution in CAUTIONS_WITH_EVIDENCE[hazard]]
    return tuple(dict.fromkeys(found))


#: what people write of work -> its danger, the worst first; a word in the singular that is a season too is none
_SAID_OF_WORK: Final[tuple[tuple[Hazard, re.Pattern[str]], ...]] = tuple(
    (hazard, re.compile(rf"\b(?:{words})\b"))
    for hazard, words in (
        (Hazard.UNPLUGGING, "plugged|plugging|jam|jammed|slug|slugged|wrapped|choked|blocked|blockage|stone trap"),
        (Hazard.LIFTING, "jack|jacks|jacked|hoist|hoisted|crane|slings?|lifted|brakes?"),
        (Hazard.TIRE, "tires?|tyres?|rims?|wheel bolts?|flat wheel"),
        (Hazard.SPRING, "springs|(?:gas|return|tension|float|coil|leaf|torsion) spring"),
        (Hazard.KNIFE, "knife|sickle|sections?|guards?|cutterbar"),
        (Hazard.HYDRAULIC, "hydraulics?|hoses?|lift cylinders?"),
        (Hazard.GRAIN_TANK, "grain tank|unloading auger"),
        (Hazard.BATTERY, "battery|batteries|jump ?start"),
        (Hazard.ELECTRICAL, "fuses?|wiring|harness|alternator|starter"),
        (Hazard.HOT_PART, "weld(?:ed|ing)?|exhaust|turbo|coolant|radiator|engine oil"),
        (Hazard.FIRE, "chaff|fire|smoke|smoking"),
        (Hazard.ROTATING_DRIVE, "belts?|chains?|pulleys?|sprockets?|shafts?|bearings?|grease|greased|final drives?"),
        (Hazard.UNDER_HEADER, "under the header|drapers?|skids?"),
    )
)


def hazards_said(text: str) -> tuple[Hazard, ...]:
    """Return the dangers that the words of a piece of work name, the worst first.

    Examples
    --------
    >>> [hazard.value for hazard in hazards_said("feeder plugged, jacked it up")]
    ['unplugging', 'lifting']
    """
    said = text.casefold()
    return tuple(hazard for hazard, words in _SAID_OF_WORK if words.search(said))


def hazards_of_service(hazard: Hazard | None, name: str) -> tuple[Hazard, ...]:
    """Return the dangers of a service: its own, else those that its name says."""
    return (hazard,) if hazard is not None else hazards_said(name)
