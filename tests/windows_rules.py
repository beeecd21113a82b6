"""The rules that another system has for files, laid over this one.

What is open can be neither replaced, renamed nor removed, a folder cannot be opened, what was opened to read cannot be brought
to the disk, and some calls are not there at all.

Which files are open is read from the system's own list of this process, so that what the database library opens counts too.
"""

from __future__ import annotations

import builtins
import ctypes
import errno
import gc
import io
import os
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import Any

import pytest

from wearlog import disk
from wearlog.store import restoring

# where the system has those rules itself, nothing is laid over it
fcntl = pytest.importorskip("fcntl", reason="the rules of another system are laid over Linux only")

_HANDLES = Path("/proc/self/fd")
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_YEAR_3001 = (datetime(3001, 1, 1, tzinfo=UTC) - _EPOCH).total_seconds()
#: calls of this system that the other has not
_MISSING = ("fork", "forkpty", "fchmod", "getuid", "geteuid", "pread", "O_NONBLOCK", "O_DIRECTORY")


class SystemRefusedError(PermissionError):
    """What the other system raises: with its own number beside the usual one."""

    def __init__(self, winerror: int, path: object) -> None:
        super().__init__(errno.EACCES, "Permission denied", str(path))
        self.winerror = winerror


def open_files() -> set[str]:
    """The real paths of all that this process has open."""
    found = set()
    for handle in _HANDLES.iterdir():
        try:
            found.add(str(handle.readlink()))
        except OSError:
            continue
    return found


@dataclass
class Rules:
    """What was asked for, and which replacing is refused on purpose.

    Attributes
    ----------
    refuse : set of int
        Numbers (from 1) of the replacings that are refused as if somebody held the file, for as long as it is tried.
    replaced : list
        What was asked to be put in the place of what, each once however often it was tried.
    """

    refuse: set[int] = field(default_factory=set)
    replaced: list[tuple[str, str]] = field(default_factory=list)

    def check_replace(self, source: object, target: object) -> None:
        asked = (str(source), str(target))
        if not self.replaced or self.replaced[-1] != asked:
            self.replaced.append(asked)
        if len(self.replaced) in self.refuse:
            raise SystemRefusedError(32, target)
        _refuse_open(source)
        _refuse_open(target)


def _refuse_open(path: object) -> None:
    real = os.path.realpath(str(path))
    for one in open_files():
        if one == real or one.startswith(f"{real}/"):
            raise SystemRefusedError(32, path)


@pytest.fixture
def rules() -> Iterator[Rules]:
    """Lay the other system's rules over this one for a test."""
    with laid_rules() as laid:
        yield laid


@contextmanager
def laid_rules() -> Iterator[Rules]:
    """Lay all rules: of files, of calls that are missing, of old times."""
    # a patch of its own: what a test takes back of its own patches must not take the rules away
    with pytest.MonkeyPatch.context() as patch, old_times_refused():
        yield _lay(patch)


def _lay(monkeypatch: pytest.MonkeyPatch) -> Rules:
    laid = Rules()
    monkeypatch.setattr(disk, "PATIENCE_SECONDS", 0.2)
    for name in _MISSING:
        monkeypatch.delattr(os, name, raising=False)
    monkeypatch.setattr(restoring, "find_spec", lambda name: None)
    monkeypatch.setattr(shutil, "_use_fd_functions", False)
    _lay_replacing(monkeypatch, laid)
    _lay_opening(monkeypatch)
    return laid


@contextmanager
def old_times_refused() -> Iterator[None]:
    """Let no clock of the system tell a time before 1970 or after 3000, as the other system's C library does."""
    methods: dict[str, Any] = gc.get_referents(datetime.__dict__)[0]
    local, from_count = methods["astimezone"], methods["fromtimestamp"]

    def astimezone(self: datetime, tz: tzinfo | None = None) -> datetime:
        if tz is None or self.tzinfo is None:
            counted = self.replace(tzinfo=self.tzinfo or UTC)
            # a time without a zone is looked up a day to either side
            _refuse_count((counted - _EPOCH).total_seconds() - (86_400 if self.tzinfo is None else 0))
        return local(self, tz)  # type: ignore[no-any-return]

    def fromtimestamp(cls: type[datetime], timestamp: float, tz: tzinfo | None = None) -> datetime:
        _refuse_count(timestamp)
        return from_count.__get__(None, cls)(timestamp, tz)  # type: ignore[no-any-return]

    def localtime(seconds: float | None = None) -> time.struct_time:
        _refuse_count(0 if seconds is None else seconds)
        return system_local(seconds)

    system_local = time.localtime
    _put_methods(methods, astimezone=astimezone, fromtimestamp=classmethod(fromtimestamp))
    time.localtime = localtime
    try:
        yield
    finally:
        time.localtime = system_local
        _put_methods(methods, astimezone=local, fromtimestamp=from_count)


