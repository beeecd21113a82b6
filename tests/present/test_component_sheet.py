"""What sits on a machine: its lives are those of the list of kinds; headings, alarms and the bar stand where they should."""

from __future__ import annotations

from dataclasses import replace
from math import exp
from pathlib import Path

import pytest

from tests.farm_fixtures import demo_file
from wearlog.cli.brief_commands import DEMO_DAY
from wearlog.facts.farm_settings import FarmSettings
from wearlog.logbook.open_log import opened
from wearlog.present.digits import Measures
from wearlog.present.sheet_faces import sheet_json, table_lines
from wearlog.present.wear.wear_sheet import wear_sheet
from wearlog.present.work.daybook_sheet import breakage_sentences, short_word
from wearlog.present.yard.component_words import life_of_component
from wearlog.present.yard.machine_page import component_sheet, machine_page
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.files import breakage_query, page_of, stood_seconds
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, WearOutlook, wear_outlook
from wearlog.reckoning.yard.machine_view import MachineView, machine_view
from wearlog.tui.widgets.list_rows import headed_source

__all__ = ["demo_file"]

MEASURES = Measures(FarmSettings())


@pytest.fixture(scope="module")
def outlook(demo_file: Path) -> WearOutlook:
    with opened(str(demo_file)) as store, store.reading() as connection:
        return wear_outlook(connection, farm_from(connection, DEMO_DAY))


def view_of(demo_file: Path, outlook: WearOutlook, name: str) -> MachineView:
    (machine,) = (one for one in outlook.farm.machines if one.name == name)
    with opened(str(demo_file)) as store, store.reading() as connection:
        return machine_view(connection, outlook.farm, machine.id)


@pytest.mark.parametrize("name", ["Alder", "Kestrel"])
def test_a_machine_says_the_life_that_its_own_list_of_kinds_says(
    demo_file: Path, outlook: WearOutlook, name: str
) -> None:
    """Kinds of which none has failed yet too: what has lasted has moved their guess."""
    with opened(str(demo_file)) as store, store.reading() as connection:
        here = int(outlook.farm.machine_number(next(one.id for one in outlook.farm.machines if one.name == name)))
        own = wear_outlook(connection, outlook.farm, here)
    kinds = sheet_json(wear_sheet(own.kinds, own.farm.machines, own.ahead, MEASURES))["kinds"]
    lives = {kind["kind"]: [kind[key] for key in ("life_low", "life_high", "failures", "unit")] for kind in kinds}
    rows = sheet_json(component_sheet(view_of(demo_file, outlook, name), MEASURES))["components"]
    assert len(rows) > 8
    assert [[row[key] for key in ("life_low", "life_high", "failures", "unit")] for row in rows] == [
        lives[row["kind"]] for row in rows
    ]
    assert name == "Kestrel" or any(row["failures"] == 0 for row in rows)


def test_a_machine_says_what_stops_it_next_and_then_what_waits(demo_file: Path, outlook: WearOutlook) -> None:
    """Which part, how likely, and when; what runs broken stands before it, an open fault and what is overdue behind it."""
    sheets = {
        name: component_sheet(view_of(demo_file, outlook, name), MEASURES)
        for name in ("Alder", "Kestrel", "Merlin", "Plover")
    }
    said = {name: sheet.answer for name, sheet in sheets.items()}
    assert said["Alder"] == "Next to break: unloading shear bolt, 71 % in 2027, even odds within 150 h."
    waits = "Now find the open fault: controllers drop off the data line; then do the overdue service: fire"
    assert sheets["Alder"].halves[1].startswith(waits)
    knife = "Next to break: one knife section of 160, over 99 % in 2027, even odds within"
    assert said["Kestrel"] == f"FIRST mend what runs broken: knife section 46. {knife} 330 ac."
    assert said["Merlin"] == f"{knife} 130 ac."
    overdue = "Now do the overdue service: draper and idler rollers: grease, 246 h over, and 1 more."
    assert sheets["Merlin"].halves[1].startswith(overdue)
    assert said["Plover"].startswith("Next to break: one knife section of 120, over 99 % in 2027, even odds within ")


def test_a_machine_of_which_nothing_says_what_is_to_come_says_what_is_furthest_into_its_life(
    demo_file: Path, outlook: WearOutlook
) -> None:
    unsaid = replace(view_of(demo_file, outlook, "Plover"), next=None)
    assert component_sheet(unsaid, MEASURES).answer.startswith(
        "Nothing waits. Furthest into its life: cross auger fingers, 13,351 ac old;"
    )
    waits = replace(view_of(demo_file, outlook, "Alder"), next=None)
    assert component_sheet(waits, MEASURES).answer == "FIRST find the open fault: controllers drop off the data line."


def test_what_the_answer_names_stands_first_in_the_list_under_what_it_says_of_it(
    demo_file: Path, outlook: WearOutlook
) -> None:
    for name, headings in (("Alder", ["NEXT TO BREAK"]), ("Kestrel", ["RUNS BROKEN"])):
        page = machine_page(view_of(demo_file, outlook, name))
        assert [heading for heading, _ in page.named] == headings
        assert page.named[0][1][0] == page.first
    unsaid = machine_page(replace(view_of(demo_file, outlook, "Plover"), next=None))
    assert unsaid.named == (("FURTHEST INTO ITS LIFE", (unsaid.first,)),)


