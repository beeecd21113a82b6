"""What is still to be asked of a fault, and what is undone on the machine, in words with the command that answers it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wearlog.facts.electrics import Opened
from wearlog.present.digits import Measures
from wearlog.present.words import word
from wearlog.reckoning.faults.fault_case import FirstQuestion, Undone

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


def question_lines(questions: Sequence[FirstQuestion], number: int) -> list[str]:
    """Return the questions that were not answered, and how to answer them; nothing where all were."""
    if not questions:
        return []
    asked = " ".join(_ASKED[one][0] for one in questions)
    answers = " ".join(_ASKED[one][1] for one in questions)
    return [f"Ask first: {asked}", f"  Note it: wearlog faults tell {number} {answers}"]


def undone_words(undone: Undone, number: int, measures: Measures) -> str:
    """Return what must be put back before the machine starts."""
    where = f" at {undone.node}" if undone.node else ""
    what = "lamp in place of the fuse" if undone.opened is Opened.LAMP_IN_PLACE else word(undone.opened)
    since = measures.moment(undone.at)
    return f"NOT PUT BACK: {what}{where}, since {since}. Note it when it is: wearlog faults put-back {number}"
