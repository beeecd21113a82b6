"""What is said of a measurement that was just entered: limit, line, and what makes one look again at the tape."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from tests.farm_fixtures import entered_farm, file_farm
from tests.small_farm import AUGUST, SmallFarm, harvest, kind
from wearlog.facts.closed_lists import Dimension
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import PartKind
from wearlog.logbook.parts.measuring import MeasuredPlace, Tape, enter_measurement
from wearlog.present.digits import Measures
from wearlog.present.parts.measurement_words import (
    MeasuredAnswer,
    gauge_lines,
    measured_answer_json,
    measured_sentences,
    measurement_saved,
    part_measured,
)
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.age_groups import outlook_basis

__all__ = ["entered_farm", "file_farm"]

NOVEMBER = datetime.fromisoformat("2026-11-20T18:00Z")
MEASURES = Measures(FarmSettings(time_zone="America/Denver"))
CHAIN = kind("feeder conveyor chain")


def answer(farm: SmallFarm, *readings: tuple[float, Tape], own_limit: float | None = None) -> MeasuredAnswer:
    """Enter chain readings at so many hours into August, and return the answer to the last."""
    place = MeasuredPlace(FarmSettings(), farm.combine, farm.chain, CHAIN)
    for hours, tape in readings:
        done = enter_measurement(farm.store, place, 1, tape, at=AUGUST + timedelta(hours=hours))
    with farm.store.reading() as connection:
        whole = read_farm(farm.store, NOVEMBER)
        measured = outlook_basis(connection, whole).measured
    return MeasuredAnswer(place, tape, done, own_limit, part_measured(measured, whole, measurement_saved(done)))


def test_one_reading_of_a_chain_of_known_age_tells_where_it_meets_the_limit(file_farm: SmallFarm) -> None:
    """At 350 h the chain has grown 8.176 of the 14.905 mm that the limit allows: 350 x 14.905 / 8.176 = 638 h."""
    harvest(file_farm, hours=100)
    assert measured_sentences(answer(file_farm, (50, Tape(505_000))), MEASURES) == [
        "Saved: Kestrel, feeder chain: 19.882 in over 12 pitches, 3 Aug 2026 11:00.",
        "Elongation 1.65 %, limit 3 %: 55 % of the way from new to the limit.",
        "The limit: two chain makers' pages, which refer to ANSI B29.1 and B29.3; for adjustable centres common practice.",
        "The pitch: 1.630 in (CA550, CA555, CA557); pitch from memory, check against the chain's own data sheet.",
        "By the line through 1 reading it meets the limit at 638 h, no interval yet.",
        "It has 400 h now: 238 h to go.",
    ]


def test_several_readings_tell_how_wear_runs_and_how_sure_that_is(file_farm: SmallFarm) -> None:
    """12 micrometres an hour from new (496,824) on, the chain being 300 h old at the start."""
    harvest(file_farm, hours=100)
    found = answer(file_farm, *((hours, Tape(500_424 + 12 * hours)) for hours in (10, 40, 70, 95)))
    said = " ".join(measured_sentences(found, MEASURES))
    assert "By 4 readings wear runs straight (" in said
    assert "Averaged over these, it meets the limit at " in said
    line = measured_answer_json(found, MEASURES)["line"]
    assert set(line["wear_runs"]) == {"straight", "ever_slower", "ever_faster"}
    assert sum(line["wear_runs"].values()) == pytest.approx(1, abs=0.002)


def test_an_interval_without_a_known_end_is_said_so(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    found = answer(file_farm, (20, Tape(497_400)), (50, Tape(496_300)), (80, Tape(498_000)), (95, Tape(497_300)))
    said = " ".join(measured_sentences(found, MEASURES))
    assert "The interval is not known to end: the readings do not say yet that it must." in said
    assert measured_answer_json(found, MEASURES)["line"]["meets_limit_high"] is None


def test_a_limit_of_its_own_is_said_beside_that_of_the_log(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    found = answer(file_farm, (50, Tape(505_000)), own_limit=1.5)
    said = measured_sentences(found, MEASURES)
    assert (found.is_past_limit, said[1]) == (True, "PAST ITS LIMIT: it is worn out.")
    assert any(
        line.startswith("The lines and lives of the log go by 3 % for every feeder conveyor chain") for line in said
    )
    assert "By the line through 1 reading it meets 3 % at 638 h, no interval yet." in said
    assert measured_answer_json(found, MEASURES)["limit_mm"] == pytest.approx(504.276)


def test_a_chain_that_grew_back_and_a_short_span_are_doubted(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    said = measured_sentences(answer(file_farm, (20, Tape(505_000)), (50, Tape(502_000))), MEASURES)
    assert "The reading before was 19.882 in, and parts do not grow back: measure again, or was it renewed?" in said
    short = measured_sentences(answer(file_farm, (60, Tape(169_000, 4))), MEASURES)
    assert "Over 4 pitches a slip of the tape counts much: measure over 6 to 10 or more." in short


def test_a_reading_that_stands_apart_is_doubted(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    steady = [(hours, Tape(500_800 + 18 * hours + (hours % 3) * 10)) for hours in range(10, 80, 10)]
    said = measured_sentences(answer(file_farm, *steady, (90, Tape(509_000))), MEASURES)
    assert "This reading stands apart from the others: measure again; undo it if it was a slip." in said


def test_of_a_part_that_came_off_no_line_is_drawn(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    found = replace(answer(file_farm, (50, Tape(505_000))), part=None)
    assert measured_sentences(found, MEASURES)[-1] == (
        "The part that was measured is not on any more, so no line is drawn for it."
    )
    assert measured_answer_json(found, MEASURES)["line"] is None


@pytest.mark.parametrize(
    ("one", "lines"),
    [
        (
            kind("knife section"),
            ["Nothing is measured on a knife section. --what gap, depth or thickness and a limit set it."],
        ),
        (
            kind("wear plate"),
            [
                "wear plate: gap",
                "  new    not the same on every machine",
                "  limit  0.125 in; a trade article",
                "  sits nowhere yet",
            ],
        ),
        (
            replace(kind("wear plate"), dimension=Dimension.DEPTH, limit_micrometres=None),
            [
                "wear plate: depth",
                "  new    not the same on every machine",
                "  limit  none known",
                "  sits nowhere yet",
            ],
        ),
    ],
    ids=["not measured", "gap", "no limit"],
)
def test_how_a_kind_is_measured_is_said_in_four_lines(one: PartKind, lines: list[str]) -> None:
    assert gauge_lines(one, (), MEASURES) == lines
