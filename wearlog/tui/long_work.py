"""The part of the app that tells of long work: how far it is stands in the line above the keys, and Esc stops it."""

from __future__ import annotations

from textual import events

from wearlog import progress
from wearlog.tui.keys_in_turn import KeysInTurn
from wearlog.tui.widgets.lines import SayLine


class WorkTold(KeysInTurn):
    """An app that says how far the questions of the open screen are, where nothing else stands in that line."""

    #: what is said of long work, empty where nothing is, and the line that it stands in
    _work_said = ""
    _work_line: SayLine | None = None
    _looks_on = False

    def tell_of_work(self) -> None:
        """Look from now on how far the questions are, until all are answered."""
        if not self._looks_on:
            self._looks_on = True
            self.set_timer(progress.PATIENCE, self._tell_of_work)

    def _tell_of_work(self) -> None:
        self._looks_on = bool(self.screen_stack) and self.gateway.is_working()
        line = self.screen.query(SayLine).first() if self.screen_stack and self.screen.query(SayLine) else None
        work = self.gateway.long_work(self.screen) if line is not None else None
        far = "" if work is None or work.is_stopped else work.said
        said = f"{far}. Esc stops it." if far else ""
        before = self._work_line
        if before is not None and before is not line and before.said == self._work_said:
            before.clear()
        # a person must be able to read what was said of an entry: it stands, whatever is being reckoned meanwhile
        if line is not None and line.said in ("", self._work_said) and said != line.said:
            line.say(said)
        self._work_said, self._work_line = said, line
        if self._looks_on:
            self.set_timer(progress.BETWEEN, self._tell_of_work)

    async def on_event(self, event: events.Event) -> None:
        """Let Esc stop long work that is told of, and mean nothing else then."""
        if isinstance(event, events.Key) and event.key == "escape" and not event.is_forwarded and self._work_said:
            self.gateway.stop(self.screen)
            self._tell_of_work()
            return
        await super().on_event(event)
