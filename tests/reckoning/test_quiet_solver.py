"""What C code prints while a plan is chosen does not reach stdout; what Python prints before and after does."""

from __future__ import annotations

import ctypes
import io
import multiprocessing
import os

import pytest

from wearlog.cli.brief_commands import DEMO_DAY
from wearlog.plan.budget import Limits, Wishes, choose
from wearlog.plan.rain_day import RainDay, rain_day
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.plan import allocation, rain_list
from wearlog.reckoning.plan.allocation import quiet_solver, solved
from wearlog.store.opening import Store
from wearlog.tui.start import can_show, open_screens

LIBC = ctypes.CDLL(None) if hasattr(os, "fork") else None


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
    wishes = Wishes.of([350, 200, 100], [200, 100, 100], [0, 0, 0])
    try:
        LIBC.printf(b"painted\n")
        assert solved(printed_and_returned, b"noise of the solver\n") == 20
        assert solved(choose, wishes, Limits(200, None)).chosen.tolist() == [True, False, False]
        for process in multiprocessing.active_children():
            process.kill()
        # ended from outside, it is begun anew
        assert solved(choose, wishes, Limits(300, None)).chosen.tolist() == [True, True, False]
        LIBC.fflush(None)
    finally:
        allocation._solver_process().shutdown()
        allocation._solver_process.cache_clear()
    assert capfd.readouterr().out == "painted\n"


def test_the_list_of_a_rainy_day_is_as_quiet(
    demo_store: Store, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    with demo_store.reading() as connection:
        weighed = rain_list.rain_jobs(connection, farm_from(connection, DEMO_DAY))

    def noisy(*words: object, **options: object) -> RainDay:
        printed_and_returned(b"noise of the solver\n")
        return rain_day(*words, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(rain_list, "rain_day", noisy)
    assert rain_list.rain_list(weighed, 6).jobs
    LIBC.fflush(None)
    assert capfd.readouterr().out == ""


class Stream(io.StringIO):
    """A stream that is a terminal, or is not."""

    def __init__(self, terminal: bool) -> None:
        super().__init__()
        self.terminal = terminal

    def isatty(self) -> bool:
        return self.terminal


@pytest.mark.parametrize(("system", "on_out", "on_err"), [("linux", False, True), ("win32", True, False)])
def test_the_screens_open_where_what_they_paint_on_is_a_terminal(
    system: str, on_out: bool, on_err: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.platform", system)
    monkeypatch.setattr("sys.stdin", Stream(True))
    monkeypatch.setattr("sys.stdout", Stream(on_out))
    monkeypatch.setattr("sys.stderr", Stream(on_err))
    assert can_show()
    monkeypatch.setattr("sys.stdout", Stream(not on_out))
    monkeypatch.setattr("sys.stderr", Stream(not on_err))
    assert not can_show()
    assert open_screens("") == 2
    monkeypatch.setattr("sys.stdout", None)
    monkeypatch.setattr("sys.stderr", None)
    assert not can_show()
