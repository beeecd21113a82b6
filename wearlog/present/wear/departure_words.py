"""What is reckoned beyond the plain model of a kind, and how it is set aside or taken up again."""

from __future__ import annotations

from wearlog.facts.departures import Departure, departures_text
from wearlog.facts.positions import many_of
from wearlog.present.digits import number, percent
from wearlog.present.words import counted, listed, word
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.own_laws import PartWear
from wearlog.wear.intervals import Estimate


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
    return f"To set this aside: wearlog wear {_quoted(life)} --without {what}, or x on its screen."


def taken_up(life: KindLife, what: Departure) -> str:
    """Return how this is taken up again."""
    return f"To take it up again: wearlog wear {_quoted(life)} --with {what}, or x on its screen."


def _quoted(life: KindLife) -> str:
    return f"'{life.kind.name}'" if " " in life.kind.name else life.kind.name


def aside_said(life: KindLife) -> str:
    """Say what a key did that sets aside or takes up again: the life as it was before."""
    if life.aside:
        return f"Taken up again for {many_of(life.kind.name)}: {departures_text(life.aside)}. u undoes."
    if not life.beyond:
        return "Nothing is reckoned beyond the plain model here, so there is nothing to set aside."
    return f"Set aside for {many_of(life.kind.name)}: {departures_text(life.beyond)}. u undoes, x takes it up again."


def machine_sentences(life: KindLife) -> list[str]:
    """Say which machines wear a kind out sooner or later than the others; nothing where they are taken as alike."""
    if Departure.MACHINES in life.aside:
        return [f"Machines are taken as alike, as the farm set it. {taken_up(life, Departure.MACHINES)}"]
    own = life.machines
    if own is None:
        return []
    told = [
        f"{name} {_apart(law.ratio)}"
        for name, law in zip(own.names, own.fitted.laws, strict=True)
        if law.ratio.high < 1 or law.ratio.low > 1
    ]
    apart = percent(own.fitted.differ)
    return [
        f"Machines wear them each in its own way ({apart} sure): {listed(told)}."
        if told
        else "Machines may wear them each in its own way, but of none is it plain yet.",
        "Chances, what the season breaks, plan and spares go machine by machine, each by its own records and by those of "
        f"the others; the life of the whole fleet stays what it is. {left_aside(life, Departure.MACHINES)}",
    ]


def ground_sentences(life: KindLife) -> list[str]:
    """Say how fast rough ground wears a kind; nothing where the records do not ask for it."""
    if Departure.GROUND in life.aside:
        return [f"All ground wears alike, as the farm set it. {taken_up(life, Departure.GROUND)}"]
    ground = life.ground
    if ground is None:
        return []
    speeds = [ground.speeds.speed(place) for place in range(len(ground.grounds))]
    told = [
        f"what is cut on {word(where)} ground counts {one.median:.2f} times (8 in 10: {one.low:.2f} to {one.high:.2f})"
        for where, one in zip(ground.grounds, speeds, strict=True)
    ]
    return [
        f"Ground wears them at speeds of its own: {listed(told)}.",
        "The life is said on the mix of ground that was cut so far; chances, what the season breaks, plan and spares go "
        "by the ground that each part has run on and by the ground that is ahead of it. "
        + left_aside(life, Departure.GROUND),
    ]


def year_sentences(life: KindLife) -> list[str]:
    """Say how lives have changed from year to year; nothing where no year is unlike another."""
    if Departure.YEARS in life.aside:
        return [f"Every year counts alike, as the farm set it. {taken_up(life, Departure.YEARS)}"]
    years = life.years
    if years is None:
        return []
    farm, own = years.farm.shorter(), years.slope.shorter()
    way = "shortened" if farm.median > 0 else "lengthened"
    ends = sorted((abs(farm.low), abs(farm.high)))
    between = f"{percent(ends[0])} to {percent(ends[1])}" if farm.low * farm.high > 0 else f"up to {percent(ends[1])}"
    here = "shorter" if own.median > 0 else "longer"
    return [
        f"Lives have {way} by about {percent(abs(farm.median))} a year on this farm, all kinds together (9 in 10: {between}); of "
        f"this kind they have grown {percent(abs(own.median))} {here} each year.",
        "The life is that of the year ahead: what earlier years wore counts at the wear of that year, in chances, what the "
        f"season breaks, plan and spares. {left_aside(life, Departure.YEARS)}",
    ]


