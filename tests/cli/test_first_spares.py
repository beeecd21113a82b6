"""A farm's first plan buys no more of a part than one set, and says so; once its own parts have worn out it is held no longer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import Wearlog, on_log

FARM = (
    ("add", "combine", "Kestrel", "--engine", "2310", "--separator", "1702", "--at", "2026-07-01"),
    ("add", "header", "North", "--width", "40", "--knife", "160", "--at", "2026-07-01"),
    ("hitch", "north", "kestrel", "--at", "2026-07-01"),
    ("add", "part", "KS-3", "--fits", "knife section", "--price", "4.60", "--pack", "25", "--on-hand", "50"),
    ("cut", "kestrel", "300", "--from", "2026-07-20 08:00", "--to", "2026-07-22 20:00", "--yes"),
    ("set", "downtime_value_per_hour", "112.50"),
    ("plan", "make", "2027", "--budget", "6000"),
    ("plan", "area", "2400", "--ground", "few_stones"),
)


@pytest.fixture
def first(wearlog: Wearlog, tmp_path: Path) -> Wearlog:
    new = on_log(wearlog, tmp_path / "first.db")
    for words in FARM:
        assert new(*words).code == 0, words
    return new


def sections(first: Wearlog) -> dict[str, Any]:
    return next(one for one in first("plan", "--json").json["spares"] if one["part"] == "KS-3")


def test_the_first_plan_is_held_to_one_set_and_the_records_set_it_free(first: Wearlog) -> None:
    found = sections(first)
    assert found["held_to_set"] is True
    # 50 lie there; of packs of 25 the first with which all 160 could be changed
    assert found["buy"] == 125
    assert "Held to one set, since little but a guess says how long they last: KS-3 (160 fitted)." in " ".join(
        first("plan").out.split()
    )
    for position in range(5):
        assert first("log", f"north section {20 * position + 9} worn, 5 min", "--yes").code == 0
    assert sections(first)["held_to_set"] is False