def _refuse_count(seconds: float) -> None:
    if not 0 <= seconds < _YEAR_3001:
        raise OSError(errno.EINVAL, "Invalid argument")


def _put_methods(methods: dict[str, Any], **given: Any) -> None:
    """Change a type that is written in C, and let those forget who kept what it had."""
    methods.update(given)
    ctypes.pythonapi.PyType_Modified(ctypes.py_object(datetime))


def _lay_replacing(monkeypatch: pytest.MonkeyPatch, laid: Rules) -> None:
    real_replace, real_rename, real_unlink = os.replace, os.rename, os.unlink

    def replace(source: Any, target: Any, **_: Any) -> None:
        laid.check_replace(source, target)
        if Path(target).is_dir():
            raise SystemRefusedError(5, target)
        real_replace(source, target)

    def rename(source: Any, target: Any, **_: Any) -> None:
        laid.check_replace(source, target)
        if Path(target).exists():
            raise FileExistsError(errno.EEXIST, "File exists", str(target))
        real_rename(source, target)

    def unlink(path: Any, **_: Any) -> None:
        _refuse_open(path)
        real_unlink(path)

    monkeypatch.setattr(os, "replace", replace)
    monkeypatch.setattr(os, "rename", rename)
    monkeypatch.setattr(os, "unlink", unlink)
    monkeypatch.setattr(os, "remove", unlink)


def _lay_opening(monkeypatch: pytest.MonkeyPatch) -> None:
    real_open, real_fsync, real_text = os.open, os.fsync, io.open

    def open_handle(path: Any, flags: int, mode: int = 0o777, **more: Any) -> int:
        # a nameless file of the test runner's own capture is asked for by its folder
        if Path(path).is_dir() and flags & os.O_TMPFILE != os.O_TMPFILE:
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return real_open(path, flags, mode, **more)

    def fsync(handle: int) -> None:
        if fcntl.fcntl(handle, fcntl.F_GETFL) & os.O_ACCMODE == os.O_RDONLY:
            raise OSError(errno.EBADF, "Bad file descriptor")
        real_fsync(handle)

    monkeypatch.setattr(os, "open", open_handle)
    monkeypatch.setattr(os, "fsync", fsync)
    text = _text_opener(real_text)
    monkeypatch.setattr(io, "open", text)
    monkeypatch.setattr(builtins, "open", text)


def _text_opener(real: Callable[..., Any]) -> Callable[..., Any]:
    """Open as the other system does: a line of text ends in two characters unless it was said how, and in its own old encoding."""

    def opened(
        file: Any, mode: str = "r", buffering: int = -1, encoding: str | None = None, errors: str | None = None,
        newline: str | None = None, *more: Any, **named: Any,
    ) -> Any:  # fmt: skip
        if "b" not in mode:
            if encoding in (None, "locale"):
                if _ours():
                    raise EncodingWarning(f"{file} is opened as text without an encoding")
                encoding = "cp1252"
            if newline is None and any(letter in mode for letter in "wax+"):
                newline = "\r\n"
        return real(file, mode, buffering, encoding, errors, newline, *more, **named)

    return opened


def _ours() -> bool:
    """Say whether the call came from wearlog, straight or by a path's own methods."""
    import sys

    frame = sys._getframe(2)
    while frame is not None and frame.f_code.co_filename.endswith("pathlib.py"):
        frame = frame.f_back  # type: ignore[assignment]
    return (
        frame is not None
        and "/wearlog/" in frame.f_code.co_filename
        and "site-packages" not in frame.f_code.co_filename
    )
