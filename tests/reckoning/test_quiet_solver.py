"""What C code prints while a plan is chosen does not reach stdout; what Python prints before and after does."""

from __future__ import annotations

import ctypes

import pytest

from wearlog.reckoning.plan.allocation import quiet_solver

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
