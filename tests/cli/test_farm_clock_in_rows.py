"""Rows of the log are listed by the farm's clock alone; the JSON keeps what that clock is ahead of UTC."""

from __future__ import annotations

import pytest

from tests.cli.running import Wearlog
from wearlog.facts.farm_settings import FarmSettings, Measures
from wearlog.present.files.row_sheet import by_farm_clock

CHICAGO = Measures(FarmSettings(time_zone="America/Chicago"))


@pytest.mark.parametrize(
    ("cell", "shown"),
    [
        ("2026-09-10 22:04-05:00", "2026-09-10 22:04"),
        ("2026-12-10 22:04:30.5-06:00", "2026-12-10 22:04:30.5"),
        # the hour that comes twice when the clocks go back (1 November 2026)
        ("2026-11-01 01:30-05:00", "2026-11-01 01:30-05:00"),
        ("2026-11-01 01:30-06:00", "2026-11-01 01:30-06:00"),
        ("2026-11-01 02:30-06:00", "2026-11-01 02:30"),
        # a cell by another clock
        ("2026-09-11 05:04+02:00", "2026-09-11 05:04+02:00"),
        # no moment
        ("2026-09-10", "2026-09-10"),
        ("about 22:04-05:00", "about 22:04-05:00"),
        ("", ""),
    ],
)
def test_a_moment_stands_by_the_farms_clock_alone_where_that_is_one_moment(cell: str, shown: str) -> None:
    assert by_farm_clock(cell, CHICAGO) == shown


def test_entries_list_moments_by_the_farms_clock_and_the_json_keeps_the_offset(demo: Wearlog) -> None:
    listed = demo("entries", "run", "--last", "3")
    rows = demo("entries", "run", "--last", "3", "--json").json["rows"]
    assert "-05:00" not in listed.out
    for row in rows:
        assert row["started"].endswith("-05:00")
        assert f" {row['started'].removesuffix('-05:00')} " in listed.out
    whole = demo("entries", rows[0]["entry_number"])
    assert "-05:00" not in whole.out
    assert rows[0]["started"].removesuffix("-05:00") in whole.out


def test_who_asks_for_the_report_of_a_season_that_is_over_is_told_where_its_costs_stand(demo: Wearlog) -> None:
    refused = demo("report", "past.html", "--season", "2025")
    assert refused.code != 0
    assert "The season 2025 is over." in refused.err
    assert "wearlog cost --season 2025" in refused.err
    assert demo("cost", "--season", "2025").code == 0
