"""The acts of each danger in two to four words, for the one row that stands before a task. The full sentences: `cautions`.

They say nothing that a sentence of their danger does not say; the row names the key that brings all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from wearlog.facts.cautions import CAUTIONS_WITH_EVIDENCE
from wearlog.facts.closed_lists import Hazard

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
