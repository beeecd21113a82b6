"""What broke in a season and was never entered: how many, on a day and at a place that nobody remembers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from wearlog.present.words import counted
from wearlog.tui.questions.wear import enter_missing, missing_places
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import needed, whole
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.reckoning.parts.shelf_shares import RoughPlace
    from wearlog.tui.door import Door


class MissingScreen(FormScreen):
    """The form of missing pieces of one kind."""

    ABOUT: ClassVar[str] = (
        "Pieces that broke and were never entered: the season, and how many. Day and place stay unknown; no part that is on now "
        "becomes younger by it. The number offered is what the counts of the shelf miss in that season. They are dated before the "
        "count that found them gone, so that the shelf stays as it was counted. u takes them back; the history changes them."
    )

    def __init__(self, kind_id: UUID, name: str) -> None:
        super().__init__()
        self.kind_id, self.kind_name = kind_id, name
        self.places: tuple[RoughPlace, ...] = ()

    def heading(self) -> str:
        return f"NEVER ENTERED: {self.kind_name}"

    def questions(self) -> Iterable[FormLine]:
        yield ChoiceField("season", "Broke in")
        count = needed(whole(1, 100_000), "How many?", "Write it like 12.")
        yield FormField("quantity", "How many", count, hint="pieces")

    def begin(self) -> None:
        self.screens.ask(self, "start", partial(missing_places, kind_id=self.kind_id), self._take, self.refused)

    def _take(self, places: tuple[RoughPlace, ...]) -> None:
        self.places = places
        most = max(places, key=lambda one: (one.missing, one.harvest_year))
        self.line("season").fill([(one.harvest_year, str(one.harvest_year)) for one in places], most.harvest_year)
        self._offer()
        self.paint()

    def changed(self, line: FormLine) -> None:
        """Offer what is missing in the season that is chosen."""
        if line.asks == "season":
            self._offer()

    @property
    def _place(self) -> RoughPlace | None:
        year = self.answer("season") if self.places else None
        return next((one for one in self.places if one.harvest_year == year), None)

    def _offer(self) -> None:
        place, line = self._place, self.line("quantity")
        if place is not None and not line.is_typed:
            line.fill(str(place.missing) if place.missing else "")

    def summary(self) -> str:
        if self._place is None:
            return ""
        pieces = counted(self.answer("quantity"), self.kind_name)
        return f"{pieces} broke in {self._place.harvest_year}, day and place not known"

    def save(self) -> None:
        """Save, once the log has been read."""
        if self._place is None:
            self.say("No count of the shelf tells of a season: = on the stock enters one.")
            return
        super().save()

    def saving(self) -> Callable[[Door], str]:
        return partial(
            enter_missing, kind_id=self.kind_id, harvest_year=self.answer("season"), quantity=self.answer("quantity")
        )
