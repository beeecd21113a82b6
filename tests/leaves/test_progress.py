"""Counting long work: shares of stretches within stretches, who looks on, and stopping."""

from __future__ import annotations

import pytest

from wearlog.errors import RefusedError
from wearlog.progress import WorkProgress, counted, looked_on_by, step, stretch


class Seen:
    """Looks on and keeps what it is told."""

    def __init__(self) -> None:
        self.shares: list[float] = []
        self.ends = 0

    def step(self, share: float) -> None:
        self.shares.append(round(share, 6))

    def end(self) -> None:
        self.ends += 1


def work() -> list[int]:
    done = []
    with stretch():
        with stretch(last=0.5):
            done += counted([1, 2], of=2)
        with stretch(0.5, 0.9), stretch(0.5, 1.0):
            step(0.5)
        step(0.95)
    return done


def test_shares_of_stretches_within_stretches_go_on_and_never_back() -> None:
    seen = Seen()
    with looked_on_by(seen):
        assert work() == [1, 2]
    assert seen.shares == [0, 0, 0, 0.25, 0.5, 0.5, 0.7, 0.8, 0.9, 0.9, 0.95, 1]
    assert seen.shares == sorted(seen.shares)
    assert seen.ends == 1


def test_nobody_looks_on_and_the_work_is_the_same() -> None:
    seen = Seen()
    assert work() == [1, 2]
    with looked_on_by(seen):
        # outside a stretch nobody said how much there is
        step(0.5)
    step(0.5)
    assert (seen.shares, seen.ends) == ([], 0)


def test_who_looks_on_stops_the_work_and_is_told_that_it_is_over() -> None:
    progress = WorkProgress()
    progress.is_stopped = True
    begun = []
    with pytest.raises(RefusedError, match="Stopped"), looked_on_by(progress), stretch():
        begun.append(1)
    assert begun == []
    seen = Seen()
    with pytest.raises(KeyError), looked_on_by(seen), stretch():
        raise KeyError
    assert seen.ends == 1
    # nothing is left of the stretch that was broken off
    with looked_on_by(seen):
        work()
    assert seen.shares[-1] == 1


def test_time_left_goes_on_as_so_far_and_begins_anew_with_each_work(monkeypatch: pytest.MonkeyPatch) -> None:
    now = [100.0]
    monkeypatch.setattr("wearlog.progress.time.monotonic", lambda: now[0])
    progress = WorkProgress()
    assert progress.left is None
    now[0] = 103.0
    progress.step(0.25)
    assert progress.left == pytest.approx(9.0)
    progress.end()
    now[0] = 104.0
    progress.step(0.5)
    assert progress.left == pytest.approx(1.0)
