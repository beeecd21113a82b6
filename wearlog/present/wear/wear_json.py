"""What the JSON of the wear of kinds has beside the columns that people read. No words, no tables."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, TypeVar
from uuid import UUID

from wearlog.facts.closed_lists import Ground, MeterKind
from wearlog.facts.departures import Departure
from wearlog.present.answer_sheet import AnswerColumn, data
from wearlog.present.digits import Measures
from wearlog.present.json_form import rounded
from wearlog.present.wear.life_table_words import agreement_json
from wearlog.present.wear.wear_words import is_known
from wearlog.reckoning.wear.age_groups import AgeGroup
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.season_ahead import SeasonAhead
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook
from wearlog.wear.intervals import Estimate

#: a unit as the end of a JSON key
JSON_UNIT = {"ac": "acres", "ha": "hectares", "h": "hours", "d": "days"}
Figure = TypeVar("Figure")
Columns = Sequence[AnswerColumn[KindOutlook]]


def known_only(ahead: SeasonAhead) -> Callable[[Figure | None], Figure | None]:
    """Return what lets a figure of the season ahead through where anything is known of that season."""
    known = is_known(ahead)
    return lambda figure: figure if known else None


def life_data(machine: str | None) -> Columns:
    """Return what is told of the life of a kind: its interval, its shape, what it rests on, what stones do."""
    return (
        data("machine", lambda row, _: machine),
        data("meter", lambda row, _: row.life.kind.meter_kind),
        data("unit", lambda row, measures: JSON_UNIT[measures.usage_unit(row.life.kind.meter_kind)]),
        data("failures", lambda row, _: round(row.life.lives.failures)),
        data("lives", lambda row, _: round(row.life.lives.count)),
        data("exposure", lambda row, measures: _usage(row.life.lives.exposure, row.life.kind.meter_kind, measures)),
        data("life_low", lambda row, measures: usage_end(row.life, row.life.median_life, "low", measures)),
        data("life_high", lambda row, measures: usage_end(row.life, row.life.median_life, "high", measures)),
        data("b10_low", lambda row, measures: usage_end(row.life, row.life.b10, "low", measures)),
        data("b10_high", lambda row, measures: usage_end(row.life, row.life.b10, "high", measures)),
        data("b90", lambda row, measures: usage_end(row.life, row.life.b90, "median", measures)),
        data("b90_low", lambda row, measures: usage_end(row.life, row.life.b90, "low", measures)),
        data("b90_high", lambda row, measures: usage_end(row.life, row.life.b90, "high", measures)),
        data("level", lambda row, _: 0.9),
        data("usual_season", lambda row, measures: _usage(row.season, row.life.kind.meter_kind, measures)),
        data("shape", _shape),
        AnswerColumn("", value=lambda row, _: agreement_json(row.life.guess_check), inlaid=True),
        data("lives_left_out", lambda row, _: row.life.lives.left_out),
        data("impacts", lambda row, _: row.impacts),
        data("impacts_per_1000_{acres}_by_ground", _by_ground),
        data("impacts_per_1000_{acres}_by_ground_interval", _by_ground_interval),
        data("stones", _stones),
        data("never_entered", _never_entered),
        data("own_lives", own_machines_json),
        data("ground_speeds", ground_json),
        data("shorter_each_year", years_json),
        data("part_numbers", part_numbers_json),
        data("set_aside", lambda row, _: [one.value for one in Departure if one in row.life.aside]),
        data("impact_guess", lambda row, _: row.life.has_impact_guess),
        data("impact_guess_conflict_p", lambda row, _: row.life.impact_conflict and row.life.impact_conflict.p),
    )


def now_data(names: Mapping[UUID, str], ahead: SeasonAhead) -> Columns:
    """Return what is told of the season ahead, and each position that is fitted now.

    What nobody can reckon is null: parts of unknown age, and everything about a season of which nothing is known.
    """
    known = known_only(ahead)

    def now(row: KindOutlook, measures: Measures) -> list[dict[str, Any]]:
        meter = row.life.kind.meter_kind
        return [entry for one in row.components for entry in _now(one, meter, names, measures, known=is_known(ahead))]

    return (
        data("impacts_expected", lambda row, _: known(_impacts_expected(row))),
        data("not_reckoned", lambda row, _: row.not_reckoned),
        data("unknown_age", lambda row, _: row.unknown),
        data("expected_of_unknown_age_at_steady_rate", lambda row, _: known(rounded(row.expected_steady))),
        data("now", now),
    )


def usage_end(life: KindLife, estimate: Estimate | None, which: str, measures: Measures) -> float | None:
    """Return the median, the low or the high end of an estimate of life in the farm's unit."""
    return None if estimate is None else _usage(getattr(estimate, which), life.kind.meter_kind, measures)


def _shape(row: KindOutlook, measures: Measures) -> dict[str, float | None] | None:
    if row.life.law is None:
        return None
    shape = row.life.law.shape()
    return {"median": rounded(shape.median), "low": rounded(shape.low), "high": rounded(shape.high)}


def _by_ground(row: KindOutlook, measures: Measures) -> dict[str, float | None] | None:
    broken = row.life.broken_by_stones
    if broken is None:
        return None
    rates = zip(Ground, broken.means, strict=True)
    return {ground.value: rounded(measures.per_thousand(rate), 4) for ground, rate in rates}


def _by_ground_interval(row: KindOutlook, measures: Measures) -> dict[str, list[float | None]] | None:
    if row.life.impact_rates is None:
        return None
    return {
        ground.value: [rounded(measures.per_thousand(end), 4) for end in (rate.low, rate.high)]
        for ground, rate in zip(Ground, row.life.impact_rates, strict=True)
    }


