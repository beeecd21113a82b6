"""The keys by which readings, runs and stops are entered from areas; the forms are loaded when one of them is pressed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final
from uuid import UUID

from textual.binding import Binding

if TYPE_CHECKING:
    from wearlog.tui.host import Host

WORK_KEYS: Final = (
    Binding("r", "enter_reading", "reading", tooltip="what the meters show"),
    Binding("c", "enter_run", "cut", tooltip="an area cut"),
    Binding("d", "enter_stoppage", "stands/runs", tooltip="the machine stands, or runs again"),
)

#: where g is free for it
MEASURE_KEY: Final = Binding("g", "enter_measurement", "gauge", tooltip="wear that was measured on a part")


class EnteringWork:
    """What those screens do on these keys; `pointed_machine` says which machine is meant."""

    screens: Host

    def pointed_machine(self) -> UUID | None:
        """Return the machine that the screen points at."""
        return None

    def stands_now(self) -> bool:
        """Whether that machine is seen to stand."""
        return False

    def action_enter_reading(self) -> None:
        """Open the form of a reading."""
        from wearlog.tui.screens.work.enter_reading import ReadingScreen

        self.screens.push(ReadingScreen(self.pointed_machine()))

    def action_enter_run(self) -> None:
        """Open the form of a run."""
        from wearlog.tui.screens.work.enter_run import RunScreen

        self.screens.push(RunScreen(self.pointed_machine()))

    def action_enter_measurement(self) -> None:
        """Open the form of a measurement."""
        from wearlog.tui.screens.parts.measure_part import MeasureScreen

        self.screens.push(MeasureScreen(self.pointed_machine()))

    def action_enter_stoppage(self) -> None:
        """Say that a machine that is seen to stand runs again; of any other open the form of a stoppage."""
        from wearlog.tui.screens.work.enter_run import StoppageScreen

        machine_id = self.pointed_machine()
        if machine_id is not None and self.stands_now():
            from wearlog.tui.questions.work import runs_again

            question = partial(runs_again, machine_id=machine_id)
            self.screens.ask(self.screens.screen, "runs again", question, self._runs)
            return
        self.screens.push(StoppageScreen(machine_id))

    def _runs(self, sentence: str) -> None:
        self.screens.say(sentence)
        self.screens.something_entered()
