"""The wear of all kinds of part, those that the coming acres threaten most first; Enter opens one."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from textwrap import wrap
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from wearlog.present.drawing.life_strip import how_to_read
from wearlog.present.tables import whole_sentences
from wearlog.tui.questions.wear import KindShown, WearShown, component_strip, kind, set_aside, wear
from wearlog.tui.remembered import Pointed
from wearlog.tui.screens.area import ListArea
from wearlog.tui.screens.deciding import StopScreen
from wearlog.tui.screens.missing import MissingScreen
from wearlog.tui.screens.neighbours import NeighboursScreen
from wearlog.tui.screens.sections import SECTION_KEYS, WORKING, SectionsScreen, draw_picture, picture_text
from wearlog.tui.section import Section
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.cutterbar_strip import CutterbarStrip
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.list_rows import ListOrder, sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wearlog.present.parts.strip_geometry import StripPicture
    from wearlog.tui.widgets.list_rows import ListRow


class KindScreen(SectionsScreen):
    """A kind, over the wear screen."""

    AREA: ClassVar[str] = "wear"
    ABOUT: ClassVar[str] = (
        "One kind of part. The arrows go through the sections, t changes between chart and table, v through the machines, b logs "
        "a breakage of what is pointed at, k weighs whether to stop and change it, a enters what broke and was never entered, x "
        "sets aside what Why says is reckoned beyond the plain model, or takes it up again."
    )
    DEFAULT_CSS = """
    KindScreen {
        CutterbarStrip { display: none; }
        CutterbarStrip.-there { display: block; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        *SECTION_KEYS,
        Binding("escape", "back", "back"),
        Binding("v", "other", "fleet/machine", tooltip="the whole fleet, or one machine after the other"),
        Binding("tab", "strip", "bar", show=False, tooltip="between the list and the bar of positions"),
        Binding(
            "x", "set_aside", "set aside", show=False, tooltip="what Why says of stones, or take it up again; u undoes"
        ),
        Binding("a", "missing", "missing", show=False, tooltip="add what broke and was never entered, roughly"),
        Binding(
            "k", "stop_or_run", "stop or run", tooltip="change the worst of the component under the cursor, or run on"
        ),
    ]

    def __init__(self, kind_id: UUID, name: str) -> None:
        super().__init__()
        self.kind_id = kind_id
        self.kind_name = name
        self.machine_id: UUID | None = None
        self.shown: KindShown | None = None
        self._strip_of: UUID | None = None

    def between(self) -> Iterable[Widget]:
        yield CutterbarStrip(id="strip")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one(TopLine).name_shown = self.kind_name

    def refresh_answer(self) -> None:
        question = partial(kind, kind_id=self.kind_id, machine_id=self.machine_id)
        self.screens.ask(self, "kind", question, self._show)

    def _show(self, shown: KindShown) -> None:
        self.shown = shown
        self._strip_of = None
        names = dict(shown.machines)
        where = names.get(shown.machine_id, "") if shown.machine_id else "whole fleet"
        self.show_answer(*shown.answer)
        self.show_sections(shown.sections, where)

    # the bar ------------------------------------------------------------------------------------------------------

    def has_twin(self, section: Section) -> bool:
        """Readings and counts have a table of their own beside the list."""
        return section.name in ("Measured", "Seasons")

    def section_opened(self, section: Section) -> None:
        self.row_moved(self.rows.row if section.columns else None)

    def row_moved(self, row: ListRow | None) -> None:
        strip, component_id = self.query_one(CutterbarStrip), self._component(row)
        is_bar = self.section is not None and self.section.name == "Where" and component_id is not None
        strip.set_class(is_bar, "-there")
        if not is_bar or component_id is None or component_id == self._strip_of or self.shown is None:
            return
        self._strip_of = component_id
        machine_id = self._machine_of(component_id)
        if machine_id is not None:
            strip.show(None)
            question = partial(component_strip, component_id=component_id, machine_id=machine_id)
            self.screens.ask(self, "strip", question, self._show_strip)

    def _show_strip(self, picture: StripPicture | None) -> None:
        strip = self.query_one(CutterbarStrip)
        strip.forget()
        strip.set_class(self.size.height < 30, "-small")
        strip.show(picture, cursor=picture.hot[0] if picture is not None and picture.hot else 1)

    def _component(self, row: ListRow | None) -> UUID | None:
        key = row.key if row is not None else None
        found = key[0] if isinstance(key, tuple) else None
        return found if isinstance(found, UUID) else None

    def _machine_of(self, component_id: UUID | None) -> UUID | None:
        return None if self.shown is None or component_id is None else self.shown.machine_of.get(component_id)

    def action_strip(self) -> None:
        """Go onto the bar, or back to the list."""
        strip = self.query_one(CutterbarStrip)
        there = strip.has_class("-there") and strip.picture is not None and not strip.has_focus
        (strip if there else self.rows if self.rows.display else self.query_one("#page")).focus()

    # moving -------------------------------------------------------------------------------------------------------

    def pointed_at(self) -> Pointed:
        """What b is about to log."""
        component_id = self._component(self.rows.row) if self.rows.display else None
        if component_id is None and self.shown is not None:
            component_id = next(iter(self.shown.machine_of), None)
        strip = self.query_one(CutterbarStrip)
        on_bar = strip.has_class("-there") and strip.picture is not None
        return Pointed(
            self._machine_of(component_id),
            component_id,
            tuple(sorted(strip.marked)) if on_bar else (),
            strip.cursor if on_bar else None,
        )

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the machine on the component under the cursor."""
        component_id = self._component(message.row)
        machine_id = self._machine_of(component_id)
        if machine_id is not None:
            self.dismiss()
            self.screens.look_at_machine(machine_id, component_id)

    def action_stop_or_run(self) -> None:
        """Weigh whether to change the worst part of the component that is pointed at."""
        component_id = self.pointed_at().component_id
        if component_id is None:
            self.say("It sits on no machine, so there is nothing to change.")
            return
        self.screens.push(StopScreen(component_id))

    def action_set_aside(self) -> None:
        """Set aside what is reckoned beyond the plain model of this kind, or take it up again."""
        self.screens.ask(self, "aside", partial(set_aside, kind_id=self.kind_id), self._set_aside)

    def _set_aside(self, said: str) -> None:
        self.screens.something_entered()
        self.say(said)

    def action_missing(self) -> None:
        """Open the form of pieces that broke on a day and at a place nobody remembers."""
        self.screens.push(MissingScreen(self.kind_id, self.kind_name))

    def action_other(self) -> None:
        """Go from the fleet to its first machine, to the next, and back to the fleet."""
        if self.shown is None or len(self.shown.machines) < 2:
            self.say("It sits on one machine only.")
            return
        order = [None, *(machine_id for machine_id, _ in self.shown.machines)]
        at = order.index(self.machine_id) if self.machine_id in order else 0
        self.machine_id = order[(at + 1) % len(order)]
        self.refresh_answer()

    def action_back(self) -> None:
        """Go back to all kinds."""
        self.dismiss()


#: rows under the list, as its style says
_TOLD = 6
#: a chart under the list needs so many lines of screen
_TALL = 32
_CHART = 15


class WearScreen(ListArea):
    """The kinds."""

    AREA: ClassVar[str] = "wear"
    ABOUT: ClassVar[str] = (
        "Every kind of part, those first of which most is expected to break in the acres ahead. break: how many, each part now "
        "on once, by wear and by stones; failures, below the list: the successors of what breaks counted too, as in the plan. "
        "'+3?': three more parts of which nobody knows the age, left out of the figure. worst fails: the chance that the worst "
        "single part wears out in the season; BROKEN: broken or past its limit, and still on. half last: half of "
        "them last so long, in brackets the 90 % interval of that; B10: one in ten is gone by then. fails: wear-out (the "
        "older, the sooner), early (the newer, the sooner), chance (age does not matter), unclear. rate: breakages of any "
        "cause per 1,000 acres (or hectares). known from: how many were seen to wear out, of so many lives; '+ guess': the "
        "starting guess of the trade counts too; 'guess only': nothing else speaks yet. Below the list the same in full for "
        "the kind under the cursor. Enter opens a kind: its chart of survival, its parts, where stones hit, measurements, "
        "seasons, and why. t shows the chart below, or the list alone; m also lists the kinds that sit on no machine; y shows how "
        "long parts last on neighbours' farms."
    )
    EMPTY: ClassVar[str] = "Nothing is fitted yet; m lists every kind."
    DEFAULT_CSS = """
    WearScreen {
        #kind { height: auto; max-height: 6; padding: 0 1; background: $paper; color: $ink; }
        #survival { display: none; height: auto; padding: 0 1; background: $paper; color: $ink; text-wrap: nowrap; }
        #survival.-there { display: block; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "twin", "chart/table", tooltip="the chart of the kind under the cursor, or the list alone"),
        Binding("m", "every", "all kinds", tooltip="also the kinds that sit on no machine, or only those that do"),
        Binding("y", "neighbours", "neighbours", tooltip="how long parts last on neighbours' farms"),
    ]
    usual_order = ListOrder()

    def __init__(self) -> None:
        super().__init__()
        self.shown: WearShown | None = None
        self.as_table = False
        self.every = False

    def body(self) -> Iterable[Widget]:
        yield AnswerLine(WORKING, id="ahead")
        yield from super().body()
        yield Static("", id="kind", markup=False)
        yield Static("", id="survival", markup=False)

    def refresh_answer(self) -> None:
        if self.shown is not None:
            self.query_one("#ahead", AnswerLine).show(WORKING)
        self.screens.ask(self, "wear", partial(wear, every=self.every), self._show)

    def _show(self, shown: WearShown) -> None:
        self.shown = shown
        self.query_one("#ahead", AnswerLine).show_sheet(shown.sheet)
        rows = self.rows
        rows.show(sheet_source(shown.listed), rows.order)
        if self.focused is None:
            rows.focus()

    def on_windowed_list_moved(self) -> None:
        """Say what is most threatened of the kind under the cursor, and draw its chart where there is room."""
        row, about = self.rows.row, ""
        if self.shown is not None:
            sheet, kind = self.shown.sheet, self.shown.row(row.key if row is not None else None)
            about = sheet.about(kind, sheet.measures) if kind is not None else "" if sheet.rows else sheet.empty
        key = self._key()
        room = self.size.width - 2
        about = whole_sentences(about, room, _TOLD - sum(len(wrap(line, room)) for line in key.split("\n")))
        self.query_one("#kind", Static).update(Text(f"{key}\n{about}" if about and row else about, end=""))
        self._draw()

    def _key(self) -> str:
        """How strips and figures are read, at the place where they stand."""
        rows = self.shown.sheet.rows if self.shown is not None else ()
        unknown = next((row.not_reckoned for row in rows if row.not_reckoned), 0)
        return how_to_read(self.size.width, unknown=unknown, worst=True)

    def on_resize(self) -> None:
        """The chart is there where the screen is high enough, and the key as long as there is room."""
        self.on_windowed_list_moved()

    def _draw(self) -> None:
        row, chart = self.rows.row, self.query_one("#survival", Static)
        there = row is not None and self.shown is not None and self.size.height >= _TALL and not self.as_table
        chart.set_class(there, "-there")
        if there and row is not None and self.shown is not None:
            wide = min(self.size.width - 3, 110)
            question = partial(draw_picture, self.shown.picture, row.key, (wide, _CHART), as_table=False)
            self.screens.ask(self, "picture", question, self._put)

    def _put(self, lines: Sequence[str]) -> None:
        self.query_one("#survival", Static).update(picture_text(lines or ("How long it lasts nobody knows yet.",)))

    def action_every(self) -> None:
        """List the kinds that sit on no machine too, or only those that do."""
        self.every = not self.every
        self.refresh_answer()

    def action_neighbours(self) -> None:
        """Show what neighbours' files say, read one, write one."""
        self.screens.push(NeighboursScreen())

    def action_twin(self) -> None:
        """Show the chart, or the list alone."""
        if self.size.height < _TALL:
            self.say(f"The chart has room here from {_TALL} lines on; Enter opens the kind with its chart.")
            return
        self.as_table = not self.as_table
        self._draw()

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the kind."""

        if isinstance(message.row.key, UUID):
            self.screens.push(KindScreen(message.row.key, message.row.cells[0]))
