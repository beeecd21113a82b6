"""The table of kinds at every width, the season in words, and what is said of measurements and of the best age to replace."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from tests.farm_fixtures import demo_file
from wearlog.cli.brief_commands import DEMO_DAY
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.logbook.open_log import opened
from wearlog.present.digits import Measures
from wearlog.present.sheet_faces import answer_lines, table_lines
from wearlog.present.tables import width
from wearlog.present.wear.kind_explained import explained
from wearlog.present.wear.kind_page import kind_lines, kind_page
from wearlog.present.wear.kind_part_sheet import by_threat, chance_text, shown_groups
from wearlog.present.wear.measured_sheet import measured_notes, measured_sheet, season_text
from wearlog.present.wear.records_alone_words import replacement_sentence
from wearlog.present.wear.repair_sheet import between_text
from wearlog.present.wear.wear_charts import measurement_chart
from wearlog.present.wear.wear_sheet import wear_sheet
from wearlog.present.wear.wear_tables import reading_sheet
from wearlog.present.wear.wear_words import season_sentence
from wearlog.reckoning.farm import Farm, farm_from
from wearlog.reckoning.wear.age_groups import AgeGroup
from wearlog.reckoning.wear.kind_view import KindView, kind_view
from wearlog.reckoning.wear.repairs_again import RateFrom, UsageBetween
from wearlog.reckoning.wear.replacement_age import NoAge, replacement_age
from wearlog.reckoning.wear.season_ahead import SeasonAhead, TakenFrom
from wearlog.reckoning.wear.wear_outlook import WearOutlook, wear_outlook

__all__ = ["demo_file"]

MEASURES = Measures(FarmSettings())
ACRE = 4046.8564224


@pytest.fixture(scope="module")
def outlook(demo_file: Path) -> Iterator[WearOutlook]:
    with opened(str(demo_file)) as store, store.reading() as connection:
        yield wear_outlook(connection, farm_from(connection, DEMO_DAY))


@pytest.fixture(scope="module")
def farm(outlook: WearOutlook) -> Farm:
    return outlook.farm


@pytest.fixture(scope="module")
def chain(demo_file: Path, farm: Farm) -> Iterator[KindView]:
    """The measured elevator chains of the demo fleet."""
    with opened(str(demo_file)) as store, store.reading() as connection:
        number = next(place for place, one in enumerate(farm.part_kinds) if one.name == "clean grain elevator chain")
        yield kind_view(connection, farm, number)


@pytest.mark.parametrize("name", ["hold-down", "feeder conveyor chain", "knife section", "reel tine", "rasp bars"])
def test_the_page_of_a_kind_keeps_to_80_columns(demo_file: Path, name: str) -> None:
    with opened(str(demo_file)) as store, store.reading() as connection:
        farm = farm_from(connection, DEMO_DAY)
        number = next(place for place, one in enumerate(farm.part_kinds) if one.name == name)
        view = kind_view(connection, farm, number)
        age = replacement_age(connection, farm, view.row)
    lines = kind_lines(kind_page(view, age, farm, MEASURES), 80)
    assert max(width(line) for line in lines) <= 80
    assert any(line.startswith("machine") and line.endswith("expected") for line in lines)
    assert max(width(line) for line in explained(view, MEASURES, 80)) <= 80


def test_a_table_of_measurements_keeps_when_the_limit_is_met_and_tells_the_limit_below(
    chain: KindView, farm: Farm
) -> None:
    sheet = measured_sheet(chain.measured, farm, MEASURES)
    wide, narrow, phone = (answer_lines(sheet, room) for room in (100, 60, 44))
    assert "20.060 in (2.6 %)  20.147 in (3.0 %)" in wide[2]
    assert "limit" not in narrow[0]
    for lines in (wide, narrow, phone):
        assert "1,750 (1,660-1,910) h" in lines[2]
        assert "21 %" in lines[2]
        assert "The limit is 20.147 in (3.0 %)." in lines
    assert phone[0].split("  ")[0] == "machine"
    assert max(width(line) for line in phone) <= 44


@pytest.mark.parametrize("wide", [44, 60, 80, 100])
def test_the_parts_of_a_kind_keep_where_they_are_and_their_chance_at_every_width(
    chain: KindView, farm: Farm, wide: int
) -> None:
    lines = table_lines(kind_page(chain, NoAge.NO_PRICE, farm, MEASURES).parts, wide)
    assert lines[0].startswith("machine")
    assert "positions" in lines[0]
    assert "lasts season by wear" in lines[0]
    assert max(width(line) for line in lines) <= wide


def test_groups_that_look_alike_are_one_and_lose_as_many_as_they_are(chain: KindView) -> None:
    groups = (
        AgeGroup((1, 4), 5.0, 0.501, 0.4, 0.6),
        AgeGroup((2,), 5.0, 0.499, 0.4, 0.6),
        AgeGroup((3,), 5.0, 0.499, by_measurement=True),
        AgeGroup((5,), None, None),
        AgeGroup((7,), None, None),
    )
    one = dataclasses.replace(chain.row.components[0], groups=groups)
    found = shown_groups(one, chain, MEASURES)
    assert [group.positions for group in found] == [(1, 2, 4), (3,), (5, 7)]
    expected = [group.expected for group in found]
    assert expected[0] == pytest.approx(2 * 0.499 + 0.501)
    assert expected[1:] == [pytest.approx(0.501), None]


def wear_lines(outlook: WearOutlook, wide: int) -> list[str]:
    sheet = wear_sheet(outlook.kinds, outlook.farm.machines, outlook.ahead, MEASURES)
    return answer_lines(sheet, wide, headed=True)


@pytest.mark.parametrize("wide", [60, 70, 80, 90, 100, 140])
def test_the_table_keeps_to_its_width_and_to_the_label(outlook: WearOutlook, wide: int) -> None:
    lines = wear_lines(outlook, wide)
    rows = lines[2 : lines.index("")]
    assert len(rows) == len(outlook.kinds)
    assert lines[0].endswith("known from")
    assert all(row.endswith(("+ guess", "guess only", "worn")) or " in " in row[-12:] for row in rows)
    if wide >= 80:
        assert max(len(line) for line in lines) <= wide


def test_a_wide_table_gives_nothing_up_and_explains_only_its_columns(outlook: WearOutlook) -> None:
    wide, narrow = wear_lines(outlook, 140), wear_lines(outlook, 80)
    assert "clean grain elevator chain" in "\n".join(wide)
    assert any(line.startswith("B10:") for line in wide)
    assert not any(line.startswith(("B10:", "rate:")) for line in narrow)


def ahead(taken_from: TakenFrom, years: tuple[int, ...], acres: float) -> SeasonAhead:
    nothing = np.zeros((1, 4))
    return SeasonAhead(None, taken_from, years, nothing, nothing[:, :3], acres * ACRE)


@pytest.mark.parametrize(
    ("season", "words"),
    [
        (ahead(TakenFrom.SEASONS, (2026,), 600), "nobody planned it; taken like the last one, 600 ac."),
        (ahead(TakenFrom.SEASONS, (2024, 2025, 2026), 600), "taken as the mean of the last 3, 600 ac."),
        (
            ahead(TakenFrom.CALENDAR_YEARS, (2025, 2026), 600),
            "taken as the mean of 2025 and 2026, 600 ac (whole calendar years, where no season is entered: "
            "'wearlog add season YEAR').",
        ),
        (ahead(TakenFrom.CALENDAR_YEARS, (2026,), 600), "taken like 2026, 600 ac (whole calendar years,"),
        (ahead(TakenFrom.NOTHING, (), 0), "none is planned and nothing has been cut, so nothing can be expected of it"),
    ],
)
def test_the_season_ahead_says_what_it_was_taken_from(season: SeasonAhead, words: str) -> None:
    assert words in season_sentence(season, MEASURES)


def test_what_failed_stands_first_and_nothing_is_said_of_an_unknown_season() -> None:
    old = AgeGroup((1,), 5.0, 0.5, 0.4, 0.6)
    failed = AgeGroup((2,), 1.0, 0.0, failed=True)
    unknown = AgeGroup((3,), None, None)
    by_line = AgeGroup((4,), None, None, past_by_line=True)
    assert by_threat([old, unknown, failed, by_line]) == [failed, by_line, old, unknown]
    known, nothing = ahead(TakenFrom.SEASONS, (2026,), 600), ahead(TakenFrom.NOTHING, (), 0)
    surely = AgeGroup((5,), 1.0, 0.999, 0.996, 0.9999)
    # an interval that lies over 99 % is not rounded to a certainty
    assert chance_text(surely, known) == "over 99 %"
    assert [chance_text(one, known) for one in (old, failed, unknown, by_line)] == [
        "50 % (40-60 %)",
        "BROKEN, still runs",
        "age unknown",
        "past limit by its line",
    ]
    assert [chance_text(one, nothing) for one in (old, failed)] == ["-", "BROKEN, still runs"]


def test_a_measurement_chart_marks_where_a_reading_would_cross(chain: KindView) -> None:
    part = next(one for one in chain.measured if one.usage.size == 12)
    crossing, chart = part.crossing(), measurement_chart(part, MEASURES)
    assert crossing is not None
    assert chart is not None
    marks = [curve.x for curve in chart.curves if len(set(curve.x)) == 1]
    hours = [(end / 3600,) * 2 for end in (crossing.low, crossing.high) if end is not None]
    assert marks == hours
    assert chart.x_end > hours[-1][0]
    table = "\n".join(table_lines(reading_sheet(part, MEASURES)))
    assert f"{crossing.usage / 3600:,.0f} h" in table


def test_a_reading_that_stands_apart_and_a_line_past_its_limit_are_said(chain: KindView) -> None:
    part = next(one for one in chain.measured if one.usage.size == 12)
    assert part.line is not None
    apart = np.zeros(12, dtype=bool)
    apart[3] = True
    odd = dataclasses.replace(part, line=dataclasses.replace(part.line, outlier=apart))
    assert "1 reading stands apart from the rest and is in the line all the same: 19.720 in at 506 h" in " ".join(
        measured_notes([odd], MEASURES)
    )
    late = dataclasses.replace(part, usage_now=2000 * 3600.0)
    assert season_text(late) == "PAST?"
    assert measured_notes([late], MEASURES)[-1] == "1 part must be past its limit by now, by the line: measure again."


def test_usage_between_breakages_has_its_interval() -> None:
    between = UsageBetween(87.2 * 3600, 71 * 3600, math.inf, 0.9, exact=True, rests_on=RateFrom.POWER_LAW)
    assert between_text(between, MeterKind.SEPARATOR_HOURS, MEASURES) == "87 h (71-no end)"
    assert between_text(None, MeterKind.SEPARATOR_HOURS, MEASURES) == "-"


def test_the_age_that_costs_least_is_said_only_where_it_pays(demo_file: Path, outlook: WearOutlook) -> None:
    row = next(one for one in outlook.kinds if one.life.kind.name == "drive chain")
    with opened(str(demo_file)) as store, store.reading() as connection:
        found = replacement_age(connection, farm_from(connection, DEMO_DAY), row)
    assert not isinstance(found, NoAge)
    said = replacement_sentence(found, row.life, MEASURES)
    assert said.startswith("Replacing at ")
    assert "less than running to failure" in said
    never = dataclasses.replace(found, best=dataclasses.replace(found.best, age=math.inf))
    assert replacement_sentence(never, row.life, MEASURES).startswith("Running it to failure costs least")
    assert "no part of this kind has a price" in replacement_sentence(NoAge.NO_PRICE, row.life, MEASURES)
    assert "how long such a repair takes" in replacement_sentence(NoAge.NO_TIME, row.life, MEASURES)
    assert replacement_sentence(NoAge.NO_LIFE, row.life, MEASURES) == ""
