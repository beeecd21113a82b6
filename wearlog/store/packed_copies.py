"""Copies of a log that take little more than half the room: older daily ones, each by itself, read back before the plain one goes.

A packed copy is a file of gzip (RFC 1952): every system has what unpacks it into the log file that it was. The two latest stay
plain, so that the copies that are looked for first open as they are.
"""

from __future__ import annotations

import errno
import gzip
import hashlib
import os
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Final

from wearlog.disk import bring_names_to_disk, bring_to_disk, put_in_place, take_away_if_it_can_be
from wearlog.errors import RefusedError, WearlogError
from wearlog.store.location import PACKED, backups, leftover_journals

#: so many of the latest copies stay plain
_PLAIN: Final = 2
#: little more than half the size; the smallest there is takes half as long again for a thousandth less
_LEVEL: Final = 6
_PIECE: Final = 1 << 20
#: what a full disk and a full share of one are called
_NO_ROOM: Final = (errno.ENOSPC, errno.EDQUOT)
_File = IO[bytes] | gzip.GzipFile


def pack_older(file: Path, most: int | None = None, goes_on: Callable[[], bool] = lambda: True) -> list[Path]:
    """Pack the daily copies of a log but for the latest two, and return the packed ones; what cannot be packed stays plain.

    Parameters
    ----------
    most : int, optional
        How many copies are packed at most, the latest of them first: who works meanwhile does not wait for all of many.
    goes_on : callable, optional
        Asked before each copy whether it shall still be packed.
    """
    older = [path for path in backups(file)[:-_PLAIN] if path.suffix != PACKED]
    packed: list[Path] = []
    for path in reversed(older):
        if (most is not None and len(packed) == most) or not goes_on():
            break
        # no right, somebody has it open, or another window packed it just now: it takes room and nothing else
        try:
            packed.append(_pack(path))
        except RefusedError:
            continue
        except OSError as error:
            # where one finds no room no other will: each would be packed for nothing until the disk is full
            if error.errno in _NO_ROOM:
                break
    return packed


def _pack(copy: Path) -> Path:
    """Pack one copy; at whatever moment this stops, the plain one is there or the packed one is on the disk and was read back."""
    was = _as_it_lies(copy)
    target = copy.with_name(copy.name + PACKED)
    part = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        os.close(os.open(part, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600))
        with copy.open("rb") as plain, part.open("wb") as bare, gzip.GzipFile("", "wb", _LEVEL, bare) as packing:
            before = _passed_on(plain, packing)
        bring_to_disk(part)
        with gzip.open(part) as again:
            if _passed_on(again) != before or _as_it_lies(copy) != was:
                raise OSError(f"{part} is not what {copy} is")
        put_in_place(part, target)
        bring_names_to_disk(target.parent)
    finally:
        take_away_if_it_can_be(part)
    take_away_if_it_can_be(copy)
    return target


def _as_it_lies(copy: Path) -> tuple[int, int]:
    """Return what tells whether a copy was written meanwhile. OSError when somebody left it half written."""
    if leftover_journals(copy):
        raise OSError(f"{copy} has a journal: whoever wrote into it did not end")
    found = copy.stat()
    return found.st_size, found.st_mtime_ns


def _passed_on(source: _File, target: _File | None = None) -> bytes:
    """Read all of a file, write it to another if there is one, and return its digest."""
    digest = hashlib.sha256()
    while piece := source.read(_PIECE):
        digest.update(piece)
        if target is not None:
            target.write(piece)
    return digest.digest()


@contextmanager
def plain_copy(copy: Path, *, beside: Path) -> Iterator[Path]:
    """Give a copy as a log file for the length of a block: itself, or what it was before it was packed.

    Parameters
    ----------
    beside : Path
        A log; what is unpacked lies beside it, named as what is being built there.

    Raises
    ------
    RefusedError
        When a packed copy is damaged. What the block refuses of the unpacked file is told of the copy.
    OSError
        When there is no room to unpack it.
    """
    if copy.suffix != PACKED:
        yield copy
        return
    plain = beside.with_name(f".{beside.name}.unpacked.{os.getpid()}.part")
    plain.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.close(os.open(plain, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600))
        try:
            with gzip.open(copy) as packed, plain.open("wb") as opened:
                _passed_on(packed, opened)
        except (gzip.BadGzipFile, EOFError, zlib.error) as error:
            raise RefusedError(
                f"{copy} is damaged.", "'wearlog restore' without a name lists the other copies."
            ) from error
        try:
            yield plain
        except WearlogError as error:
            # a person knows the copy, and no other file is there when they read it
            error.message = error.message.replace(str(plain), str(copy))
            raise
    finally:
        take_away_if_it_can_be(plain)
