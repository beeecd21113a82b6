"""Lives: what is accepted, what is refused and in which words, and how causes and mends turn into lives."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.errors import DataError
from wearlog.wear import CauseGroup, Lives, events_by_cause, fit_weibull, lives_from_columns, mended_lives


@pytest.mark.parametrize(
    ("columns", "sentence"),
    [
        ({"exit_age": [5.0, 0.0]}, "Row 2 ends at age 0"),
        ({"exit_age": [5.0, -3.0]}, "Row 2 ends at age -3"),
        ({"exit_age": [5.0, 7.0], "entry": [0.0, 7.0]}, "Row 2 enters at age 7 and ends at 7, not later"),
        ({"exit_age": [5.0, 7.0], "entry": [9.0, 0.0]}, "Row 1 enters at age 9 and ends at 5"),
        ({"exit_age": [5.0], "entry": [-1.0]}, "Row 1 enters at age -1, below 0"),
        ({"exit_age": [5.0, np.nan]}, "Row 2 holds a number that is missing"),
        ({"exit_age": [5.0, np.inf]}, "Row 2 holds a number that is missing or endless"),
        ({"exit_age": [5.0], "weight": [0.0]}, "Row 1 stands for 0 lives"),
        ({"exit_age": [5.0], "weight": [np.inf]}, "Row 1 holds a number that is missing or endless"),
        ({"exit_age": [5.0], "event": [2.0]}, "The failed column says 2 in row 1"),
        ({"exit_age": [5.0, 6.0], "event": [1.0]}, "The failed column has 1 rows where 2 are expected"),
        ({"exit_age": ["soon"]}, "The exit column holds something that is not a number"),
        ({"exit_age": [[5.0]]}, "The exit values are not one plain column"),
        ({"exit_age": [5.0], "last_seen": [6.0]}, "Row 1 was last seen whole at 6, outside its 0 to 5"),
        ({"exit_age": [5.0], "entry": [2.0], "last_seen": [1.0]}, "Row 1 was last seen whole at 1, outside its 2 to 5"),
    ],
)
def test_a_row_that_cannot_be_right_is_named(columns: dict[str, object], sentence: str) -> None:
    """Every refusal says which row and what is wrong, and hints at what to do."""
    with pytest.raises(DataError, match=sentence) as caught:
        Lives.of(**columns)  # type: ignore[arg-type]
    assert caught.value.hint


def test_totals_count_each_row_by_its_weight() -> None:
    """Failures, lives and exposure."""
    lives = Lives.of([10.0, 20.0, 30.0], [1, 0, 1], entry=[0.0, 5.0, 0.0], weight=[2.0, 1.0, 3.0])
    assert (lives.failures, lives.count, lives.exposure) == (5.0, 6.0, 2 * 10 + 15 + 90)


def test_lives_are_frozen_through_and_through() -> None:
    """Neither the record nor its arrays change, and the caller's array is not the one inside."""
    ages = np.array([1.0, 2.0])
    lives = Lives.of(ages)
    ages[0] = 99.0
    assert lives.exit[0] == 1.0
    with pytest.raises(ValueError, match="read-only"):
        lives.exit[0] = 5.0
    with pytest.raises(AttributeError):
        lives.left_out = 3  # type: ignore[misc]


def test_competing_causes_censor_each_other() -> None:
    """A rock, wear and damage by another part end a life; each censors it for the other two."""
    events = events_by_cause([CauseGroup.WEAR, CauseGroup.IMPACT, CauseGroup.SECONDARY, CauseGroup.NONE])
    assert events.wear.tolist() == [True, False, False, False]
    assert events.impact.tolist() == [False, True, False, False]
    assert events.secondary.tolist() == [False, False, True, False]
    assert events_by_cause([]).wear.shape == (0,)


def test_a_mended_fitting_goes_on_at_its_age() -> None:
    """Mended at 300 and 700, still running at 900: two failures and a censored life, each entering where one ended."""
    lives = mended_lives(0.0, [300.0, 700.0], 900.0, failed=False)
    assert lives.entry.tolist() == [0.0, 300.0, 700.0]
    assert lives.exit.tolist() == [300.0, 700.0, 900.0]
    assert lives.event.tolist() == [True, True, False]


def test_a_fitting_mended_just_now_adds_no_empty_life() -> None:
    """The last mend is the last thing seen."""
    assert mended_lives(100.0, [300.0], 300.0, failed=False).exit.tolist() == [300.0]


def test_mends_out_of_order_are_refused() -> None:
    """A mend before entry, after exit, or before an earlier one."""
    for mends in ([50.0], [950.0], [400.0, 300.0]):
        with pytest.raises(DataError, match="not in order of age"):
            mended_lives(100.0, mends, 900.0, failed=True)


def test_columns_of_a_life_table() -> None:
    """A missing count is one; an unknown entry leaves the life out and counts it."""
    lives = lives_from_columns(
        [0.0, None, 10.0, float("nan")], [50.0, 60.0, 70.0, 80.0], [1, 1, 0, True], [None, 3, 2, 1]
    )
    assert lives.exit.tolist() == [50.0, 70.0]
    assert lives.weight.tolist() == [1.0, 2.0]
    assert lives.event.tolist() == [True, False]
    assert lives.left_out == 4


@pytest.mark.parametrize(
    ("columns", "sentence"),
    [
        (([0.0, 0.0], [50.0, None], [1, 1]), "Row 3 has no exit age"),
        (([0.0, 0.0], [50.0, 60.0], [1, None]), "Row 3 has no failed mark of 0 or 1"),
        (([0.0, 0.0], [50.0, 60.0], [1, 7]), "Row 3 has no failed mark of 0 or 1"),
        (([0.0, 60.0], [50.0, 60.0], [1, 0]), "Row 3 enters at age 60 and ends at 60"),
        (([0.0], [50.0, 60.0], [1, 0]), "The entry column has 1 rows where 2 are expected"),
    ],
)
def test_rows_of_a_table_are_named_as_its_reader_counts_them(
    columns: tuple[list[float | None], ...], sentence: str
) -> None:
    """With one heading line the first row is row 2."""
    with pytest.raises(DataError, match=sentence):
        lives_from_columns(*columns, first_row=2)  # type: ignore[arg-type]


def test_joined_lives_fit_like_one_table() -> None:
    """Exact lives and lives between inspections go together, and what was left out adds up."""
    exact = Lives.of([300.0, 500.0, 700.0], [1, 1, 0], left_out=2)
    between = Lives.of([400.0], [1], last_seen=[350.0], left_out=1)
    both = Lives.joined([exact, between])
    assert both.left_out == 3
    assert both.between_inspections.tolist() == [False, False, False, True]
    whole = Lives.of([300.0, 500.0, 700.0, 400.0], [1, 1, 0, 1], last_seen=[300.0, 500.0, 700.0, 350.0])
    assert fit_weibull(both) == fit_weibull(whole)
    assert both.take(both.between_inspections).exit.tolist() == [400.0]
    assert len(Lives.joined([])) == 0
