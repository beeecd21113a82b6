"""All sheets of the log, the rows of one, and the form of one row, entered, changed and taken back as by the commands."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.cautions import hazards_said
from wearlog.tui.host import Host
from wearlog.tui.questions.sheet_columns import spoken
from wearlog.tui.questions.sheets import (
    AskedColumn,
    OfferedCell,
    RowStart,
    SheetRowSource,
    SheetShown,
    read_row,
    row_start,
    save_row,
    sheet_list,
    sheet_shown,
    take_row_back,
    taking_back,
)
from wearlog.tui.screens.daybook import AskUndoPage, DaybookSection, ToldBelow
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.list_rows import SheetSource
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.tui.door import Door


def open_row_form(screens: Host, owner: Screen[Any], sheet: str, row_id: UUID | None = None) -> None:
    """Open the form of a new row of a sheet, or of one that is changed, once the log was asked what it begins with."""

    def opened(start: RowStart) -> None:
        screens.push(RowScreen(start))

    screens.ask(
        owner, "form", partial(row_start, sheet=sheet, row_id=row_id, machine=screens.remembered.machine), opened
    )


class SheetsScreen(DaybookSection):
    """The list of all sheets."""

    MODE: ClassVar[str] = "sheets"
    ABOUT: ClassVar[str] = (
        "Everything that the log can hold, sort by sort, with how many rows there are and what they are. Enter opens the rows of "
        "one sort, a enters a new one. They are the sheets of the import format: the commands entries, enter, change and undo "
        "reach the same rows by the same numbers. / shows only sheets with your words in them; o orders by name or number."
    )
    EMPTY: ClassVar[str] = "No sheet is called so."
    FOOT: ClassVar[tuple[str, ...]] = ("add",)
    BINDINGS: ClassVar[list[BindingType]] = [Binding("a", "add", "new one", tooltip="enter a new row of this sheet")]

    def refresh_answer(self) -> None:
        self.screens.ask(self, "sheets", sheet_list, self._show)

    def _show(self, found: tuple[SheetSource, str]) -> None:
        source, said = found
        self.query_one(AnswerLine).show(said, "Enter opens one sort, a enters a new row of it.")
        self.rows.show(source, self.rows.order)
        if self.focused is None:
            self.rows.focus()

    @property
    def sheet(self) -> str:
        """The sheet under the cursor."""
        row = self.rows.row
        return str(row.key) if row is not None else ""

    def action_add(self) -> None:
        """Open the form of a new row."""
        if self.sheet:
            open_row_form(self.screens, self, self.sheet)

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the rows of the sheet."""
        self.screens.push(SheetScreen(str(message.row.key)))


