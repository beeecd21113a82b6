"""The breakages of the farm as a list, and logging one by the strip and single keys or by one plain line.

What will be saved is told before, and undone at once after.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from textual import events, on
from textual.binding import Binding, BindingType
from textual.widgets import Input

from wearlog.errors import DoubtError, UsageError, WearlogError
from wearlog.facts.closed_lists import Action
from wearlog.tui.draft import (
    ACTION_WORDS,
    CAUSE_KEYS,
    MODE_KEYS,
    BreakageChoices,
    Draft,
    Loggable,
    read_line,
    read_stood,
)
from wearlog.tui.questions.farm import machine, next_person, person_here
from wearlog.tui.questions.history import last_breakage
from wearlog.tui.questions.parts import breakage_choices, save_breakage
from wearlog.tui.questions.work import breakages
from wearlog.tui.remembered import Found, Pointed
from wearlog.tui.screens.cautions import CAUTIONS_KEY
from wearlog.tui.screens.daybook import DaybookSection
from wearlog.tui.screens.deciding import StopScreen
from wearlog.tui.screens.form import REALLY
from wearlog.tui.screens.narrowing import PickScreen
from wearlog.tui.screens.over_screen import Doubts
from wearlog.tui.screens.parts.breakage_page import BreakagePage
from wearlog.tui.screens.parts.claims import ClaimsScreen
from wearlog.tui.widgets.cutterbar_strip import CutterbarStrip
from wearlog.tui.widgets.list_rows import ListOrder, ListSource
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.present.yard.machine_page import MachinePage
    from wearlog.tui.door import Door


#: keys that look for the part, and those that touch nothing: no caution is read for them
_LOOKING = frozenset({"p", "P", "o", "y", "escape", "exclamation_mark", "question_mark", "f1"})


class BreakagesScreen(DaybookSection):
    """The list of breakages."""

    MODE: ClassVar[str] = "breakages"
    FOOT: ClassVar[tuple[str, ...]] = ("filter", "claims")
    ABOUT: ClassVar[str] = (
        "Every breakage that was logged, the latest first. Under the list stands what its columns have no room for, with the "
        "number by which the entry is changed or taken back; Enter opens it to change it. "
        "/ shows only rows in which all your words occur (a machine, a part, "
        "rock, left ...); o orders by the next column, O turns the order round. b logs another one. k weighs what is under "
        "warranty, and what broke far too early."
    )
    EMPTY: ClassVar[str] = "No breakage here. b logs one."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k", "claims", "claims", tooltip="claims under warranty, and what broke far too early"),
    ]
    usual_order = ListOrder(sort="when", backwards=True)

    def answer(self) -> Callable[[Door], tuple[str, str]] | None:
        return last_breakage

    def source(self) -> ListSource | None:
        return breakages()

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        if isinstance(message.row.key, UUID):
            self.screens.open_found(Found("entry", "", message.row.key, None, sheet="breakage"))

    def action_claims(self) -> None:
        """Weigh what is under warranty, and what broke far too early."""
        self.screens.push(ClaimsScreen())


class BreakageScreen(BreakagePage):
    """The entry of a breakage."""

    ABOUT: ClassVar[str] = (
        "Type the positions (41, 41-43, 41,50) or move the cursor and mark with Space; press the letter of the cause; Enter "
        "saves. Shift and a letter says how it failed, a what was done about it, y who, t how long it stood. p is another part. "
        "Tab goes to the line: write it there as you would say it, such as '3 sections 41-43 rock, 20 min' or 'feeder chain "
        "stretched yesterday 16:20 -- link 14'. After saving, u takes it all back. What is left as it is, is weighed at once: "
        "stop and change it, or run on."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,ctrl+s", "save", "save"),
        Binding("escape", "leave", "leave", tooltip="leave without saving"),
        Binding("tab", "line", "write it", tooltip="between the keys and the plain line"),
        Binding("p", "part(1)", "part", tooltip="the next part of this machine"),
        Binding("P", "part(-1)", "part before", show=False),
        Binding("o", "machine", "other machine", tooltip="the parts of the next machine"),
        Binding("a", "action", "done", tooltip="what was done: replaced, mended, left as it is"),
        Binding(
            "y", "who", "by whom", show=False, tooltip="who did it: the next of those who enter things here; remembered"
        ),
        Binding("t", "stood", "time", tooltip="how long it stood, in minutes"),
        *(Binding(key, f"cause('{key}')", f"cause: {words}", show=False) for key, _, words in CAUSE_KEYS),
        *(Binding(key, f"mode('{key}')", f"it is {words}", show=False) for key, _, words in MODE_KEYS),
        CAUTIONS_KEY,
        Binding("question_mark,f1", "help", "keys"),
    ]

    def __init__(self, pointed: Pointed) -> None:
        super().__init__()
        self.pointed = pointed
        self.choices: BreakageChoices | None = None
        #: the draft as the keys left it: the line is read on top of it
        self._by_keys = Draft()
        self._saving = False
        self._early = ""
        self.doubts = Doubts()
        self._as_opened = Draft()
        self._asked_to_leave = False

    # beginning ----------------------------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Ask what there is to break; keys typed meanwhile wait in the queue of the strip."""
        self.set_focus(self.query_one(CutterbarStrip))
        self.fit_screen()
        self.screens.ask(self, "choices", breakage_choices, self._begin, self._failed)
        self.screens.ask(self, "who", person_here, self.show_person, lambda _: None)

    def _begin(self, choices: BreakageChoices) -> None:
        self.choices, self.settings = choices, choices.settings
        start = choices.start(self.pointed.machine_id, self.pointed.component_id)
        if start is None:
            self.tell("Nothing is fitted to any machine in the log yet, so nothing can break.")
            return
        self._as_opened = Draft().on(start)
        self._change(self._as_opened, strip=True)
        self.read_first(lambda: None)

    def left_unread(self) -> None:
        """Leave; what was entered stays until Esc again."""
        if self._is_entered:
            self.tell("Not saved: its cautions are not read. Esc again leaves it; Enter shows them.")
        else:
            self.dismiss()

    def holds_key(self, event: events.Key) -> bool:
        """Whoever looks through the parts goes on looking; the first key of the work on one brings its cautions."""
        in_line = isinstance(self.focused, Input) and event.key not in ("enter", "ctrl+s")
        return event.key not in _LOOKING and not in_line and self.read_first(lambda: None)

    def _failed(self, error: WearlogError) -> None:
        self._saving = False
        if isinstance(error, DoubtError):
            self.tell(self.doubts.tell(error))
            return
        self.tell(f"{error.message} {error.hint}".strip())

    # what is known ------------------------------------------------------------------------------------------------

    def _change(self, draft: Draft, *, strip: bool = False, from_line: bool = False) -> None:
        """Take a changed draft; with `strip` the bar of its component is fetched."""
        before = self.draft.choice
        if draft != self.draft:
            self.doubts.forget()
            self._asked_to_leave = False
        self.draft = draft
        if not from_line:
            self._by_keys = draft
        if draft.choice is not None and (strip or draft.choice is not before):
            self._fetch_strip(draft.choice)
        self.paint()

    def _fetch_strip(self, choice: Loggable) -> None:
        strip = self.query_one(CutterbarStrip)
        strip.set_class(choice.positions > 1, "-there")
        # figures are for the bar that comes, and wait for it
        strip.picture, self._early = None, ""
        if choice.positions > 1:
            question = partial(machine, machine_id=choice.machine_id)
            self.screens.ask(self, "strip", question, partial(self._show_strip, choice))
        else:
            strip.show(None)

    def _show_strip(self, choice: Loggable, page: MachinePage | None) -> None:
        strip = self.query_one(CutterbarStrip)
        picture = page.strip_of(choice.component_id) if page is not None else None
        strip.forget()
        strip.show(picture, cursor=self._first_cursor(choice))
        if self.pointed.component_id == choice.component_id:
            strip.marked = frozenset(self.pointed.marked)
        if self.query_one("#line", Input).value and self.draft.positions:
            strip.marked = frozenset(self.draft.positions)
        elif picture is not None:
            self._change(replace(self.draft, positions=strip.chosen))
            early, self._early = self._early, ""
            strip.type_in(early)
        if not isinstance(self.focused, Input):
            strip.focus()
        self.paint()

    def _first_cursor(self, choice: Loggable) -> int:
        assert self.choices is not None
        if self.pointed.component_id == choice.component_id and self.pointed.cursor is not None:
            return self.pointed.cursor
        if choice.component_id == self.choices.last_component_id and self.choices.last_position is not None:
            return self.choices.last_position
        return 1

    def on_cutterbar_strip_moved(self, message: CutterbarStrip.Moved) -> None:
        """Take the positions from the strip."""
        self._change(replace(self.draft, positions=message.strip.chosen))

    @on(Input.Changed, "#line")
    def _line_changed(self, event: Input.Changed) -> None:
        self.wrong = ""
        if self.choices is None:
            return
        if not event.value.strip():
            self._change(self._by_keys, from_line=True)
            return
        draft, self.wrong = read_line(event.value, self.choices, self._by_keys, self.screens.now())
        self._change(draft, from_line=True)
        strip = self.query_one(CutterbarStrip)
        if draft.positions and strip.picture is not None and draft.choice is not None:
            strip.typed = ""
            strip.marked = frozenset(one for one in draft.positions if one <= strip.count)
            strip.show(strip.picture, cursor=draft.positions[-1])

    @on(Input.Changed, "#stood")
    def _stood_changed(self, event: Input.Changed) -> None:
        if self.choices is None:
            return
        try:
            stood = read_stood(event.value, self.choices.vocabulary, self.screens.now())
        except UsageError as error:
            self.wrong = f"{error.message} {error.hint}"
            self.paint()
            return
        self.wrong = ""
        self._change(replace(self.draft, stood_seconds=stood))

    # keys ---------------------------------------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a line is being written its letters are letters."""
        return not (
            isinstance(self.focused, Input) and action in ("cause", "mode", "part", "machine", "action", "stood", "who")
        )

    def action_cause(self, key: str) -> None:
        """Take the cause of a key."""
        self._change(replace(self.draft, cause=next(cause for one, cause, _ in CAUSE_KEYS if one == key)))

    def action_mode(self, key: str) -> None:
        """Take the way it failed of a key."""
        self._change(replace(self.draft, mode=next(mode for one, mode, _ in MODE_KEYS if one == key)))

    def action_action(self) -> None:
        """Take the next thing that can have been done about it."""
        order = [action for action, _ in ACTION_WORDS]
        self._change(replace(self.draft, action=order[(order.index(self.draft.action) + 1) % len(order)]))

    def action_done(self, name: str) -> None:
        """Take what was done about it, by its name."""
        self._change(replace(self.draft, action=Action(name)))

    def action_modes(self) -> None:
        """List the ways to fail: on a phone their words find no room."""
        words = [f"{key} {said}" for key, _, said in MODE_KEYS]
        place = [mode for _, mode, _ in MODE_KEYS].index(self.draft.mode)

        def take(chosen: int | None) -> None:
            if chosen is not None:
                self.action_mode(MODE_KEYS[chosen][0])

        self.screens.push(PickScreen("Mode", words, place), take)

    def on_part_line_clicked(self) -> None:
        """List every part of every machine."""
        if self.choices is None or self.draft.choice is None:
            return
        listed = self.choices.components

        def take(chosen: int | None) -> None:
            if chosen is not None:
                self._change(self.draft.on(listed[chosen]))
                self.read_first(lambda: None)

        names = [f"{one.machine}, {one.name}" for one in listed]
        self.screens.push(PickScreen("Part", names, listed.index(self.draft.choice)), take)

    def action_part(self, step: int) -> None:
        """Go to another component of the same machine."""
        if self.choices is None or self.draft.choice is None:
            return
        same = [one for one in self.choices.components if one.machine_id == self.draft.choice.machine_id]
        place = same.index(self.draft.choice)
        self._change(self.draft.on(same[(place + step) % len(same)]))

    def action_machine(self) -> None:
        """Go to the components of the next machine that has any."""
        if self.choices is None or self.draft.choice is None:
            return
        machines = list(dict.fromkeys(one.machine_id for one in self.choices.components))
        following = machines[(machines.index(self.draft.choice.machine_id) + 1) % len(machines)]
        self._change(self.draft.on(next(one for one in self.choices.components if one.machine_id == following)))

    def action_line(self) -> None:
        """Go to the line, or back to the keys."""
        line = self.query_one("#line", Input)
        if isinstance(self.focused, Input):
            self.set_focus(self.query_one(CutterbarStrip) if self.query_one(CutterbarStrip).picture else None)
        else:
            line.focus()
        self.refresh_bindings()

    def action_who(self) -> None:
        """Let the next person be who did it; this device remembers it."""

        def changed(name: str) -> None:
            self.screens.spells.forget()
            self.show_person(name)

        self.screens.ask(self, "who", next_person, changed, self._failed)

    def action_stood(self) -> None:
        """Go to the minutes."""
        self.query_one("#stood", Input).focus()
        self.refresh_bindings()

    def action_leave(self) -> None:
        """To a doubt it is no; from a line back to the keys; else leave, with something entered only at the second time."""
        if self._saving:
            self.tell("One moment: it is being saved.")
        elif self.doubts.is_open:
            self.doubts.drop()
            self.tell("Not saved: change what is not right, or Enter asks again.")
        elif isinstance(self.focused, Input):
            self.action_line()
        elif self._is_entered and not self._asked_to_leave:
            self._asked_to_leave = True
            self.tell(REALLY)
        else:
            self.dismiss()

    @property
    def _is_entered(self) -> bool:
        """Something was typed or chosen: not only looked along the bar."""
        strip, opened = self.query_one(CutterbarStrip), self._as_opened
        written = any(line.value.strip() for line in self.query(Input))
        marked = strip.marked != frozenset(self.pointed.marked) or bool(strip.typed)
        return written or marked or replace(self._by_keys, positions=()) != opened

    @on(Input.Submitted)
    def _submitted(self) -> None:
        self.action_save()

    def action_save(self) -> None:
        """Save, if nothing is missing. What was typed stays until it is saved."""
        wrong = self.wrong or self.draft.problem
        if wrong or self._saving or self.choices is None:
            self.tell(wrong or "One moment ...")
            return
        if self.doubts.is_unread:
            # the doubt stands in line 2; the key was held down or pressed twice
            self.app.bell()
            return
        if self.read_first(self.action_save):
            return
        self._saving = True
        self.doubts.settle()
        question = partial(save_breakage, draft=self.draft, sure=self.doubts.settled)
        self.screens.ask(self, "save", question, self._saved, self._failed)

    def _saved(self, sentence: str) -> None:
        choice = self.draft.choice if self.draft.action is Action.LEFT else None
        self.dismiss()
        if choice is None:
            self.app.call_after_refresh(self.screens.say, sentence)
        else:
            # it runs on broken: whether to stop is the question now
            self.screens.push(StopScreen(choice.component_id, sentence))
        self.screens.something_entered()

    def on_key(self, event: events.Key) -> None:
        """Figures typed before the strip is there are not lost: they wait until it is."""
        strip = self.query_one(CutterbarStrip)
        waiting = strip.picture is None and not isinstance(self.focused, Input)
        if waiting and event.character and event.character in "0123456789-,":
            event.stop()
            self._early += event.character
