"""The part of the app that takes keys: each is done before the next one is given to anybody, none before its screen is there."""

from __future__ import annotations

import sys
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from textual import events
from textual.app import App
from textual.binding import Binding
from textual.widgets import Input

from wearlog.tui.kept_keys import LONGEST_KEPT, KeptKeys
from wearlog.tui.widgets.form_line import passed_by
from wearlog.tui.widgets.lines import HELP_ACTION, shown_key

if TYPE_CHECKING:
    from textual.screen import Screen
    from textual.widget import Widget

    from wearlog.tui.gateway import Gateway

#: seconds after which what takes longer says so
A_MOMENT: Final = 0.3
_MOVING: Final = frozenset({"up", "down", "left", "right", "pageup", "pagedown", "home", "end"})
KEYS_WAIT: Final = "One moment: what you press is kept."


class KeysInTurn(App[None]):
    """An app whose keys keep their order however fast they come. A screen is asked by `holds_key` whether it waits by itself."""

    def __init__(self, gateway: Gateway) -> None:
        super().__init__()
        self.gateway = gateway
        #: how many keys and buttons of the mouse came until now
        self.keys_pressed = 0
        self._kept_keys = KeptKeys()
        self._given: events.Key | events.Paste | None = None
        self._tells_to_wait = False

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in the line above the keys, on whatever screen is open."""
        raise NotImplementedError

    async def on_event(self, event: events.Event) -> None:
        """Count what the person does: a message belongs to the screen that it came with. Keep what comes too early."""
        if isinstance(event, events.Key | events.MouseDown):
            self.keys_pressed += 1
        # what another screen was asked first comes by here again on its way up
        if isinstance(event, events.Key | events.Paste) and event is not self._given and self._comes_early(event):
            return
        await super().on_event(event)

    def _comes_early(self, event: events.Key | events.Paste) -> bool:
        if not self.screen_stack:
            # the screens are closing: nobody is there to take a key
            return False
        screen, kept = self.screen, self._kept_keys
        is_opening = self.gateway.is_opening(screen)
        if is_opening and isinstance(event, events.Key) and event.key == "escape":
            kept.drop()
        if event.is_forwarded and not is_opening and kept.is_giving:
            # let by before those that wait, and on its way up only now: it stays before them
            return False
        if not kept.keep(screen, event, is_opening=is_opening):
            return self._comes_in_turn(event)
        if kept.count == 1 and is_opening:
            self._keys_wait_for(screen)
        return True

    def _keys_wait_for(self, screen: Screen[Any]) -> None:
        self.set_timer(A_MOMENT, self._say_keys_wait)
        self.set_timer(LONGEST_KEPT, partial(self._give_keys_up, screen))

    def _comes_in_turn(self, event: events.Key | events.Paste) -> bool:
        """Let a key that is no letter of a line be done wholly before the next one is given to anybody.

        The framework gives the next keys to the same widget before it has done what a key means: what is typed behind a key that
        leads into a line would still be taken for keys.
        """
        if not isinstance(event, events.Key) or event.is_forwarded or self.gateway.is_opening(self.screen):
            return False
        is_letter = event.is_printable and _is_typed_into(self.focused)
        # a key that is held down moves a cursor and leads into no line: it may be done with those behind it, painted once
        if is_letter or event.key in _MOVING or not self._kept_keys.line_up(event):
            return False
        self._let_kept_keys_go()
        return True

    def _say_keys_wait(self) -> None:
        if self._kept_keys.count and self.screen_stack and self.gateway.is_opening(self.screen):
            self._tells_to_wait = True
            self.say(KEYS_WAIT)

    def _give_keys_up(self, screen: Screen[Any]) -> None:
        from wearlog.present.words import counted

        if self.screen_stack[-1:] == [screen] and self.gateway.is_opening(screen) and (lost := self._kept_keys.drop()):
            self.say(f"The log is slow: {counted(lost, 'key')} {'was' if lost == 1 else 'were'} not taken.", alarm=True)

    def has_asked(self, screen: Screen[Any]) -> None:
        """A screen has asked for all that it begins with; until the answers are there its keys are kept."""
        self.gateway.has_asked(screen)
        self.keys_go_on()

    def keys_go_on(self) -> None:
        """Let what was pressed too early be done now, on the screen that is open."""
        if self.screen_stack and not self.gateway.is_opening(self.screen) and self._kept_keys.count:
            self._let_kept_keys_go()

    def _let_kept_keys_go(self) -> None:
        if self._kept_keys.go_on():
            self.run_worker(self._give_keys_back(), group="keys", exclusive=False)

    async def _give_keys_back(self) -> None:
        if self._tells_to_wait:
            self._tells_to_wait = False
            self.say("")
        # keys that only move were let by, and may be on their way still: what acts on the row under the cursor comes behind them
        if self.screen_stack:
            await self._is_done_with_keys(self.focused or self.screen)
        while self.screen_stack:
            screen = self.screen
            is_opening = self.gateway.is_opening(screen)
            self._given = self._kept_keys.next_for(screen, is_opening=is_opening)
            if self._given is None:
                if is_opening and self._kept_keys.count:
                    self._keys_wait_for(screen)
                return
            self.post_message(self._given)
            await self._is_done_with_keys(self.focused or screen)

    async def _is_done_with_keys(self, widget: Widget) -> None:
        """Wait until a widget's keys have come up to the app, and what they asked of the widget is done as well."""
        await passed_by(self)
        for _ in range(2):
            for one in widget.ancestors_with_self:
                await passed_by(one)

    def is_clicked_early(self, key: str) -> bool:
        """Keep a key that was clicked before the open screen has its answers, as one that was pressed; whether that was so."""
        is_early = bool(self.screen_stack) and self.gateway.is_opening(self.screen)
        if is_early:
            self.post_message(events.Key(key, None))
        return is_early

    def keys_are_dropped(self) -> None:
        """Forget what was pressed too early: the screen that it was meant for is left."""
        self._kept_keys.drop()

    def on_key(self, event: events.Key) -> None:
        """A key that nothing takes is refused so that it is heard."""
        sentence = refusal(self.screen, event)
        if sentence:
            self.bell()
            self.say(sentence)


def _is_typed_into(widget: Widget | None) -> bool:
    # what nobody has loaded yet is not on the screen: it would be loaded with the first key only to be asked for
    areas = sys.modules.get("textual.widgets._text_area")
    return isinstance(widget, Input) or (areas is not None and isinstance(widget, areas.TextArea))


def refusal(screen: Screen[Any], event: events.Key) -> str:
    """Say in one line that nothing takes a key; empty where something does.

    Esc where there is nothing to go back to asks for no answer: everybody presses it once too often.
    """
    if event.key == "escape" or event.key in screen.active_bindings:
        return ""
    help_key = next((one.binding for one in screen.active_bindings.values() if one.binding.action == HELP_ACTION), None)
    named = f"{shown_key(help_key)} names the keys." if help_key is not None else "Esc goes back."
    why_not = f"nothing here; {named}"
    if _is_of(screen, event.key):
        why_not = getattr(screen, "why_not", "") or f"not here and now; {named}"
    return f"{shown_key(Binding(event.key, ''))}: {why_not}"


def _is_of(screen: Screen[Any], key: str) -> bool:
    """Whether a screen has this key, if not at this moment."""
    own = (kind for kind in type(screen).__mro__ if kind.__module__.startswith("wearlog."))
    return any(one.key == key for kind in own for one in Binding.make_bindings(vars(kind).get("BINDINGS", ())))
