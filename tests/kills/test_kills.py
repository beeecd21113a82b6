"""A short run of the kills; `python -m tests.kills 1000` is the long one."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.kills.acts import ACTS, Act
from tests.kills.rounds import CLIENT, SERVER, Killer, killer

pytestmark = pytest.mark.postgres
NAMES = [act.name for act in ACTS]


@pytest.fixture(scope="module")
def short() -> Iterator[Killer]:
    with killer(41, tries=1) as one:
        yield one


@pytest.mark.parametrize("act", ACTS, ids=NAMES)
@pytest.mark.promise(
    about="a kill or a crash",
    fault="log, cut, import, undo, merge, upgrade, backup, restore or move-log is killed at any moment",
    holds="all of it is done or nothing; what was said to be done is; it can be done again",
    on="a file",
)
def test_a_kill_leaves_all_of_it_or_nothing_in_a_file(short: Killer, act: Act) -> None:
    for _ in range(2):
        short.kill(act, on_server=False)
    assert short.tallies[act.name, "file", CLIENT].kills == 2


@pytest.mark.parametrize("act", ACTS, ids=NAMES)
@pytest.mark.promise(
    about="a kill or a crash",
    fault="log, cut, import, undo, merge, upgrade, backup, restore or move-log is killed at any moment",
    holds="all of it is done or nothing; what was said to be done is; it can be done again",
    on="a server",
)
def test_a_kill_leaves_all_of_it_or_nothing_on_a_server(short: Killer, act: Act) -> None:
    short.kill(act, on_server=True)
    assert short.tallies[act.name, "server", CLIENT].kills == 1


@pytest.mark.parametrize("act", [act for act in ACTS if act.name in ("log", "merge")], ids=["log", "merge"])
@pytest.mark.promise(
    about="a server",
    fault="the server is killed in the middle of a command and comes back",
    holds="all of it is done or nothing, and the command says which",
    on="a server",
)
def test_a_server_that_is_killed_leaves_all_of_it_or_nothing_and_says_which(short: Killer, act: Act) -> None:
    short.kill(act, on_server=True, whom=SERVER)
    assert short.tallies[act.name, "server", SERVER].kills == 1
