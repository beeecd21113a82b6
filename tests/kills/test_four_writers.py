"""A short run of the four writers; `python -m tests.kills.four_writers 10000` is the long one."""

from __future__ import annotations

import pytest

from tests.kills.four_writers import four_writers


@pytest.mark.postgres
@pytest.mark.promise(
    about="a server",
    fault="four people save at once, and the server is killed meanwhile and started again",
    holds="nothing that was said to be saved is lost, nothing is there twice, the log is in order",
    on="a server",
)
def test_four_writers_lose_and_double_nothing_though_the_server_is_killed() -> None:
    done = four_writers(400, kills=2, seed=7)
    assert (done.entries, done.deeds, done.problems) == (400, 400, ())
    assert (done.lost, done.doubled) == ([], [])
    assert done.kills == 2
    # the kills did hit somebody who was saving
    assert done.told["nothing was saved"] + done.told["not known"] > 0