class SheetScreen(ToldBelow):
    """The rows of one sheet, the latest first."""

    DEFAULT_CSS = """
    SheetScreen {
        #here { max-height: 4; }
    }
    """
    ABOUT: ClassVar[str] = (
        "The rows of one sheet, the latest first, each with the number that names it to the commands, too. Enter changes the row "
        "under the cursor, a enters a new one, u or Del takes it back after a question: with it goes what was entered along with "
        "it. What later rows rest on is refused, with the reason. / shows only rows with all your words in them."
    )
    FOOT: ClassVar[tuple[str, ...]] = ("add", "undo_this", "filter")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "new one", tooltip="enter a new row of this sheet"),
        Binding("u", "undo_this", "take back", tooltip="take back the row under the cursor"),
        Binding("delete", "take_out", "take back", show=False, tooltip="take back the row under the cursor"),
        Binding("escape", "all", "back", tooltip="clear the filter; else back"),
    ]

    def __init__(self, sheet: str) -> None:
        super().__init__()
        self.sheet = sheet

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="answer")
        yield from super().body()

    def on_mount(self) -> None:
        """Name the sheet."""
        super().on_mount()
        self.query_one(TopLine).name_shown = spoken(self.sheet)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """The rows stand in the order of time: there is no other."""
        return action not in ("order", "turn")

    def refresh_answer(self) -> None:
        self.screens.ask(self, "sheet", partial(sheet_shown, sheet=self.sheet), self._show)

    def _show(self, shown: SheetShown) -> None:
        self.query_one(AnswerLine).show(*shown.answer)
        rows = self.rows
        rows.empty = f"No {spoken(self.sheet)} here. a enters one."
        rows.show(SheetRowSource(shown), rows.order)
        if self.focused is None:
            rows.focus()

    @property
    def row_id(self) -> UUID | None:
        """The row under the cursor."""
        row = self.rows.row
        return row.key if row is not None and isinstance(row.key, UUID) else None

    def action_add(self) -> None:
        """Open the form of a new row."""
        open_row_form(self.screens, self, self.sheet)

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the form of the row."""
        if isinstance(message.row.key, UUID):
            open_row_form(self.screens, self, self.sheet, message.row.key)

    def action_undo_this(self) -> None:
        """Ask whether the row under the cursor is to be taken back."""
        row_id = self.row_id
        if row_id is None:
            self.say("There is no row under the cursor.", alarm=True)
            return

        def asked(question: str) -> None:
            self.screens.push(AskUndoPage(question, agreed))

        def agreed() -> None:
            self.screens.ask(self, "take", partial(take_row_back, sheet=self.sheet, row_id=row_id), self._taken)

        self.screens.ask(self, "taking", partial(taking_back, sheet=self.sheet, row_id=row_id), asked)

    def action_take_out(self) -> None:
        """The same by another key."""
        self.action_undo_this()

    def _taken(self, said: str) -> None:
        self.screens.say(said)
        self.screens.something_entered()

    def action_all(self) -> None:
        """Clear the filter; where there is none, go back."""
        if self.query_one("#filter", Input).has_class("-open"):
            super().action_all()
        else:
            self.dismiss()


_OPEN = "-"
#: sheets whose rows are work on a machine
_WORK = ("repair", "stoppage", "service_item", "service_done")


class ColumnChoice(ChoiceField):
    """A column that holds one of a few values, or names a row: None while nothing was chosen."""

    def __init__(self, column: AskedColumn) -> None:
        super().__init__(column.heading, column.label)
        self.column = column

    def offer(self, owner: str | None, start: str) -> None:
        """Offer the answers of one machine (or season), of all while that is not said: then each says whose it is."""
        answers = self.column.answers or ()
        mine = [one for one in answers if not (owner and one.owner) or one.owner == owner]
        alone = len({one.owner for one in mine}) < 2
        found: list[tuple[str | None, str]] = [] if any(one.text == "" for one in mine) else [(None, _OPEN)]
        found += [
            (one.text, one.words if alone else f"{one.owner}, {one.words}") for one in _each_once(mine, alone=alone)
        ]
        self.fill(found, start if start or found[0][0] == "" else None)

    def read(self) -> Any:
        found = super().read()
        if found is None and self.column.needed:
            there_is = (
                "Space, a letter or F2 chooses." if len(self.answers) > 1 else "There is none yet: enter one first."
            )
            raise UsageError(f"{self.label}: which?", there_is)
        return found


def _each_once(answers: Iterable[OfferedCell], *, alone: bool) -> list[OfferedCell]:
    """One of each name: of all machines together a name counts once for each of them."""
    return list({(one.text if alone else (one.owner, one.text)): one for one in answers}.values())


class RowScreen(FormScreen):
    """The form of one row."""

    ABOUT: ClassVar[str] = (
        "One row of a sheet of the log; what every row has is asked first. What has a few answers is chosen: Space gives the next "
        "one, a letter the next that begins so, F2 lists all. A figure is in the unit beside its name, or says its own (62 ha, "
        "40 ft, 90 min); a time is said as everywhere (yesterday 16:20). The second line says how it was read. What has an entry "
        "of its own has its consequences here, too: a breakage changes the fittings and takes parts off the shelf."
    )
    DEFAULT_CSS = """
    RowScreen {
        & FormLine .form-line--label { height: auto; }
    }
    """

    def __init__(self, start: RowStart) -> None:
        super().__init__()
        self.start = start
        self._read_as = ""
        #: the answer that could not be read: its heading, and why
        self._wrong: tuple[str, UsageError] | None = None

    def heading(self) -> str:
        return f"CHANGE {self.start.called}" if self.start.fact else f"NEW {spoken(self.start.sheet).upper()}"

    def questions(self) -> Iterable[FormLine]:
        for column in self.start.columns:
            if column.answers is not None:
                yield ColumnChoice(column)
            else:
                yield FormField(
                    column.heading, column.label, partial(self._field, column), start=column.now, hint=column.hint
                )

    def _field(self, column: AskedColumn, text: str) -> str:
        if column.needed and not text.strip() and column.hint != "now":
            raise UsageError(f"{column.label}?", column.hint)
        if self._wrong is not None and self._wrong[0] == column.heading:
            raise self._wrong[1]
        return text.strip()

    def prepare(self) -> None:
        self.show_before(self.start.holds)
        for line in self.query(ColumnChoice):
            line.offer(self._owner(line.column), line.column.now)

    def _owner(self, column: AskedColumn) -> str | None:
        asked = {one.heading: one.now for one in self.start.columns}
        if not column.owner or column.owner not in asked:
            return None
        line = self.line(column.owner)
        return line.chosen if line.answers else asked[column.owner] or None

    def changed(self, line: FormLine) -> None:
        for other in self.query(ColumnChoice):
            if other.column.owner == line.asks:
                other.offer(self._owner(other.column), other.column.now)
        self._wrong, self._read_as = None, ""
        if self.start.sheet in _WORK:
            # the words of the work say what is dangerous in it
            self.show_hazards(hazards_said(self._words()), self._machine())
        if all(one.is_right for one in self.lines):
            question = partial(read_row, start=self.start, cells=self.cells())
            self.screens.ask(self, "read", question, self._was_read, self._not_read)

    def _words(self) -> str:
        asked = [self.line(one.heading) for one in self.start.columns if one.heading in ("service", "name", "note")]
        return " ".join(str(one.chosen if isinstance(one, ColumnChoice) else one.text) for one in asked)

    def _machine(self) -> str:
        asked = [one for one in self.start.columns if one.heading == "machine"]
        return str(self.line("machine").chosen or "") if asked and self.line("machine").answers else ""

    def _was_read(self, said: str) -> None:
        self._read_as = said
        self.paint()

    def _not_read(self, error: WearlogError) -> None:
        line = self.blamed(error)
        if line is not None and isinstance(error, UsageError):
            self._wrong = (line.asks, error)
            if self.focused is not line.entry:
                # what is under the cursor is told when it is left
                line.refuse(f"{error.message} {error.hint}".strip())
        self._read_as = ""
        self.paint()

    def summary(self) -> str:
        return self._read_as

    def cells(self) -> dict[str, str]:
        """Return what was answered, by heading; of a row that is changed only what a person answered otherwise."""
        said: dict[str, str] = {}
        for column in self.start.columns:
            line, answer = self.line(column.heading), self.answer(column.heading)
            if self.start.fact is not None:
                if line.is_typed and (answer or "") != column.now:
                    said[column.heading] = answer or ""
            elif answer or (answer == "" and column.answers and column.needed):
                said[column.heading] = answer
        return said

    def saving(self) -> Callable[[Door], str]:
        return partial(save_row, start=self.start, cells=self.cells(), sure=self.doubts.settled)

    def blamed(self, error: WearlogError) -> FormLine | None:
        """The readers of cells say the heading first, with or without its unit."""
        heading = error.message.partition(":")[0]
        fitting = [one for one in self.start.columns if heading == one.heading or heading.startswith(f"{one.heading}_")]
        return self.line(max(fitting, key=lambda one: len(one.heading)).heading) if fitting else None
