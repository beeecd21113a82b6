"""The rain-day list as an answer: the jobs in their order, what each saves and takes, and what is left out and why."""

from __future__ import annotations

from typing import Any, Final

from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import Measures, amount, number
from wearlog.present.json_form import money
from wearlog.present.words import counted, word
from wearlog.reckoning.plan.rain_list import NotToday, OpenUp, RainJob, RainList

_WHY: Final = {
    NotToday.NO_PART: "no part in the log fits it",
    NotToday.NONE_ON_HAND: "none is on hand",
    NotToday.NO_TIME: "nobody knows how long it takes",
    NotToday.NO_ROOM: "no time is left, or it saves less than opening up costs",
}
#: more positions of one component than these are counted, not listed
_MANY: Final = 6
#: so many of what is left out are named; all of them stand in the JSON
_NAMED: Final = 5


def rain_list_sheet(found: RainList, measures: Measures) -> AnswerSheet[RainJob]:
    """Return the jobs in the order in which they are done."""
    place = {one.key: number for number, one in enumerate(found.jobs, start=1)}
    answer = _answer(found, measures)
    return AnswerSheet(
        name="jobs",
        columns=_columns(found, place),
        rows=found.jobs,
        measures=measures,
        headline=f"{answer} {_second(found, measures)}".strip(),
        answer=answer,
        sentences=_sentences(found, measures),
        empty="No job for today.",
        beside=_beside(found, measures),
        key_of=lambda row: row.key,
        about=lambda row, measures: _about(found, row, measures),
        shouts=lambda row: row.failed,
    )


def _columns(found: RainList, place: dict[str, int]) -> tuple[AnswerColumn[RainJob], ...]:
    return (
        AnswerColumn(
            "", lambda row, _: number(place[row.key]), "order", lambda row, _: place[row.key], least=2, figures=True
        ),
        AnswerColumn(
            "job", lambda row, _: job_named(row), "component", lambda row, _: job_named(row), least=18, most=44
        ),
        data("positions", lambda row, _: [*row.positions]),
        AnswerColumn(
            "saves {money}",
            lambda row, _: f"{'either way ' if row.either_way else ''}{amount(row.saving_minor, cents=False)}",
            "saving",
            lambda row, measures: money(row.saving_minor, measures.settings.currency),
            least=9,
            most=17,
            figures=True,
            legend="saves: against the best time after today, on the mean, without the opening; either way: it may be nothing.",
        ),
        data("either_way", lambda row, _: row.either_way),
        AnswerColumn(
            "min", lambda row, _: number(row.minutes), "minutes", lambda row, _: row.minutes, least=4, figures=True
        ),
        AnswerColumn(
            "opened up",
            lambda row, _: _opening(found.weighed.set_ups[row.set_up]),
            "set_up",
            lambda row, _: _opening(found.weighed.set_ups[row.set_up]),
            least=14,
            most=28,
            gives=3,
            legend="opened up: what is opened up for it, once for all jobs that need it; its minutes stand below.",
        ),
        AnswerColumn(
            "takes",
            lambda row, _: _pieces(row),
            "parts",
            lambda row, _: [] if row.part is None else [{"part": row.part.part.number, "pieces": len(row.positions)}],
            least=9,
            most=18,
            gives=4,
        ),
    )


def job_named(row: RainJob) -> str:
    """Return "North header, knife sections 41-43"; of many positions how many: they stand one by one in the JSON."""
    name = component_name(row.component.place, row.kind.name)
    if _MANY < len(row.positions) < row.component.positions:
        return one_line(f"{row.machine.name}, {name}, {len(row.positions)} of {row.component.positions}")
    return place_said(row.machine.name, name, row.component.positions, row.positions)


def _opening(one: OpenUp) -> str:
    return one_line(f"{one.machine.name} {word(one.subsystem)}")


def _pieces(row: RainJob) -> str:
    return "" if row.part is None else f"{len(row.positions)} {row.part.part.number}"


