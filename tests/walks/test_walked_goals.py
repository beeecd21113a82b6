"""What must hold of the walked stories: so few presses for what broke, so little time from nothing to the first answer."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.walks.__main__ import walk_alone
from tests.walks.page import pressed
from tests.walks.walker import Hand
from tests.walks.walking import own_log


@pytest.fixture(autouse=True)
def _at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WEARLOG_HOME", str(tmp_path))
    monkeypatch.setenv("WEARLOG_DEVICE", "shop")


def test_what_broke_takes_eight_presses_beyond_the_cautions_that_are_read_once(tmp_path: Path) -> None:
    own_log(tmp_path)
    walk = walk_alone(1, False, (46, 20), Hand.KEYS, tmp_path)
    assert walk.walked is not None
    assert pressed(walk.walked.marks["logged"]) <= 8 + 1


@pytest.mark.parametrize("hand", Hand)
def test_from_nothing_to_the_first_answer_takes_less_than_five_minutes_on_a_phone(tmp_path: Path, hand: Hand) -> None:
    walk = walk_alone(4, False, (46, 20), hand, tmp_path)
    assert walk.walked is not None
    assert 0 < walk.walked.marks["answer"].seconds < 300
