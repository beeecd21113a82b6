"""stop-or-run: a part that was left in service, by what it costs to change it now, at dusk or at season's end."""

from __future__ import annotations

from datetime import datetime

import pytest

from tests.cli.running import Wearlog

#: the demo's cutting is over in September; at noon of this day it still cuts
NOON = datetime.fromisoformat("2026-08-20T17:00:00+00:00")


@pytest.fixture
def cutting(demo: Wearlog, monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    monkeypatch.setattr("wearlog.cli.decision_commands.local_now", lambda: NOON)
    monkeypatch.setattr("wearlog.cli.log_commands.local_now", lambda: NOON)
    return demo


def test_a_part_left_in_service_is_weighed_until_it_is_replaced(cutting: Wearlog) -> None:
    before = cutting("stop-or-run", "merlin knife head", "--json").json
    assert (before["state"], before["mode"]) == ("known_age", None)
    assert cutting("log", "merlin knife head cracked, left", "--yes").code == 0
    left = cutting("stop-or-run", "merlin knife head", "--json").json
    assert (left["state"], left["mode"]) == ("left_in_service", "cracked")
    assert "a guess for cracked parts" in left["rests_on"]
    last = [found["ways"][-1]["chance_breaks_first"] for found in (before, left)]
    assert last[1] > last[0]


def test_what_it_says_is_the_cheapest_way_of_the_table(cutting: Wearlog) -> None:
    cutting("log", "merlin knife head cracked, left", "--yes")
    words = ("stop-or-run", "merlin knife head", "--left", "60ac", "--dark", "16:00", "--next-stop", "1 h")
    found = cutting(*words, "--json").json
    cost = {row["when"]: float(row["cost"]["amount"]) for row in found["ways"]}
    assert list(cost)[:3] == ["now", "next_stop", "dusk"]
    assert found["do"] == min(cost, key=lambda when: cost[when])
    assert sum(row["chance_best"] for row in found["ways"]) == pytest.approx(1.0, abs=1e-3)
    for row in found["ways"]:
        assert float(row["cost_low"]["amount"]) <= float(row["cost_high"]["amount"])
        assert "usage_acres" in row
    said = cutting(*words).out
    assert said.startswith("Before you work on the knife head:")
    assert "goes first" in said


def test_a_field_that_is_done_before_dark_takes_the_place_of_dusk(cutting: Wearlog) -> None:
    found = cutting("stop-or-run", "merlin knife head", "--left", "5ac", "--dark", "23:00", "--json").json
    assert [row["when"] for row in found["ways"]] == ["now", "field_done", "season_end"]


def test_what_it_should_last_can_be_said(cutting: Wearlog) -> None:
    cutting("log", "merlin knife head cracked, left", "--yes")
    soon, late = (
        cutting("stop-or-run", "merlin knife head", "--lasts", *ends, "--json").json
        for ends in (("40", "360"), ("4000", "36000"))
    )
    assert soon["ways"][-1]["chance_breaks_first"] > 0.5 > late["ways"][-1]["chance_breaks_first"]
    assert "what was said, 40 ac to 360 ac" in soon["rests_on"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--dark", "late"), "'late' is no time of day."),
        (("--lasts", "360", "40"), "is no range of what a part may still last"),
        (("--left", "many"), "many"),
    ],
)
def test_bad_input_is_a_sentence(cutting: Wearlog, words: tuple[str, ...], said: str) -> None:
    ran = cutting("stop-or-run", "merlin knife head", *words)
    assert ran.code != 0
    assert said in ran.err
