"""The season that a plan is for: by its days, by its harvest, by what was cut lately."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from wearlog.facts.work import Season, coming_season, is_over, next_harvest

THIS, NEXT = (Season(harvest_year=y, starts_on=date(y, 1, 1), ends_on=date(y + 1, 1, 1)) for y in (2026, 2027))
NOVEMBER = date(2026, 11, 28)


@pytest.mark.parametrize(
    ("today", "last_cut", "over"),
    [
        (date(2026, 2, 1), None, False),
        (date(2026, 9, 30), None, False),
        (date(2026, 10, 1), None, True),
        (NOVEMBER, date(2026, 9, 12), True),
        # a late harvest goes on
        (date(2026, 10, 20), date(2026, 10, 14), False),
        (NOVEMBER, NOVEMBER - timedelta(days=30), False),
        (NOVEMBER, NOVEMBER - timedelta(days=31), True),
        (date(2027, 1, 1), date(2026, 12, 31), True),
    ],
)
def test_a_season_is_over_by_its_days_or_by_its_harvest(today: date, last_cut: date | None, over: bool) -> None:
    assert is_over(THIS, today, last_cut) is over
    assert next_harvest(today, last_cut) == (2027 if over or today.year == 2027 else 2026)


def test_a_season_over_the_turn_of_the_year_ends_by_its_days_alone() -> None:
    southern = Season(harvest_year=2026, starts_on=date(2026, 10, 1), ends_on=date(2027, 4, 1))
    assert not is_over(southern, NOVEMBER, None)
    assert is_over(southern, date(2027, 4, 1), date(2027, 3, 20))


def test_a_season_with_a_plan_comes_before_one_without() -> None:
    summer = date(2026, 6, 1)
    assert coming_season((NEXT, THIS), summer, None, ()) is THIS
    assert coming_season((NEXT, THIS), summer, None, {NEXT.id}) is NEXT
    assert coming_season((NEXT, THIS), NOVEMBER, None, {THIS.id}) is NEXT
    assert coming_season((THIS,), NOVEMBER, None, {THIS.id}) is None
