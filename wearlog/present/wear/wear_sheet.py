"""The wear of all kinds of part as an answer: how long they last, what the season ahead threatens, on what the figures rest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final
from uuid import UUID

from wearlog.facts.machines import Machine
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.drawing.drawn import chance_figure
from wearlog.present.json_form import rounded
from wearlog.present.wear.life_table_words import conflict_lines
from wearlog.present.wear.wear_json import known_only, life_data, now_data, usage_end
from wearlog.present.wear.wear_list import broken_sentence, failed_parts, half_in_words, season_answer
from wearlog.present.wear.wear_words import (
    about_text,
    ahead_text,
    breakage_rate,
    expected_text,
    failures_text,
    is_known,
    lasting,
    lasting_within,
    rests_on,
    rests_on_briefly,
    rests_on_in_a_sentence,
    rests_on_in_a_word,
    rough,
    season_sentence,
    unknown_ages,
    way_of_failing,
)
from wearlog.present.words import counted
from wearlog.reckoning.wear.season_ahead import SeasonAhead
from wearlog.reckoning.wear.wear_outlook import KindOutlook

#: kinds that a sentence names; the others are counted
_NAMED: Final = 6
#: fits a page of sentences and the line under a list
NOTHING_FITTED: Final = (
    "Nothing is fitted on any machine yet, so nothing can wear. 'wearlog add combine' and 'wearlog add header' enter machines, "
    "'wearlog add component' what sits on them; 'wearlog wear --all' lists every kind of part with its starting guess."
)


def wear_columns(
    names: Mapping[UUID, str], ahead: SeasonAhead, machine: str | None = None
) -> tuple[AnswerColumn[KindOutlook], ...]:
    """Return the columns; `names` are those of the machines, `machine` the one whose records alone are asked."""
    known = known_only(ahead)
    return (
        AnswerColumn(
            "part",
            lambda row, _: row.life.kind.name,
            "kind",
            lambda row, _: row.life.kind.name,
            least=12,
            most=30,
            room=21,
            order=lambda row: row.life.kind.name.casefold(),
        ),
        AnswerColumn(
            "break",
            lambda row, _: ahead_text(row, ahead),
            "expected_breakages",
            lambda row, _: known(rounded(row.expected_known)),
            # "<0.1 +160?": what is in none of the figures is never cut off
            least=10,
            most=12,
            figures=True,
            gives=1,
            order=lambda row: -row.threat,
            legend="break: how many of the parts now on may break in the season ahead, each once; what is BROKEN already is in it.",
            tells_more=True,
        ),
        AnswerColumn(
            "failures",
            lambda row, _: expected_text(known(row.failures_known)),
            "expected_with_successors",
            lambda row, _: known(rounded(row.failures_known)),
            most=9,
            figures=True,
            gives=6,
            legend="failures: the successors of what breaks counted too, as in the plan.",
            tells_more=True,
        ),
        AnswerColumn(
            "worst fails",
            lambda row, _: _weakest_text(row, ahead),
            "weakest_survives",
            lambda row, _: rounded(_weakest(row, ahead), 4),
            least=11,
            most=12,
            figures=True,
            gives=1,
            legend="worst fails: the chance that the worst one wears out in the season; BROKEN or past its limit: still on.",
            tells_more=True,
        ),
        AnswerColumn(
            "half last",
            lambda row, measures: lasting(row.life.kind.meter_kind, row.life.median_life, measures),
            "life_median",
            lambda row, measures: usage_end(row.life, row.life.median_life, "median", measures),
            # the life is the answer: on a phone its interval stands alone, and only "rests on" beside it
            least=17,
            most=30,
            room=26,
            short=(lambda row, measures: lasting_within(row.life.kind.meter_kind, row.life.median_life, measures),),
            legend="half last: half of them last so long, with its 90 % interval (where there is little room, the interval alone).",
            tells_more=True,
        ),
        AnswerColumn(
            "B10",
            _b10,
            "b10",
            lambda row, measures: usage_end(row.life, row.life.b10, "median", measures),
            most=8,
            figures=True,
            gives=4,
            legend="B10: one in ten is gone by then.",
            tells_more=True,
        ),
        AnswerColumn(
            "fails",
            lambda row, _: way_of_failing(row.life),
            "fails",
            lambda row, _: None if row.life.posterior is None else way_of_failing(row.life),
            least=8,
            most=8,
            gives=2,
            legend="fails: wear-out (the older, the sooner), early (the newer, the sooner), chance, or unclear yet.",
        ),
        AnswerColumn(
            "rate",
            lambda row, measures: breakage_rate(row, measures),
            "breakages_per_1000_{acres}",
            lambda row, measures: None if (rate := _rate(row)) is None else rounded(measures.per_thousand(rate)),
            least=5,
            most=6,
            figures=True,
            gives=4,
            order=lambda row: -(_rate(row) or 0.0),
            legend="rate: breakages of any cause per 1,000 {area}.",
        ),
        AnswerColumn(
            "broke",
            lambda row, _: number(row.breakages),
            "breakages",
            lambda row, _: row.breakages,
            least=5,
            most=7,
            figures=True,
            gives=5,
        ),
        AnswerColumn(
            "known from",
            lambda row, _: rests_on(row.life),
            "rests_on",
            lambda row, _: rests_on(row.life),
            least=10,
            most=54,
            # a figure without it could be anything: it is shortened, and never goes
            short=(
                lambda row, _: rests_on(row.life).replace(", and the starting guess", ", and the guess"),
                lambda row, _: rests_on_briefly(row.life),
                lambda row, _: rests_on_in_a_word(row.life),
            ),
            legend="known from: lives seen to wear out (of so many), and the starting guess (common practice, no source).",
        ),
        *life_data(machine),
        *now_data(names, ahead),
    )


def wear_sheet(
    rows: Sequence[KindOutlook],
    machines: Sequence[Machine],
    ahead: SeasonAhead,
    measures: Measures,
    *,
    machine: Machine | None = None,
    notes: bool = True,
) -> AnswerSheet[KindOutlook]:
    """Return the answer of kinds that stand in the order of threat; `machine` when it is of one alone.

    Without `notes` nothing is said below the rows: what successors add takes longest of all where machines have lives of their own.
    """
    names = {one.id: one.name for one in machines}
    answer = season_answer(rows, ahead)
    alone = (
        ""
        if machine is None
        else f"{machine.name}, by its own records, those of the other machines and the starting guesses:"
    )
    none = (
        "" if machine is None else f"Nothing is entered on {machine.name} yet; 'wearlog add component' enters a part."
    )
    return AnswerSheet(
        name="kinds",
        columns=wear_columns(names, ahead, None if machine is None else machine.name),
        rows=rows,
        measures=measures,
        headline=" ".join(said for said in (answer, season_sentence(ahead, measures), broken_sentence(rows)) if said),
        answer=answer,
        sentences=_notes(rows, ahead, measures) if notes else (),
        empty=none or NOTHING_FITTED,
        caption=alone,
        key_of=lambda row: row.life.kind.id,
        about=lambda row, measures: _about(row, names, ahead, measures),
        shouts=lambda row: failed_parts(row) > 0,
    )


def _b10(row: KindOutlook, measures: Measures) -> str:
    b10 = row.life.b10
    return NOTHING if b10 is None else rough(measures.usage_number(row.life.kind.meter_kind, b10.median))


def _rate(row: KindOutlook) -> float | None:
    return row.breakages / row.life.area if row.life.area > 0 else None


def _weakest(row: KindOutlook, ahead: SeasonAhead) -> float | None:
    worst = [one.worst for one in row.components if one.worst is not None]
    return min(worst) if worst and is_known(ahead) else None


def _weakest_text(row: KindOutlook, ahead: SeasonAhead) -> str:
    if failed := failed_parts(row):
        return f"{failed} BROKEN"
    worst = _weakest(row, ahead)
    return NOTHING if worst is None else chance_figure(1 - worst)


def _notes(rows: Sequence[KindOutlook], ahead: SeasonAhead, measures: Measures) -> list[str]:
    """Say what successors add, what is in none of the figures, and which guesses the records contradict."""
    notes = []
    more = [(row, failures) for row in rows if (failures := failures_text(row, ahead))]
    if more:
        said = _named(f"{row.life.kind.name} {failures}" for row, failures in more)
        notes.append(f"Failures, the successors of what breaks counted too, as in the plan: {said}.")
    if is_known(ahead) and any(row.not_reckoned for row in rows):
        notes.append(
            "+n?: n more parts that are in no figure, because nobody knows their age, or how long such parts last."
        )
        steady = [(row, row.expected_steady) for row in rows if row.expected_steady is not None]
        if steady:
            said = _named(
                f"{row.life.kind.name} {number(unknown_ages(row))} ({about_text(one)})" for row, one in steady
            )
            notes.append(f"Of unknown age, and how many of them may break, by the mean life alone: {said}.")
    left = sorted((row for row in rows if row.life.lives.left_out), key=lambda row: -row.life.lives.left_out)
    if left:
        said = _named(f"{row.life.kind.name} {number(row.life.lives.left_out)}" for row in left)
        notes.append(f"Lives left out of 'half last', for want of an age (--explain tells why): {said}.")
    return [*notes, *conflict_lines((row.life for row in rows), measures)]


def _named(kinds: Iterable[str]) -> str:
    names: Sequence[str] = list(kinds)
    more = len(names) - _NAMED
    return f"{', '.join(names[:_NAMED])}{f' and {more} more kinds' if more > 0 else ''}"


def _about(row: KindOutlook, names: Mapping[UUID, str], ahead: SeasonAhead, measures: Measures) -> str:
    """What the kind rests on, and where most of it is to break: what a narrow list has no room for."""
    life = row.life
    rests = f"Reckoned from {rests_on_in_a_sentence(life)}"
    if life.lives.left_out:
        rests = f"{rests} ({number(life.lives.left_out)} left out, age unknown)"
    if life.posterior is not None:
        rests = f"{rests}; {_FAILING[way_of_failing(life)]}"
    if not row.components:
        return one_line(f"{rests}. It sits on no machine yet.")
    one = row.components[0]
    pieces = []
    if is_known(ahead):
        stones = f" ({expected_text(one.expected_impacts)} by stones)" if one.expected_impacts else ""
        pieces.append(f"{expected_text(one.expected_known)} expected to break{stones}")
        if failures := failures_text(one, ahead):
            pieces.append(f"{failures} failures with successors")
    if one.oldest is not None:
        pieces.append(f"oldest {measures.usage(life.kind.meter_kind, one.oldest)}")
    if unknown_ages(one):
        more = (
            "" if one.expected_steady is None or not is_known(ahead) else f" ({about_text(one.expected_steady)} more)"
        )
        pieces.append(f"{number(unknown_ages(one))} of unknown age{more}")
    pieces.append(f"broke {counted(one.breakages, 'time')}" if one.breakages else "never broke")
    more = f"; {counted(len(row.components) - 1, 'other component')}" if len(row.components) > 1 else ""
    where = place_said(names.get(one.machine_id, ""), component_name(one.place, life.kind.name))
    half = half_in_words(row, measures)
    said = f"{life.kind.name}: {half}. " if half else ""
    return one_line(f"{said}{rests}. Most on {where}: {', '.join(pieces)}{more}.")


_FAILING = {
    "wear-out": "it wears out",
    "early": "it fails early",
    "chance": "age does not matter",
    "unclear": "whether age matters is unclear",
}
