"""The components of one kind as an answer: parts by age, each with its chance to last the season ahead by wear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final
from uuid import UUID

from wearlog.facts.positions import format_positions
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, RowRule, data
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.json_form import rounded
from wearlog.present.wear.wear_json import state_of
from wearlog.present.wear.wear_words import expected_text, failures_text, is_known, season_sentence, unknown_text
from wearlog.present.words import counted
from wearlog.reckoning.wear.age_groups import AgeGroup
from wearlog.reckoning.wear.kind_view import KindView
from wearlog.reckoning.wear.season_ahead import SeasonAhead
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook

#: rows of one component that a page shows; the others are counted
_SHOWN: Final = 5
#: an interval that lies over it is said as "over 99 %", and not rounded to a certainty
_SUREST: Final = 0.99
_NO_COMPONENT: Final = "It sits on no machine yet; 'wearlog add component' enters one."


@dataclass(frozen=True, slots=True, eq=False)
class PartsNow:
    """Positions of one component that nobody could tell apart.

    Without a `group` the row is about the component: that nothing is fitted, or, `by_stones`, what stones are to break on it.
    `place` counts the rows of the component.
    """

    component: ComponentOutlook
    place: int
    group: AgeGroup | None = None
    by_stones: bool = False


def part_sheet(view: KindView, names: Mapping[UUID, str], measures: Measures) -> AnswerSheet[PartsNow]:
    """Return the answer; `names` are those of the machines."""
    rows = [row for one in view.row.components for row in _rows(one, view, measures)]
    return AnswerSheet(
        name="parts_now",
        columns=_columns(view, names),
        rows=rows,
        measures=measures,
        headline=f"{season_sentence(view.ahead, measures)} {expected_sentence(view)}".rstrip(),
        empty=_NO_COMPONENT,
        rule=RowRule(_is_worth, lambda left: _others([row for row in rows if not _is_worth(row)], view.ahead)),
        key_of=lambda row: (row.component.component_id, row.place),
        shouts=lambda row: row.group is not None and row.group.failed,
    )


def _columns(view: KindView, names: Mapping[UUID, str]) -> tuple[AnswerColumn[PartsNow], ...]:
    meter, components = view.row.life.kind.meter_kind, view.row.components

    def age(row: PartsNow) -> float | None:
        return None if row.group is None else row.group.age

    def chance(which: str) -> Any:
        return lambda row, _: rounded(getattr(row.group, which), 4) if _is_told(row, view.ahead) else None

    def expected(row: PartsNow) -> float | None:
        return _expected(row, view.ahead)

    # where each machine has one of them its name says which
    alone = len({one.machine_id for one in components}) == len(components)
    return (
        AnswerColumn(
            "machine",
            lambda row, _: names.get(row.component.machine_id, NOTHING),
            "machine",
            lambda row, _: names.get(row.component.machine_id),
            least=8,
            most=18,
        ),
        AnswerColumn(
            "place",
            lambda row, _: row.component.place,
            "component",
            lambda row, _: row.component.place,
            least=10,
            most=28,
            gives=4 if alone else 1,
        ),
        AnswerColumn(
            "positions",
            lambda row, _: _where(row),
            "positions",
            _positions,
            least=10,
            most=200,
            short=(lambda row, _: _how_many(row),),
        ),
        AnswerColumn(
            "age",
            lambda row, measures: measures.usage(meter, age(row)),
            "age",
            lambda row, measures: None if (one := age(row)) is None else rounded(measures.usage_number(meter, one), 1),
            least=5,
            figures=True,
            gives=3,
        ),
        AnswerColumn(
            "lasts season by wear",
            lambda row, _: NOTHING if row.group is None else chance_text(row.group, view.ahead),
            "survive_season",
            chance("survives"),
            least=18,
            most=22,
        ),
        data("survive_low", chance("survives_low")),
        data("survive_high", chance("survives_high")),
        AnswerColumn(
            "expected",
            lambda row, _: expected_text(expected(row)),
            "expected_breakages",
            lambda row, _: rounded(expected(row), 4),
            least=8,
            figures=True,
            gives=2,
            tells_more=True,
        ),
        data("state", lambda row, _: _state(row)),
    )


def _rows(one: ComponentOutlook, view: KindView, measures: Measures) -> Iterator[PartsNow]:
    groups = shown_groups(one, view, measures)
    if not groups:
        yield PartsNow(one, 0)
    for place, group in enumerate(groups):
        yield PartsNow(one, place, group)
    if one.expected_impacts and is_known(view.ahead):
        yield PartsNow(one, len(groups) or 1, by_stones=True)


def _is_worth(row: PartsNow) -> bool:
    return row.place < _SHOWN or row.group is None or row.group.failed


def _others(rows: Sequence[PartsNow], ahead: SeasonAhead) -> str:
    """Say how many parts stand in no row of a page, and what is expected of them."""
    groups = [row.group for row in rows if row.group is not None]
    count = counted(sum(len(group.positions) for group in groups), "part")
    known = [more for group in groups if (more := group_expected(group, ahead)) is not None]
    said = "of unknown age" if all(group.age is None for group in groups) else "surer to last"
    expected = f"; {expected_text(sum(known))} expected to break of them" if known else ""
    return f"And {count} {said}{expected} (--all lists them)."


def _where(row: PartsNow) -> str:
    if row.group is None:
        return "any, by stones" if row.by_stones else "nothing fitted"
    positions = row.group.positions
    return "all" if len(positions) == row.component.positions > 1 else format_positions(positions)


#: cells that positions one by one may take where there is no room for all of them
_FEW: Final = 16


def _how_many(row: PartsNow) -> str:
    """Positions as they stand, or how many of all where that is shorter."""
    where = _where(row)
    if row.group is None or len(where) <= _FEW:
        return where
    return f"{len(row.group.positions)} of {row.component.positions}"


def _positions(row: PartsNow, measures: Measures) -> list[int] | None:
    return None if row.group is None else list(row.group.positions)


def _state(row: PartsNow) -> str:
    if row.group is None:
        return "by_stones" if row.by_stones else "nothing_fitted"
    return state_of(row.group)


def _is_told(row: PartsNow, ahead: SeasonAhead) -> bool:
    """What has failed already is known whatever the season asks."""
    return row.group is not None and (row.group.failed or is_known(ahead))


def _expected(row: PartsNow, ahead: SeasonAhead) -> float | None:
    if row.group is None:
        return row.component.expected_impacts if row.by_stones else None
    return group_expected(row.group, ahead)


def expected_sentence(view: KindView) -> str:
    """Say how many are expected to break in the season ahead, by what, and what is in none of it."""
    row = view.row
    groups = [group for one in row.components for group in one.groups]
    if not is_known(view.ahead):
        failed = sum(len(group.positions) for group in groups if group.failed)
        return f"{number(failed)} failed and still on." if failed else ""
    if not row.components:
        return ""
    wear = "none known"
    if not groups or any(group.expected is not None for group in groups):
        wear = expected_text(sum(one.expected_wear for one in row.components))
    counts = row.impact_counts()
    if counts is None:
        said = f"Expected to break: {wear} by wear"
    else:
        stones = expected_text(sum(one.expected_impacts for one in row.components))
        count = f"{counts.low} to {counts.high}" if counts.low < counts.high else str(counts.low)
        said = (
            f"Expected to break: {expected_text(row.expected_known)} ({wear} by wear, {stones} by stones: "
            f"{count} of these in nine seasons of ten)"
        )
    unknown = unknown_text(row, view.ahead)
    said = f"{said}; not in it: {unknown}." if unknown else f"{said}."
    failures = failures_text(row, view.ahead)
    return f"{said} With the successors of what breaks: {failures} failures." if failures else said


def by_threat(groups: Sequence[AgeGroup]) -> list[AgeGroup]:
    """Return the parts of a component as a hand would look at them: failed, past by the line, least sure to last, unknown."""
    return sorted(
        groups, key=lambda one: (not one.failed, not one.past_by_line, 2.0 if one.survives is None else one.survives)
    )


def shown_groups(one: ComponentOutlook, view: KindView, measures: Measures) -> list[AgeGroup]:
    """Return the groups by threat, those in one that nobody could tell apart: measured parts have a group of their own each."""
    alike: dict[tuple[str, str], list[AgeGroup]] = {}
    for group in by_threat(one.groups):
        said = (measures.usage(view.row.life.kind.meter_kind, group.age), chance_text(group, view.ahead))
        alike.setdefault(said, []).append(group)
    return [_together(groups) for groups in alike.values()]


def _together(groups: Sequence[AgeGroup]) -> AgeGroup:
    """Return groups of one age and one chance as one that is expected to lose as many as they are."""
    positions = tuple(sorted(position for group in groups for position in group.positions))
    known = [len(group.positions) * group.survives for group in groups if group.survives is not None]
    survives = sum(known) / len(positions) if len(known) == len(groups) else None
    if len(groups) == 1:
        return groups[0]
    return replace(groups[0], positions=positions, survives=survives)


def group_expected(group: AgeGroup, ahead: SeasonAhead) -> float | None:
    """Return the breakages by wear expected of a group; None where nobody can say."""
    return group.expected if group.failed or is_known(ahead) else None


def chance_text(group: AgeGroup, ahead: SeasonAhead) -> str:
    """Return "82 % (78-87 %)", or why there is no such chance."""
    if group.failed:
        return "BROKEN, still runs"
    if group.past_by_line:
        return "past limit by its line"
    if group.survives is None:
        return "age unknown" if group.age is None else NOTHING
    if not is_known(ahead):
        return NOTHING
    if group.by_measurement:
        return f"{percent(group.survives)}, as measured"
    if group.survives_low is None or group.survives_high is None or group.survives_low > _SUREST:
        return percent(group.survives)
    return f"{percent(group.survives)} ({group.survives_low * 100:.0f}-{group.survives_high * 100:.0f} %)"
