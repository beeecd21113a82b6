"""A notebook on the desk: read with what the log knows and what a person said of it, which the log keeps under its name."""

from __future__ import annotations

import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from uuid import UUID

from wearlog.facts.bookkeeping import ImportProfile
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Meter, Reading
from wearlog.logbook.lines.line_saving import farm_words
from wearlog.logbook.lines.notebook_answers import AskedLine, asked_lines, row_answers, spread_out
from wearlog.logbook.lines.notebook_made import with_made
from wearlog.logbook.lines.notebook_offers import Lack, Made, Offer, offers_of
from wearlog.logbook.lines.notebook_saving import NotebookBrought, RowStates, bring_in, row_states
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import NoteSheet
from wearlog.logbook.notebook.note_entry import SAVES_NOTHING, Ask, NoteRow, Question
from wearlog.logbook.notebook.understanding import Notebook, NotebookWords, Step, understand
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

#: an answer may raise the next question of its row, and its answer stands in the same file
_MOST_ROUNDS = 4


def _no_step(_: float) -> None:
    return


@dataclass(frozen=True, slots=True)
class NotebookDesk:
    """A notebook with what the log says of its rows.

    Attributes
    ----------
    states : RowStates
        Which rows are in the log already, and which were changed since.
    new : tuple of Fact
        Machines, fields, crops and kinds that are to be made with it.
    allowed : frozenset of Made
        Parts of machines, articles and services that may be made.
    offers : tuple of Offer
        What it names that is not there.
    corrected : frozenset of str
        Digests of changed rows that a person agreed to.
    """

    source: str
    notebook: Notebook
    words: NotebookWords
    states: RowStates
    new: tuple[Fact, ...] = ()
    allowed: frozenset[Made] = frozenset()
    offers: tuple[Offer, ...] = ()
    corrected: frozenset[str] = frozenset()

    @property
    def rows(self) -> tuple[NoteRow, ...]:
        """The rows; one that was changed since it was brought in asks whether it takes the place of what it was."""
        return self.notebook.rows

    def is_known(self, row: NoteRow) -> bool:
        """Say whether a row is in the log already."""
        return row.digest in self.states.known

    @property
    def sure(self) -> list[NoteRow]:
        """The rows that would be saved."""
        return [row for row in self.rows if row.is_sure and not self.is_known(row)]

    def waiting(self, *, may_make: bool) -> int:
        """How many of the sure rows name what is not there: they are left until it is made, or said to be another.

        Parameters
        ----------
        may_make : bool
            Parts of machines, articles and services are made with them.
        """
        made = (Lack.PART, Lack.ARTICLE, Lack.SERVICE) if may_make else ()
        named = {row.place for one in self.offers if one.lack not in made for row in one.rows}
        return sum(row.place in named for row in self.sure)

    @property
    def new_rows(self) -> int:
        """How many rows say something and are not in the log yet: titles, headings, totals and remarks do not count."""
        return sum(not (set(row.means) <= SAVES_NOTHING or self.is_known(row)) for row in self.rows)

    @property
    def asked(self) -> list[NoteRow]:
        """The rows that somebody has to be asked about."""
        return [row for row in self.rows if row.question is not None and not self.is_known(row)]


def lay_out(
    store: Store,
    sheets: Sequence[NoteSheet],
    source: str,
    now: datetime,
    words: NotebookWords,
    *,
    new: Sequence[Fact] = (),
    allowed: Collection[Made] = (),
    answers: Sequence[AskedLine] = (),
    step: Step = _no_step,
) -> NotebookDesk:
    """Read a notebook with what the log knows, what was said of it and the answers given. Saves nothing."""
    farm = with_made(farm_words(store), new)
    readings = _Readings(store, now.tzinfo)
    notebook = understand(sheets, farm, now, words, readings=readings, step=step)
    asked: list[AskedLine] = []
    for _ in range(_MOST_ROUNDS if answers else 0):
        asked += asked_lines(notebook.rows)
        given = spread_out(answers, asked)
        found = row_answers(given, notebook.rows)
        if not found or found == words.answers:
            break
        words = replace(words, answers=found)
        notebook = understand(sheets, farm, now, words, readings=readings)
    agreed = {place for place, one in words.answers.items() if Ask.CHANGED in one.settled}
    states = row_states(store, notebook.rows, source)
    corrected = {row.digest for row in notebook.rows if row.place in agreed}
    rows = tuple(_with_change(row, states, corrected) for row in notebook.rows)
    notebook = replace(notebook, rows=rows)
    offers = offers_of(farm, rows, states.known, allowed)
    return NotebookDesk(
        source, notebook, words, states, tuple(new), frozenset(allowed), offers, corrected=frozenset(corrected)
    )


