"""A combine is in one place at a time: a run told twice is asked about."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.small_farm import AUGUST, SmallFarm, harvest
from wearlog.errors import DoubtError
from wearlog.facts.work import Run
from wearlog.logbook.checks.doubts import Doubt
from wearlog.store.finding import find_all


def runs(farm: SmallFarm) -> int:
    with farm.store.reading() as connection:
        return len(find_all(connection, Run))


def test_the_same_run_twice_is_asked_about_and_a_yes_saves_it(file_farm: SmallFarm) -> None:
    harvest(file_farm)
    with pytest.raises(DoubtError) as doubt:
        harvest(file_farm)
    assert (doubt.value.doubt, doubt.value.message) == (
        Doubt.SAME_RUN,
        "Kestrel cut 100.0 ac at that time already: 1 Aug 2026 09:00 to 1 Aug 2026 19:00.",
    )
    assert runs(file_farm) == 1
    harvest(file_farm, sure={Doubt.SAME_RUN})
    assert runs(file_farm) == 2


@pytest.mark.parametrize(("later", "asks"), [(3, True), (5, True), (6, False), (10, False)])
def test_half_of_the_shorter_one_is_what_asks(file_farm: SmallFarm, later: float, *, asks: bool) -> None:
    """Each run lasts ten hours by the clock."""
    harvest(file_farm)
    if asks:
        with pytest.raises(DoubtError):
            harvest(file_farm, acres=20, at=AUGUST + timedelta(hours=later))
    else:
        harvest(file_farm, acres=20, at=AUGUST + timedelta(hours=later))
    assert runs(file_farm) == (1 if asks else 2)
