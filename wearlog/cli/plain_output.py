"""Output for consoles and files that know few characters: each mark, line and block becomes one that every system has."""

from __future__ import annotations

import codecs
import io
import os
import sys

from wearlog import PLAIN_SETTING

# not from typing: it alone takes as long to load as an empty Python to start
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Final, TextIO

#: taken by every command, and by the screens of an old console
PLAIN_OPTION: Final = "--plain"
_HANDLER: Final = "wearlog_plain"


def _instead(error: UnicodeError) -> tuple[str, int]:
    from wearlog.facts.plain_text import in_ascii

    assert isinstance(error, UnicodeEncodeError)
    return in_ascii(error.object[error.start : error.end]), error.end


def write_what_can_be_shown(words: list[str]) -> list[str]:
    """Let output never end in an encoding error, and take `--plain` out of a command's words: with it all is ASCII."""
    codecs.register_error(_HANDLER, _instead)
    asked = PLAIN_OPTION in words or bool(os.environ.get(PLAIN_SETTING))
    if asked:
        os.environ[PLAIN_SETTING] = "1"
    sys.stdout, sys.stderr = _prepared(sys.stdout, all_ascii=asked), _prepared(sys.stderr, all_ascii=asked)
    return [word for word in words if word != PLAIN_OPTION]


def _prepared(stream: TextIO, *, all_ascii: bool) -> TextIO:
    # a stream that a test or another program put there may be of any sort; there may be none at all
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(errors=_HANDLER)
        if all_ascii:
            return _Ascii(stream)  # type: ignore[return-value]
    return stream


class _Ascii:
    """A stream that writes ASCII alone, whatever it could take.

    It has no `buffer` on purpose: click would write past it, into the buffer or straight into the console of one system.
    """

    encoding = "ascii"
    errors = _HANDLER

    def __init__(self, stream: io.TextIOWrapper) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        from wearlog.facts.plain_text import in_ascii

        return self._stream.write(text if text.isascii() else in_ascii(text))

    def __getattr__(self, name: str) -> object:
        if name == "buffer":
            raise AttributeError(name)
        return getattr(self._stream, name)
