"""What other farms' lives leave in the log: sums of each farm and kind, and the guess of a kind that was learned from them.

Both are kept in settings, so that they go along in bundles, copies and sheets like everything else. A farm is a random number.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Ground, MeterKind

if TYPE_CHECKING:
    from wearlog.facts.bookkeeping import Setting

#: begins the key of what one farm saw of one kind: "lives of 3f... : guard"
SUMS_OF: Final = "lives of "
#: begins the key of the guess that was learned: "neighbours' life of guard"
LEARNED_OF: Final = "neighbours' life of "
#: this farm's own number in such files, made when it first writes one, and how often it has written one
OWN_NUMBER: Final = "own number among neighbours"
OWN_ISSUE: Final = "own issue among neighbours"
OWN_KEYS: Final = frozenset({OWN_NUMBER, OWN_ISSUE})
#: lives that lay on no one ground for the most part
MIXED: Final = "mixed"
GROUNDS: Final = (*(ground.value for ground in Ground), MIXED)
#: failures, sum of logarithms and sixteen sums of powers
NUMBERS: Final = 18
_FARM: Final = re.compile("[0-9a-f]{32}")
_PARTED: Final = " : "


@dataclass(frozen=True, slots=True)
class FarmSums:
    """What one farm saw of one kind, without a single life.

    Attributes
    ----------
    farm : str
        Its number, 32 hexadecimal digits.
    issue : int
        Of its file; the higher is the newer.
    by_ground : mapping of str to (int, tuple of 18 float)
        Ground (or mixed) -> lives, and their sums over 1,000 hectares, hours or days.
    """

    farm: str
    kind: str
    issue: int
    meter: MeterKind
    by_ground: Mapping[str, tuple[int, tuple[float, ...]]]

    @property
    def key(self) -> str:
        return f"{SUMS_OF}{self.farm}{_PARTED}{self.kind}"

    @property
    def content(self) -> str:
        """The text that is kept; ten digits hold a likelihood to a billionth."""
        grounds = {
            name: [lives, *(float(f"{one:.10g}") for one in sums)] for name, (lives, sums) in self.by_ground.items()
        }
        said = {"issue": self.issue, "meter": self.meter.value, "grounds": grounds}
        return json.dumps(said, sort_keys=True, separators=(",", ":"))


@dataclass(frozen=True, slots=True)
class NeighbourLife:
    """The guess of a kind that other farms' lives give: 10 % and 90 % points as in `PartKind`, and what it was learned from."""

    kind: str
    meter: MeterKind
    ground: str | None
    farms: int
    lives: int
    failures: int
    life_low_usage: int
    life_high_usage: int
    shape_low_thousandths: int
    shape_high_thousandths: int

    @property
    def key(self) -> str:
        return learned_key(self.kind)

    @property
    def content(self) -> str:
        """The text that is kept."""
        said = {name: getattr(self, name) for name in _WHOLE} | {"meter": self.meter.value, "ground": self.ground}
        return json.dumps(said, sort_keys=True, separators=(",", ":"))


_WHOLE: Final = (
    "farms",
    "lives",
    "failures",
    "life_low_usage",
    "life_high_usage",
    "shape_low_thousandths",
    "shape_high_thousandths",
)


def learned_key(kind: str) -> str:
    """Return the key under which what was learned of a kind is kept."""
    return f"{LEARNED_OF}{' '.join(kind.casefold().split())}"


def is_of_neighbours(key: str) -> bool:
    """Whether a setting came of other farms' files."""
    return key.startswith((SUMS_OF, LEARNED_OF))


def farm_sums(row: Setting) -> FarmSums | None:
    """Read what one farm saw of one kind; None where the row says something else or is spoilt."""
    farm, parted, kind = row.key.removeprefix(SUMS_OF).partition(_PARTED)
    said = _read(row.content)
    try:
        if not (row.key.startswith(SUMS_OF) and parted and kind and is_farm_number(farm) and said):
            return None
        by_ground = {
            name: (int(numbers[0]), tuple(float(one) for one in numbers[1:]))
            for name, numbers in said["grounds"].items()
        }
        if any(name not in GROUNDS or len(sums) != NUMBERS for name, (_, sums) in by_ground.items()):
            return None
        return FarmSums(farm, kind, int(said["issue"]), MeterKind(said["meter"]), by_ground)
    except (KeyError, TypeError, ValueError, AttributeError, IndexError):
        return None


def learned_life(key: str, content: str) -> NeighbourLife | None:
    """Read what was learned of a kind; None where it is spoilt."""
    said = _read(content)
    try:
        if not said or said["ground"] not in (None, *GROUNDS):
            return None
        found = NeighbourLife(
            kind=key.removeprefix(LEARNED_OF),
            meter=MeterKind(said["meter"]),
            ground=said["ground"],
            **{name: int(said[name]) for name in _WHOLE},
        )
    except (KeyError, TypeError, ValueError):
        return None
    right = 0 < found.life_low_usage < found.life_high_usage and found.shape_low_thousandths > 0
    return found if right and found.shape_low_thousandths <= found.shape_high_thousandths else None


def learned_lives(contents: Mapping[str, str]) -> tuple[NeighbourLife, ...]:
    """Return what the settings hold of other farms' lives, by kind."""
    found = (learned_life(key, said) for key, said in sorted(contents.items()) if key.startswith(LEARNED_OF))
    return tuple(one for one in found if one is not None)


def every_sums(rows: Iterable[Setting]) -> tuple[FarmSums, ...]:
    """Return what all farms saw; spoilt rows are passed over."""
    return tuple(one for row in rows if (one := farm_sums(row)) is not None)


def is_farm_number(text: str) -> bool:
    """Whether a text is the number of a farm in such files."""
    return _FARM.fullmatch(text) is not None


def check_neighbours(key: str, content: str) -> None:
    """Refuse what is no word of other farms' lives."""
    if key == OWN_NUMBER:
        right = is_farm_number(content)
    elif key == OWN_ISSUE:
        right = content.isascii() and content.isdigit() and len(content) <= 9
    elif key.startswith(LEARNED_OF):
        right = learned_life(key, content) is not None
    else:
        from wearlog.facts.bookkeeping import Setting

        right = farm_sums(Setting(key=key, content=content)) is not None
    if not right:
        raise RefusedError(
            f"'{key}' holds nothing that other farms' lives say.",
            "Read their file again: wearlog neighbours --read FILE",
        )


def _read(content: str) -> dict[str, Any]:
    try:
        found = json.loads(content)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}
