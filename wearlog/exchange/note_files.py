"""Notes as files: one text file, or every text file of a folder. What stands in them is understood elsewhere."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from wearlog.errors import DataError, NotFoundError

#: what the notes of phones and editors end in
NOTE_ENDINGS: Final = (".txt", ".md", ".text")
_MOST_BYTES: Final = 2_000_000


def read_notes(path: Path) -> list[tuple[str, str]]:
    """Return the notes at a path, each with its file's name, in the order of their names.

    Raises
    ------
    NotFoundError
        When there is no such file, or no text file in the folder.
    DataError
        When a file is no text, or longer than any note.
    """
    if not path.exists():
        raise NotFoundError(f"There is no file or folder {path}.", "Name the note, or the folder that holds it.")
    if not path.is_dir():
        return [(path.name, _text(path))]
    files = sorted(one for one in path.iterdir() if one.is_file() and one.suffix.casefold() in NOTE_ENDINGS)
    if not files:
        raise NotFoundError(f"There is no text file in {path}.", f"A note ends in {', '.join(NOTE_ENDINGS)}.")
    return [(one.name, _text(one)) for one in files]


def _text(path: Path) -> str:
    try:
        content = path.read_bytes() if path.stat().st_size <= _MOST_BYTES else None
    except OSError as error:
        raise DataError(f"{path.name} cannot be read: {error.strerror}.", "Look whether it may be opened.") from error
    if content is None:
        raise DataError(f"{path.name} is longer than any note.", "Cut it into smaller files.")
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", "replace")
    if b"\0" in content:
        raise DataError(f"{path.name} is no text file.", "Save the note as plain text.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        # older editors on laptops of farms
        return content.decode("cp1252", "replace")
