"""What C code prints while a plan is chosen does not reach stdout; what Python prints before and after does."""

from __future__ import annotations

import ctypes

import pytest

from wearlog.reckoning.plan import allocation
from wearlog.reckoning.plan.allocation import quiet_solver, solved

LIBC = ctypes.CDLL(None)


def test_what_c_code_prints_within_the_block_goes_nowhere(capfd: pytest.CaptureFixture[str]) -> None:
    LIBC.printf(b"before\n")
    with quiet_solver():
        LIBC.printf(b"noise of the solver\n")
    LIBC.printf(b"after\n")
    LIBC.fflush(None)
    assert capfd.readouterr().out == "before\nafter\n"


def test_stdout_is_whole_again_after_an_error(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(ValueError, match="it broke"), quiet_solver():
        raise ValueError("it broke")
    print("still here")
    assert capfd.readouterr().out == "still here\n"


def printed_and_returned(words: bytes) -> int:
    LIBC.printf(words)
    LIBC.fflush(None)
    return len(words)


def test_where_the_screens_paint_on_stdout_the_solver_runs_elsewhere(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(allocation, "_paints_on_stdout", lambda: True)
    try:
        LIBC.printf(b"painted\n")
        assert solved(printed_and_returned, b"noise of the solver\n") == 20
        LIBC.fflush(None)
    finally:
        allocation._solver_process().shutdown()
        allocation._solver_process.cache_clear()
    assert capfd.readouterr().out == "painted\n"
