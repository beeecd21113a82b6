"""Starting guesses in words: what the trade supposes of a kind before the farm has records of its own, and that it is a guess."""

from __future__ import annotations

from math import floor, log10
from typing import TYPE_CHECKING

from wearlog.facts.closed_lists import Ground
from wearlog.present.digits import Measures, number

if TYPE_CHECKING:
    from wearlog.facts.parts import PartKind

#: rates are stored per million square kilometres
_PER_SQUARE_METRE = 1e-12
#: breakages by stones in 1,000 acres or hectares of stony ground from which on they are told
WORTH_SAYING = 0.2
#: stands above every list of guesses
GUESS_TITLE = "STARTING GUESSES, not your records"


def guess_line(kind: PartKind, positions: int, measures: Measures) -> str:
    """Return the life and the stones of a kind: "knife section (160): half are worn after 1,500-8,000 ac on 8 of 10 farms; ..."."""
    name = f"{kind.name} ({positions})" if positions > 1 else kind.name
    said = []
    if kind.life_low_usage is not None and kind.life_high_usage is not None:
        low, high = (
            _rough(measures.usage_number(kind.meter_kind, end)) for end in (kind.life_low_usage, kind.life_high_usage)
        )
        worn = "half are worn after" if positions > 1 else "lasts about"
        # the two ends are the 10 % and 90 % points of the half-life over farms
        said.append(f"{worn} {low}-{high} {measures.usage_unit(kind.meter_kind)} on 8 of 10 farms")
    few, stony = (_impacts(kind, ground, measures) for ground in (Ground.FEW_STONES, Ground.STONY))
    if stony >= WORTH_SAYING:
        said.append(f"in {measures.per_thousand_unit()} stones break {few:.2g} where few, {stony:.2g} on stony ground")
    return f"{name}: {'; '.join(said)}" if said else ""


def _rough(figure: float) -> str:
    """A guess in two figures: 139 h would claim to be known to the hour."""
    return number(round(figure, 1 - floor(log10(figure))) if figure > 0 else figure)


def _impacts(kind: PartKind, ground: Ground, measures: Measures) -> float:
    rate: int = getattr(kind, f"impacts_{ground.value}")
    return measures.per_thousand(rate * _PER_SQUARE_METRE)
