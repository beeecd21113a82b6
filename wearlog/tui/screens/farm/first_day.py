"""The first day: from no log at all to one combine, one header, its knife and a first reading, by four short pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import Binding, BindingType

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.age_scale import USUAL_SEASON, AgeScale
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import UNITS, FarmSettings
from wearlog.logbook.farm.first_answers import FirstDay, sections_of
from wearlog.logbook.said.measures import hours
from wearlog.logbook.said.rough_ages import is_since_new
from wearlog.present.digits import Measures, number
from wearlog.present.yard.first_day_words import first_day_lines, hours_words, part_ages_words
from wearlog.tui.questions.work import save_first_day
from wearlog.tui.screens.farm.settings_page import UNIT_WORDS, read_currency
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import age_reader, moment_reader, named, needed, optional, whole, width_reader
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.tui.door import Door

_YES_NO = ((True, "yes"), (False, "no"))
PAGES = 4


@dataclass(slots=True)
class Answers:
    """What was answered so far: as it was typed, so that going back loses nothing, and as it was understood."""

    #: why the first day begins
    reason: str
    typed: dict[str, str] = field(default_factory=dict)
    understood: dict[str, Any] = field(default_factory=dict)

    @property
    def settings(self) -> FarmSettings:
        """The settings of the farm to be."""
        return FarmSettings(units=self.understood.get("units", UNITS[0]))

    def day(self) -> FirstDay:
        """Everything together."""
        said = self.understood
        settings = {"farm_name": said["farm"], "currency": said["currency"], "units": said["units"]}
        return FirstDay(
            at=said["at"],
            settings=tuple((key, content) for key, content in settings.items() if content),
            combine=said["combine"],
            engine_seconds=said["engine"],
            separator_seconds=said["separator"],
            header=said["header"],
            width_micrometres=said["width"],
            sections=said["sections"],
            knife_age=said["age"],
            guards=said["guards"] or 0,
            guard_age=said["age"],
            is_hitched=said["hitched"],
            with_wearing_parts=said["parts"],
            part_ages=said.get("part_ages", ()) if said["parts"] else (),
        )


class FirstDayPage(FormScreen):
    """A page of the first day. Esc goes back a page and forgets nothing; from the first page it leaves."""

    PAGE: ClassVar[int] = 1
    #: what is to be done here
    ANSWER: ClassVar[str] = "Type the farm's name, or nothing, and press Enter. Nothing is saved before page 4."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter", "enter", "next page", tooltip="the next page; where an answer is asked, go there", priority=True
        ),
        Binding("ctrl+s", "save", "next page", show=False, tooltip="the next page", priority=True),
        Binding("escape", "leave", "back", tooltip="the page before; from the first page: leave, nothing is saved"),
    ]

    def __init__(self, answers: Answers) -> None:
        super().__init__()
        self.answers = answers

    def heading(self) -> str:
        return f"FIRST DAY, page {self.PAGE} of {PAGES}: {self.TITLE}"

    def prepare(self) -> None:
        for line in self.lines:
            if line.asks in self.answers.typed:
                line.restore(self.answers.typed[line.asks])

    def next_page(self) -> FormScreen:
        """Return the page that follows."""
        raise NotImplementedError

    def first_answer(self) -> str:
        """Say what Enter does; what will be made is told on the last page."""
        return self.ANSWER

    def saves(self) -> str:
        return self.ANSWER

    def keep(self) -> None:
        """Remember what stands here, right or not."""
        for line in self.lines:
            if line.is_typed:
                self.answers.typed[line.asks] = line.kept()

    def save(self) -> None:
        """Go on to the next page when every answer is right."""
        wrong = [line for line in self.lines if not line.check()]
        if wrong:
            self.focus_line(wrong[0])
            return
        self.keep()
        self.answers.understood.update({line.asks: line.read() for line in self.lines})
        self.screens.push(self.next_page())

    def action_leave(self) -> None:
        if self.PAGE == 1:
            super().action_leave()
            return
        self.keep()
        self.dismiss()


class FarmPage(FirstDayPage):
    """Page 1: the farm."""

    TITLE: ClassVar[str] = "THE FARM"
    ABOUT: ClassVar[str] = (
        "Four short pages begin the log: the farm, one combine, one header with its knife, and a look at all of it. Nothing is "
        "made before the last page; Esc goes back. Everything can be changed and added to later. 'wearlog demo' opens an "
        "invented farm to look around in; 'wearlog import' brings in what you have written down in sheets."
    )

    def questions(self) -> Iterable[FormLine]:
        yield FormField("farm", "Farm", hint="its name, or nothing")
        yield ChoiceField("units", "Units", UNIT_WORDS, start=UNITS[0])
        yield FormField("currency", "Currency", _currency_or_usual, hint="USD")

    def begin(self) -> None:
        self.show_before(
            f"{self.answers.reason} Four short pages begin one, in about five minutes; nothing is saved before the last. "
            "To look around on an invented farm first: Esc, q, then type wearlog demo."
        )

    def next_page(self) -> FormScreen:
        return CombinePage(self.answers)


class CombinePage(FirstDayPage):
    """Page 2: one combine."""

    PAGE: ClassVar[int] = 2
    ANSWER: ClassVar[str] = "One combine and what its meters show; what you do not know stays empty."
    TITLE: ClassVar[str] = "ONE COMBINE"
    ABOUT: ClassVar[str] = (
        "One combine and what its meters show: as you read them, 2310.4 or 1 234,5. A meter that you leave empty is not known; it "
        "can be read any day. The usual wearing parts are the feeder chain, rasp bars, concave, clean grain chain and auger, "
        "chopper blades, main belt and the wiring; their lives are starting guesses. 'Their age' is one answer for all of them: "
        "'since new' takes what the meters show; of one that was renewed, e on 2 Machine tells its own age later."
    )

    def questions(self) -> Iterable[FormLine]:
        yield FormField("combine", "Combine", named("combine"), hint="what you call it")
        yield FormField("engine", "Engine h", optional(hours), hint="not known", say=hours_words)
        yield FormField("separator", "Separator h", optional(hours), hint="not known", say=hours_words)
        yield FormField("at", "Read when", moment_reader(self.now), hint="now", say=self.say_moment)
        yield ChoiceField("parts", "Wear parts", ((True, "the usual eight"), (False, "none yet")), start=True)
        yield FormField(
            "part_ages",
            "Their age",
            self._read_ages,
            hint="unknown; else since new, about 3 seasons",
            say=self._say_ages,
        )

    def prepare(self) -> None:
        super().prepare()
        self._follow_parts()

    def changed(self, line: FormLine) -> None:
        """Only parts that are entered have an age; what it comes to hangs on the meters."""
        if line.asks == "parts":
            self._follow_parts()

    def _follow_parts(self) -> None:
        self.line("part_ages").display = self.line("parts").read()

    def _read_ages(self, text: str) -> tuple[tuple[MeterKind, int], ...]:
        """Read one age for the parts of both meters; a meter that nobody read tells nothing of what ran since it was new."""
        if not text.strip():
            return ()
        shown = {MeterKind.SEPARATOR_HOURS: self.line("separator"), MeterKind.ENGINE_HOURS: self.line("engine")}
        read = {meter: line.read() if line.is_right else None for meter, line in shown.items()}
        since_new = is_since_new(text)
        if since_new and not any(one is not None for one in read.values()):
            raise UsageError("No meter is read above.", "Write what it shows, or say it like 'about 3 seasons'.")
        ages = []
        for meter, now in read.items():
            if since_new and now is None:
                continue
            scale = AgeScale(USUAL_SEASON[meter], now, is_guess=True)
            age = age_reader(meter, self.answers.settings, scale)(text)
            if age is not None:
                ages.append((meter, age))
        return tuple(ages)

    def _say_ages(self, ages: tuple[tuple[MeterKind, int], ...]) -> str:
        said = part_ages_words(ages)
        if not ages or "season" not in self.line("part_ages").text:
            return said
        seasons = " and ".join(number(USUAL_SEASON[meter] / 3600) for meter, _ in ages)
        return f"{said}, at {seasons} h a season"

    def next_page(self) -> FormScreen:
        return HeaderPage(self.answers)


class HeaderPage(FirstDayPage):
    """Page 3: one header with its knife."""

    PAGE: ClassVar[int] = 3
    ANSWER: ClassVar[str] = "One header with its knife; ages that you do not know stay empty."
    TITLE: ClassVar[str] = "ONE HEADER WITH ITS KNIFE"
    ABOUT: ClassVar[str] = (
        "The width of cut, in feet or metres (40, 40 ft, 12.2 m). The sections of the knife are reckoned from it at 3 inches "
        "(76.2 mm) each: count them and write your own number where it differs. Age: new, unknown, or the area that has gone "
        "over the knife. Guards are followed when you write how many there are."
    )

    def questions(self) -> Iterable[FormLine]:
        settings = self.answers.settings
        width = needed(width_reader(settings), "How wide does it cut?", "Write it like 40 ft or 12.2 m.")
        unit = Measures(settings).area_unit
        yield FormField("header", "Header", self._read_name, hint="what you call it")
        yield FormField("width", "Cut width", width, hint="40 ft or 12.2 m", say=Measures(settings).width)
        yield FormField("sections", "Sections", self._read_sections, hint="by the width, at 3 in each")
        yield FormField(
            "age",
            "Their age",
            self._read_age,
            hint=f"unknown; else new, 400 {unit}, about 3 seasons",
            say=self._say_age,
        )
        yield FormField("guards", "Guards", optional(whole(1, 2_000)), hint="not followed; else how many")
        yield ChoiceField("hitched", "Hitched", _YES_NO, start=True)

    def _read_name(self, text: str) -> str:
        found = named("header")(text)
        if found.casefold() == self.answers.understood["combine"].casefold():
            raise UsageError("The combine is called so already.", "Give the header another name.")
        return found

    def _read_sections(self, text: str) -> int:
        if text.strip():
            return whole(1, 2_000)(text)
        width = self.line("width")
        return sections_of(width.read()) if width.is_right else 1

    def _read_age(self, text: str) -> int | None:
        scale = AgeScale.guessed(MeterKind.AREA)
        return age_reader(MeterKind.AREA, self.answers.settings, scale)(text) if text.strip() else None

    def _say_age(self, age: int | None) -> str:
        if age is None:
            return "nobody knows"
        measures = Measures(self.answers.settings)
        said = "new" if age == 0 else measures.area(age)
        if "season" not in self.line("age").text:
            return said
        return f"{said}, at {measures.area(round(USUAL_SEASON[MeterKind.AREA]))} a season"

    def changed(self, line: FormLine) -> None:
        """The sections follow the width until somebody writes their number."""
        if line.asks == "width" and line.is_right:
            self._reckon()

    def begin(self) -> None:
        if self.line("width").is_right:
            self._reckon()

    def _reckon(self) -> None:
        sections = sections_of(self.line("width").read())
        self.line("sections").fill("", hint=f"{sections}, at 3 in (76.2 mm) each")

    def next_page(self) -> FormScreen:
        return CheckPage(self.answers)


class CheckPage(FirstDayPage):
    """Page 4: all of it, before it is made."""

    PAGE: ClassVar[int] = 4
    ANSWER: ClassVar[str] = "Enter begins the log with this. Then plan the acres you will cut: press 6, then a."
    TITLE: ClassVar[str] = "IS IT RIGHT?"
    ABOUT: ClassVar[str] = (
        "Everything that will be entered. Enter begins the log with it, Esc goes back to change something."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "enter", "begin the log", priority=True),
        Binding("ctrl+s", "save", "begin the log", show=False, priority=True),
    ]

    def begin(self) -> None:
        day = self.answers.day()
        self.show_before("\n".join(first_day_lines(day, self.answers.settings)))

    def saving(self) -> Callable[[Door], str]:
        return partial(save_first_day, day=self.answers.day())

    def save(self) -> None:
        """Begin the log."""
        if not self._saving:
            self._saving = True
            self.say("Beginning the log ...")
            self.screens.ask(self, "save", self.saving(), self.saved, self.refused)

    def saved(self, sentence: str) -> None:
        """Close all pages; the yard shows what there is now."""
        while len(self.app.screen_stack) > 1 and isinstance(self.screens.screen, FirstDayPage):
            self.app.pop_screen()
        begun = "The log is begun. b logs what breaks, r reads a meter, Enter opens a machine, ? helps."
        self.app.call_after_refresh(self.screens.say, begun)
        self.screens.something_entered()

    def refused(self, error: WearlogError) -> None:
        self._saving = False
        self.say(f"{error.message} {error.hint}".strip(), alarm=True)


def _currency_or_usual(text: str) -> str:
    return read_currency(text) or FarmSettings().currency