def _with_change(row: NoteRow, states: RowStates, corrected: Collection[str]) -> NoteRow:
    before = states.before.get(row.digest)
    if before is None or row.question is not None or row.digest in corrected or not row.entries:
        return row
    says = f"It was '{before.said}' when it was brought in. Does it take the place of that?"
    return replace(row, question=Question(ask=Ask.CHANGED, says=says, about=Holds.NOTE, choices=("yes", "skip")))


def take_in(store: Store, desk: NotebookDesk, now: datetime, *, may_make: bool) -> NotebookBrought:
    """Save what is sure of a notebook as one deed, with what was said of its columns and words."""
    kept = profile_facts(store, desk.source, desk.words)
    return bring_in(
        store,
        desk.rows,
        desk.source,
        now,
        may_make=may_make,
        allowed=desk.allowed,
        new=desk.new,
        corrected=desk.corrected,
        beside=kept,
    )


class _Readings:
    """What the log knows of a meter by the farm's days, read when it is asked for."""

    def __init__(self, store: Store, zone: tzinfo | None) -> None:
        self._store = store
        self._zone = zone
        self._known: dict[tuple[UUID, MeterKind], list[tuple[date, int]]] = {}

    def __call__(self, machine_id: UUID, kind: MeterKind) -> Sequence[tuple[date, int]]:
        key = (machine_id, kind)
        if key not in self._known:
            with self._store.reading() as connection:
                meters = find_all(connection, Meter, machine_id=machine_id, kind=kind)
                self._known[key] = [
                    (one.at.astimezone(self._zone).date(), one.shown_usage)
                    for meter in meters
                    for one in find_all(connection, Reading, meter_id=meter.id)
                ]
        return self._known[key]


def kept_words(store: Store, name: str) -> NotebookWords:
    """Return what is kept under a name; nothing where nothing is."""
    with store.reading() as connection:
        found = find_all(connection, ImportProfile, name=name)
    if not found:
        return NotebookWords()
    content = json.loads(found[-1].content)
    columns = {key: Holds(value) for key, value in content.get("columns", {}).items() if value in set(Holds)}
    return NotebookWords(columns=columns, words=content.get("words", {}), order=content.get("order", ""))


def with_said(kept: NotebookWords, said: NotebookWords) -> NotebookWords:
    """Return what is kept with what is said now; what is said now goes before."""
    return NotebookWords(
        columns={**kept.columns, **said.columns},
        words={**kept.words, **said.words},
        answers=said.answers,
        order=said.order or kept.order,
    )


def profile_facts(store: Store, name: str, words: NotebookWords) -> tuple[Sequence[Fact], Sequence[Fact]]:
    """Return what is to be kept: a new profile, or the one there changed; nothing where nothing was said or it is the same."""
    content = json.dumps(
        {
            "columns": {key: value.value for key, value in sorted(words.columns.items())},
            "order": words.order,
            "words": dict(sorted(words.words.items())),
        },
        sort_keys=True,
    )
    if not (words.columns or words.words or words.order):
        return (), ()
    with store.reading() as connection:
        found = find_all(connection, ImportProfile, name=name)
    if not found:
        return (ImportProfile(name=name, content=content),), ()
    if found[-1].content == content:
        return (), ()
    return (), (replace(found[-1], content=content),)
