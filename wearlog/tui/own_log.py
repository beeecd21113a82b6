"""The screens' own log file: where the details of an unforeseen error go, so that the person sees one sentence only."""

from __future__ import annotations

import logging
import traceback
from pathlib import Path

from wearlog.places import data_folder

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
