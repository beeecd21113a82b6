"""What is said of a place that eats its parts."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from tests.small_farm import kind, small_farm
from wearlog.present.digits import Measures
from wearlog.present.parts.claim_sheet import early_words
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.wear.early_failures import EarlyPlace
from wearlog.store.opening import Store


def test_a_skid_is_looked_at_on_a_header_alone(file_store: Store) -> None:
    own = small_farm(file_store)
    with file_store.reading() as connection:
        farm = farm_from(connection, datetime(2026, 9, 1, tzinfo=UTC))
    measures = Measures(farm.settings)
    eaten = EarlyPlace(
        component=own.knife,
        kind=kind("knife section"),
        position=41,
        ages=(1e6, 1.2e6),
        median=8e6,
        chance=0.001,
        of_all=0.1,
        upstream=0.9,
        last_bad=0.05,
        part=None,
    )
    assert early_words(eaten, farm, measures).endswith("eats it: look at alignment, tension, hold-down, skid.")
    assert early_words(eaten, farm, measures).startswith("2 failures at North, knife section 41 in ")
    inside = replace(eaten, component=own.chain, kind=kind("feeder conveyor chain"), position=1)
    said = early_words(inside, farm, measures)
    assert said.endswith("eats it: look at alignment, tension, bearings.")
    assert "skid" not in said


def test_what_is_not_told_apart_is_either_way(file_store: Store) -> None:
    own = small_farm(file_store)
    with file_store.reading() as connection:
        farm = farm_from(connection, datetime(2026, 9, 1, tzinfo=UTC))
    measures, section = Measures(farm.settings), kind("knife section")

    def said(upstream: float, bad: float, *batch: str) -> str:
        place = EarlyPlace(own.knife, section, 41, (2e5,), 8e6, 0.001, 0.1, upstream, bad, None, batch)
        return early_words(place, farm, measures)

    for clear in (said(0.85, 0.1), said(0.1, 0.85)):
        assert "either way" not in clear
    # as it was reckoned for one failure at a tenth of a life: .47 that it is neither
    assert "either way, a cause upstream 13 %, a bad part 40 %: nothing tells yet." in said(0.13, 0.40)
    assert "either way, likelier something upstream (51 %, a bad part 45 %): look at " in said(0.51, 0.45)
    likelier = said(0.2, 0.75, "North header, knife section 3")
    assert "either way, likelier a bad part (75 %, a cause upstream 20 %); the same number at North header" in likelier
