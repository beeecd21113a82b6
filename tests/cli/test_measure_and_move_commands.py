"""measure, limit, move and take-off as a person types them; and the lives that are reckoned of parts that moved."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import ACRE, AUGUST, MAY, SmallFarm, harvest, kind
from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Action, Cause, Hazard, MachineKind, Mode
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Component, Measurement
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import Put, add_component, refit
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.kind_life import KindLife, fleet_lives, kind_life
from wearlog.store.finding import find_all

NOVEMBER = datetime.fromisoformat("2026-11-20T18:00Z")
CHAIN = ("measure", "kestrel", "feeder chain")


def readings(farm: SmallFarm) -> list[int]:
    with farm.store.reading() as connection:
        return [one.measured_micrometres for one in find_all(connection, Measurement)]


def test_a_chain_is_measured_against_its_limit_and_the_cautions_come_first(own: Wearlog, file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    ran = own(*CHAIN, "19.9in", "--at", "2026-08-10 12:00")
    assert ran.code == 0
    assert ran.err.splitlines() == list(CAUTIONS[Hazard.UNDER_HEADER])
    said = " ".join(ran.out.split())
    assert said.startswith("Saved: Kestrel, feeder chain: 19.900 in over 12 pitches, 10 Aug 2026 12:00. ")
    assert "Elongation 1.74 %, limit 3 %: 58 % of the way from new to the limit." in said
    assert "two chain makers' pages, which refer to ANSI B29.1 and B29.3" in said
    assert (
        "By the line through 1 reading it meets the limit at 690 h, no interval yet. It has 400 h now: 290 h to go."
        in said
    )
    assert readings(file_farm) == [505_460]
    assert own("undo").out.startswith("Undid: Kestrel, feeder chain: 19.900 in over 12 pitches")
    assert readings(file_farm) == []


def test_another_chain_over_other_pitches_answers_by_its_own_pitch(own: Wearlog, file_farm: SmallFarm) -> None:
    """(424 - 414.02) / 414.02 = 2.41 %: past 1.5 %, 0.59 points short of 3 % (computed; pitch from memory)."""
    found = own(*CHAIN, "424mm", "--chain", "CA550", "--pitches", "10", "--fixed-centres", "--json").json
    assert found["elongation_percent"] == pytest.approx(2.41, abs=0.005)
    assert (found["elongation_limit_percent"], found["past_limit"], found["read_over_pitches"]) == (1.5, True, 10)
    assert found["limit_source"].startswith("for fixed centres")
    assert found["cautions"] == list(CAUTIONS[Hazard.UNDER_HEADER])
    within = own(*CHAIN, "424", "mm", "--pitches", "10", "--json").json
    assert (within["elongation_limit_percent"], within["past_limit"]) == (3.0, False)
    assert readings(file_farm) == [508_800, 508_800]


def test_past_its_limit_is_said_first(own: Wearlog) -> None:
    lines = own(*CHAIN, "20.2in").out.splitlines()
    assert lines[1] == "  PAST ITS LIMIT: it is worn out."
    assert "  Never join new chain to worn; renew hooked sprockets with it." in lines


def test_the_teeth_of_a_large_sprocket_lower_the_limit(own: Wearlog) -> None:
    said = " ".join(own(*CHAIN, "19.9in", "--teeth", "90").out.split())
    assert "Elongation 1.74 %, limit 2.22 %: 78 % of the way" in said
    assert "wearlog limit 'feeder conveyor chain' '2.22 %' changes that." in said


def test_a_fraction_without_quotes_is_a_value_and_no_position(own: Wearlog, file_farm: SmallFarm) -> None:
    assert own(*CHAIN, "19", "7/8in").code == 0
    assert own(*CHAIN, "19-7/8").code == 0
    assert readings(file_farm) == [504_825, 504_825]


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        ((*CHAIN, "-3in"), 2, "'-3in' is below zero"),
        ((*CHAIN, "199in"), 4, "10 times as long as new"),
        ((*CHAIN, "424mm"), 4, "It looks like 10 pitches"),
        ((*CHAIN, "19.9in", "--chain", "CA999"), 2, "The pitch of chain 'CA999' is not known here."),
        ((*CHAIN, "19.9in", "--limt"), 2, "No such option: --limt."),
        ((*CHAIN, "2", "19.9in"), 2, "feeder chain has no position 2."),
        (("measure", "kestrel", "feeder", "chain", "19.9in"), 2, "'chain' is not a position."),
        (("measure", "kestrel"), 2, "what does it measure?"),
        (("measure", "north", "knife", "4", "3mm"), 4, "wearlog limit 'knife section'"),
        ((*CHAIN, "19.9in", "--at", "2001-01-01"), 4, "Nothing was fitted at Kestrel, feeder chain then"),
        (("measure", "kestrel", "concave", "3mm"), 3, "There is no place 'concave' on Kestrel."),
    ],
)
def test_what_cannot_be_measured_is_a_clear_sentence_and_nothing_is_saved(
    own: Wearlog, file_farm: SmallFarm, words: tuple[str, ...], code: int, sentence: str
) -> None:
    ran = own(*words)
    assert (ran.code, ran.out) == (code, "")
    assert sentence in ran.err
    assert CAUTIONS[Hazard.UNDER_HEADER][0] not in ran.err
    assert readings(file_farm) == []


def test_a_kind_that_nobody_measured_is_set_once_and_then_measured(own: Wearlog) -> None:
    assert "Nothing is measured on a knife section." in own("limit", "knife section").out
    found = own("limit", "knife section", "2mm", "--what", "thickness", "--new", "3mm", "--json").json
    assert (found["new_mm"], found["limit_mm"], found["dimension"]) == (3.0, 2.0, "thickness")
    ran = own("measure", "north", "knife", "4", "2.5mm", "--json").json
    assert (ran["position"], ran["worn_share"], ran["past_limit"]) == (4, 0.5, False)
    assert own("measure", "north", "knife", "4", "1.9mm", "--json").json["past_limit"] is True


def test_the_limit_of_a_chain_is_shown_and_set_as_an_elongation(own: Wearlog) -> None:
    assert "  limit  20.147 in, 3 %;" in own("limit", "feeder conveyor chain").out
    assert own("limit", "feeder conveyor chain", "1.5 %", "--json").json["elongation_limit_percent"] == 1.5
    by_teeth = own("limit", "feeder conveyor chain", "--teeth", "80", "--json").json
    assert by_teeth["elongation_limit_percent"] == 2.5
    both = own("limit", "feeder conveyor chain", "1.5 %", "--teeth", "80")
    assert (both.code, "not both" in both.err) == (2, True)
    assert own("limit", "concave", "--teeth", "80").code == 2


def test_the_json_of_a_limit_says_what_was_saved(own: Wearlog) -> None:
    shown = own("limit", "feeder conveyor chain", "--json").json
    assert (shown["saved"], shown["entry"]) == (None, None)
    found = own("limit", "feeder conveyor chain", "--teeth", "90", "--json").json
    assert found["saved"] == "set how feeder conveyor chain is measured"
    assert own("undo").out.startswith(f"Undid: {found['saved']}")
    assert own("limit", "feeder conveyor chain", "--json").json == shown


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("feeder conveyor chain", "-3 %"), "'-3 %' is below zero."),
        (("feeder conveyor chain", "-0.3in"), "'-0.3in' is below zero"),
        (("feeder conveyor chain", "--limt", "3"), "No such option: --limt."),
        (("feeder", "conveyor", "chain"), "'conveyor' is not a limit."),
    ],
)
def test_a_limit_that_is_none_is_a_clear_sentence(own: Wearlog, words: tuple[str, ...], sentence: str) -> None:
    ran = own("limit", *words)
    assert (ran.code, ran.out) == (2, "")
    assert sentence in ran.err
    assert "  limit  20.147 in, 3 %;" in own("limit", "feeder conveyor chain").out


def test_the_unit_of_a_limit_may_stand_apart(own: Wearlog) -> None:
    assert own("limit", "feeder conveyor chain", "1.5", "%", "--json").json["elongation_limit_percent"] == 1.5


# moving ---------------------------------------------------------------------------------------------------------------


def south(farm: SmallFarm) -> tuple[Machine, Component]:
    """A second header with an empty knife."""
    header = Machine(name="South", kind=MachineKind.HEADER, cut_width_micrometres=12_192_000)
    add_machine(farm.store, header, at=MAY)
    knife = Component(machine_id=header.id, part_kind_id=kind("knife section").id, place="knife", positions=160)
    add_component(farm.store, knife)
    return header, knife


def test_a_moved_part_has_the_age_it_had(own: Wearlog, file_farm: SmallFarm) -> None:
    south(file_farm)
    harvest(file_farm, acres=100)
    ran = own("move", "north", "knife", "41-43", "to", "south", "--at", "2026-08-10 12:00")
    assert ran.err.splitlines() == list(CAUTIONS[Hazard.KNIFE])
    assert ran.out.splitlines() == [
        "Saved: moved North, knife sections 41-43 to South, knife sections 41-43, 10 Aug 2026 12:00.",
        "  Age that goes along: 100.0 ac.",
        "  'wearlog undo' takes it back.",
    ]
    again = own("move", "south", "knife", "41", "to", "north", "41", "--at", "2026-08-11 12:00", "--json").json
    assert (again["ages"], again["unit"]) == ([100.0], "acres")


def test_an_unknown_age_stays_unknown(own: Wearlog, file_farm: SmallFarm) -> None:
    south(file_farm)
    refit(file_farm.store, file_farm.knife, (5,), at=AUGUST, put=Put(age_usage=None))
    ran = own("move", "north", "knife", "5", "to", "south", "knife", "9")
    assert "Its age was not known and stays unknown." in ran.out
    assert own("move", "south", "knife", "to", "north", "5", "--json").json["ages"] == [None]


def test_a_place_that_is_taken_needs_replace_and_a_place_of_another_kind_is_none(
    own: Wearlog, file_farm: SmallFarm
) -> None:
    south(file_farm)
    assert own("move", "north", "knife", "1", "to", "south").code == 0
    refused = own("move", "north", "knife", "2", "to", "south", "1")
    assert (refused.code, "There is a part at South, knife section 1 already." in refused.err) == (4, True)
    assert "off there, planned: 1" in own("move", "north", "knife", "2", "to", "south", "1", "--replace").out
    assert (
        "There is no place for a feeder conveyor chain on South." in own("move", "kestrel", "feeder", "to", "south").err
    )
    assert "different kinds" in own("move", "north", "knife", "3", "to", "kestrel", "feeder").err
    assert own("move", "north", "knife", "3", "south").code == 2
    assert own("undo").out.startswith("Undid: moved North, knife section 2 to South, knife section 1, ")


def test_parts_come_off_and_the_place_stays_empty(own: Wearlog) -> None:
    ran = own("take-off", "north", "knife", "41-43", "--scrapped", "--at", "2026-08-10 12:00")
    assert ran.out.splitlines()[0] == "Saved: took off North, knife sections 41-43, 10 Aug 2026 12:00."
    assert ran.err.splitlines() == list(CAUTIONS[Hazard.KNIFE])
    again = own("take-off", "north", "knife", "41-43")
    assert (again.code, "Nothing is fitted at North, knife sections 41-43." in again.err) == (4, True)
    assert CAUTIONS[Hazard.KNIFE][0] not in again.err
    own("undo")
    assert own("take-off", "north", "knife").out.startswith("Saved: took off North, knife sections, all 160, ")


def broken(farm: SmallFarm, component: Component, at: datetime) -> None:
    log_breakage(
        farm.store,
        BreakageEntry(
            component_id=component.id,
            positions=(41, 90),
            at=at,
            cause=Cause.WEAR,
            mode=Mode.BROKEN,
            action=Action.REPLACED,
        ),
    )


def sections(farm: SmallFarm) -> tuple[KindLife, list[tuple[float, float]]]:
    """The life of knife sections, and the ages in acres between which each worn one was watched."""
    found = fleet_lives(read_farm(farm.store, NOVEMBER))
    number = next(place for place, one in enumerate(found.farm.part_kinds) if one.name == "knife section")
    records = found.records
    worn = (records.part_kind == number) & (records.ended_by == 1)
    ages = zip(records.entry[worn] / ACRE, records.exit[worn] / ACRE, strict=True)
    return kind_life(found, number), [(round(entry, 3), round(end, 3)) for entry, end in ages]


def test_a_part_that_moved_is_one_life_going_on(own: Wearlog, file_farm: SmallFarm) -> None:
    """160 sections run 100 and then 60 acres, two wear out: on one header or moved to another, the same life comes out."""
    header, knife = south(file_farm)
    harvest(file_farm, acres=100)
    harvest(file_farm, acres=60, at=AUGUST + timedelta(days=12))
    broken(file_farm, file_farm.knife, AUGUST + timedelta(days=20))
    stayed, ages = sections(file_farm)
    assert ages == [(0, 160), (0, 160)]
    undo(file_farm.store)
    undo(file_farm.store)
    assert own("move", "north", "knife", "to", "south", "--at", "2026-08-10 12:00").code == 0
    hitch(file_farm.store, header, file_farm.combine, at=AUGUST + timedelta(days=10))
    harvest(file_farm, acres=60, at=AUGUST + timedelta(days=12))
    broken(file_farm, knife, AUGUST + timedelta(days=20))
    moved, ages = sections(file_farm)
    # the second half of each enters at the age at which the first was left whole
    assert ages == [(100, 160), (100, 160)]
    assert moved.lives.failures == stayed.lives.failures == 2
    assert moved.lives.exposure / ACRE == pytest.approx(160 * 160, abs=0.1)
    assert stayed.lives.exposure / ACRE == pytest.approx(160 * 160, abs=0.1)
    assert moved.posterior is not None
    assert stayed.posterior is not None
    one, other = moved.posterior.median_life(), stayed.posterior.median_life()
    assert (one.median, one.low, one.high) == pytest.approx((other.median, other.low, other.high), rel=1e-6)


def test_a_chain_that_moved_is_measured_on_at_its_own_age(own: Wearlog, file_farm: SmallFarm) -> None:
    other = Machine(name="Merlin", kind=MachineKind.COMBINE)
    add_machine(file_farm.store, other, at=MAY)
    add_component(
        file_farm.store,
        Component(machine_id=other.id, part_kind_id=kind("feeder conveyor chain").id, place="feeder chain"),
    )
    harvest(file_farm, hours=100)
    moved = own("move", "kestrel", "feeder", "to", "merlin", "--at", "2026-08-10 12:00", "--json").json
    assert moved["ages"] == pytest.approx([400], abs=1e-3)
    line = own("measure", "merlin", "feeder", "19.9in", "--json").json["line"]
    assert line["now"] == pytest.approx(400, abs=0.1)
    assert line["meets_limit_at"] == pytest.approx(690.4, abs=0.1)
