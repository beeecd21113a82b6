"""A notebook gone through in a terminal: which column is wrong, what is to be made, what the doubtful rows mean. Saves nothing.

What is answered changes the notebook as it does on the screen; it is read again after each round of answers, since one may raise
the next question.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

import click

from wearlog.cli.options import tell
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Subsystem
from wearlog.facts.plain_text import folded
from wearlog.logbook.lines.notebook_answers import AskedLine, asked_lines, row_answers
from wearlog.logbook.lines.notebook_offers import Lack, Made, Offer
from wearlog.logbook.lines.open_notebook import (
    OpenBook,
    column_called,
    understood_anew,
    with_answer,
    with_column,
    with_offer,
)
from wearlog.logbook.notebook.holds import Holds, holds_called
from wearlog.logbook.notebook.note_entry import Ask, NoteRow
from wearlog.present.notebook_words import columns_told, first_rows_told, offer_counted, where_told
from wearlog.present.words import counted, word
from wearlog.progress import step, stretch

if TYPE_CHECKING:
    from wearlog.logbook.open_log import Store

#: leaves every row that is still asked about
_LATER: Final = "later"
_YES: Final = frozenset({"y", "yes"})
_NO: Final = frozenset({"", "n", "no"})
_ORDERS: Final = {"day": "day_first", "month": "month_first"}
_NAMED: Final = 4


def talk_over(store: Store, book: OpenBook, now: datetime) -> OpenBook:
    """Go through a notebook with the person at the terminal and return it as it is understood then."""
    talk = _Talk(store, book, now)
    talk.columns()
    talk.order()
    while talk.offers() or talk.questions():
        pass
    return talk.book


class _Talk:
    """What was left for later is not asked a second time."""

    def __init__(self, store: Store, book: OpenBook, now: datetime) -> None:
        self.book = book
        self._store, self._now = store, now
        self._declined: set[Made] = set()
        self._left: set[tuple[str, int, str, Ask, Holds]] = set()
        self._all_later = False

    def _again(self, book: OpenBook) -> None:
        """Understand it with what was said; where that cannot be taken the notebook stays as it was."""
        try:
            with stretch():
                self.book = understood_anew(self._store, book, self._now, step)
        except UsageError as error:
            _refuse(error)

    # columns ------------------------------------------------------------------------------------------------------

    def columns(self) -> None:
        """Show what each column is taken for with the first rows, until none of them is wrong."""
        while True:
            desk = self.book.desk
            tell("\n".join([*columns_told(desk.notebook), *first_rows_told(desk.notebook, desk.states.known)]))
            changed = self._column()
            if changed is None:
                return
            self._again(changed)

    def _column(self) -> OpenBook | None:
        """Ask for a column that is wrong until one is named that can be taken; None for none."""
        while True:
            said = _asked("Which column is wrong: heading or letter (Enter: none)")
            if not said:
                return None
            name, sign, what = (one.strip() for one in said.partition("="))
            place = column_called(self.book, name)
            if place is None:
                tell(f"No column is called '{name}'.")
                continue
            what = what or ("" if sign else _asked(f"What does {name} hold (Enter: it stays)"))
            holds = holds_called(what)
            if holds is not None:
                return with_column(self.book, *place, holds.value)
            if what:
                tell(f"A column holds {', '.join(one.value for one in Holds)}.")

    def order(self) -> None:
        """Ask once what stands first in days like 7/8, where the file does not show it."""
        asked = any(row.question is not None and row.question.ask is Ask.TWO_DATES for row in self.book.desk.asked)
        while asked and not self.book.desk.notebook.order:
            said = folded(_asked("What stands first in days like 7/8: day or month (Enter: asked row by row)"))
            if not said:
                return
            if said in _ORDERS:
                self._again(replace(self.book, said=replace(self.book.said, order=_ORDERS[said])))

    # what is not there --------------------------------------------------------------------------------------------

    def offers(self) -> bool:
        """Offer what is not there; say whether something was answered."""
        open_now = [one for one in self.book.desk.offers if one.key not in self._declined]
        book = self.book
        for offer in open_now:
            changed = self._offer(book, offer)
            if changed is None:
                self._declined.add(offer.key)
            else:
                book = changed
        if book is not self.book:
            self._again(book)
            return True
        return False

    def _offer(self, book: OpenBook, offer: Offer) -> OpenBook | None:
        """Ask what becomes of one thing; None where it is left."""
        tell(f"+ {offer_counted(offer)}.")
        while True:
            said = _asked(_offered(offer))
            if folded(said) in _NO:
                return None
            try:
                return with_offer(book, offer, _offer_answer(offer, said))
            except UsageError as error:
                _refuse(error)

    # doubtful rows ------------------------------------------------------------------------------------------------

    def questions(self) -> bool:
        """Ask about the doubtful rows in turn; say whether something was answered."""
        rows = [row for row in self.book.desk.asked if _key(asked_lines([row])[0]) not in self._left]
        if not rows or self._all_later:
            return False
        tell(
            f"{counted(len(rows), 'row')} to ask about. Enter leaves a row for later, skip leaves it out, a * behind an answer "
            f"gives it to all that ask the same, '{_LATER}' leaves all that are still open."
        )
        book, for_all = self.book, set[tuple[Ask, Holds, str]]()
        for row in rows:
            line = asked_lines([row])[0]
            if line.asks in for_all:
                continue
            said = self._answer(row, line)
            if folded(said) == _LATER:
                self._all_later = True
                break
            if said:
                book = with_answer(book, line, said)
                for_all |= {line.asks} if said.endswith("*") else set()
            else:
                self._left.add(_key(line))
        if book is not self.book:
            self._again(book)
            return True
        return False

    def _answer(self, row: NoteRow, line: AskedLine) -> str:
        """Ask about one row until the answer can be taken; "" leaves it."""
        choices = f" ({', '.join(line.choices)})" if line.choices else ""
        tell(f"? {where_told(row)}: {row.said}\n  {line.question}{choices}")
        while True:
            said = _asked("  Your answer (Enter: later)")
            if not said or folded(said) == _LATER:
                return said
            try:
                row_answers([replace(line, answer=said.rstrip("*").strip())], [row])
            except UsageError as error:
                _refuse(error)
            else:
                return said


def _asked(question: str) -> str:
    """Ask, and return what was typed without the spaces around it."""
    said: str = click.prompt(question, default="", show_default=False, err=True)
    return said.strip()


def _refuse(error: UsageError) -> None:
    tell(f"  {error.message} {error.hint}".rstrip())


def _key(line: AskedLine) -> tuple[str, int, str, Ask, Holds]:
    return (*line.place, line.ask, line.about)


def _offered(offer: Offer) -> str:
    """Return the question about something that is not there: what it would be, and what else can be said."""
    if not offer.ways:
        return "  Make it (y/n)"
    other = {
        Lack.MACHINE: "what it is ('header 35 ft')",
        Lack.FIELD: "its size and ground ('field 160 ac stony')",
        Lack.KIND: "where it sits ('engine')",
    }.get(offer.lack)
    named = [f"which it is ({', '.join(offer.called)})"] if 0 < len(offer.called) <= _NAMED else []
    ways = [one for one in (other, *(named or (["the name of one that is there"] if offer.called else []))) if one]
    return f"  Make it '{offer.ways[0]}' (y/n{''.join(f', or {one}' for one in ways)})"


def _offer_answer(offer: Offer, said: str) -> str:
    """Return what was typed to an offer as `with_offer` takes it. UsageError where it is none of what can be."""
    name = folded(said)
    there = next((one for one in offer.called if folded(one) == name), None)
    if there is not None:
        return f"@{there}"
    if name in _YES:
        return f"={offer.ways[0]}" if offer.ways else "="
    if offer.lack is Lack.KIND and name in {word(one) for one in Subsystem}:
        return f"=kind {name}"
    if offer.ways and name.split()[0] in {one.split()[0] for one in offer.ways}:
        return f"={said}"
    raise UsageError(f"'{said}' is not read.", "y makes it, Enter leaves it for later.")
