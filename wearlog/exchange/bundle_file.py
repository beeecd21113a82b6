"""A bundle as a file: lines of JSON in gzip (RFC 1952), the last a digest of all before. Written whole, read distrusted."""

from __future__ import annotations

import gzip
import hashlib
import os
import stat
import sys
import zlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import BinaryIO, Final

from wearlog.collecting import no_collecting
from wearlog.disk import bring_names_to_disk, put_in_place, take_away_if_it_can_be
from wearlog.errors import NotFoundError, RefusedError
from wearlog.exchange.bundle_lines import (
    BundleHead,
    deed_line,
    read_deed,
    read_head,
    read_object,
    read_version,
    version_line,
)
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.progress import counted
from wearlog.store.content import digest_of_deed
from wearlog.store.incoming import Incoming
from wearlog.store.packing import MOST_BYTES

#: a line holds one version, whose content stands in it as a JSON text
_MOST_LINE: Final = 2 * MOST_BYTES + 10_000
#: ids and digests do not pack: an honest bundle unpacks to some five times its size
_MOST_TIMES: Final = 40
_ALWAYS_ROOM: Final = 64_000_000
_LEVEL: Final = 4
_PIECE: Final = 1 << 18
_AGAIN: Final = "Nothing was taken. Copy it again, or have it packed anew."


@dataclass(frozen=True, slots=True)
class Bundle:
    """What was read: the head and every deed with its versions, each sound by itself."""

    name: str
    head: BundleHead
    deeds: tuple[Incoming, ...]


def write_bundle(file: Path, lines: Iterable[str]) -> int:
    """Write lines as a bundle that is there whole or not at all, private (0600); returns its size in bytes.

    Raises
    ------
    RefusedError
        When it cannot be written; what was there before is untouched.
    """
    part = file.with_name(f".{file.name}.{os.getpid()}.part")
    try:
        for leftover in file.parent.glob(f".{file.name}.*.part"):
            take_away_if_it_can_be(leftover)
        handle = os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
        with os.fdopen(handle, "wb") as raw:
            _write_lines(raw, lines)
            raw.flush()
            os.fsync(raw.fileno())
        size = part.stat().st_size
        put_in_place(part, file)
        bring_names_to_disk(file.parent)
    except OSError as error:
        raise RefusedError(
            f"{file} cannot be written: {error.strerror}.", "Check the disk or stick and its permissions."
        ) from error
    finally:
        take_away_if_it_can_be(part)
    return size


def _write_lines(raw: BinaryIO, lines: Iterable[str]) -> None:
    digest = hashlib.sha256()
    # neither name nor time in its head: the same entries give the same bytes
    with gzip.GzipFile(filename="", mode="wb", compresslevel=_LEVEL, fileobj=raw, mtime=0) as packed:
        for line in lines:
            said = f"{line}\n".encode()
            digest.update(said)
            packed.write(said)
        packed.write(f'{{"sha256":"{digest.hexdigest()}"}}\n'.encode())


def read_bundle(file: Path) -> Bundle:
    """Read a bundle from anywhere and believe nothing of it.

    Raises
    ------
    NotFoundError
        When there is none.
    RefusedError
        When it is none of ours, damaged, cut short, altered, too large, or holds what no wearlog would have written.
    VersionError
        When a newer program packed it.
    """
    with _opened(file) as raw, _refused(file), no_collecting():
        lines = _Lines(raw, os.fstat(raw.fileno()).st_size)
        head = read_head(lines.next())
        deeds = tuple(_read_deed(lines) for _ in counted(range(head.deeds), of=head.deeds))
        if sum(len(one.versions) for one in deeds) != head.versions:
            raise ValueError("another number of entries than it says")
        lines.end()
    return Bundle(file.name, head, deeds)


@contextmanager
def _opened(file: Path) -> Iterator[BinaryIO]:
    try:
        # a pipe or a device would let us wait for ever
        handle = os.open(file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except FileNotFoundError as error:
        raise NotFoundError(
            f"There is no file {file}.", "'wearlog pack FILE' on the other laptop makes one."
        ) from error
    except OSError as error:
        raise RefusedError(f"{file} cannot be read: {error.strerror}.", "Check the stick and the name.") from error
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise RefusedError(f"{file} is no file.", "Name the bundle itself.")
    with os.fdopen(handle, "rb") as raw:
        yield raw


@contextmanager
def _refused(file: Path) -> Iterator[None]:
    """Turn whatever is wrong with what stands in the file into one sentence."""
    try:
        yield
    except (EOFError, zlib.error, gzip.BadGzipFile) as error:
        raise RefusedError(f"{file.name} is no bundle of wearlog, or was cut short or damaged.", _AGAIN) from error
    except OSError as error:
        raise RefusedError(
            f"{file} cannot be read: {error.strerror}.", "Check the stick; nothing was taken."
        ) from error
    except UnicodeDecodeError as error:
        raise RefusedError(f"{file.name} holds bytes that are no text.", _AGAIN) from error
    except KeyError as error:
        raise RefusedError(f"{file.name} is not to be trusted: {error} is missing in it.", _AGAIN) from error
    except (ValueError, TypeError, AttributeError, RecursionError, OverflowError) as error:
        raise RefusedError(f"{file.name} is not to be trusted: it holds {str(error)[:120]}.", _AGAIN) from error


class _Lines:
    """The unpacked lines of a bundle, counted as they come: it may say that it is small and unpack for ever."""

    def __init__(self, raw: BinaryIO, size: int) -> None:
        self._packed = gzip.GzipFile(fileobj=raw, mode="rb")
        self._left = max(_ALWAYS_ROOM, _MOST_TIMES * size)
        self._digest = hashlib.sha256()
        # the lines that were unpacked last, which are under the digest once others come, and the beginning of the next
        self._told = self._rest = b""
        self.each = self._each()

    def next(self) -> str:
        """Return the next line. EOFError when there is none, ValueError when it is longer than any entry."""
        return next(self.each)

    def _each(self) -> Iterator[str]:
        # in large pieces: its own readline unpacks a few lines at a time
        while piece := self._packed.read(_PIECE):
            self._left -= len(piece)
            came = self._rest + piece
            end = came.rfind(b"\n") + 1
            if self._left < 0 or len(came) - end > _MOST_LINE:
                raise ValueError("far more than its size tells")
            self._digest.update(self._told)
            self._told, self._rest = came[:end], came[end:]
            yield from self._told.decode().split("\n")[:-1]
        raise EOFError

    def end(self) -> None:
        """Read the last line, which must hold the digest of those before, and nothing after it."""
        line = self.next()
        self._digest.update(self._told[: -len(line.encode()) - 1])
        if read_object(line, {"sha256"})["sha256"] != self._digest.hexdigest():
            raise ValueError("other bytes than were packed")
        if self._rest or self._packed.read(1):
            raise ValueError("something after its end")


def _read_deed(lines: _Lines) -> Incoming:
    deed, count = read_deed(lines.next())
    versions = tuple(read_version(line, deed.id) for line in islice(lines.each, min(count, sys.maxsize)))
    if not versions:
        raise ValueError("an entry without any row")
    if deed.digest != digest_of_deed(deed, [version.digest for version in versions]):
        raise ValueError(f"an altered entry ('{deed.said}')")
    return Incoming(deed, versions)


def bundle_lines(head: str, told: Iterable[tuple[Deed, list[Version]]]) -> Iterator[str]:
    """Yield the lines of a bundle but its last."""
    yield head
    for deed, versions in told:
        yield deed_line(deed, len(versions))
        yield from map(version_line, versions)
