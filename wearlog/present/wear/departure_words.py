"""What is reckoned beyond the plain model of a kind, and how it is set aside or taken up again."""

from __future__ import annotations

from wearlog.facts.departures import Departure, departures_text
from wearlog.present.digits import number
from wearlog.present.words import counted, plural
from wearlog.reckoning.wear.kind_life import KindLife


def by_stones_sentences(life: KindLife) -> list[str]:
    """Say that one stone takes several pieces and what follows; nothing where each took one."""
    if Departure.STONES in life.aside:
        return [
            f"Every broken piece counts as a stone of its own, as the farm set it. {taken_up(life, Departure.STONES)}"
        ]
    stones = life.stones
    if stones is None or life.impacts is None:
        return []
    seen = sum(stones.stones)
    return [
        f"One stone takes neighbours: {counted(round(seen), 'stone')} broke these {number(sum(life.impacts.breakages))} "
        f"pieces, {stones.per_stone:.1f} each with what is usual beforehand. Pieces of one component broken within a quarter of an "
        "hour at neighbouring positions are one stone, however they were entered.",
        "Rates, what the season breaks, spares and hot places go by stones: as many pieces on average, in fewer and larger "
        f"lots. {left_aside(life, Departure.STONES)}",
    ]


def left_aside(life: KindLife, what: Departure) -> str:
    """Return how this is set aside."""
    return f"To set this aside: wearlog wear {_quoted(life)} --without {what}, or w on its screen."


def taken_up(life: KindLife, what: Departure) -> str:
    """Return how this is taken up again."""
    return f"To take it up again: wearlog wear {_quoted(life)} --with {what}, or w on its screen."


def _quoted(life: KindLife) -> str:
    return f"'{life.kind.name}'" if " " in life.kind.name else life.kind.name


def aside_said(life: KindLife) -> str:
    """Say what a key did that sets aside or takes up again: the life as it was before."""
    if life.aside:
        return f"Taken up again for {plural(life.kind.name)}: {departures_text(life.aside)}. u undoes."
    if not life.beyond:
        return "Nothing is reckoned beyond the plain model here, so there is nothing to set aside."
    return f"Set aside for {plural(life.kind.name)}: {departures_text(life.beyond)}. u undoes, w takes it up again."
