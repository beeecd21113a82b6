"""A machine: its components by subsystem with age against life, the cutterbar strip of the one chosen, and what broke last."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from wearlog.present.drawing.drawn import joined
from wearlog.present.drawing.life_strip import SeasonScale, how_to_read, season_strip
from wearlog.present.words import capital
from wearlog.present.yard.component_words import life_of_component
from wearlog.tui.questions.farm import machine, machine_order
from wearlog.tui.remembered import Pointed
from wearlog.tui.screens.area import AreaScreen
from wearlog.tui.screens.work.work_keys import WORK_KEYS, EnteringWork
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.cutterbar_strip import CutterbarStrip
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow, headed_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.present.yard.machine_page import MachinePage
    from wearlog.reckoning.yard.machine_view import ComponentNow

SINCE_WHEN = "e: since when?"
#: the scales of the strip, in seasons of use here, where there is room and where there is little; as on the list of the wear
WIDE, NARROW = SeasonScale(4), SeasonScale(2)
#: the last figure of a scale stands over its cell and the one behind it
_WIDE_CELLS, _CELLS = WIDE.cells + 1, NARROW.cells + 1
#: the column that stands behind the age on this screen alone: the same as a picture
_STRIP_COLUMN = ListColumn(
    WIDE.heading(),
    *(_CELLS, _WIDE_CELLS),
    weight=3,
    forms=(_WIDE_CELLS, _CELLS),
    titles=(NARROW.heading(),),
)
_STRIP_PLACE = 2
#: rows of a screen that has room for how the strips are read under the bar of a component as well
_ROOMY = 30
_NO_SEASON = "The strips stay empty until it is known what a season is: plan the acres to cut (6, a)."


class MachineScreen(EnteringWork, AreaScreen):
    """The machine looked at last; n and N go to the others."""

    AREA: ClassVar[str] = "machine"
    FOOT: ClassVar[tuple[str, ...]] = ("strip", "log_breakage", "fit", "stop_or_run", "other(1)")
    ABOUT: ClassVar[str] = (
        "The answer names what most likely breaks next: its chance in the season ahead, by wear and by stones, and by when that "
        "has happened as likely as not (even odds). What it names stands first in the list, every other component under its "
        "subsystem. The strip stands in seasons of use here, ½ to 32, each twice the one before: grey is lived by the oldest "
        "position, the bracket with ● is where half of such parts have failed, with 90 %; ○ where only a guess says it. The "
        "line below says the same in figures, and from how many failures it is known. Below stands the bar of the component "
        "under the cursor with every "
        "position in its place: how often it broke; its age as shading (full: at the high end of its life, ? not known, - nobody "
        "knows how long it lasts); B runs broken, o nothing fitted, = where breakages bunch. Tab goes to the strip "
        "and back; there arrows, Shift+arrows, Home, End or a typed number move, Space marks, v begins and ends a span, and b "
        "logs what is marked. e enters an age that nobody noted, told roughly if need be. k weighs whether to stop and change a "
        "part that is cracked, left in or old."
    )
    DEFAULT_CSS = """
    MachineScreen {
        #components { height: 1fr; min-height: 4; }
        #last { height: auto; max-height: 14; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
        CutterbarStrip { display: none; }
        CutterbarStrip.-there { display: block; }
        #here { height: auto; max-height: 3; padding: 0 1; background: $paper; color: $ink; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "strip", "strip", tooltip="between the components and the strip"),
        Binding("n", "other(1)", "next", tooltip="the next machine"),
        Binding("N", "other(-1)", "machine before", show=False),
        Binding("v", "partner", "header/combine", tooltip="go to what this machine is hitched to"),
        Binding("f", "fit", "fit parts", tooltip="parts put on, planned: all positions, or those marked"),
        Binding(
            "e",
            "tell_age",
            "since when?",
            tooltip="say how old it is, or since when it is on: about 3 seasons, since new",
        ),
        Binding("k", "stop_or_run", "stop or run", tooltip="change the worst of this component, or run on"),
        *WORK_KEYS,
    ]

    def __init__(self) -> None:
        super().__init__()
        self.page: MachinePage | None = None
        self._cursor_of: dict[UUID, int] = {}

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="about")
        components = WindowedList(
            FixedSource((), ()), empty="Nothing is fitted to this machine in the log yet.", id="components"
        )
        components.row_cursor_always = True
        yield components
        yield Static("", id="here", markup=False)
        yield CutterbarStrip(id="strip")
        yield Static("", id="last", markup=False)

    @property
    def _machine_id(self) -> UUID | None:
        named = self.screens.remembered.machine
        return UUID(named) if named else None

    def refresh_answer(self) -> None:
        self.screens.ask(self, "machine", partial(machine, machine_id=self._machine_id), self._show)

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        if self.page is None:
            return
        if self.page.machine_id != self._machine_id:
            self.refresh_answer()
        else:
            self._go_to_wanted()

    def _go_to_wanted(self) -> None:
        """Put the cursor on the component that somebody looked for."""
        wanted, self.screens.component_wanted = self.screens.component_wanted, None
        if wanted is not None:
            self.query_one("#components", WindowedList).move_to_key(wanted)

    def _show(self, page: MachinePage | None) -> None:
        if page is None:
            self.query_one("#about", AnswerLine).show("There is no machine in the log yet.")
            return
        another = self.page is None or self.page.machine_id != page.machine_id
        self.page = page
        self.query_one(TopLine).name_shown = page.title
        self._show_answer()
        components = self.query_one("#components", WindowedList)
        if another:
            components.begin_anew()
        components.empty = f"{page.components.empty} 3, Sheets: a on 'component' enters what sits on it."
        components.show(_listed(page), opens_on=page.first)
        self._go_to_wanted()
        self._show_strip()
        if self.focused is None:
            components.focus()

    def _show_answer(self) -> None:
        """What it has done in all gives way to the list where the screen is small."""
        if self.page is not None:
            stops, waits, about = self.page.said
            self.query_one("#about", AnswerLine).show(stops, waits, "" if self._is_small else about)

    def _show_last(self) -> None:
        lines = Text(end="")
        strip, components = self.query_one(CutterbarStrip), self.query_one("#components", WindowedList)
        rows = max(components.tallness, 2)
        components.styles.max_height = max(rows, 4)
        # the top line, the answer (4), what was said (2), the keys, and the title of the breakages; what a row has no room for
        told = 2 if self.query_one("#here", Static).display else 0
        room = min(self.size.height - 9 - told - rows - (strip.tallness if strip.picture else 0), 12)
        if self.page is not None and self.page.last and room > 0:
            lines.append("LAST BREAKAGES\n", "bold")
            lines.append("\n".join(self.page.last[:room]))
        last = self.query_one("#last", Static)
        last.display = bool(lines)
        last.update(lines)

    def on_resize(self) -> None:
        """The last breakages are there where the screen is high enough; the close-up likewise."""
        self._show_answer()
        self._show_last()
        self.query_one(CutterbarStrip).set_class(self._is_small, "-small")
        self.call_after_refresh(self._tell_unseen)

    @property
    def _is_small(self) -> bool:
        return self.size.height < 22

    @property
    def _component_id(self) -> UUID | None:
        """The component under the cursor."""
        row = self.query_one("#components", WindowedList).row
        return row.key if row is not None and isinstance(row.key, UUID) else None

    def on_windowed_list_moved(self) -> None:
        """Show the strip of the component under the cursor."""
        self._show_strip()

    def _tell_unseen(self) -> None:
        """Say of the component under the cursor what finds no room in its row; under a strip only on a high screen."""
        page, components = self.page, self.query_one("#components", WindowedList)
        if page is None:
            return
        said, sheet = [], page.components
        row = next((one for one in sheet.rows if one.component.id == self._component_id), None)
        # a drawing says nothing in a sentence
        if row is not None and set(components.unseen) - {_STRIP_COLUMN.title}:
            said.append(capital(sheet.about(row, sheet.measures)))
        bar = self.query_one(CutterbarStrip).picture
        if components.has_room_for(_STRIP_COLUMN.title) and (bar is None or self.size.height >= _ROOMY):
            has_season = any(one.season for one in sheet.rows)
            said.append(how_to_read(self.size.width, unknown=False) if has_season else _NO_SEASON)
        here = self.query_one("#here", Static)
        here.display = bool(said) and (self.query_one(CutterbarStrip).picture is None or not self._is_small)
        here.update(Text("\n".join(said), end=""))

    def _show_strip(self) -> None:
        strip, component_id = self.query_one(CutterbarStrip), self._component_id
        picture = self.page.strip_of(component_id) if self.page and component_id else None
        if picture is not None and component_id is not None:
            if strip.picture is None or strip.picture.title != picture.title:
                strip.forget()
                strip.show(picture, cursor=self._cursor_of.get(component_id, 1))
            else:
                strip.show(picture)
        strip.set_class(picture is not None, "-there")
        if picture is None:
            strip.show(None)
        self._tell_unseen()
        self._show_last()

    def on_cutterbar_strip_moved(self, message: CutterbarStrip.Moved) -> None:
        """Remember where the cursor stood on this bar."""
        if self._component_id is not None:
            self._cursor_of[self._component_id] = message.strip.cursor

    def on_windowed_list_chosen(self) -> None:
        """Enter on a component goes to its strip."""
        self.action_strip()

    def action_strip(self) -> None:
        """Go from the components to the strip, or back."""
        strip, components = self.query_one(CutterbarStrip), self.query_one("#components", WindowedList)
        if strip.picture is None:
            self.say("No strip here: it sits at one position. b logs a breakage of it.")
        (components if strip.has_focus or strip.picture is None else strip).focus()

    def action_other(self, step: int) -> None:
        """Go to the next machine of the farm, or to the one before."""

        def then(order: tuple[UUID, ...]) -> None:
            if order:
                place = order.index(self.page.machine_id) if self.page and self.page.machine_id in order else 0
                self._go_to(order[(place + step) % len(order)])

        self.screens.ask(self, "order", machine_order, then)

    def action_partner(self) -> None:
        """Go to the header on this combine, or the combine under this header."""
        if self.page is not None and self.page.hitched_to is not None:
            self._go_to(self.page.hitched_to)
        else:
            self.say("Nothing is hitched to this machine.", alarm=True)

    def _go_to(self, machine_id: UUID) -> None:
        self.screens.look_at_machine(machine_id)
        self.refresh_answer()

    def action_fit(self) -> None:
        """Open the form of a planned change on the component under the cursor."""
        from wearlog.tui.screens.parts.fit_parts import FitScreen

        component_id = self._component_id
        if component_id is None:
            self.say("There is no component under the cursor.", alarm=True)
            return
        strip = self.query_one(CutterbarStrip)
        self.screens.push(FitScreen(component_id, tuple(sorted(strip.marked))))

    def action_tell_age(self) -> None:
        """Open the form of the age of the component under the cursor."""
        from wearlog.tui.screens.parts.fit_parts import AgeScreen

        component_id = self._component_id
        if component_id is None:
            self.say("There is no component under the cursor.", alarm=True)
            return
        self.screens.push(AgeScreen(component_id, tuple(sorted(self.query_one(CutterbarStrip).marked))))

    def action_stop_or_run(self) -> None:
        """Weigh whether to change the worst part of the component under the cursor."""
        from wearlog.tui.screens.deciding import StopScreen

        if self._component_id is None:
            self.say("There is no component under the cursor.", alarm=True)
            return
        self.screens.push(StopScreen(self._component_id))

    def pointed_machine(self) -> UUID | None:
        return self.page.machine_id if self.page is not None else self._machine_id

    def pointed_at(self) -> Pointed:
        """What b is about to log: the component under the cursor and, from the strip, the positions."""
        component_id, strip = self._component_id, self.query_one(CutterbarStrip)
        if component_id is None:
            return Pointed(machine_id=self._machine_id)
        marked = tuple(sorted(strip.marked)) if strip.picture is not None else ()
        cursor = strip.cursor if strip.picture is not None else None
        return Pointed(self._machine_id, component_id, marked, cursor)


