"""What is pointed at while the screens are open, and what they remember on this device from one day to the next."""

from __future__ import annotations

import logging
import traceback
from dataclasses import asdict, dataclass
from pathlib import Path
from uuid import UUID

from wearlog.disk import HeldError, put_in_place
from wearlog.settings import data_folder


@dataclass(frozen=True, slots=True)
class Remembered:
    """`theme` is a name of themes.py; `machine` the id of the machine looked at last, `stick` where a bundle lay last, or empty."""

    theme: str = ""
    machine: str = ""
    stick: str = ""


def _file() -> Path:
    return data_folder() / "screens.json"


def recall() -> Remembered:
    """Read what was remembered; a missing or spoilt file is as good as none."""
    try:
        words = _file().read_text("utf-8")
        import json

        kept = json.loads(words)
    except (OSError, ValueError):
        return Remembered()
    if not isinstance(kept, dict):
        return Remembered()
    return Remembered(**{name: str(kept.get(name, "")) for name in ("theme", "machine", "stick")})


def remember(what: Remembered) -> None:
    """Write it whole. A device whose folder cannot be written forgets, and nothing else is lost."""
    file = _file()
    import json

    part = file.with_suffix(".part")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        part.write_text(json.dumps(asdict(what), indent=1) + "\n", "utf-8", newline="\n")
        put_in_place(part, file)
    except (HeldError, OSError):
        return


#: older lines go when the file has grown beyond this
MOST_BYTES = 1_000_000

_FORMAT = logging.Formatter("%(asctime)s %(levelname)s %(message)s")


def log_file() -> Path:
    """Return the path of the log file; nothing is made yet."""
    return data_folder() / "log" / "screens.log"


def write_down(what: str, error: BaseException) -> Path:
    """Append an error with its traceback (and without the values of variables) and return the file.

    A disk that cannot be written must not hide the error: the sentence is shown all the same.
    """
    file = log_file()
    record = logging.LogRecord("wearlog", logging.ERROR, __file__, 0, what, None, None)
    details = "".join(traceback.format_exception(error))
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        if file.exists() and file.stat().st_size > MOST_BYTES:
            file.replace(file.with_suffix(".log.old"))
        with file.open("a", encoding="utf-8") as opened:
            opened.write(f"{_FORMAT.format(record)}\n{details}\n")
    except OSError:
        return file
    return file


@dataclass(frozen=True, slots=True)
class Pointed:
    """What the screen that was open points at: a machine, a component, marked positions, a cursor."""

    machine_id: UUID | None = None
    component_id: UUID | None = None
    marked: tuple[int, ...] = ()
    cursor: int | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """Something with a name: `what` is machine, component, kind, part, fault or entry; `machine_id` is where to look at it.

    `also` are words that people say for it, `sheet` the one in which an entry stands.
    """

    what: str
    name: str
    row_id: UUID
    machine_id: UUID | None
    also: tuple[str, ...] = ()
    sheet: str = ""
