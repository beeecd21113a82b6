"""Of many readings looked at at once the same is said as of each one by itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.logbook.checks import many_rows, soundness
from wearlog.logbook.checks.soundness import Unsound, unsound
from wearlog.logbook.names import KnownNames
from wearlog.logbook.saving import all_cleaned, cleaned

NOON = datetime(2025, 7, 28, 12, tzinfo=UTC)
COMBINE = Machine(name="Juniper", kind=MachineKind.COMBINE)
HOURS = Meter(machine_id=COMBINE.id, kind=MeterKind.ENGINE_HOURS)
AREA = Meter(machine_id=COMBINE.id, kind=MeterKind.AREA)
KNOWN = KnownNames(machines=(COMBINE,), meters=(HOURS, AREA))
READINGS = [
    Reading(
        meter_id=HOURS.id, at=NOON + timedelta(hours=hour), shown_usage=3_600 * hour, note="" if hour % 7 else "oil"
    )
    for hour in range(300)
]

#: what is done to the 150th, and what is then said; "" where that is nothing
SPOILT = [
    ({"shown_usage": -1}, "is below 0"),
    ({"shown_usage": 2**63}, "is too large"),
    ({"shown_usage": 200_001 * 3_600, "new_leg": True}, "too large to be true"),
    ({"meter_id": AREA.id, "shown_usage": 200_001 * 3_600}, ""),
    ({"meter_id": AREA.id, "shown_usage": 10**11}, "too large to be true"),
    ({"at": datetime(1949, 12, 31, tzinfo=UTC)}, "before 1950"),
    ({"at": datetime(2026, 7, 28, tzinfo=UTC)}, "still to come"),
    ({"at": datetime(2025, 8, 3, 18)}, "time zone"),
    ({"at": NOON.astimezone(timezone(timedelta(hours=-5)))}, "does not run backwards"),
    ({"note": "x" * 32_001}, "can be kept"),
    ({"shown_usage": 0}, "does not run backwards"),
    ({"voided": True, "shown_usage": -1}, ""),
]


@pytest.mark.parametrize(("change", "said"), SPOILT)
def test_one_among_many_is_found(change: dict[str, object], said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [*READINGS[:150], replace(READINGS[150], **change), *READINGS[151:]]  # type: ignore[arg-type]
    found = _said(rows)
    monkeypatch.setattr(many_rows, "_MANY", 10**9)
    assert found == _said(rows)
    assert bool(found) == bool(said)
    assert said in " ".join(one.message for one in found)


def _said(rows: list[Reading]) -> tuple[Unsound, ...]:
    return unsound(rows, KNOWN, now=NOON + timedelta(days=30))


def test_many_in_order_are_not_asked_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []

    def ask(fact: object, _: object) -> tuple[()]:
        asked.append(fact)
        return ()

    monkeypatch.setattr(soundness, "row_findings", ask)
    assert _said(READINGS) == ()
    assert asked == []
    assert _said(READINGS[:100]) == ()
    assert asked == READINGS[:100]


def test_texts_of_many_are_cleaned_as_each_alone() -> None:
    assert all_cleaned(READINGS) == READINGS
    rows = [COMBINE, *READINGS, replace(READINGS[3], note="a\x1b[31mb"), replace(COMBINE, name="so\x07")]
    assert all_cleaned(rows) == [cleaned(one) for one in rows] != rows
    assert all_cleaned([]) == []


@pytest.mark.parametrize(
    ("rows", "zone", "told"),
    [
        ((datetime(1, 1, 1, tzinfo=UTC), NOON), "America/Chicago", "1-01-01 00:00: a meter"),
        ((NOON, datetime(9999, 12, 31, 23, 59, tzinfo=UTC)), "Europe/Berlin", "9999-12-31 23:59 is still to come"),
    ],
)
def test_a_moment_that_the_farms_clock_cannot_show_is_told_as_it_stands(
    rows: tuple[datetime, datetime], zone: str, told: str
) -> None:
    falling = [Reading(meter_id=HOURS.id, at=at, shown_usage=3_600 * (9 - place)) for place, at in enumerate(rows)]
    found = unsound(falling, KNOWN, now=NOON, time_zone=ZoneInfo(zone))
    assert told in " ".join(one.message for one in found)
