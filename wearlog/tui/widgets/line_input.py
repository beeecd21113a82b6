"""A line to write in that keeps everything that is pasted into it, on one line and free of control codes."""

from __future__ import annotations

from textual import events
from textual.widgets import Input

from wearlog.facts.plain_text import one_line


class LineInput(Input):
    """An Input whose paste takes all lines, not the first alone."""

    DEFAULT_CSS = """
    LineInput {
        background: $band;
        color: $ink;
        height: 1;
        border: none;
        padding: 0;
        width: 1fr;
        &:focus { background: $band; border: none; background-tint: $band 0%; }
        & > .input--placeholder { color: $quiet; text-style: none; }
        & > .input--suggestion { color: $quiet; text-style: italic; }
    }
    """

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self._put_in(event.text)

    def action_paste(self) -> None:
        """Paste what was cut or copied."""
        self._put_in(self.app.clipboard)

    def _put_in(self, text: str) -> None:
        line = one_line(text)
        if line:
            # a space before it parts it from what stands there; a line end after it is only how it was copied
            self.replace(f" {line}" if text.startswith(" ") else line, *self.selection)