def _stones(row: KindOutlook, measures: Measures) -> dict[str, Any] | None:
    """Return the stones seen and the pieces that one takes; null where each took one piece."""
    stones = row.life.stones
    return None if stones is None else {"seen": round(sum(stones.stones)), "pieces_each": rounded(stones.per_stone, 2)}


def _never_entered(row: KindOutlook, _: Measures) -> dict[str, Any] | None:
    """Return what the counts of the shelf know that no entry tells of; null where the log may be complete."""
    if row.life.missing is None:
        return None
    share = row.life.missing.share
    return {
        "left_the_shelf": round(share.of.used),
        "entered": round(share.of.entered),
        "entered_without_day_and_place": round(share.of.rough),
        "share_entered": rounded(share.mean, 3),
        "low": rounded(share.quantile(0.1), 3),
        "high": rounded(share.quantile(0.9), 3),
    }


def _impacts_expected(row: KindOutlook) -> dict[str, float | int | None] | None:
    counts = row.impact_counts()
    return None if counts is None else {"mean": rounded(counts.mean), "low": counts.low, "high": counts.high}


def _now(
    component: ComponentOutlook, meter: MeterKind, names: Mapping[UUID, str], measures: Measures, *, known: bool
) -> Iterator[dict[str, Any]]:
    """One entry for each position; what stones are expected to break is shared evenly over the positions."""
    by_stones = component.expected_impacts / component.positions
    places = sorted(
        (
            (position, group, later)
            for group, later in zip(component.groups, component.successors, strict=True)
            for position in group.positions
        ),
        key=lambda place: place[0],
    )
    for position, group, later in places:
        # what has failed already is known whatever the season asks
        told = known or group.failed
        by_wear = None if group.survives is None or not told else 1 - group.survives
        in_all = None if by_wear is None else by_wear + later + by_stones
        yield {
            "component": component.place,
            "position": position,
            "machine": names.get(component.machine_id),
            "age": _usage(group.age, meter, measures),
            "survive_season": rounded(group.survives, 4) if told else None,
            "survive_low": rounded(group.survives_low, 4) if told else None,
            "survive_high": rounded(group.survives_high, 4) if told else None,
            "expected_breakages": None if by_wear is None else rounded(by_wear + by_stones, 4),
            "expected_with_successors": rounded(in_all, 4),
            "state": state_of(group),
            "past_limit_by_its_line": group.past_by_line,
        }


def state_of(group: AgeGroup) -> str:
    """Return the state of parts as JSON names it."""
    if group.failed:
        return "failed"
    if group.age is None:
        return "age_unknown"
    return "measured" if group.by_measurement else "whole"


def _usage(usage: float | None, meter: MeterKind, measures: Measures) -> float | None:
    return None if usage is None else rounded(measures.usage_number(meter, usage), 1)


def own_machines_json(row: KindOutlook, measures: Measures) -> dict[str, Any] | None:
    """Return each machine's own life, and over that of a machine in the middle; null where machines are taken as alike."""
    own = row.life.machines
    if own is None:
        return None
    meter = row.life.kind.meter_kind
    machines = []
    for name, place, law in zip(own.names, own.numbers, own.fitted.laws, strict=True):
        here = row.life.law_on(place)
        life = (law if here is None else here).median_life()
        ends = [rounded(measures.usage_number(meter, end), 1) for end in (life.median, life.low, life.high)]
        machines.append(
            {
                "machine": name,
                "times_the_usual_life": _estimate(law.ratio),
                "life_median": ends[0],
                "life_low": ends[1],
                "life_high": ends[2],
                "failures": round(law.failures),
            }
        )
    return {"chance_that_they_differ": rounded(own.fitted.differ), "machines": machines}


def ground_json(row: KindOutlook, _: Measures) -> dict[str, Any] | None:
    """Return by ground how many acres an acre counts; null where all ground wears alike."""
    ground = row.life.ground
    if ground is None:
        return None
    return {where.value: _estimate(ground.speeds.speed(place)) for place, where in enumerate(ground.grounds)}


def years_json(row: KindOutlook, _: Measures) -> dict[str, Any] | None:
    """Return by which share lives grow shorter each year, of the kind and of the farm; null where no year is unlike another."""
    years = row.life.years
    return (
        None if years is None else {"kind": _estimate(years.slope.shorter()), "farm": _estimate(years.farm.shorter())}
    )


def part_numbers_json(row: KindOutlook, _: Measures) -> dict[str, Any] | None:
    """Return how many times as long the number fitted now lasts as each other; null where there is one only.

    A number that nobody noted is null. `by_other_kinds` is what other kinds with several numbers foretell of it; null without any.
    """
    parts = row.life.parts
    if parts is None:
        return None
    now, *before = parts.failures
    others = [
        {"number": name or None, "lasts_times_as_long": _estimate(parts.speeds.speed(place)), "failures": round(failed)}
        for place, (name, failed) in enumerate(zip(parts.others, before, strict=True))
    ]
    kinds, lasts = parts.before.kinds, parts.before.lasts
    foretold = {"kinds": kinds, "lasts_times_as_long": _estimate(lasts)} if kinds else None
    return {"number": parts.newest or None, "failures": round(now), "others": others, "by_other_kinds": foretold}


def _estimate(estimate: Estimate) -> dict[str, float | None]:
    ends = {"median": estimate.median, "low": estimate.low, "high": estimate.high, "level": estimate.level}
    return {key: rounded(value, 4) for key, value in ends.items()}
