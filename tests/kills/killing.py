"""A process that does one thing and is killed at some moment of it; what it acknowledged before is what a person was told."""

from __future__ import annotations

import os
import select
import signal
import sys
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

_DONE, _FAILED = b"+", b"!"
#: a child that does not come to its end by itself is a failure of its own
_LONGEST = 90.0


@dataclass(frozen=True)
class Ended:
    """How a child ended: whether it said that it was done, what it said of its failure, and how long it took."""

    done: bool
    failed: str
    seconds: float


def killed(work: Callable[[], None], seconds: float, said: Path) -> Ended:
    """Fork, let `work` run, and kill it after `seconds` or as soon as it says that it is done; `said` gets its output."""
    reader, child = _forked(work, said)
    begun = time.perf_counter()
    select.select([reader], [], [], seconds)
    took = time.perf_counter() - begun
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return _ended(reader, took)


def left_alone(work: Callable[[], None], meanwhile: Callable[[], None], said: Path) -> Ended:
    """Fork, let `work` run to its own end, and do something else meanwhile."""
    reader, child = _forked(work, said)
    begun = time.perf_counter()
    meanwhile()
    select.select([reader], [], [], _LONGEST)
    took = time.perf_counter() - begun
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return _ended(reader, took)


def _forked(work: Callable[[], None], said: Path) -> tuple[int, int]:
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        _work(work, writer, said)
    os.close(writer)
    return reader, child


def _work(work: Callable[[], None], writer: int, said: Path) -> NoReturn:
    try:
        sys.stdout = sys.stderr = said.open("w", encoding="utf-8")
        sys.stdin = Path(os.devnull).open(encoding="utf-8")  # noqa: SIM115
        work()
        os.write(writer, _DONE)
        # until it is killed
        time.sleep(_LONGEST)
    except BaseException:  # noqa: BLE001  (the child tells the parent and ends)
        os.write(writer, _FAILED + traceback.format_exc().encode()[-4000:])
    finally:
        os._exit(1)


def _ended(reader: int, took: float) -> Ended:
    with os.fdopen(reader, "rb") as pipe:
        told = pipe.read()
    failed = told[len(_FAILED) :].decode() if told.startswith(_FAILED) else ""
    return Ended(told == _DONE, failed, took)