def _listed(page: MachinePage) -> FixedSource:
    """Return the components, what the answer names first, the others under their subsystems, with the strip behind each age."""
    source = headed_source(page.components, "subsystem")
    found: dict[Hashable, ComponentNow] = {row.component.id: row for row in page.components.rows}

    def drawn(row: ListRow) -> ListRow:
        if row.heading:
            return row
        now = found[row.key]
        life, season = life_of_component(now), now.season

        def strip(scale: SeasonScale) -> tuple[str]:
            # where nobody knows its age stands the key that enters it
            return (SINCE_WHEN if now.oldest is None else joined(season_strip(life, season, scale)),)

        cells, *shorter = row.cells, *row.shorter
        at = _STRIP_PLACE
        return replace(
            row,
            cells=cells[:at] + strip(WIDE) + cells[at:],
            shorter=tuple(one[:at] + strip(NARROW) + one[at:] for one in shorter),
        )

    columns = [*source.columns[:_STRIP_PLACE], _STRIP_COLUMN, *source.columns[_STRIP_PLACE:]]
    return FixedSource(columns, [drawn(row) for row in _named_first(source.rows, page.named)])


def _named_first(rows: Sequence[ListRow], named: Sequence[tuple[str, tuple[UUID, ...]]]) -> list[ListRow]:
    """Return the rows with those that the answer names on top; a heading without rows goes."""
    of = {row.key: row for row in rows if not row.heading}
    first = [
        one
        for heading, keys in named
        for one in (ListRow(heading, (heading,), heading=True), *(of[key] for key in keys if key in of))
    ]
    taken = {key for _, keys in named for key in keys}
    others = [row for row in rows if row.heading or row.key not in taken]
    followed = zip(others, [*others, None][1:], strict=True)
    return [*first, *(row for row, then in followed if not row.heading or (then is not None and not then.heading))]
