"""The table of all kinds of part, as wide as there is room: what a row rests on always stands in it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.guess_agreement import conflict_lines
from wearlog.present.tables import WIDEST, Column, folded, text_table, width
from wearlog.present.wear_words import (
    about_text,
    ahead_text,
    breakage_rate,
    failures_text,
    is_known,
    lasting,
    rests_on_briefly,
    rests_on_in_a_word,
    rough,
    season_sentence,
    unknown_ages,
    way_of_failing,
)
from wearlog.reckoning.season_ahead import SeasonAhead
from wearlog.reckoning.wear_outlook import KindOutlook, WearOutlook

#: kinds that a sentence names; the others are counted
_NAMED = 6


@dataclass(frozen=True, slots=True)
class _Field:
    """A column, what stands in it, and what it means."""

    column: Column
    cell: Callable[[KindOutlook, SeasonAhead, Measures], str]
    legend: str


def _b10(row: KindOutlook, _: SeasonAhead, measures: Measures) -> str:
    b10 = row.life.b10
    return NOTHING if b10 is None else rough(measures.usage_number(row.life.kind.meter_kind, b10.median))


_PART = _Field(Column("part", widest=26), lambda row, _, __: row.life.kind.name, "")
_LASTS = _Field(
    Column("lasts", widest=30),
    lambda row, _, measures: lasting(row.life.kind.meter_kind, row.life.median_life, measures),
    "lasts: half of them last so long, with its 90 % interval.",
)
_B10 = _Field(Column("B10", figures=True), _b10, "B10: one in ten is gone by then.")
_FAILS = _Field(
    Column("fails"),
    lambda row, _, __: way_of_failing(row.life),
    "fails: wear-out (the older, the sooner), early (the newer, the sooner), chance, or unclear yet.",
)
_RATE = _Field(
    Column("rate", figures=True),
    lambda row, _, measures: breakage_rate(row, measures),
    "rate: breakages of any cause per 1,000 {area}.",
)
_AHEAD = _Field(
    Column("ahead", figures=True),
    lambda row, ahead, _: ahead_text(row, ahead),
    "ahead: to break in the season ahead, each part now on once; parts that have failed and still run are in it.",
)
_RESTS = _Field(
    Column("rests on"),
    lambda row, _, __: rests_on_briefly(row.life),
    "rests on: worn out in lives seen, and the starting guess (common practice, no source).",
)
_RESTS_SHORT = _Field(
    Column("rests on"),
    lambda row, _, __: rests_on_in_a_word(row.life),
    "rests on: lives seen to wear out, and the starting guess (common practice, no source).",
)
_PART_SHORTER, _PART_SHORT = (_Field(Column("part", widest=widest), _PART.cell, "") for widest in (21, 17))
#: what is given up for want of room, one after the other; never the last column
_LAYOUTS = (
    (_PART, _AHEAD, _LASTS, _B10, _FAILS, _RATE, _RESTS),
    (_PART_SHORTER, _AHEAD, _LASTS, _B10, _FAILS, _RATE, _RESTS),
    (_PART_SHORT, _AHEAD, _LASTS, _B10, _FAILS, _RATE, _RESTS),
    (_PART, _AHEAD, _LASTS, _B10, _FAILS, _RATE, _RESTS_SHORT),
    (_PART, _AHEAD, _LASTS, _B10, _FAILS, _RESTS_SHORT),
    (_PART_SHORTER, _AHEAD, _LASTS, _FAILS, _RESTS_SHORT),
    (_PART_SHORT, _AHEAD, _LASTS, _FAILS, _RESTS_SHORT),
    (_PART_SHORT, _AHEAD, _LASTS, _RESTS_SHORT),
)


def wear_lines(outlook: WearOutlook, measures: Measures, wide: int = WIDEST) -> list[str]:
    """Return the table of kinds in at most `wide` columns, what the season ahead threatens most first."""
    for layout in _LAYOUTS:
        lines = text_table(
            [one.column for one in layout],
            [[one.cell(row, outlook.ahead, measures) for one in layout] for row in outlook.kinds],
        )
        if max(width(line) for line in lines) <= wide:
            break
    legend = [one.legend.format(area=measures.area_unit) for one in layout if one.legend]
    notes = [season_sentence(outlook.ahead, measures), *legend, *_notes(outlook, measures)]
    return [*lines, "", *folded(notes, width=wide)]


def _notes(outlook: WearOutlook, measures: Measures) -> list[str]:
    """Say what successors add, what is in none of the figures, and which guesses the records contradict."""
    notes = []
    more = [(row, failures) for row in outlook.kinds if (failures := failures_text(row, outlook.ahead))]
    if more:
        said = _named(f"{row.life.kind.name} {failures}" for row, failures in more)
        notes.append(f"Failures, the successors of what breaks counted too, as in the plan: {said}.")
    if is_known(outlook.ahead) and any(row.not_reckoned for row in outlook.kinds):
        notes.append(
            "+n?: n more parts that are in no figure, because nobody knows their age, or how long such parts last."
        )
        steady = [(row, row.expected_steady) for row in outlook.kinds if row.expected_steady is not None]
        if steady:
            said = _named(
                f"{row.life.kind.name} {number(unknown_ages(row))} ({about_text(one)})" for row, one in steady
            )
            notes.append(f"Of unknown age, and how many of them may break, by the mean life alone: {said}.")
    left = sorted((row for row in outlook.kinds if row.life.lives.left_out), key=lambda row: -row.life.lives.left_out)
    if left:
        said = _named(f"{row.life.kind.name} {number(row.life.lives.left_out)}" for row in left)
        notes.append(f"Lives left out of 'lasts', for want of an age (--explain tells why): {said}.")
    return [*notes, *conflict_lines((row.life for row in outlook.kinds), measures)]


def _named(kinds: Iterable[str]) -> str:
    names: Sequence[str] = list(kinds)
    more = len(names) - _NAMED
    return f"{', '.join(names[:_NAMED])}{f' and {more} more kinds' if more > 0 else ''}"
