"""The app: areas, themes, keys that work everywhere, and what happens when something breaks. Each screen is its own module."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar
from uuid import UUID

from textual.binding import Binding, BindingType
from textual.filter import LineFilter
from textual.screen import Screen
from textual.scrollbar import ScrollBar, ScrollBarRender
from textual.signal import Signal
from textual.widget import Widget

from wearlog.errors import WearlogError
from wearlog.tui.areas import AREAS, MODES, SECTIONS, area_screen
from wearlog.tui.gateway import AnswerCame, Gateway
from wearlog.tui.host import AreaTab
from wearlog.tui.long_work import WorkTold
from wearlog.tui.plain_cells import PlainCells, plain_is_asked_for
from wearlog.tui.remembered import recall, remember, write_down
from wearlog.tui.spells import Spells
from wearlog.tui.themes import INKS, THEMES, USUAL_THEME, KeptStyles
from wearlog.tui.widgets.lines import SayLine

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from wearlog.tui.door import Door, ToldAhead
    from wearlog.tui.remembered import Found

T = TypeVar("T")


class WholeCells(ScrollBarRender):
    """A scrollbar of whole cells: a terminal that lacks the eighths of a block draws something else in their place."""

    VERTICAL_BARS: ClassVar[list[str]] = [" "]
    HORIZONTAL_BARS: ClassVar[list[str]] = [" "]


class Screens(WorkTold):
    """The screens of wearlog on one log."""

    TITLE = "wearlog"
    ENABLE_COMMAND_PALETTE = False
    CSS = """
    Screen { background: $paper; color: $ink; }
    * { scrollbar-size-vertical: 1; }
    """
    MODES: ClassVar[dict[str, Callable[[], Screen[Any]]]] = {  # type: ignore[assignment]
        mode: area_screen(mode) for mode in MODES
    }
    DEFAULT_MODE = AREAS[0].mode
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "log_breakage", "breakage", tooltip="log a breakage"),
        Binding("u", "undo", "undo", tooltip="take back the last entry of this device"),
        *(
            Binding(
                area.key,
                f"open_area('{area.mode}')",
                area.title,
                show=False,
                tooltip=f"{area.title}: {area.about}",
            )
            for area in AREAS
        ),
        Binding("0", "list_areas", "areas", show=False, tooltip="list all areas"),
        Binding("question_mark,f1", "help", "keys", tooltip="keys of this screen, and what it says"),
        Binding(
            "colon", "find", "find", show=False, key_display=":", tooltip="find any action, machine, part or fault"
        ),
        Binding("ctrl+p", "find", "find", show=False, tooltip="find any action, machine, part or fault"),
        Binding("ctrl+r,f5", "read_again", "read again", show=False, tooltip="read the log again"),
        Binding(
            "comma", "settings", "settings", show=False, key_display=",", tooltip="settings of the farm and device"
        ),
        Binding("j", "two_cabs", "two cabs", show=False, tooltip="two cabs, one log: pack, take in, settle, join"),
        Binding("ctrl+t", "next_theme", "other colours", show=False, tooltip="the next set of colours"),
        Binding("q,ctrl+q", "quit", "quit", show=False, tooltip="close the screens"),
    ]

    def __init__(self, location_text: str = "", ahead: ToldAhead | None = None) -> None:
        super().__init__(Gateway(location_text, ahead))
        ScrollBar.renderer = WholeCells
        for theme in THEMES:
            self.register_theme(theme)
        self.remembered = recall()
        self.theme = self.remembered.theme if self.remembered.theme in INKS else USUAL_THEME
        # with the colours of the theme, before any style is read
        self.stylesheet = KeptStyles(self.get_css_variables())
        self.log_changed: Signal[None] = Signal(self, "log_changed")
        self.area_tabs: tuple[AreaTab, ...] = AREAS
        self.names: tuple[Found, ...] = ()
        #: the component that the machine screen shall open on, until it has
        self.component_wanted: UUID | None = None
        #: the part that the stock shall open on, until it has
        self.part_wanted: UUID | None = None
        self.kept_typed: dict[str, dict[str, str]] = {}
        self.spells = Spells()
        #: what was said last, whether it was an alarm, and how many keys had been pressed by then
        self._said = ("", False, 0)
        #: an area whose sections are screens of their own -> the one that was open last
        self._section_of = {area: sections[0][0] for area, sections in SECTIONS.items()}
        #: another file lies in the place of the open log, and a person was told
        self._is_replaced = False
        #: one sentence for the terminal after a crash
        self.last_words = ""

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Pass all that is painted through ASCII where the console knows no more."""
        filters = super().get_line_filters()
        return [*filters, PlainCells()] if plain_is_asked_for() else filters

    # answers and errors -------------------------------------------------------------------------------------------

    def ask(
        self,
        owner: Widget,
        key: str,
        question: Callable[[Door], T],
        then: Callable[[T], None],
        failed: Callable[[WearlogError], None] | None = None,
    ) -> None:
        """Run a question in a thread and hand its answer to `then`; see `Gateway.ask`."""
        self.gateway.ask(owner, key, question, then, failed)
        self.tell_of_work()

    def on_unmount(self) -> None:
        """Wait for no reckoning: the framework ends only when all threads have."""
        self.gateway.door.leave()

    def on_answer_came(self, message: AnswerCame) -> None:
        """Hand an answer to the screen that asked."""
        message.deliver()
        self.keys_go_on()

    def said_on_the_way(self) -> tuple[str, bool]:
        """Return what was said while the screen changed, and whether it was an alarm; what was read before is gone."""
        sentence, alarm, pressed = self._said
        return (sentence, alarm) if pressed == self.keys_pressed else ("", False)

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in the line above the keys, on whatever screen is open."""
        self._said = (sentence, alarm, self.keys_pressed)
        say = getattr(self.screen, "say", None)
        # one that is not composed yet takes it when it is there: see `said_on_the_way`
        if say is not None and self.screen.query(SayLine):
            say(sentence, alarm=alarm)

    def push(self, screen: Screen[T], then: Callable[[T | None], None] | None = None) -> None:
        """Open a screen over the one that is open."""
        self.push_screen(screen, then)

    def now(self) -> datetime:
        """The time by the farm's clock, with its zone."""
        return self.gateway.door.farm_now()

    def _fatal_error(self) -> None:
        """Leave with one sentence; the details go to the log file and not onto the terminal."""
        error = self._exception or RuntimeError("unknown")
        file = write_down("the screens crashed", error)
        self.last_words = (
            f"wearlog: something broke in the screens ({type(error).__name__}); what was saved is safe. "
            f"The details are in {file}."
        )
        self._close_messages_no_wait()

    # what works everywhere ----------------------------------------------------------------------------------------

    def something_entered(self) -> None:
        """Tell every open screen that the log has changed."""
        self.log_changed.publish(None)

    def action_open_area(self, mode: str) -> None:
        """Open an area, or one of its sections that is a screen of its own."""
        for area, sections in SECTIONS.items():
            inside = [one for one, _ in sections]
            if mode == area:
                mode = self.current_mode if self.current_mode in inside else self._section_of[area]
            if mode in inside:
                self._section_of[area] = mode
        if self.current_mode != mode:
            self.switch_mode(mode)

    def sections_of(self, area: str) -> tuple[tuple[str, str], ...]:
        """Return the sections of an area that are screens of their own: the mode and name of each."""
        return SECTIONS.get(area, ())

    def action_list_areas(self) -> None:
        """Open the list of all areas."""
        from wearlog.tui.screens.find import AreaList

        self.push_screen(AreaList(self.screen))

    def action_log_breakage(self) -> None:
        """Open the entry of a breakage, on what the open screen points at."""
        from wearlog.tui.remembered import Pointed
        from wearlog.tui.screens.parts.breakages import BreakageScreen

        pointed_at = getattr(self.screen, "pointed_at", None)
        pointed = pointed_at() if pointed_at is not None else Pointed()
        self.push_screen(BreakageScreen(pointed))

    def open_papers(self) -> None:
        """Open the list of what can be brought in: notebooks, notes and printed sheets."""
        from wearlog.tui.screens.papers.bring_in import BringInScreen

        self.push_screen(BringInScreen())

    def action_undo(self) -> None:
        """Take back the last entry of this device; before an import or very many rows, ask."""
        from wearlog.tui.screens.daybook import take_back

        def then(said: str) -> None:
            self.say(f"{said}.")
            self.something_entered()

        take_back(self, self.screen, then)

    def open_note(self, path: Path) -> None:
        """Open a note of many lines, or all the notes of a folder."""
        from wearlog.tui.screens.inbox import open_note

        open_note(self, path)

    def action_help(self) -> None:
        """Open the help of the screen that is open."""
        from wearlog.tui.screens.reading_page import HelpPage

        self.push_screen(HelpPage(self.screen))

    def action_find(self) -> None:
        """Open the palette: every action, machine, component, part and fault by its name."""
        from wearlog.tui.screens.find import FindScreen

        self.push_screen(FindScreen(self.screen))

    def action_settings(self) -> None:
        """Open the settings of the farm and of this device."""
        from wearlog.tui.screens.farm.settings_page import SettingsScreen

        self.push_screen(SettingsScreen())

    def action_two_cabs(self) -> None:
        """Open what there is to do with other cabs' logs."""
        from wearlog.tui.screens.farm.two_cabs import CabsScreen

        self.push_screen(CabsScreen())

    def action_read_again(self) -> None:
        """Read the log anew: somebody may have entered something elsewhere, or put another log in its place."""
        if self._is_replaced:
            self._open_anew(agreed=True)
        else:
            self.something_entered()

    def log_replaced(self, error: WearlogError) -> None:
        """Ask once whether the log that lies in the place of the open one shall be opened."""
        from wearlog.tui.screens.reading_page import ReplacedPage

        if not self._is_replaced:
            self._is_replaced = True
            self.push_screen(ReplacedPage(error), lambda agreed: self._open_anew(agreed=bool(agreed)))

    def _open_anew(self, *, agreed: bool) -> None:
        if not agreed:
            self.say("The old log is shown still; nothing can be saved. Ctrl+R opens the new one.", alarm=True)
            return
        self._is_replaced = False
        self.gateway.door.open_anew()
        self.something_entered()
        self.say("The log that lies there now is open.")

    def action_next_theme(self) -> None:
        """Change to the next set of colours."""
        names = list(INKS)
        self.action_use_theme(names[(names.index(self.theme) + 1) % len(names)])

    def action_use_theme(self, name: str) -> None:
        """Change the colours and remember them."""
        self.theme = name
        self.remembered = replace(self.remembered, theme=name)
        remember(self.remembered)
        self.say(f"Colours: {name}.")

    def open_found(self, found: Found) -> None:
        """Open a fault or kind on its own screen, an entry in its form, a part where it lies on the shelf."""
        if found.what == "fault":
            from wearlog.tui.screens.faults.fault_case import FaultCaseScreen

            self.switch_mode("faults")
            self.call_after_refresh(self.push_screen, FaultCaseScreen(found.row_id))
        elif found.what == "kind":
            from wearlog.tui.screens.wear import KindScreen

            self.switch_mode("wear")
            self.call_after_refresh(self.push_screen, KindScreen(found.row_id, found.name))
        elif found.what == "entry":
            from wearlog.tui.screens.sheets import open_row_form

            open_row_form(self, self.screen, found.sheet, found.row_id)
        else:
            self.part_wanted = found.row_id
            self.switch_mode("stock")

    def look_at_machine(self, machine_id: UUID, component_id: UUID | None = None) -> None:
        """Remember which machine is looked at and open its screen, on one of its components if one is named."""
        self.component_wanted = component_id
        self.remembered = replace(self.remembered, machine=str(machine_id))
        remember(self.remembered)
        self.switch_mode("machine")
