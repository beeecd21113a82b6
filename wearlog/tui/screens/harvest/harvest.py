"""The harvest: when it is done, what each combine does in an hour, sensors, moisture, loss; and entering what was checked."""

from __future__ import annotations

from typing import ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType

from wearlog.present.drawing.marks import share_bar
from wearlog.tui.questions.harvest import HarvestShown, harvest
from wearlog.tui.screens.sections import SECTION_KEYS, SectionsScreen
from wearlog.tui.screens.work.work_keys import WORK_KEYS, EnteringWork
from wearlog.tui.section import Section

_BAR = 20


class HarvestScreen(EnteringWork, SectionsScreen):
    """The harvest."""

    AREA: ClassVar[str] = "harvest"
    ABOUT: ClassVar[str] = (
        "When the harvest is done, and what the combines make of the grain. The arrows go between the sections; a enters what "
        "the open one lists: what a sensor showed and what was true, a moisture sample of the grain, a loss check; c, r and d an "
        "area cut, a reading, a stop; k weighs what worn threshing parts cost in grain. The area to cut is planned on the Plan "
        "screen: 6, then the arrows."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *SECTION_KEYS[:2],
        Binding(
            "a",
            "add",
            "add",
            tooltip="enter what was checked: a loss check, a moisture sample, a load against a sensor",
        ),
        Binding(
            "k",
            "grain_lost",
            "grain lost",
            tooltip="what worn threshing parts cost in grain, and when to renew them",
        ),
        *SECTION_KEYS[2:],
        *WORK_KEYS,
    ]

    def refresh_answer(self) -> None:
        self.screens.ask(self, "harvest", harvest, self._show)

    def _show(self, shown: HarvestShown) -> None:
        answer, *second = shown.answer
        if shown.share is not None and second:
            second[-1] = f"{share_bar(shown.share, _BAR)} {second[-1]}"
        self.show_answer(answer, *second)
        self.show_sections(shown.sections)

    def has_twin(self, section: Section) -> bool:
        return section.name == "Loss"

    def pointed_machine(self) -> UUID | None:
        row = self.rows.row if self.rows.display else None
        return row.key if row is not None and isinstance(row.key, UUID) else None

    def opens_row(self) -> bool:
        """Whether a combine is under the cursor."""
        return self.pointed_machine() is not None

    def on_windowed_list_chosen(self) -> None:
        """Open the combine under the cursor."""
        machine_id = self.pointed_machine()
        if machine_id is not None:
            self.screens.look_at_machine(machine_id)

    def action_add(self) -> None:
        """Open the form of what the open section lists."""
        form = {"Loss": self._count, "Moisture": self._sample, "Sensors": self._load}
        open_form = form.get(self.section.name if self.section is not None else "")
        if open_form is None:
            self.say("Sensors, Moisture and Loss take a check: go there with the arrows, then a. c enters an area cut.")
        else:
            open_form()

    def action_grain_lost(self) -> None:
        """Weigh what worn threshing parts cost in grain."""
        from wearlog.tui.screens.deciding import GrainLostScreen

        self.screens.push(GrainLostScreen())

    def _count(self) -> None:
        """Open the form of a loss check."""
        from wearlog.tui.screens.harvest.harvest_forms import LossScreen

        self.screens.push(LossScreen(self.pointed_machine()))

    def _sample(self) -> None:
        """Open the form of a moisture sample."""
        from wearlog.tui.screens.harvest.harvest_forms import SampleScreen

        self.screens.push(SampleScreen(self.pointed_machine()))

    def _load(self) -> None:
        """Open the form of a calibration load."""
        from wearlog.tui.screens.harvest.harvest_forms import LoadScreen

        self.screens.push(LoadScreen(self.pointed_machine()))
