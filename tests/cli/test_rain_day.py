"""rain-day: what saves most in so many shop hours, with what is on hand, until it is done."""

from __future__ import annotations

import pytest

from tests.cli.running import Wearlog

LEFT = "merlin guards 12 cracked, left"


def test_a_part_left_in_service_is_listed_until_it_is_fitted(demo: Wearlog) -> None:
    def listed() -> list[str]:
        found = demo("rain-day", "--hours", "200", "--json").json
        return [row["component"] for row in found["jobs"] if row["component"].startswith("Merlin, guard 12")]

    assert listed() == []
    assert demo("log", LEFT, "--yes").code == 0
    assert listed() == ["Merlin, guard 12"]
    assert demo("fit", "merlin", "guards", "12").code == 0
    assert listed() == []


def test_it_takes_no_more_time_and_no_more_pieces_than_there_are(demo: Wearlog) -> None:
    shelf = {row["number"]: row["on_hand"] for row in demo("stock", "--json").json["parts"]}
    saved = 0.0
    for hours in (2, 6, 20):
        found = demo("rain-day", "--hours", str(hours), "--json").json
        assert found["minutes_used"] <= hours * 60
        opened = found["minutes_used"] - sum(row["minutes"] for row in found["jobs"])
        assert opened > 0, "opening up takes time as well"
        taken: dict[str, int] = {}
        for row in found["jobs"]:
            for one in row["parts"]:
                taken[one["part"]] = taken.get(one["part"], 0) + one["pieces"]
        assert all(pieces <= shelf[part] for part, pieces in taken.items())
        assert [row["order"] for row in found["jobs"]] == list(range(1, len(found["jobs"]) + 1))
        # more time never saves less
        assert float(found["saving_less_opening"]["amount"]) >= saved
        saved = float(found["saving_less_opening"]["amount"])


def test_what_is_not_on_hand_is_left_out_and_named(demo: Wearlog) -> None:
    left = demo("rain-day", "--hours", "6", "--json").json["left_out"]
    assert {"none_on_hand", "no_time_left"} <= {row["why"] for row in left}
    said = demo("rain-day", "--hours", "6").out
    assert said.startswith("Before you work on them:")
    assert "Left out: " in said
    assert "Nothing of a season under way is left to cut: each is weighed against running" in said


def test_a_rain_that_may_stop_saves_less_on_the_mean(demo: Wearlog) -> None:
    found = demo("rain-day", "--hours", "6", "--lasts", "3 h", "--json").json
    assert 0 < float(found["expected_saving"]["amount"]) < sum(float(row["saving"]["amount"]) for row in found["jobs"])
    assert "The rain may stop before" in demo("rain-day", "--lasts", "3 h").out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--hours", "many"), "many"),
        (("--lasts", "0"), "'0' is no time that rain lasts."),
        (("--people", "0"), "0"),
    ],
)
def test_bad_input_is_a_sentence(demo: Wearlog, words: tuple[str, ...], said: str) -> None:
    ran = demo("rain-day", *words)
    assert ran.code != 0
    assert said in ran.err


def test_an_hour_too_short_for_anything_leaves_it_shut(demo: Wearlog) -> None:
    found = demo("rain-day", "--hours", "1 min")
    assert "nothing is worth opening up for: leave it shut." in found.out
