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


def guard_left(cutting: Wearlog) -> None:
    assert cutting("log", "merlin guard 4 cracked, left", "--yes").code == 0


def test_a_part_of_a_kind_that_was_mended_before_can_be_mended_first(cutting: Wearlog) -> None:
    guard_left(cutting)
    found = cutting("stop-or-run", "merlin guard", "--json").json
    now, mend, *later = found["ways"]
    assert (now["when"], mend["when"]) == ("now", "mend_now")
    assert mend["then"] in [row["when"] for row in later]
    # the record of mended guards until that day
    assert (found["mended_parts"], found["mended_breaks"]) == (11, 1)
    said = " ".join(cutting("stop-or-run", "merlin guard").out.split())
    assert "how long it holds is reckoned from 11 mended parts of its kind: 1 break in " in said
    assert "mend it now" in said
    # said to take an hour longer it costs an hour of work and standing more
    short, long = (
        float(cutting("stop-or-run", "merlin guard", "--mend", time, "--json").json["ways"][1]["cost"]["amount"])
        for time in ("30 min", "90 min")
    )
    assert long - short == pytest.approx(340 + 26, abs=1)


def test_a_sound_part_is_mended_only_where_somebody_says_so(cutting: Wearlog) -> None:
    ways = cutting("stop-or-run", "merlin knife head", "--json").json["ways"]
    assert "mend_now" not in [row["when"] for row in ways]
    said = cutting("stop-or-run", "merlin knife head", "--mend", "20 min", "--json").json
    assert said["ways"][1]["when"] == "mend_now"
    assert said["mended_parts"] == 0


def test_the_wait_goes_by_the_deliveries_on_record(cutting: Wearlog) -> None:
    (number,) = {
        one["number"] for one in cutting("entries", "part", "--json").json["rows"] if one["name"] == "knife head"
    }
    assert cutting("stock", "count", number, "0").code == 0
    slow = cutting("stop-or-run", "merlin knife head", "--json").json
    assert slow["deliveries"] == 0
    assert slow["wait_hours"] == 10.0
    for day in ("01", "05", "09", "13", "17", "21", "25"):
        order = (f"part={number}", "quantity=1", f"ordered=2026-07-{day} 8:00")
        assert cutting("enter", "part_order", *order).code == 0
        assert (
            cutting(
                "enter", "stock_move", f"part={number}", "change=received", "quantity=1", f"at=2026-07-{day} 15:00"
            ).code
            == 0
        )
    assert cutting("stock", "count", number, "0").code == 0
    quick = cutting("stop-or-run", "merlin knife head", "--json").json
    assert quick["deliveries"] == 7
    assert quick["wait_hours"] < slow["wait_hours"]
    assert float(quick["ways"][0]["cost"]["amount"]) < float(slow["ways"][0]["cost"]["amount"])
    assert "7 deliveries on record" in cutting("stop-or-run", "merlin knife head").out
