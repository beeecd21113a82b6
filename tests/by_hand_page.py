"""The page of what hands can enter, made by doing it: `python -m tests.by_hand_page > docs/by-hand.md`.

On a small farm a row of every sheet of the import format is entered, changed and taken back, once by the commands and once by what
the screens ask of the log; each yes is one that was done. The keys of the commonest entries are those that a test presses.
"""

from __future__ import annotations

import contextlib
import io
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple
from uuid import UUID

import pytest

from tests.cli.sheet_samples import BEFORE, SAMPLES
from tests.small_farm import small_farm
from wearlog.cli.main import run
from wearlog.exchange.format_words import HOLDS
from wearlog.exchange.row_book import row_book, sheet_rows
from wearlog.exchange.sheets import SHEETS
from wearlog.ids import long_number
from wearlog.logbook.checks.doubts import EVERY_DOUBT
from wearlog.store.location import Location
from wearlog.store.opening import create_store
from wearlog.tui.door import Door
from wearlog.tui.questions.sheets import row_start, save_row, take_row_back

ACTS: Final = ("enter", "change", "take back")


#: keys with a name; whatever else is more than a letter is written into a field
_KEY_NAMES: Final = {"plus": "+", "equals_sign": "=", "enter": "Enter", "tab": "Tab", "ctrl+s": "Ctrl+S"}


class Common(NamedTuple):
    """One of the commonest entries: what it is, the keys and texts from the yard, and the table in which rows more then stand."""

    what: str
    typed: tuple[str, ...]
    table: str
    rows: int = 1

    @property
    def keys(self) -> tuple[str, ...]:
        """Every key that is pressed: of a text each letter."""
        return tuple(key for one in self.typed for key in ((one,) if one in _KEY_NAMES else one))

    @property
    def spelled(self) -> str:
        """The keys as they are written."""
        return " ".join(f"`{_KEY_NAMES.get(one, one)}`" for one in self.typed)


#: in the order in which a test presses them on its small farm; figures and words are keys too
COMMON: Final = (
    Common("what broke, at the place that is shown", ("b", "41", "r", "enter"), "breakage"),
    Common("the same as a line", ("b", "tab", "guard 9 rock", "enter"), "breakage"),
    Common("an area cut", ("c", "40", "tab", "3", "enter"), "run"),
    Common("what the meters show", ("r", "2400", "ctrl+s"), "reading"),
    Common("a machine stands", ("d", "w", "ctrl+s"), "stoppage"),
    Common("it runs again", ("d",), "stoppage", 0),
    Common("tonight's round, all of it", ("f", "A", "f"), "service_done"),
    Common("parts that came", ("7", "plus", "25", "ctrl+s"), "stock_move"),
    Common("parts counted", ("7", "equals_sign", "18", "ctrl+s"), "stock_move"),
    Common("a fault opened", ("4", "a", "horn dead", "ctrl+s"), "fault"),
)
#: the usual breakage takes no more keys than this
MOST_FOR_A_BREAKAGE: Final = 8


class Done(NamedTuple):
    """What was done with a row of one sheet: by command and on the screens, a flag for each of `ACTS`."""

    by_command: list[bool]
    on_screens: list[bool]


