"""Forms beside the checks of a fault: loads tried from the seat, what else is known of it, what is undone and put back."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar, Final

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import Condition
from wearlog.facts.electrics import Answer, Opened, OthersTried
from wearlog.facts.plain_text import one_line
from wearlog.logbook.faults.fault_sentences import ToldMore, tries_sentence
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.present.words import listed, word
from wearlog.tui.questions.faults import people, put_back, told, tried, undone
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import name_reader
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.tick_field import SEEN, TickField, TickMark

if TYPE_CHECKING:
    from wearlog.present.faults.fault_page import CasePage
    from wearlog.tui.door import Door

_DID: Final = (
    TickMark(" ", ""),
    TickMark("o", "works", "w"),
    TickMark("x", "dead", "d"),
    TickMark("~", "faint or flickers", "f"),
)
_OTHERS: Final = (
    (None, "not asked"),
    (OthersTried.ALL_FINE, "all fine"),
    (OthersTried.SOME_FAIL, "some fail too"),
    (OthersTried.NOT_TRIED, "not tried"),
)
_PRESENT: Final = (
    (None, "not asked"),
    (Answer.YES, "yes"),
    (Answer.NO, "no"),
    (Answer.CANNOT_TELL, "cannot tell"),
)


class _CaseForm(FormScreen):
    """A form of one fault, with the cautions of its next step in one row."""

    def __init__(self, page: CasePage) -> None:
        super().__init__()
        self.page = page

    def begin(self) -> None:
        self.query_one("#will", AnswerLine).count = len(self.page.cautions)
        self.show_hazards(self.page.hazards)


class TryLoadsScreen(_CaseForm):
    """Does this also work? Loads that are tried from the seat, one key each."""

    TITLE: ClassVar[str] = "DOES THIS ALSO WORK?"
    ABOUT: ClassVar[str] = (
        "Key on, engine off, everybody clear, nobody under the header or in the tank. Switch on each in turn: w it works, d it is "
        "dead, f it is faint or flickers; the arrows go to the next. It costs a minute and splits the circuit: what works clears "
        "all that feeds it. Those that tell most stand first; what you leave blank was not tried. Start no drive for this."
    )

    def questions(self) -> Iterable[FormLine]:
        first = self.page.step.tries if self.page.step is not None else ()
        others = [name for name in self.page.untold if name not in first]
        yield TickField("loads", "Switched on", (*first, *others), marks=_DID)

    def begin(self) -> None:
        self.query_one("#will", AnswerLine).from_seat = True
        super().begin()
        self.show_before(
            "Key on, engine off, everybody clear. Switch on each in turn and say what it does. Start no drive."
        )

    def _tries(self) -> list[tuple[str, str]]:
        return [(name, mark.word) for name, mark in self.answer("loads")]

    def summary(self) -> str:
        tries = self._tries()
        speak = FarmSpeaker(self.page.settings)
        return tries_sentence(speak, self.page.fault_title, tries, self.now()) if tries else ""

    def saving(self) -> Callable[[Door], str]:
        return partial(tried, fault_id=self.page.fault_id, tries=self._tries(), sure=self.doubts.settled)


class TellFaultScreen(_CaseForm):
    """What else is known of a fault: the questions before the next check, more signs, who takes it up."""

    FIRST: ClassVar[str] = "present"
    ABOUT: ClassVar[str] = (
        "What costs nothing to ask and moves the suspects. Is it doing it now: with 'no' a meter tells next to nothing of a fault "
        "that comes and goes. The other loads: all fine, some fail too. What was worked on since it last ran right, by its place. "
        "Whoever takes it up on another day, or from another person, says so here: checks of one visit share whether the fault "
        "was there. The note is for whoever takes it up next: what lies open, what was about to be done."
    )

    def __init__(self, page: CasePage) -> None:
        super().__init__(page)
        self.names: tuple[str, ...] = ()

    def heading(self) -> str:
        return f"TELL MORE OF {self.page.fault_title}"

    def questions(self) -> Iterable[FormLine]:
        yield ChoiceField("present", "There now?", _PRESENT)
        yield ChoiceField("others", "Other loads", _OTHERS)
        yield FormField("worked", "Worked on", hint="not asked; a place, or nothing", names=self.page.nodes)
        yield TickField("seen", "Also seen", self.page.loads, marks=SEEN)
        yield TickField("when", "Shows when", [word(one) for one in Condition])
        yield ChoiceField("all", "Never else", ((False, "not asked"), (True, "no, only then")))
        yield FormField("person", "Taken up by", self._person, hint="nobody new")
        yield FormField("note", "Left to say", hint="header is on its stops, plug 3 is open")

    def begin(self) -> None:
        super().begin()
        self.show_before(" ".join(part for part in (self.page.left, self.page.questions) if part))
        self.screens.ask(self, "people", people, self._take_people, self.refused)

    def _take_people(self, names: tuple[str, ...]) -> None:
        self.names = names
        self.line("person").offer(names)

    def _person(self, text: str) -> str:
        return name_reader(self.names, str, "person")(text) if one_line(text) else ""

    def _told(self) -> ToldMore:
        return ToldMore(
            others=self.answer("others"),
            worked_on=one_line(self.line("worked").text),
            all_conditions=self.answer("all"),
            present=self.answer("present"),
            person=self.answer("person"),
            note=one_line(self.line("note").text),
            signs=tuple(f"{name} {mark.word}" for name, mark in self.answer("seen")),
            conditions=", ".join(name for name, _ in self.answer("when")),
        )

    def summary(self) -> str:
        more = self._told()
        said = [
            *([f"there now: {self.line('present').words}"] if more.present else []),
            *([f"the others: {self.line('others').words}"] if more.others else []),
            *([f"worked on: {more.worked_on}"] if more.worked_on else []),
            *more.signs,
            *([more.conditions] if more.conditions else []),
            *(["under no other condition"] if more.all_conditions else []),
            *([f"taken up by {more.person}"] if more.person else []),
            *([more.note] if more.note else []),
        ]
        return f"of '{self.page.fault_title}': {'; '.join(said)}" if said else ""

    def saving(self) -> Callable[[Door], str]:
        return partial(told, fault_id=self.page.fault_id, more=self._told(), sure=self.doubts.settled)

    def blamed(self, error: WearlogError) -> FormLine | None:
        """A person that nobody is called."""
        found: FormLine | None = self.line("person") if "person" in error.message else None
        return found


class UndoneScreen(_CaseForm):
    """What is unplugged or taken out for a fault, and what is put back."""

    TITLE: ClassVar[str] = "TAKEN OUT, PUT BACK"
    ABOUT: ClassVar[str] = (
        "What is unplugged, taken out or put on stops while the fault is looked for: it is said before every check and when the "
        "fault is closed, until it is put back. The first question puts back; the others keep what is undone now. Before the "
        "machine starts nothing may stand here."
    )
    _KEPT: ClassVar = "nothing now"
    _ALL: ClassVar = "all of it"

    def questions(self) -> Iterable[FormLine]:
        places = dict.fromkeys(node for _, node in self.page.undone if node)
        backs: list[tuple[Any, str]] = [(None, self._KEPT), ("", self._ALL)]
        backs += [(node, one_line(node)) for node in places]
        yield ChoiceField("back", "Put back", backs)
        kinds: list[tuple[Any, str]] = [(None, self._KEPT), *((one, word(one)) for one in Opened)]
        yield ChoiceField("opened", "Undone now", kinds)
        yield FormField("node", "Where", self._place, hint="no place", names=self.page.nodes)
        yield FormField("note", "Note", hint="what whoever puts it back should know")

    def prepare(self) -> None:
        self.line("back").display = bool(self.page.undone)

    def begin(self) -> None:
        super().begin()
        stands = "; ".join(words for words, _ in self.page.undone)
        self.show_before(f"Not put back: {stands}." if stands else "Nothing is noted as undone.")

    def _place(self, text: str) -> str:
        return name_reader(self.page.nodes, str, "place")(text) if one_line(text) else ""

    def _back(self) -> str | None:
        line = self.line("back")
        answer: str | None = line.read() if line.display else None
        return answer

    def summary(self) -> str:
        back, opened = self._back(), self.answer("opened")
        if back is not None and opened is None:
            return f"put back for '{self.page.fault_title}': {back or listed([words for words, _ in self.page.undone])}"
        if opened is None or back is not None:
            return ""
        where = f" at {self.answer('node')}" if self.answer("node") else ""
        return f"undone for '{self.page.fault_title}': {word(opened)}{where}, to be put back"

    def saving(self) -> Callable[[Door], str]:
        back, opened = self._back(), self.answer("opened")
        if (back is None) is (opened is None):
            return _which
        if back is not None:
            return partial(put_back, fault_id=self.page.fault_id, node=back)
        note = one_line(self.line("note").text)
        return partial(undone, fault_id=self.page.fault_id, opened=opened, node=self.answer("node"), note=note)


def _which(_: Door) -> str:
    raise UsageError("Put back, or undone now?", "Say one of the two; the other is an entry of its own.")
