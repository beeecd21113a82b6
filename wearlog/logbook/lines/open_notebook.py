"""A notebook that lies open, on the screen or in a terminal: what was said of it so far, and what an answer changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Final

from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import folded
from wearlog.logbook.lines.notebook_answers import AskedLine, asked_lines
from wearlog.logbook.lines.notebook_desk import NotebookDesk, lay_out
from wearlog.logbook.lines.notebook_made import facts_to_make
from wearlog.logbook.lines.notebook_offers import Made, Offer
from wearlog.logbook.notebook.columns import letter
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import NoteSheet
from wearlog.logbook.notebook.understanding import NotebookWords, Step
from wearlog.store.opening import Store

#: the answer that leaves a row out
SKIP: Final = "skip"


@dataclass(frozen=True, slots=True)
class OpenBook:
    """A notebook on the desk, with what a person has said of it since it was opened.

    Attributes
    ----------
    said : NotebookWords
        What is kept of the notebook, and what was said of its columns and words now.
    given : tuple of AskedLine
        The answers.
    new, allowed
        What is to be made with it.
    """

    path: Path
    sheets: Sequence[NoteSheet]
    desk: NotebookDesk
    said: NotebookWords
    given: tuple[AskedLine, ...] = field(default=())
    new: tuple[Fact, ...] = ()
    allowed: frozenset[Made] = frozenset()

    @property
    def name(self) -> str:
        """The name of the file, under which its profile is kept."""
        return self.path.name

    @property
    def unsaved(self) -> bool:
        """True while an answer says something that is not in the log."""
        return bool(self.new or self.allowed) or any(one.answer != SKIP for one in self.given)


def understood_anew(store: Store, book: OpenBook, now: datetime, step: Step) -> OpenBook:
    """Understand a notebook anew with what is said of it now; UsageError where an answer says nothing that can be taken."""
    desk = lay_out(
        store,
        book.sheets,
        book.name,
        now,
        book.said,
        new=book.new,
        allowed=book.allowed,
        answers=book.given,
        step=step,
    )
    return replace(book, desk=desk)


def with_column(book: OpenBook, table: int, column: int, holds: str) -> OpenBook:
    """Return the notebook with a column taken for something else; columns of one heading go together."""
    one = book.desk.notebook.tables[table].columns[column]
    name = folded(one.heading) if one.heading else letter(one.at).casefold()
    return replace(book, said=replace(book.said, columns={**book.said.columns, name: Holds(holds)}))


def column_called(book: OpenBook, called: str) -> tuple[int, int] | None:
    """Return the column of this heading, else of this letter, by the numbers of its table and its own; None where there is none."""
    name = folded(called)
    columns = [
        (number, place, one)
        for number, seen in enumerate(book.desk.notebook.tables)
        for place, one in enumerate(seen.columns)
    ]
    of_heading = [(number, place) for number, place, one in columns if one.heading and folded(one.heading) == name]
    of_letter = [(number, place) for number, place, one in columns if letter(one.at).casefold() == name]
    return next(iter((*of_heading, *of_letter)), None)


def with_answer(book: OpenBook, line: AskedLine, text: str) -> OpenBook:
    """Return the notebook with an answer in the place of what was answered to the same; an empty one takes it back."""
    kept = tuple(one for one in book.given if (one.place, one.ask, one.about) != (line.place, line.ask, line.about))
    return replace(book, given=(*kept, replace(line, answer=text)) if text.strip() else kept)


def offer_answers(offer: Offer) -> list[tuple[str, str]]:
    """Return what can be answered to an offer, each with its words: made one way or another, called otherwise, left out."""
    answers = [(f"={way}", f"make it: {way}") for way in offer.ways] or [("=", "make it")]
    answers += [(f"@{name}", f"it is {name}") for name in offer.called]
    return [*answers, (SKIP, "leave its rows out")] if offer.rows[0].question is not None else answers


def with_offer(book: OpenBook, offer: Offer, answer: str) -> OpenBook:
    """Return the notebook with an offer answered, for all its rows at once.

    Raises
    ------
    UsageError
        Where what it is to be made as says nothing that can be made.
    """
    if answer == SKIP:
        left = tuple(replace(one, answer=SKIP) for one in asked_lines(offer.rows))
        return replace(book, given=(*book.given, *left))
    if answer.startswith("@"):
        return replace(book, said=replace(book.said, words={**book.said.words, folded(offer.name): answer[1:]}))
    if answer == "=":
        return replace(book, allowed=book.allowed | {offer.key})
    return replace(book, new=(*book.new, *facts_to_make(f"{offer.name}{answer}")))