def _answer(found: RainList, measures: Measures) -> str:
    hours = f"{number(found.hours, 0 if float(found.hours).is_integer() else 1)} shop {'hour' if found.hours == 1 else 'hours'}"
    if found.hours < 1:
        hours = f"{counted(round(found.hours * 60), 'minute')} in the shop"
    if not found.weighed.farm.components:
        return "Nothing can be weighed: no part sits on a machine yet ('wearlog add component', 'wearlog fit')."
    if not found.jobs:
        return f"In {hours} nothing is worth opening up for: leave it shut."
    first = job_named(found.jobs[0])
    saved = measures.money(found.found.saving_minor, cents=False)
    save = "saves" if len(found.jobs) == 1 else "save"
    return f"In {hours} {counted(len(found.jobs), 'job')} {save} about {saved}: {first} first."


def _second(found: RainList, measures: Measures) -> str:
    said = []
    danger = [
        job_named(one) for one in (*found.jobs, *(one for one, _ in found.left_out)) if one.failed and one.endangers
    ]
    if danger:
        said.append(f"Not a matter of cost, before all others: {'; '.join(danger)}.")
    if found.found.expected_minor is not None and found.jobs:
        expected = measures.money(found.found.expected_minor, cents=False)
        said.append(f"The rain may stop before: {expected} on the mean.")
    return " ".join(said)


def _sentences(found: RainList, measures: Measures) -> list[str]:
    opened = {one.set_up: found.weighed.set_ups[one.set_up] for one in found.jobs}
    said = []
    if opened:
        each = ", ".join(f"{_opening(one)} {number(one.minutes)} min" for one in opened.values())
        hands = "" if found.people == 1 else f" by {counted(found.people, 'person', 'people')}"
        said.append(f"Opening up: {each}. In all {number(found.found.minutes)} min of work{hands}.")
    for one, why in found.left_out[:_NAMED]:
        saves = measures.money(one.saving_minor, cents=False)
        said.append(f"Left out: {job_named(one)}, {saves}: {_WHY[why]}.")
    if len(found.left_out) > _NAMED:
        said.append(f"{len(found.left_out) - _NAMED} more that would save are left out.")
    if not found.found.proved:
        said.append("Not every choice was tried: another may save a little more.")
    if not found.weighed.cutting:
        said.append(
            "Nothing of a season under way is left to cut: each is weighed against running the season ahead so and "
            "changing it after."
        )
    if found.weighed.no_life:
        said.append(
            f"{counted(found.weighed.no_life, 'component')} of which nobody has an idea how long it lasts: not weighed."
        )
    said.append(
        "Reckoned from the lives of each kind and its age, or from the guess for parts that run on broken; the same as "
        "'stop or run'. Services that are due are not weighed in money: wearlog due."
    )
    return said


def _about(found: RainList, row: RainJob, measures: Measures) -> str:
    saved = measures.money(row.saving_minor, cents=False)
    broken = "broken and still on; " if row.failed else ""
    doubt = ", but today and later are not told apart" if row.either_way else ""
    takes = f"{number(row.minutes)} minutes, takes {_pieces(row)}"
    return f"{job_named(row)}: {broken}changing it today saves about {saved}{doubt}; {takes}."


def _beside(found: RainList, measures: Measures) -> dict[str, Any]:
    currency = measures.settings.currency
    expected = found.found.expected_minor
    return {
        "hours": found.hours,
        "people": found.people,
        "minutes_used": found.found.minutes,
        "saving_less_opening": money(found.found.saving_minor, currency),
        "expected_saving": None if expected is None else money(round(expected), currency),
        "cutting": found.weighed.cutting,
        "left_out": [
            {
                "component": job_named(one),
                "positions": [*one.positions],
                "saving": money(one.saving_minor, currency),
                "minutes": one.minutes,
                "why": why,
            }
            for one, why in found.left_out
        ],
    }
