"""The form of one row of any sheet, made of the sheet's columns: a new row, or one that is changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from wearlog.errors import UsageError, WearlogError
from wearlog.tui.questions.sheets import AskedColumn, OfferedCell, RowStart, read_row, save_row, spoken
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.tui.door import Door

_OPEN = "-"


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
        if all(one.is_right for one in self.lines):
            question = partial(read_row, start=self.start, cells=self.cells())
            self.screens.ask(self, "read", question, self._was_read, self._not_read)

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
        return partial(save_row, start=self.start, cells=self.cells(), sure=self.sure)

    def blamed(self, error: WearlogError) -> FormLine | None:
        """The readers of cells say the heading first, with or without its unit."""
        heading = error.message.partition(":")[0]
        fitting = [one for one in self.start.columns if heading == one.heading or heading.startswith(f"{one.heading}_")]
        return self.line(max(fitting, key=lambda one: len(one.heading)).heading) if fitting else None