@contextlib.contextmanager
def _small_log() -> Iterator[str]:
    """Give a small farm in a file that goes again, on a device of its own."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_HOME", f"{folder}/home")
        patch.setenv("WEARLOG_DEVICE", "shop")
        store = create_store(Location(file=Path(folder) / "farm.db"))
        small_farm(store)
        store.close()
        log = f"{folder}/farm.db"
        for words in BEFORE:
            assert _ran(log, *words)[0]
        yield log


def _ran(log: str, *words: str) -> tuple[bool, str]:
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        code = run([*words, "--db", log])
    return code == 0, said.getvalue()


def _by_command(log: str) -> dict[str, list[bool]]:
    door, numbers = Door(log), {}
    done: dict[str, list[bool]] = {}
    for sheet, sample in SAMPLES.items():
        cells = [cell.format(**numbers) for cell in sample.enter]
        before = _ids(door, sheet)
        entered = _ran(log, "enter", sheet, *cells, "--yes")[0]
        numbers[sheet] = _number(next(iter(_ids(door, sheet) - before)))
        done[sheet] = [entered, _ran(log, "change", numbers[sheet], sample.change)[0]]
    for sheet in reversed(SAMPLES):
        done[sheet].append(_ran(log, "undo", numbers[sheet])[0])
    door.close()
    return done


def _on_screens(log: str) -> dict[str, list[bool]]:
    """Do the same by what the form of a row asks and saves."""
    door, done = Door(log), {}
    numbers: dict[str, str] = {}
    ids: dict[str, UUID] = {}
    for sheet, sample in SAMPLES.items():
        before = _ids(door, sheet)
        cells = _cells(sheet, [cell.format(**numbers) for cell in sample.enter])
        entered = save_row(door, row_start(door, sheet), cells, EVERY_DOUBT).startswith("Saved: ")
        ids[sheet] = next(iter(_ids(door, sheet) - before))
        numbers[sheet] = _number(ids[sheet])
        start = row_start(door, sheet, ids[sheet])
        changed = save_row(door, start, _cells(sheet, [sample.change]), EVERY_DOUBT).startswith("Saved: changed ")
        done[sheet] = [entered, changed]
    for sheet in reversed(SAMPLES):
        said = take_row_back(door, sheet, ids[sheet])
        done[sheet].append(said.endswith("u takes that back again.") and ids[sheet] not in _ids(door, sheet))
    door.close()
    return done


def _number(row_id: UUID) -> str:
    """Return the number of a row with so many digits that no other has them: of six two rows of a log may share all."""
    return long_number(row_id)[:12]


def _cells(sheet: str, said: list[str]) -> dict[str, str]:
    """Return what is said by the headings that the form has."""
    cells = dict(one.split("=", 1) for one in said)
    also = {one.also: one.heading for one in SHEETS[sheet] if one.also}
    return {also.get(heading, heading): text for heading, text in cells.items()}


def _ids(door: Door, sheet: str) -> set[UUID]:
    return {fact.id for fact in sheet_rows(row_book(door.log, door.farm_now()), sheet, last=1_000).facts}


def done_by_hand() -> dict[str, Done]:
    """Return what was done with a row of each sheet, in the order of the import format."""
    with _small_log() as log:
        by_command = _by_command(log)
    with _small_log() as log:
        on_screens = _on_screens(log)
    return {sheet: Done(by_command[sheet], on_screens[sheet]) for sheet in SHEETS}


_HEAD: Final = """\
# By hand

Whatever a sheet of the [import format](import-format.md) can bring in, a command and a screen can enter, change and take
back. This page is made by doing it (`python -m tests.by_hand_page > docs/by-hand.md`): each yes is a row that was entered,
changed and taken back on a small farm, by `wearlog enter`, `change` and `undo`, and by what 3 Daybook, Sheets asks and
saves. A test walks the same forms by keys.
"""

_KEYS: Final = """
## The commonest entries from the yard

The keys, figures and words counted too; a test presses them. Where a life is at risk one `Enter` more says, once for a
machine and a kind of danger in a spell of work, that its cautions are read: the first breakage under a header takes 6. Any
place of the program is at most three keys away: the digit of its area, then the arrows.

| entry | keys | how many |
|---|---|---|
"""


def page() -> str:
    """Return the page."""
    heads = [f"{act} by command" for act in ACTS] + [f"{act} on the screens" for act in ACTS]
    lines = [_HEAD, f"| sheet | holds | {' | '.join(heads)} |", f"|{'---|' * (2 + len(heads))}"]
    for sheet, done in done_by_hand().items():
        flags = ["yes" if one else "NO" for one in (*done.by_command, *done.on_screens)]
        lines.append(f"| `{sheet}` | {HOLDS[sheet]} | {' | '.join(flags)} |")
    rows = [f"| {one.what} | {one.spelled} | {len(one.keys)} |" for one in COMMON]
    return "\n".join(lines) + "\n" + _KEYS + "\n".join(rows) + "\n"


if __name__ == "__main__":
    sys.stdout.write(page())
