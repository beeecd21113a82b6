"""What the forms of readings, runs and stoppages share: which machine, what time it is, what the log knows of both."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar
from uuid import UUID

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.present.digits import Measures
from wearlog.tui.questions.work import work_start
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import name_reader
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormLine

if TYPE_CHECKING:
    from wearlog.logbook.work.entry_start import EntryStart, MachineStart


class WorkForm(FormScreen):
    """A form about one machine. `KINDS` are the kinds of machine that can be meant; none means all."""

    KINDS: ClassVar[tuple[MachineKind, ...]] = ()

    def __init__(self, pointed: UUID | None = None) -> None:
        super().__init__()
        self.pointed = pointed
        self.known: EntryStart | None = None

    @property
    def settings(self) -> FarmSettings:
        """The farm's settings; the usual ones while they are not read yet."""
        return self.known.settings if self.known is not None else FarmSettings()

    @property
    def measures(self) -> Measures:
        """How the farm writes measures."""
        return Measures(self.settings)

    def machine_question(self) -> ChoiceField:
        """The question which machine."""
        return ChoiceField("machine", "Machine")

    @property
    def chosen(self) -> MachineStart | None:
        """The machine that is chosen."""
        return self.known.of(self.answer("machine")) if self.known is not None else None

    @property
    def one(self) -> MachineStart:
        """The machine that is chosen, when everything is right."""
        found = self.chosen
        assert found is not None
        return found

    def begin(self) -> None:
        self.screens.ask(self, "start", work_start, self._take_start)

    def _take_start(self, known: EntryStart) -> None:
        self.known = known
        meant = [one for one in known.machines if not self.KINDS or one.machine.kind in self.KINDS]
        if not meant:
            what = " or ".join(kind.value for kind in self.KINDS) or "machine"
            self.say(f"There is no {what} in the log yet.", alarm=True)
            return
        current = known.current(self.pointed, *self.KINDS)
        question: ChoiceField = self.line("machine")
        question.fill(
            tuple((one.machine.id, one.machine.name) for one in meant), current.machine.id if current else None
        )
        self.machine_changed()
        self.paint()

    def changed(self, line: FormLine) -> None:
        if line.asks == "machine":
            self.machine_changed()

    def machine_changed(self) -> None:
        """Fill in what the log knows of the machine that is chosen."""

    def save(self) -> None:
        """Save, once the log has been read."""
        if self.chosen is None:
            self.say("One moment: the log is being read.")
            return
        super().save()

    def paint(self) -> None:
        if self.chosen is not None:
            super().paint()

    def read_crop(self, text: str) -> Any:
        """Read a crop that must be named."""
        if not text.strip():
            raise UsageError("Of which crop?", "Write the beginning of its name.")
        return name_reader(self.known.crops if self.known else (), row_name, "crop")(text)

    def read_field(self, text: str) -> Any:
        """Read a field, or nothing."""
        if self.known is None or not text.strip():
            return None
        return name_reader(self.known.fields, row_name, "field")(text)


def row_name(row: Any) -> str:
    """Return what a row is called, nothing for none."""
    return one_line(row.name) if row is not None else ""
