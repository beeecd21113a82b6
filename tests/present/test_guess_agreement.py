"""The sentences about guess and records: which side, how far, who speaks; and where fit and answer part company."""

from __future__ import annotations

import pytest

from wearlog.present.wear.life_table_words import agreement_json, parted, told
from wearlog.present.wear.wear_words import rough
from wearlog.reckoning.wear.life_table import GuessCheck, Parting, check_guess, parting
from wearlog.wear import Lives, fit_posterior, fit_weibull, starting_guess
from wearlog.wear.conflict import Conflict
from wearlog.wear.intervals import Estimate


def checked(ages: list[float], guess: tuple[float, float], failed: int = 1) -> GuessCheck:
    lives = Lives.of(ages, failed)
    found = check_guess(lives, fit_posterior(lives, starting_guess(guess, (1.5, 4.0))))
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("ages", "guess", "words"),
    [
        ([450.0, 500, 560, 470, 530] * 2, (950.0, 1050.0), "about half as long as guessed (10 failures; guessed X; p"),
        ([280.0, 300, 330, 310, 350] * 2, (950.0, 1050.0), "about 31 % as long as guessed"),
        (
            [900.0, 850, 950, 870, 910] * 4,
            (1.0e6, 1.1e6),
            "under 1 % as long as guessed (20 failures; guessed X; p under",
        ),
        ([4000.0, 5000, 4500, 4800, 5200], (950.0, 1050.0), "times as long as guessed (5 failures;"),
    ],
)
def test_a_guess_that_is_off_is_said_to_be_and_by_how_much(
    ages: list[float], guess: tuple[float, float], words: str
) -> None:
    said = told(checked(ages, guess), " of the chain", len(ages), "X")
    assert said.startswith("Your records do not fit the starting guess of the chain: half of them last ")
    assert words in said
    assert said.endswith("%).")
    assert "The records speak (" in said


def test_without_a_failure_nobody_can_say_how_much_longer() -> None:
    said = told(checked([4000.0] * 10, (950.0, 1050.0), failed=0), "", 0, "950-1,050 ac")
    assert "half of them last longer than guessed (no failure yet; guessed 950-1,050 ac; p" in said


def test_a_guess_that_still_weighs_more_is_said_to_speak() -> None:
    """What is unlikely but not contradicted has its side in the JSON only."""
    check = checked([1600.0, 1700, 2100], (850.0, 1200.0))
    assert check.weight > 0.5
    assert 0.05 < check.conflict.p < 0.2
    assert (check.too, told(check, "", 3, "X")) == ("short", "")
    below = GuessCheck(Conflict(0.04, above=True), check.posterior)
    assert f"The guess still speaks ({check.weight:.0%}".replace("%", " %") in told(below, "", 3, "X")


def test_a_wide_guess_is_contradicted_without_weights() -> None:
    """One law only: nothing is said of who speaks."""
    check = checked([3.0e6] * 4 + [4.0e6], (100.0, 1300.0))
    assert (check.has_second_part, check.weight) == (False, 1.0)
    assert told(check, "", 5, "X").endswith("p under 0.001).")


def test_records_that_fit_are_not_spoken_of() -> None:
    check = checked([900.0, 1100, 700, 1300], (800.0, 1300.0))
    assert told(check, "", 4, "X") == ""
    assert agreement_json(check)["guess_too"] is None
    assert agreement_json(None) == {"guess_conflict_p": None, "guess_too": None, "guess_weight": None}


def test_fit_and_answer_part_company_where_the_fit_lies_outside() -> None:
    lives = Lives.of([100.0, 105, 110, 115, 120, 125, 130, 118, 112, 108] * 3)
    held = fit_posterior(lives, starting_guess((90.0, 140.0), (1.0, 1.2)))
    apart = parting(fit_weibull(lives), held)
    assert [one.which for one in apart] == ["shape", "tenth"]
    free = fit_posterior(lives, starting_guess())
    assert parting(fit_weibull(lives), free) == ()
    assert parting(None, free) == ()
    places = (
        Parting("shape", 6.7, Estimate(4.9, 4.7, 5.0, 0.9)),
        Parting("tenth", 714.0, Estimate(616.0, 595, 636, 0.9)),
    )
    assert parted(places, rough, "h", has_guess=False) == (
        "Fit and answer part company: shape 6.7 against 4.9 (4.7-5.0) and one in ten is gone by 714 h against 616 (595-636) h; "
        "what shapes usually are still holds the answer there."
    )
    assert parted((), rough, "h", has_guess=True) == ""
