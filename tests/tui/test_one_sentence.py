"""What a person did is said in one sentence: by the command, in the history, by the screen; and the forms show it before."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

import pytest

from tests.cli.running import Wearlog, on_log, runner
from tests.farm_fixtures import entered_farm
from tests.small_farm import ACRE, SmallFarm, harvest, land
from wearlog.facts.closed_lists import (
    Action,
    Cause,
    CheckKind,
    CheckVerdict,
    Choice,
    FaultMode,
    MeterKind,
    Mode,
    Sensor,
    StockChange,
    StopReason,
)
from wearlog.facts.electrics import Fault
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import ServiceItem
from wearlog.facts.parts import StockMove
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.facts.work import Crop, Field, Run, Stoppage
from wearlog.logbook.farm.farm_setting import change_settings
from wearlog.logbook.faults.fault_sentences import CheckEntry
from wearlog.logbook.faults.faulting import FindingEntry
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.measuring import Tape, place_named
from wearlog.logbook.parts.upkeep import add_service
from wearlog.logbook.plan.planning import LineChoice, make_plan
from wearlog.logbook.said.amounts import per_hectare, read_frame
from wearlog.reckoning.files import recent_deeds
from wearlog.store.finding import find_all, settings_of
from wearlog.store.location import Location
from wearlog.store.opening import open_store
from wearlog.tui.door import Door
from wearlog.tui.draft import Draft
from wearlog.tui.questions.faults import NewFault, checked, closed, save_fault
from wearlog.tui.questions.harvest import save_count, save_load, save_sample
from wearlog.tui.questions.history import undo_deed
from wearlog.tui.questions.parts import breakage_choices, save_breakage
from wearlog.tui.questions.plan import save_choices
from wearlog.tui.questions.work import (
    runs_again,
    save_fitted,
    save_measured,
    save_move,
    save_readings,
    save_run,
    save_stoppage,
)
from wearlog.tui.typed import moment_reader

__all__ = ["entered_farm"]
F = TypeVar("F", bound=Fact)

#: what is typed, by the farm's clock; this machine's clock is another one
FARM_ZONE = "Asia/Tokyo"
TYPED = "2026-08-10 14:05"
AT = datetime.fromisoformat(TYPED).replace(tzinfo=ZoneInfo(FARM_ZONE))


@dataclass(frozen=True)
class TwoLogs:
    """The same farm twice: commands write to the one, the questions of the screens to the other."""

    farm: SmallFarm
    typed: Wearlog
    door: Door
    files: tuple[Path, Path]

    def kept(self, which: int) -> str:
        """The newest sentence of a history."""
        store = open_store(Location(file=self.files[which]))
        try:
            rows, _ = recent_deeds(store, 1)
        finally:
            store.close()
        return rows[0].deed.said

    def row(self, fact: type[F]) -> F:
        with self.door.log.reading() as connection:
            return find_all(connection, fact)[0]


@pytest.fixture(scope="module")
def ready(
    tmp_path_factory: pytest.TempPathFactory, entered_farm: tuple[SmallFarm, tuple[object, ...], Path]
) -> tuple[SmallFarm, Path]:
    found, _, file = entered_farm
    copy = shutil.copyfile(file, tmp_path_factory.mktemp("two") / "ready.db")
    store = open_store(Location(file=copy))
    farm = replace(found, store=store)
    land(farm)
    harvest(farm)
    add_service(
        store,
        ServiceItem(
            machine_id=farm.combine.id, name="engine oil", meter_kind=MeterKind.ENGINE_HOURS, interval_usage=250 * 3600
        ),
    )
    make_plan(store, 2027)
    change_settings(store, {"time_zone": FARM_ZONE})
    store.close()
    return farm, copy


@pytest.fixture
def two(tmp_path: Path, ready: tuple[SmallFarm, Path], capsys: pytest.CaptureFixture[str]) -> Iterator[TwoLogs]:
    farm, file = ready
    files = (shutil.copyfile(file, tmp_path / "typed.db"), shutil.copyfile(file, tmp_path / "shown.db"))
    door = Door(str(files[1]))
    yield TwoLogs(farm, on_log(runner(capsys), files[0]), door, files)
    door.close()


def breakage(two: TwoLogs) -> str:
    choice = breakage_choices(two.door).of(two.farm.knife.id)
    assert choice is not None
    draft = Draft(choice, (41, 42, 43), Cause.IMPACT, Mode.BROKEN, Action.REPLACED, 1200, None, AT, "by the gate")
    return save_breakage(two.door, draft)


def run(two: TwoLogs) -> str:
    field, crop = two.row(Field), two.row(Crop)
    return save_run(
        two.door,
        Run(
            combine_id=two.farm.combine.id,
            field_id=field.id,
            crop_id=crop.id,
            started_at=AT - timedelta(hours=4),
            ended_at=AT,
            area_square_metres=round(40 * ACRE),
            separator_seconds=4 * 3600,
        ),
    )


def readings(two: TwoLogs) -> str:
    return save_readings(two.door, two.farm.combine, {MeterKind.ENGINE_HOURS: 2331 * 3600 + 1800}, AT, replaced=False)


def stoppage(two: TwoLogs) -> str:
    ended = AT + timedelta(minutes=45)
    return save_stoppage(
        two.door, Stoppage(machine_id=two.farm.combine.id, started_at=AT, ended_at=ended, reason=StopReason.WAITING)
    )


def stands(two: TwoLogs) -> str:
    return save_stoppage(two.door, Stoppage(machine_id=two.farm.combine.id, started_at=AT, reason=StopReason.WEATHER))


def measured(two: TwoLogs) -> str:
    with two.door.log.reading() as connection:
        place = place_named(known_names(connection), two.farm.combine, "feeder chain")
    return save_measured(two.door, place, 1, Tape(round(19.9 * 25_400)), AT)


def counted(two: TwoLogs) -> str:
    crop, frame = two.row(Crop), read_frame("1 ft2", settings(two))
    return save_count(
        two.door,
        LossCheck(
            combine_id=two.farm.combine.id,
            crop_id=crop.id,
            at=AT,
            behind_per_hectare=per_hectare(Decimal(120), frame),
            ahead_per_hectare=per_hectare(Decimal(10), frame),
            cut_width_micrometres=12_192_000,
            discharge_width_micrometres=1_524_000,
        ),
        "white",
    )


def settings(two: TwoLogs) -> FarmSettings:
    with two.door.log.reading() as connection:
        return settings_of(connection)


def load(two: TwoLogs) -> str:
    return save_load(
        two.door,
        Calibration(
            machine_id=two.farm.combine.id,
            sensor=Sensor.YIELD_LOAD,
            at=AT,
            reference_amount=round(5_000 * 453.59237),
            indicated_amount=round(5_150 * 453.59237),
        ),
    )


def sample(two: TwoLogs) -> str:
    crop = two.row(Crop)
    return save_sample(
        two.door, MoistureSample(crop_id=crop.id, at=AT, tester_hundredths=1320, elevator_hundredths=1360)
    )


def came(two: TwoLogs) -> str:
    return save_move(
        two.door,
        StockMove(
            part_id=two.farm.section_part.id, at=AT, change=StockChange.RECEIVED, quantity=25, unit_cost_minor=480
        ),
    )


def fitted(two: TwoLogs) -> str:
    return save_fitted(two.door, two.farm.knife, tuple(range(1, 161)), AT, round(400 * ACRE))


def opened(two: TwoLogs) -> str:
    return save_fault(two.door, NewFault(two.farm.combine, "lights out", AT, "", (), "", ""), frozenset())[1]


def chosen(two: TwoLogs) -> str:
    return save_choices(two.door, 2027, [LineChoice(two.farm.knife.id, (41, 42), Choice.REPLACE)])


_WHEN = ("--at", TYPED)
#: what is typed; what the screen's form asks; the sentence, with the farm's clock in place of {at}
DEEDS: dict[str, tuple[tuple[str, ...], Callable[[TwoLogs], str], str]] = {
    "a breakage": (
        ("log", f"sections 41-43 on north rock, 20 min, {TYPED} -- by the gate", "--yes"),
        breakage,
        'North, knife sections 41-43: broken by impact, replaced; stood 20 min; {at}; note "by the gate"',
    ),
    "a run": (
        ("cut", "kestrel", "40", "--field", "north", "--crop", "wheat", "--hours", "4", "--to", TYPED),
        run,
        "Kestrel cut 40.0 ac on north quarter, wheat, with North, {at-4h} to {clock}, 4.0 separator hours",
    ),
    "a reading": (
        ("read", "kestrel", "engine", "2331.5", *_WHEN),
        readings,
        "read Kestrel: 2,331.5 engine hours, {at}",
    ),
    "a stoppage": (
        ("stop", "kestrel", "waiting", "45 min", *_WHEN),
        stoppage,
        "Kestrel stood 45 min from {at} on: waiting for trucks or others",
    ),
    "a machine that stands": (("stop", "kestrel", "weather", *_WHEN), stands, "Kestrel stands from {at} on: weather"),
    "a measurement": (
        ("measure", "kestrel", "feeder chain", "19.9in", *_WHEN),
        measured,
        "Kestrel, feeder chain: 19.900 in over 12 pitches, {at}",
    ),
    "a loss count": (
        (
            "loss",
            "kestrel",
            "wheat",
            "--seed",
            "white",
            "--behind",
            "120",
            "--ahead",
            "10",
            "--discharge",
            "5ft",
            *_WHEN,
        ),
        counted,
        "loss check behind Kestrel in wheat: 120 behind and 10 ahead on a square foot, 8.0 times as thick behind, {at}; "
        "its seed is white",
    ),
    "a load": (
        ("calibrate", "kestrel", "yield", "5150", "5000", *_WHEN),
        load,
        "Kestrel, yield load against its reference: +3.0 %, {at}",
    ),
    "a sample": (
        ("calibrate", "--sample", "wheat", "13.2", "--elevator", "13.6", *_WHEN),
        sample,
        "moisture of wheat: 13.2 %, elevator 13.6 % (+0.4), {at}",
    ),
    "a stock move": (
        ("stock", "receive", "KS-3", "25", "--cost", "4.80", *_WHEN),
        came,
        "received 25 x KS-3 knife section at 4.80 USD, {at}",
    ),
    "parts fitted": (
        ("fit", "north", "knife", "--age", "400 ac", *_WHEN),
        fitted,
        "fitted North, knife sections, all 160: parts 400.0 ac old, {at}",
    ),
    "a fault": (("faults", "open", "kestrel", "lights out", *_WHEN), opened, "opened on Kestrel: lights out, {at}"),
    "a choice of the plan": (
        ("plan", "replace", "north knife", "41-42", "--season", "2027"),
        chosen,
        "the plan for 2027: chose to replace North, knife sections 41-42",
    ),
}


def by_the_farms_clock(sentence: str) -> str:
    return (
        sentence.replace("{at-4h}", "10 Aug 2026 10:05")
        .replace("{clock}", "14:05")
        .replace("{at}", "10 Aug 2026 14:05")
    )


@pytest.mark.parametrize("deed", DEEDS)
def test_command_history_and_screen_say_a_deed_in_one_sentence_by_the_farms_clock(two: TwoLogs, deed: str) -> None:
    typed, question, sentence = DEEDS[deed]
    sentence = by_the_farms_clock(sentence)
    ran = two.typed(*typed)
    assert (ran.code, ran.out.splitlines()[0]) == (0, f"Saved: {sentence}.")
    shown = question(two).splitlines()[0]
    assert shown.startswith((f"Saved: {sentence}.", f"Saved: {sentence}; "))
    assert (two.kept(0), two.kept(1)) == (sentence, sentence)


def test_the_screens_read_a_time_by_the_farms_clock(two: TwoLogs) -> None:
    assert two.door.log is not None
    assert two.door.farm_now().tzinfo == ZoneInfo(FARM_ZONE)
    assert moment_reader(two.door.farm_now)(TYPED) == AT


def test_a_machine_that_runs_again_is_said_so_alike(two: TwoLogs) -> None:
    stands(two)
    two.typed("stop", "kestrel", "weather", *_WHEN)
    after = AT + timedelta(minutes=50)
    typed = two.typed("stop", "kestrel", "--over", "--at", f"{after:%Y-%m-%d %H:%M}")
    shown = runs_again(two.door, two.farm.combine.id, after)
    sentence = by_the_farms_clock("Kestrel runs again, {at}").replace(":05", ":55")
    assert (typed.out, shown) == (f"Saved: {sentence}.\n", f"Saved: {sentence}. u undoes.")
    assert (two.kept(0), two.kept(1)) == (sentence, sentence)


def test_a_check_and_what_a_fault_was_are_said_alike(two: TwoLogs, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Door, "now", lambda _: AT + timedelta(minutes=20))
    later = ("--at", "2026-08-10 14:25")
    two.typed("faults", "diagram", "kestrel", "--start", "header")
    two.typed("faults", "open", "kestrel", "lights out", *_WHEN)
    shutil.copyfile(two.files[0], two.files[1])
    fault = two.row(Fault)
    check = CheckEntry(kind=CheckKind.LOOK, node="header plug", verdict=CheckVerdict.BAD)
    finding = FindingEntry(node="header plug", mode=FaultMode.OPEN, fix="new pins")
    entered: tuple[tuple[tuple[str, ...], Callable[[], str]], ...] = (
        (("check", "1", "look", "header plug", "bad", *later), lambda: checked(two.door, fault.id, check)[0]),
        (
            ("close", "1", "header plug", "open", "--fix", "new pins", *later),
            lambda: closed(two.door, fault.id, finding, two.door.now(), frozenset()),
        ),
    )
    sentences = (
        "check 1 of 'lights out': look Header plug, bad, 10 Aug 2026 14:25",
        "closed 'lights out': open at Header plug, new pins, 10 Aug 2026 14:25",
    )
    for (words, question), sentence in zip(entered, sentences, strict=True):
        typed, shown = two.typed("faults", *words), question()
        assert (two.kept(0), two.kept(1)) == (sentence, sentence)
        assert (typed.out.splitlines()[0], shown) == (f"Saved: {two.kept(0)}.", f"Saved: {two.kept(1)}. u undoes.")


def test_what_has_no_form_says_by_command_what_the_history_keeps(two: TwoLogs, tmp_path: Path) -> None:
    done = two.typed("due", "--done", "kestrel", "engine oil", *_WHEN)
    assert done.out == f"Saved: {two.kept(0)}.\n"
    assert two.kept(0) == by_the_farms_clock("service done: Kestrel, engine oil, {at}")
    off = two.typed("take-off", "north", "knife", "1-3", *_WHEN)
    assert off.out.splitlines()[0] == f"Saved: {two.kept(0)}."
    assert two.kept(0) == by_the_farms_clock("took off North, knife sections 1-3, {at}")
    two.typed("fit", "north", "knife", "1", *_WHEN)
    moved = two.typed("move", "north", "knife", "1", "to", "north", "2", "--at", "2026-08-11 14:05")
    assert moved.out.splitlines()[0] == f"Saved: {two.kept(0)}."
    assert two.kept(0).startswith("moved North, knife section 1 to North, knife section 2, 11 Aug 2026")
    sheet = tmp_path / "crop.csv"
    sheet.write_text("name\nspelt\n", "utf-8")
    brought = two.typed("import", str(sheet)).out.splitlines()[0]
    assert two.kept(0) == "imported 1 row from crop.csv"
    assert brought == f"I{two.kept(0)[1:]}; 0 were there already:"


def test_an_undo_is_said_alike(two: TwoLogs) -> None:
    two.typed("read", "kestrel", "engine", "2331.5", *_WHEN)
    readings(two)
    typed = two.typed("undo").out
    shown = undo_deed(two.door).said
    assert two.kept(0) == two.kept(1) == shown == by_the_farms_clock("undid: read Kestrel: 2,331.5 engine hours, {at}")
    assert typed == f"U{shown[1:]}\n"
