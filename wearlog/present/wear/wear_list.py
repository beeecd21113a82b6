"""The wear of all kinds as a list with each life as a strip, in seasons of use here.

The strip stands for the columns that say how surely a life is known, which find no room beside it: a hollow middle is the
starting guess, since none has worn out yet; the bracket is the 90 % interval. The sentence of the row has both in figures.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from wearlog.facts.positions import many_of
from wearlog.facts.short_names import short_name
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import NOTHING, Measures
from wearlog.present.drawing.drawn import joined
from wearlog.present.drawing.life_strip import Life, SeasonScale, season_strip
from wearlog.present.wear.wear_words import expected_text, is_known, rough
from wearlog.present.words import counted, listed
from wearlog.reckoning.wear.season_ahead import SeasonAhead
from wearlog.reckoning.wear.wear_outlook import KindOutlook

#: cells of a doubling of the seasons where there is room, and on a phone
WIDE, NARROW = SeasonScale(4), SeasonScale(2)
#: kinds that the answer names
_SAID: Final = 3


def life_of(row: KindOutlook) -> Life:
    """Return the oldest part of a kind and the life of its like, both on the kind's meter."""
    ages = [one.oldest for one in row.components if one.oldest is not None]
    age, lasts = max(ages, default=None), row.life.median_life
    if lasts is None:
        return Life(age)
    return Life(age, lasts.low, lasts.median, lasts.high, guessed=row.life.posterior is not None and not _worn(row))


def _worn(row: KindOutlook) -> bool:
    return row.life.lives.failures > 0


def _strip(row: KindOutlook, scale: SeasonScale) -> str:
    return joined(season_strip(life_of(row), row.season, scale))


def _half(row: KindOutlook, measures: Measures) -> str:
    """The half-life alone; its interval is drawn beside it and stands in the sentence of the row."""
    life, kind = row.life.median_life, row.life.kind.meter_kind
    return NOTHING if life is None else f"{rough(measures.usage_number(kind, life.median))} {measures.usage_unit(kind)}"


STRIP: Final[AnswerColumn[KindOutlook]] = AnswerColumn(
    WIDE.heading(),
    lambda row, _: _strip(row, WIDE),
    # the last figure of the scale stands over its cell and the one behind it
    least=NARROW.cells + 1,
    most=WIDE.cells + 1,
    room=WIDE.cells + 1,
    short=(lambda row, _: _strip(row, NARROW),),
    titles=(NARROW.heading(),),
    legend="Seasons of use here: the grey is lived by the oldest, the bracket is where half of them have failed, with 90 %.",
)


def with_strips(sheet: AnswerSheet[KindOutlook], *, known: bool) -> AnswerSheet[KindOutlook]:
    """Return the answer with the strip between its figures; what the strip says has no column beside it.

    Parameters
    ----------
    sheet : AnswerSheet of KindOutlook
    known : bool
        Whether anything can be said of the season ahead.
    """
    columns = {column.key: column for column in sheet.columns}
    part = replace(
        columns["kind"],
        least=12,
        most=26,
        room=0,
        short=(lambda row, _: short_name(row.life.kind.name),),
        order=lambda row: short_name(row.life.kind.name).casefold(),
    )
    breaks = replace(
        columns["expected_breakages"], least=5, short=(lambda row, _: _briefly(row) if known else NOTHING,)
    )
    worst = replace(columns["weakest_survives"], gives=2)
    half = replace(
        columns["life_median"],
        title="half last",
        words=_half,
        short=(),
        least=9,
        most=12,
        room=0,
        figures=True,
        gives=0,
    )
    return replace(sheet, columns=[part, breaks, worst, STRIP, half], made={})


def _briefly(row: KindOutlook) -> str:
    """What is expected to break; a question mark where parts are in none of it."""
    return f"{expected_text(row.expected_known)}{'?' if row.not_reckoned else ''}"


def half_in_words(row: KindOutlook, measures: Measures) -> str:
    """Return "half last 8,480 ac (90 % sure: 7,550-9,840)"; nothing where nobody knows."""
    life = row.life.median_life
    if life is None:
        return ""
    kind = row.life.kind.meter_kind
    low, high = (rough(measures.usage_number(kind, end)) for end in (life.low, life.high))
    return f"half last {_half(row, measures)} (90 % sure: {low}-{high})"


def failed_parts(row: KindOutlook) -> int:
    """How many are broken or past their limit, and still on."""
    return sum(len(group.positions) for one in row.components for group in one.groups if group.failed)


def season_answer(rows: Sequence[KindOutlook], ahead: SeasonAhead) -> str:
    """What will break, as one sentence of the kinds that stand first: about 73 knife sections, 24 guards and 19 hold-downs."""
    expected = [(row, row.expected_known or 0.0) for row in rows]
    many = [(row, count) for row, count in expected if count >= 0.95][:_SAID]
    if not is_known(ahead) or not expected:
        return ""
    when = "In the season ahead" if ahead.season is None else f"In {ahead.season.harvest_year}"
    if not many:
        return f"{when} hardly one part of any kind should break."
    said = listed([_several(row.life.kind.name, round(count)) for row, count in many])
    return f"{when} about {said} will break."


def _several(name: str, count: int) -> str:
    return counted(count, name, many_of(name))


def broken_sentence(rows: Sequence[KindOutlook]) -> str:
    """Say how many parts are broken or past their limit, and still on; nothing where none is."""
    failed = sum(failed_parts(row) for row in rows)
    return f"{counted(failed, 'part')} {'runs' if failed == 1 else 'run'} broken." if failed else ""