def test_a_component_says_in_words_how_long_such_parts_last_and_from_how_many_failures(
    demo_file: Path, outlook: WearOutlook
) -> None:
    sheet = component_sheet(view_of(demo_file, outlook, "Alder"), MEASURES)
    said = {row.component.place: sheet.about(row, MEASURES) for row in sheet.rows}
    bolt = said["unloading shear bolt"]
    assert (
        bolt == "half of such parts last 124 to 266 h (90 % sure, from 18 failures); broke 7 times, last on 3 Sep 2024."
    )
    assert "(a guess: none has failed yet)" in said["rasp bars"]


def test_the_strips_of_a_machine_stand_in_its_own_usual_season_with_the_half_life_inside_its_interval(
    demo_file: Path, outlook: WearOutlook
) -> None:
    """A whole harvest's run on the machine's own meter: the same scale as the list of the wear."""
    for row in view_of(demo_file, outlook, "Alder").components:
        life = life_of_component(row)
        assert row.season is not None
        assert life.low is not None
        assert life.median is not None
        assert life.high is not None
        assert life.low < life.median < life.high
        assert life.guessed is (row.life.failures == 0)
        by_kind = next(one for one in outlook.kinds if one.life.kind.id == row.kind.id)
        if len({one.machine_id for one in by_kind.components}) == 1:
            assert row.season == pytest.approx(by_kind.season)


@pytest.mark.parametrize("name", ["Alder", "Juniper", "Kestrel", "Merlin", "Plover", "Wren"])
def test_what_breaks_next_is_likelier_than_all_else_and_its_half_way_is_that_of_its_parts(
    demo_file: Path, outlook: WearOutlook, name: str
) -> None:
    """Reckoned anew from the list of kinds: every part by its age alone, stones evenly over the season."""
    view = view_of(demo_file, outlook, name)
    found = view.next
    assert found is not None
    assert found.within is not None
    here = [one for kind in outlook.kinds for one in kind.components if one.machine_id == view.machine.id]
    whole = {one.component_id: lasting(one, one.usage) for one in here}
    assert found.chance == pytest.approx(1 - whole[found.component_id], abs=1e-6)
    assert found.chance >= 1 - min(whole.values()) - 1e-9
    (one,) = (one for one in here if one.component_id == found.component_id)
    assert lasting(one, found.within) == pytest.approx(0.5, abs=0.03)


def lasting(one: ComponentOutlook, usage: float) -> float:
    """The chance that nothing of a component breaks within a usage."""
    assert one.law is not None
    share, lasts = usage / one.usage, 1.0
    for group in one.groups:
        if group.failed or group.age is None or group.survives is None:
            continue
        chance = group.survives**share
        if not group.by_measurement:
            chance = one.law.survival_between([group.age], [group.age + usage]).mean.item()
        lasts *= chance ** len(group.positions)
    return lasts * exp(-share * one.expected_impacts)


def test_the_last_breakage_says_how_long_the_machine_stood(demo_file: Path) -> None:
    query = breakage_query("", "when", backwards=True, spoken=short_word)
    with opened(str(demo_file)) as store, store.reading() as connection:
        left, mended = page_of(connection, query, 0, 2)
        stood = [stood_seconds(connection, row.repair_id) for row in (left, mended)]
    assert stood == [None, (4 * 60 + 16) * 60.0]
    unknown, known = (
        breakage_sentences([row], 2, MEASURES, stood=one)[0] for row, one in zip((left, mended), stood, strict=True)
    )
    assert unknown.startswith("The last breakage: Kestrel knife section 46, fatigue, runs broken since 10 Sep 2026;")
    assert unknown.endswith("; how long it stood is not noted.")
    assert known.endswith("; stood 4 h 16 min.")


def test_subsystems_stand_over_their_components_in_a_list_and_beside_them_where_there_is_room(
    demo_file: Path, outlook: WearOutlook
) -> None:
    sheet = component_sheet(view_of(demo_file, outlook, "Kestrel"), MEASURES)
    source = headed_source(sheet, "subsystem")
    headings = [row.cells[0] for row in source.rows if row.heading]
    assert len(headings) == len(set(headings))
    assert [row.key for row in source.rows if not row.heading] == [row.component.id for row in sheet.rows]
    assert [column.title for column in source.columns][:2] == ["component", "age"]
    assert all(len(row.cells) == len(source.columns) for row in source.rows if not row.heading)
    assert headings[0].casefold() == table_lines(sheet)[2].split("  ")[0].casefold()
    (knife,) = (row for row in source.rows if "knife sections" in row.cells[0])
    assert knife.alarm
    assert "1 BROKEN: 46" in knife.cells
    assert "1 BROKEN: 46" in "\n".join(table_lines(sheet, 60))
