"""The content of versions, packed: a third of its size, and each version can be read alone.

Packing is DEFLATE (RFC 1951) after one byte that names the form. Each table has a dictionary of words that its rows repeat; it is
part of the form and stays as it is for good, since every version out on the farms was written with it.
"""

from __future__ import annotations

import zlib
from typing import Final

from wearlog.store.packing_words import WORDS

#: names the form in which the rest is packed
_FORM: Final = b"\x01"
#: a window of a kilobyte: content is short, and a larger one takes longer to make than to use
_WINDOW: Final = -10
_MEMORY: Final = 3
_LEVEL: Final = 6
#: no content is longer unpacked; a bundle from elsewhere must not fill the memory
MOST_BYTES: Final = 4_000_000


def packed(table_name: str, content: str) -> bytes:
    """Return the content of a version of a row of this table, packed."""
    packer = zlib.compressobj(_LEVEL, zlib.DEFLATED, _WINDOW, _MEMORY, zlib.Z_DEFAULT_STRATEGY, _dictionary(table_name))
    return _FORM + packer.compress(content.encode()) + packer.flush()


def unpacked(table_name: str, stored: bytes) -> str:
    """Return the content that was packed.

    Raises
    ------
    ValueError
        When the bytes were damaged, are of a form this program does not know, or unpack to more than `MOST_BYTES`.
    """
    if stored[:1] != _FORM:
        raise ValueError("packed in a form that this program does not know")
    opener = zlib.decompressobj(_WINDOW, _dictionary(table_name))
    try:
        content = opener.decompress(bytes(stored[1:]), MOST_BYTES)
    except zlib.error as error:
        raise ValueError("damaged") from error
    if not opener.eof or opener.unused_data:
        raise ValueError("damaged, or longer than any entry")
    return content.decode()


def _dictionary(table_name: str) -> bytes:
    return WORDS.get(table_name, "").encode()
