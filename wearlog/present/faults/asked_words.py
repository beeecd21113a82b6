"""What is still to be asked of a fault, and what is undone on the machine, in words with the command that answers it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wearlog.facts.electrics import Answer, Opened
from wearlog.facts.plain_text import one_line
from wearlog.present.digits import Measures
from wearlog.present.words import word
from wearlog.reckoning.faults.fault_case import FirstQuestion, TakenUp, Undone

_ASKED: Final[dict[FirstQuestion, tuple[str, str]]] = {
    FirstQuestion.OTHERS: (
        "Have you tried the other loads: all fine, some fail too, not tried?",
        "--others all-fine",
    ),
    FirstQuestion.PRESENT: ("Is it doing it now?", "--present yes"),
    FirstQuestion.WORKED_ON: (
        "Was anything worked on since it last ran right, and where?",
        "--worked-on 'header plug'",
    ),
    FirstQuestion.CONDITIONS: ("Is there no other condition under which it shows?", "--all-conditions"),
}


_PRESENT: Final = {
    Answer.YES: "it was there",
    Answer.NO: "it was not there",
    Answer.CANNOT_TELL: "nobody could tell whether it was there",
}


_IN_SHORT: Final[dict[FirstQuestion, str]] = {
    FirstQuestion.OTHERS: "the other loads?",
    FirstQuestion.PRESENT: "is it there now?",
    FirstQuestion.WORKED_ON: "worked on before?",
    FirstQuestion.CONDITIONS: "under no other condition?",
}


def questions_asked(questions: Sequence[FirstQuestion], *, short: bool = False) -> str:
    """Return the questions that were not answered, in one line; empty where all were."""
    return " ".join(_IN_SHORT[one] if short else _ASKED[one][0] for one in questions)


def taken_up_words(taken_up: TakenUp, measures: Measures) -> str:
    """Return who took a fault up last, whether it was there then, and what was left to say."""
    by = f" by {one_line(taken_up.person)}" if taken_up.person else ""
    there = f", {_PRESENT[taken_up.present]}" if taken_up.present else ""
    note = f": {one_line(taken_up.note)}" if taken_up.note else ""
    return f"Taken up {measures.moment(taken_up.at)}{by}{there}{note}."


def question_lines(questions: Sequence[FirstQuestion], number: int) -> list[str]:
    """Return the questions that were not answered, and how to answer them; nothing where all were."""
    if not questions:
        return []
    answers = " ".join(_ASKED[one][1] for one in questions)
    return [f"Ask first: {questions_asked(questions)}", f"  Note it: wearlog faults tell {number} {answers}"]


def undone_words(undone: Undone, number: int, measures: Measures) -> str:
    """Return what must be put back before the machine starts, and how to note that it is."""
    told = not_put_back(undone, measures)
    return f"NOT PUT BACK: {told}. Note it when it is: wearlog faults put-back {number}"


def not_put_back(undone: Undone, measures: Measures) -> str:
    """Return "unplugged at Header plug, since 2026-08-16 14:05"."""
    where = f" at {undone.node}" if undone.node else ""
    what = "lamp in place of the fuse" if undone.opened is Opened.LAMP_IN_PLACE else word(undone.opened)
    return f"{what}{where}, since {measures.moment(undone.at)}"
