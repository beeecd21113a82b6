"""Other farms' lives in place of the library's guess of a kind; a guess that the farm typed stands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cache
from uuid import UUID

from wearlog.facts.closed_lists import Evidence
from wearlog.facts.neighbours import NeighbourLife
from wearlog.facts.parts import PartKind


@cache
def _library() -> dict[UUID, PartKind]:
    # two hundred kinds take longer to load than a log without neighbours needs
    from wearlog.facts.starting_guesses import STARTING_KINDS

    return {kind.id: kind for kind in STARTING_KINDS}


def library_name(kind: PartKind) -> str | None:
    """Return what the library calls a kind, whatever it was called since; None for a kind of the farm's own."""
    found = _library().get(kind.id)
    return None if found is None else found.name


def is_library_guess(kind: PartKind) -> bool:
    """Whether the guess of its life is still that of the library."""
    found = _library().get(kind.id)
    return found is not None and _guess(found) == _guess(kind)


def _guess(kind: PartKind) -> tuple[int | None, ...]:
    return (
        kind.life_low_usage,
        kind.life_high_usage,
        kind.shape_low_thousandths,
        kind.shape_high_thousandths,
    )


def with_neighbours(kinds: Iterable[PartKind], learned: Sequence[NeighbourLife]) -> tuple[PartKind, ...]:
    """Return the kinds with the guesses that other farms' lives give, where there are such."""
    if not learned:
        return tuple(kinds)
    by_name = {one.kind: one for one in learned}
    return tuple(_with(kind, by_name.get((library_name(kind) or "").casefold())) for kind in kinds)


def _with(kind: PartKind, learned: NeighbourLife | None) -> PartKind:
    if learned is None or learned.meter is not kind.meter_kind or not is_library_guess(kind):
        return kind
    return replace(
        kind,
        life_low_usage=learned.life_low_usage,
        life_high_usage=learned.life_high_usage,
        shape_low_thousandths=learned.shape_low_thousandths,
        shape_high_thousandths=learned.shape_high_thousandths,
        guess_evidence=Evidence.NEIGHBOURS,
    )
