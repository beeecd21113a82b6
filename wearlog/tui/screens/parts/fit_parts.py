"""A planned change of parts: the cautions first, then which positions, how old what is put on is, and when."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, format_positions, place_said
from wearlog.logbook.deed_sentences import fitted_sentence
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.present.digits import Measures
from wearlog.tui.questions.work import aged_component, save_ages, save_fitted
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import age_reader, moment_reader, positions_reader
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.facts.age_scale import AgeScale
    from wearlog.logbook.work.entry_start import FitStart
    from wearlog.tui.door import Door


class FitScreen(FormScreen):
    """The form of a planned change on one component, for the positions that were marked or for all."""

    TITLE: ClassVar[str] = "FIT PARTS, PLANNED"
    #: a hand goes in for it, so that its cautions are read first
    IS_WORK: ClassVar[bool] = True
    ABOUT: ClassVar[str] = (
        "Parts that are put on before anything broke: a knife rebuilt in the shop, guards turned, a chain renewed. What comes off "
        "ends its life unbroken, which the reckoning of lives takes into account. Positions: 41-43, 50, or all. The age of what is "
        "put on is new, unknown, so many acres or hours on it, or told roughly (about 3 seasons). A breakage is "
        "logged with b instead."
    )

    def __init__(self, component_id: UUID, marked: tuple[int, ...] = ()) -> None:
        super().__init__()
        self.component_id = component_id
        self.marked = marked
        self.known: FitStart | None = None
        self.scale: AgeScale | None = None

    def questions(self) -> Iterable[FormLine]:
        yield FormField("positions", "Positions", self._read_positions, start=format_positions(self.marked), hint="all")
        yield FormField("age", "Their age", self._read_age, hint="new", say=self._say_age)
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)

    @property
    def _measures(self) -> Measures:
        from wearlog.facts.farm_settings import FarmSettings

        return Measures(self.known.settings if self.known is not None else FarmSettings())

    def begin(self) -> None:
        self.screens.ask(self, "start", partial(aged_component, component_id=self.component_id), self._take)

    def _take(self, found: tuple[FitStart, AgeScale]) -> None:
        from textual.widgets import Static

        known, self.scale = found
        self.known = known
        self.query_one("#title", Static).update(f"{self.TITLE}: {self._where}")
        self.line("positions").display = known.component.positions > 1
        if known.component.positions == 1:
            self.focus_line(self.line("age"))
        if known.kind.hazard is not None:
            self.show_hazards((known.kind.hazard,), known.machine.name if self.IS_WORK else None)
        self.paint()

    @property
    def _where(self) -> str:
        if self.known is None:
            return ""
        name = component_name(self.known.component.place, self.known.kind.name)
        return f"{one_line(self.known.machine.name)}, {name}"

    def _read_positions(self, text: str) -> tuple[int, ...]:
        return positions_reader(self.known.component.positions if self.known is not None else 1)(text)

    def _read_age(self, text: str) -> int | None:
        if self.known is None:
            return 0
        return age_reader(self.known.kind.meter_kind, self.known.settings, self.scale)(text)

    def _say_age(self, age: int | None) -> str:
        if age is None:
            return "nobody knows their age"
        return "new" if age == 0 or self.known is None else self._measures.usage(self.known.kind.meter_kind, age, 1)

    def summary(self) -> str:
        if self.known is None:
            return ""
        component, kind, speak = self.known.component, self.known.kind, FarmSpeaker(self.known.settings)
        where = place_said(
            one_line(self.known.machine.name),
            component_name(component.place, kind.name),
            component.positions,
            self.answer("positions"),
        )
        return fitted_sentence(speak, where, kind.meter_kind, self.answer("age"), self.answer("at"))

    def save(self) -> None:
        """Save, once the component has been read."""
        if self.known is None:
            self.say("One moment: the log is being read.")
            return
        super().save()

    def saving(self) -> Callable[[Door], str]:
        assert self.known is not None
        return partial(
            save_fitted,
            component=self.known.component,
            positions=self.answer("positions"),
            at=self.answer("at"),
            age_usage=self.answer("age"),
        )

    def blamed(self, error: WearlogError) -> FormLine | None:
        found: FormLine = self.line("positions" if "osition" in error.message else "at")
        return found if found.display else None


class AgeScreen(FitScreen):
    """How old what is on a component is: of what has an unknown age, or of the positions that were marked."""

    TITLE: ClassVar[str] = "HOW OLD"
    IS_WORK: ClassVar[bool] = False
    FIRST: ClassVar[str] = "age"
    ABOUT: ClassVar[str] = (
        "How old the parts are that are on now: told as it is known. A figure (400 ac, 350 h), about 3 seasons (as many as the "
        "machine ran a season by the log, else a usual one), since new (as old as the machine by its meter), new, or unknown. "
        "Positions: those of unknown age, unless you name them. What wore since the log began is on top by itself."
    )

    def questions(self) -> Iterable[FormLine]:
        yield FormField(
            "positions",
            "Positions",
            self._read_positions,
            start=format_positions(self.marked),
            hint="those of unknown age",
        )
        yield FormField("age", "Age now", self._read_age, hint="about 3 seasons, since new, 350 h", say=self._say_age)

    def _read_positions(self, text: str) -> tuple[int, ...]:
        return () if not text.strip() else super()._read_positions(text)

    def _read_age(self, text: str) -> int | None:
        if not text.strip():
            raise UsageError("How old is it now?", "Write 'about 3 seasons', 'since new', a figure, or unknown.")
        return super()._read_age(text)

    def _say_age(self, age: int | None) -> str:
        said = super()._say_age(age)
        seasons = self.scale is not None and "season" in self.line("age").text
        if not seasons or self.scale is None or self.known is None:
            return said
        season = self._measures.usage(self.known.kind.meter_kind, self.scale.season)
        return f"{said}, at {season} a season{' (a guess)' if self.scale.is_guess else ''}"

    def summary(self) -> str:
        if self.known is None:
            return ""
        positions = self.answer("positions")
        where = f" {format_positions(positions)}" if positions else ""
        return f"{self._where}{where}: {self._say_age(self.answer('age'))} now"

    def saving(self) -> Callable[[Door], str]:
        assert self.known is not None
        return partial(
            save_ages, component=self.known.component, positions=self.answer("positions"), age_now=self.answer("age")
        )

    def blamed(self, error: WearlogError) -> FormLine | None:
        found: FormLine = self.line("positions" if "osition" in error.hint else "age")
        return found if found.display else None