def missing_sentences(life: KindLife) -> list[str]:
    """Say what the counts of the shelf know that no entry tells of; nothing where the log may be complete."""
    if Departure.MISSING in life.aside:
        return [f"Every breakage counts as entered, as the farm set it. {taken_up(life, Departure.MISSING)}"]
    if life.missing is None:
        return []
    share = life.missing.share
    gone, least, most = (percent(1 - one) for one in (share.mean, share.quantile(0.9), share.quantile(0.1)))
    name = many_of(life.kind.name)
    seasons = [f"{number(one.of.missing)} in {one.harvest_year}" for one in life.missing.seasons if one.of.missing >= 1]
    where = f" They are missing most: {listed(seasons)}." if seasons else ""
    rough = f", {number(share.of.rough)} of them entered without day and place" if share.of.rough else ""
    by_stones = f"stones break {share.times:.2f} times what was entered, and " if life.impacts is not None else ""
    return [
        f"About {gone} of the {name} that left the shelf were never entered (8 in 10: {least} to {most}{rough}): by its counts "
        f"{number(share.of.used)} left it, and {number(share.of.entered)} are told by breakages, planned work and uses.{where}",
        f"So {by_stones}a long life may be two of which the first was never told, and a part may be newer than it looks: each is "
        "weighed as both, by how likely that is. Life, chances, what the season breaks, plan and spares are reckoned so, and "
        "whether lives grow shorter from year to year. " + left_aside(life, Departure.MISSING),
        f"What of it broke, on a day and at a place that nobody remembers, is entered in one line: wearlog stock missing "
        f"{_quoted(life)} 12, or a on its screen.",
    ]


def part_sentences(life: KindLife) -> list[str]:
    """Say how unlike part numbers live; nothing where there is one only."""
    if Departure.PARTS in life.aside:
        return [f"All part numbers are taken as one, as the farm set it. {taken_up(life, Departure.PARTS)}"]
    parts = life.parts
    if parts is None:
        return []
    newest = _number(parts.newest)
    told = []
    for place, other in enumerate(parts.others):
        ratio = parts.speeds.speed(place)
        told.append(
            f"it lasts {ratio.median:.2f} times as long as {_number(other)} (8 in 10: {ratio.low:.2f} to {ratio.high:.2f})"
        )
    counts = zip((parts.newest, *parts.others), parts.failures, strict=True)
    failed = listed([f"{number(count)} of {_number(name)}" for name, count in counts])
    return [
        f"The life is that of {newest}, which is fitted now: {listed(told)}. Behind that stand failures: {failed}. What is "
        f"known of one number counts for another as far as they are alike.{_beside(parts)}",
        "Chances, what the season breaks, plan and spares go by the number that sits at each place, and what follows it is taken "
        f"as {newest}. {left_aside(life, Departure.PARTS)}",
    ]


def _beside(parts: PartWear) -> str:
    """Say what the other kinds of the farm foretell; nothing where no other kind has two numbers."""
    before = parts.before
    if not before.kinds:
        return ""
    kinds = counted(before.kinds, "other kind")
    lasts = before.lasts
    return (
        f" {kinds[0].upper()}{kinds[1:]} of this farm with an older number and a newer one count too: by them alone it would last "
        f"{lasts.median:.2f} times as long (8 in 10: {lasts.low:.2f} to {lasts.high:.2f})."
    )


def _number(name: str) -> str:
    return f"number {name}" if name else "parts without a number"


def _apart(ratio: Estimate) -> str:
    way = "wears them out sooner" if ratio.median < 1 else "makes them last longer"
    return f"{way} (8 in 10: {ratio.low:.2f} to {ratio.high:.2f} of the life in the middle)"
