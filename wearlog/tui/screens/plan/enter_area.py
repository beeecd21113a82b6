"""Planning an area to cut, or changing one: its field, size, ground, crop and machines; the first one begins the season's plan."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final
from uuid import UUID

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import Ground
from wearlog.facts.machines import Machine
from wearlog.facts.plain_text import one_line
from wearlog.facts.work import Crop, Field
from wearlog.logbook.plan.areas_to_cut import AreaToCut, PlannedAreas
from wearlog.present.digits import Measures
from wearlog.present.plan.planned_area_sheet import area_ahead, area_words
from wearlog.present.words import word
from wearlog.tui.questions.plan import save_area
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import area_reader
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.units import plain_number

if TYPE_CHECKING:
    from wearlog.tui.door import Door

#: nobody plans further ahead
_YEARS_AHEAD: Final = 10


class AreaToCutScreen(FormScreen):
    """The form of one area."""

    ABOUT: ClassVar[str] = (
        "What will be cut: a field, or so many acres of a ground where the fields are not settled. The size and the ground are "
        "those of the field until you say otherwise; write 640, 640 ac or 260 ha. A crop and machines are only chosen where they "
        "are settled: else the area is shared over all machines as they work. Space, the arrows or a first letter choose; F2 "
        "lists all there is to choose. 'wearlog add' enters a field or a crop that is not there."
    )

    def __init__(self, known: PlannedAreas, today: date, area_id: UUID | None = None) -> None:
        super().__init__()
        self.known = known
        self.today = today
        self.area = known.area(area_id)
        self.measures = Measures(known.settings)
        #: the size that the form wrote itself, exact where the text of it is rounded
        self._written: tuple[str, int | None] = ("", None)

    def heading(self) -> str:
        season = f" IN {self.known.harvest_year}" if self.known.has_plan else ""
        return f"{'CHANGE' if self.area else 'ADD'} AN AREA TO CUT{season}"

    def questions(self) -> Iterable[FormLine]:
        known, area = self.known, self.area
        if not known.has_plan:
            yield FormField("season", "Season", self._read_year, start=str(known.harvest_year))
        first = known.field(area.field_id) if area is not None else known.next_field()
        yield ChoiceField("field", "Field", _named("by ground only", known.fields), start=first.id if first else None)
        unit = self.measures.area_unit
        yield FormField(
            "area", "Area to cut", self._read_area, hint=f"in {unit}, like 640 or 260 ha", say=self._say_area
        )
        yield ChoiceField("ground", "Ground")
        last = area or (known.areas[-1] if known.areas else None)
        yield ChoiceField("crop", "Crop", _named("not settled", known.crops), start=last.crop_id if last else None)
        combine, header = (area.combine_id, area.header_id) if area is not None else (None, None)
        yield ChoiceField("combine", "Combine", _named("all as they work", known.combines), start=combine)
        yield ChoiceField("header", "Header", _named("any", known.headers), start=header)

    def prepare(self) -> None:
        if not self.known.has_plan:
            self.show_before(f"There is no plan for {self.known.harvest_year} yet: this area begins it.")
        for question in self.query(ChoiceField):
            # nothing to choose is no question
            question.display = question.asks == "ground" or len(question.answers) > 1
        self._follow_field()

    def first_question(self) -> str:
        return "field" if self.known.fields else "area"

    def begin(self) -> None:
        self.paint()

    # what the field says ------------------------------------------------------------------------------------------

    def changed(self, line: FormLine) -> None:
        if line.asks == "field":
            self._follow_field()

    @property
    def _field(self) -> Field | None:
        """The field that is chosen."""
        return self.known.field(self.answer("field"))

    def _follow_field(self) -> None:
        """Write the size and the ground that the log knows of the field, where nobody answered otherwise."""
        field, area = self._field, self.area
        is_its_own = area is not None and area.field_id == (field.id if field else None)
        size = area.area_square_metres if area is not None and is_its_own else self._left_of(field)
        text = "" if size is None else area_words(size, self.measures).removesuffix(f" {self.measures.area_unit}")
        self._written = (text, size)
        self.line("area").fill(text)
        answers = _grounds(field)
        ground = area.ground if area is not None and is_its_own else None
        if ground is None or (field is not None and ground is field.ground):
            ground = None if field is not None else self.known.usual_ground()
        self.line("ground").fill(answers, ground)

    def _left_of(self, field: Field | None) -> int | None:
        """What of a field is not planned yet; all of it where nothing is left."""
        if field is None:
            return None
        left = field.area_square_metres - self.known.planned_of(field.id, but_for=self.area.id if self.area else None)
        return left if left > 0 else field.area_square_metres

    # reading ------------------------------------------------------------------------------------------------------

    def _read_year(self, text: str) -> int:
        year = plain_number(text)
        example = f"Write it like {self.known.harvest_year}."
        if year != year.to_integral_value():
            raise UsageError(f"'{one_line(text)}' is not a harvest year.", example)
        if year < self.today.year:
            raise UsageError(f"{year} is over; a plan is for a season that is still to come.", example)
        if year > self.today.year + _YEARS_AHEAD:
            raise UsageError(f"{year} is too far away to plan.", example)
        return int(year)

    def _read_area(self, text: str) -> int:
        written, size = self._written
        if size is not None and text == written:
            return size
        unit = self.measures.area_unit
        if not text.strip():
            raise UsageError("How much is to be cut?", f"Write it like 640, in {unit}.")
        found = area_reader(self.known.settings)(text)
        if found == 0:
            raise UsageError("An area of 0 is nothing to cut.", f"Write it like 640, in {unit}.")
        return found

    def _say_area(self, area: int) -> str:
        return area_words(area, self.measures)

    @property
    def _year(self) -> int:
        if self.known.has_plan:
            return self.known.harvest_year
        year: int = self.answer("season")
        return year

    def _wanted(self) -> AreaToCut:
        return AreaToCut(
            area_square_metres=self.answer("area"),
            field_id=self.answer("field"),
            ground=self.answer("ground"),
            crop_id=self.answer("crop"),
            combine_id=self.answer("combine"),
            header_id=self.answer("header"),
        )

    # saving -------------------------------------------------------------------------------------------------------

    def summary(self) -> str:
        area_id = self.area.id if self.area is not None else None
        return area_ahead(self.known, self._wanted(), harvest_year=self._year, area_id=area_id)

    @property
    def is_unchanged(self) -> bool:
        return self.area is not None and self._wanted() == self._as_it_was()

    def _as_it_was(self) -> AreaToCut:
        area = self.area
        assert area is not None
        field = self.known.field(area.field_id)
        ground = None if field is not None and area.ground is field.ground else area.ground
        return AreaToCut(area.area_square_metres, area.field_id, ground, area.crop_id, area.combine_id, area.header_id)

    def saving(self) -> Callable[[Door], str]:
        area_id = self.area.id if self.area is not None else None
        return partial(save_area, harvest_year=self._year, wanted=self._wanted(), area_id=area_id)

    def blamed(self, error: WearlogError) -> FormLine | None:
        message = error.message
        for words, name in (("season", "season"), ("neither a field", "ground"), ("too large", "area")):
            if words in message and any(line.asks == name for line in self.lines):
                found: FormLine = self.line(name)
                return found
        return None


def _named(none: str, rows: Sequence[Field] | Sequence[Crop] | Sequence[Machine]) -> tuple[tuple[Hashable, str], ...]:
    return ((None, none), *((row.id, one_line(row.name)) for row in rows))


def _grounds(field: Field | None) -> tuple[tuple[Hashable, str], ...]:
    """The grounds to choose from; that of the field stands first and follows the field if that is corrected later."""
    if field is None:
        return tuple((ground, word(ground)) for ground in Ground)
    others = [(ground, word(ground)) for ground in Ground if ground is not field.ground]
    return ((None, f"{word(field.ground)}, as the field"), *others)
