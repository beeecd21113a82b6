"""How the wear of a kind of part is measured, where its limit comes from, and setting both. What was measured is elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from wearlog.errors import DataError, UsageError
from wearlog.facts.closed_lists import Dimension
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.logbook.names import known_names
from wearlog.logbook.said.amounts import read_length
from wearlog.logbook.saving import Done, save
from wearlog.store.opening import Store
from wearlog.wear.chain import (
    CHAINS,
    ELONGATION_LIMIT,
    ELONGATION_LIMIT_FIXED_CENTRES,
    elongation_limit,
    elongation_percent,
    find_chain,
)

_MAKERS: Final = "two chain makers' pages, which refer to ANSI B29.1 and B29.3"
#: kind -> where the limit in the trade's library comes from, as facts/starting_kinds says beside each
_LIBRARY_SOURCES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "hold-down": "several operator's manuals, for pointed guards",
        "wear plate": "a trade article",
        "rasp bars": "a parts supplier",
        "concave": "a growers' forum, common practice",
        "sheave": "belt makers' gauge sheets, single V-belt",
        "auger flighting": "from memory, common practice, for grain",
    }
)
OWN_LIMIT: Final = "set on this farm, no other source"
#: largest sprocket that anybody would count
_MOST_TEETH: Final = 1_000
#: points of a per cent between two elongations that pass for the same, so that stored whole micrometres do
_SAME_PERCENT: Final = 0.005


@dataclass(frozen=True, slots=True)
class Pitch:
    """A pitch of a chain, how it was named, and where the figure comes from."""

    micrometres: int
    name: str
    source: str


def read_chain(text: str, settings: FarmSettings) -> Pitch:
    """Read the trade number of a chain (CA550, #60), or its pitch with a unit (1.63in). UsageError for neither."""
    try:
        chain = find_chain(text)
    except DataError as error:
        if not any(one.isdigit() for one in text) or text.strip()[-1:].isdigit():
            listed = ", ".join(one.number for one in CHAINS)
            raise UsageError(
                f"The pitch of chain '{text}' is not known here.",
                f"Write its pitch, like --chain 1.63in, or one of {listed}.",
            ) from error
        pitch = read_length(text, settings)
        if pitch == 0:
            raise UsageError("A chain has a pitch above 0.", "Measure pin centre to pin centre.") from error
        return Pitch(pitch, f"pitch {text.strip()}", "pitch as it was given")
    return Pitch(round(chain.pitch_mm * 1_000), chain.number, chain.label)


def pitch_of(kind: PartKind) -> Pitch:
    """Return the pitch that a kind of chain is reckoned by, with the trade numbers that have it."""
    assert kind.pitch_micrometres is not None
    same = [one for one in CHAINS if round(one.pitch_mm * 1_000) == kind.pitch_micrometres]
    return Pitch(kind.pitch_micrometres, ", ".join(one.number for one in same), same[0].label if same else OWN_LIMIT)


def chain_limit_percent(teeth: int | None, *, fixed_centres: bool) -> float:
    """Return the elongation at which such a chain is worn out. UsageError for a sprocket that cannot be."""
    if teeth is not None and not 1 <= teeth <= _MOST_TEETH:
        raise UsageError(f"A sprocket of {teeth} teeth cannot be.", "Count the teeth of the larger one.")
    return elongation_limit(teeth, fixed_centres=fixed_centres)


def chain_limit_source(percent: float) -> str:
    """Return the rule that gives an elongation limit, by what it is; where none does, that the farm set it."""
    if abs(percent - ELONGATION_LIMIT) < _SAME_PERCENT:
        return f"{_MAKERS}; for adjustable centres common practice"
    if abs(percent - ELONGATION_LIMIT_FIXED_CENTRES) < _SAME_PERCENT:
        return f"for fixed centres, parallel strands or smooth running: {_MAKERS}"
    teeth = round(200 / percent) if percent > 0 else 0
    if percent < ELONGATION_LIMIT and teeth and abs(200 / teeth - percent) < _SAME_PERCENT:
        return f"200 over the {teeth} teeth of the larger sprocket: {_MAKERS}"
    return OWN_LIMIT


def limit_percent(kind: PartKind) -> float | None:
    """Return the limit of a kind of chain as an elongation in percent; None for what is no chain."""
    if kind.limit_micrometres is None or not kind.pitches or not kind.pitch_micrometres:
        return None
    return elongation_percent(kind.limit_micrometres, kind.pitches, kind.pitch_micrometres)


def limit_source(kind: PartKind) -> str:
    """Return where the limit of a kind comes from; nothing where it has none."""
    if kind.limit_micrometres is None:
        return ""
    library = next((one for one in STARTING_KINDS if one.name == kind.name.casefold()), None)
    percent = limit_percent(kind)
    if percent is not None:
        listed = limit_percent(library) if library is not None else None
        rule = chain_limit_source(percent)
        if listed is not None and abs(listed - percent) < _SAME_PERCENT:
            return rule
        # the figure alone does not tell whether the farm went by the rule or by its own experience
        return OWN_LIMIT if rule == OWN_LIMIT else f"set on this farm; the same as by a rule: {rule}"
    if library is None or abs((library.limit_micrometres or 0) - kind.limit_micrometres) > 1:
        return OWN_LIMIT
    return _LIBRARY_SOURCES.get(library.name, OWN_LIMIT)


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeChange:
    """What is to be changed of how a kind is measured; None leaves it as it is.

    A limit is a length, or for a chain an elongation in percent.
    """

    dimension: Dimension | None = None
    new_micrometres: int | None = None
    limit_micrometres: int | None = None
    limit_percent: Decimal | float | None = None
    pitch: Pitch | None = None
    pitches: int | None = None


def set_gauge(store: Store, kind: PartKind, gauge: GaugeChange) -> Done:
    """Change how the wear of a kind is measured.

    Raises
    ------
    RefusedError
        When the limit lies on the wrong side of the new value, or there are readings that would mean something else then.
    """
    changed = _with_gauge(kind, gauge)
    with store.writing() as connection:
        said = f"set how {kind.name} is measured"
        return save(store, connection, said, changed=[changed], known=known_names(connection))


def _with_gauge(kind: PartKind, gauge: GaugeChange) -> PartKind:
    if gauge.dimension is None and kind.dimension is Dimension.NONE and gauge.pitch is None:
        raise UsageError(
            f"What is measured on a {kind.name}?", "Say --what gap, depth or thickness; for a chain --chain CA550."
        )
    dimension = Dimension.LENGTH_OVER_PITCHES if gauge.pitch else gauge.dimension or kind.dimension
    if dimension is not Dimension.LENGTH_OVER_PITCHES:
        if gauge.pitches is not None or gauge.limit_percent is not None:
            raise UsageError(f"Pitches and per cents go with a chain; a {kind.name} is none.", "Give a length.")
        return replace(
            kind,
            dimension=dimension,
            new_micrometres=kind.new_micrometres if gauge.new_micrometres is None else gauge.new_micrometres,
            limit_micrometres=kind.limit_micrometres if gauge.limit_micrometres is None else gauge.limit_micrometres,
            pitch_micrometres=None,
            pitches=None,
        )
    if gauge.new_micrometres is not None:
        raise UsageError("What a new chain measures follows from its pitch.", "Leave --new away; give --chain.")
    return _chain(kind, gauge)


def _chain(kind: PartKind, gauge: GaugeChange) -> PartKind:
    pitch = gauge.pitch.micrometres if gauge.pitch else kind.pitch_micrometres
    pitches = gauge.pitches or kind.pitches
    if not pitch or not pitches:
        raise UsageError(
            "Over how many pitches of which chain?", "Give both, like --chain CA550 --pitches 12; 6 to 10 or more."
        )
    new = pitch * pitches
    percent = gauge.limit_percent
    if percent is None and gauge.limit_micrometres is None:
        # another pitch or span keeps the elongation at which it is worn out
        before = limit_percent(kind)
        percent = ELONGATION_LIMIT if before is None else before
    limit = gauge.limit_micrometres if percent is None else round(new * (1 + float(percent) / 100))
    return replace(
        kind,
        dimension=Dimension.LENGTH_OVER_PITCHES,
        new_micrometres=new,
        limit_micrometres=limit,
        pitch_micrometres=pitch,
        pitches=pitches,
    )
