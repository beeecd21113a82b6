"""A bare figure is in the farm's own unit: every command that takes a measure, on a metric farm."""

from __future__ import annotations

import inspect
import re
import shutil
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log
from wearlog.cli import overview
from wearlog.cli.main import run
from wearlog.facts.machines import Machine, Reading
from wearlog.facts.parts import PartKind
from wearlog.facts.quality import Calibration, LossCheck
from wearlog.facts.wearing import Fitting, Measurement
from wearlog.facts.work import Field, PlannedArea, Run
from wearlog.logbook.open_log import opened
from wearlog.store.finding import find_all

ACRE = 4046.8564224
HECTARE = 10_000


@pytest.fixture(scope="module")
def metric_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A metric farm of one combine and one header, entered by its commands."""
    file = tmp_path_factory.mktemp("metric") / "metric.db"
    for words in (
        "add combine Juniper --engine 100 --separator 70 --at 2026-06-01",
        "set units metric",
        "add header West --width 12 --knife 40 --at 2026-06-01",
        "hitch west juniper --at 2026-06-01",
        "add crop wheat",
    ):
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("WEARLOG_DEVICE", "shop")
            assert run([*words.split(), "--db", str(file)]) == 0, words
    return file


@pytest.fixture
def metric(wearlog: Wearlog, metric_file: Path, tmp_path: Path) -> Wearlog:
    return on_log(wearlog, shutil.copyfile(metric_file, tmp_path / "metric.db"))


def stored(tmp_path: Path, kind: type, **wanted: object) -> list[object]:
    with opened(str(tmp_path / "metric.db")) as store, store.reading() as connection:
        return list(find_all(connection, kind, **wanted))


@pytest.mark.parametrize(
    ("words", "fact", "field", "expected"),
    [
        ("add header East --width 9", Machine, "cut_width_micrometres", 9_000_000),
        ("add header East --width 30ft", Machine, "cut_width_micrometres", 9_144_000),
        ("add field bench --area 40 --ground stony", Field, "area_square_metres", 40 * HECTARE),
        ("add field bench --area 40ac --ground stony", Field, "area_square_metres", round(40 * ACRE)),
        ("add component knife2 --on west --kind guard --age 500", Fitting, "age_when_fitted_usage", 500 * HECTARE),
        ("fit west knife 7 --age 300", Fitting, "age_when_fitted_usage", 300 * HECTARE),
        ("fit west knife 7 --age 300ac", Fitting, "age_when_fitted_usage", round(300 * ACRE)),
        ("cut juniper 40 --hours 9 --to 2026-07-01T20:00", Run, "area_square_metres", 40 * HECTARE),
        ("cut juniper 40ac --hours 9 --to 2026-07-01T20:00", Run, "area_square_metres", round(40 * ACRE)),
        ("read juniper area 40", Reading, "shown_usage", 40 * HECTARE),
        ("calibrate juniper area 41 40", Calibration, "reference_amount", 40 * HECTARE),
        ("calibrate juniper yield 5150 5000", Calibration, "reference_amount", 5_000_000),
        ("calibrate juniper speed 8 9", Calibration, "reference_amount", 2_500),
        ("calibrate juniper height 120 100", Calibration, "reference_amount", 100_000),
        ("measure west knife 3 2", Measurement, "measured_micrometres", 2_000),
        (
            "loss juniper wheat --seed 33g --behind 90 --discharge 2",
            LossCheck,
            "discharge_width_micrometres",
            2_000_000,
        ),
        (
            "loss juniper wheat --seed 33g --behind 90 --discharge 2 --width 11",
            LossCheck,
            "cut_width_micrometres",
            11_000_000,
        ),
        (
            "loss juniper wheat --seed 33g --behind 90 --discharge 2 --yield 3",
            LossCheck,
            "yield_grams_per_hectare",
            3_000_000,
        ),
        ("loss juniper wheat --seed 33g --behind 90 --discharge 2", LossCheck, "behind_per_hectare", 9_000_000),
        (
            "loss juniper wheat --seed 33g --behind 90 --discharge 2 --frame 0.2",
            LossCheck,
            "behind_per_hectare",
            4_500_000,
        ),
    ],
)
def test_a_bare_figure_is_in_the_farms_own_unit(
    metric: Wearlog, tmp_path: Path, words: str, fact: type, field: str, expected: int
) -> None:
    if words.startswith("measure"):
        assert metric("limit", "knife section", "2.5", "--what", "thickness", "--new", "3").code == 0
    ran = metric(*(word.replace("T", " ") if word.startswith("2026") else word for word in words.split()))
    assert ran.code == 0, ran.err
    assert expected in [getattr(one, field) for one in stored(tmp_path, fact)]
    assert not re.search(r"\d (ac|ft|in|lb)\b", ran.out), ran.out


def test_the_limit_of_a_kind_and_the_pitch_of_a_chain_are_in_millimetres(metric: Wearlog, tmp_path: Path) -> None:
    assert metric("limit", "knife section", "2", "--what", "thickness", "--new", "3").code == 0
    (kind,) = stored(tmp_path, PartKind, name="knife section")
    assert isinstance(kind, PartKind)
    assert (kind.limit_micrometres, kind.new_micrometres) == (2_000, 3_000)


def test_what_is_left_and_what_is_planned_are_in_hectares(metric: Wearlog, tmp_path: Path) -> None:
    assert metric("plan", "make", "2027").code == 0
    assert metric("plan", "area", "40", "--ground", "stony").code == 0
    (area,) = stored(tmp_path, PlannedArea)
    assert isinstance(area, PlannedArea)
    assert area.area_square_metres == 40 * HECTARE
    ran = metric("harvest", "--left", "40", "--hours", "9", "--json")
    assert ran.code == 0, ran.err
    assert ran.json["finish"]["left_hectares"] == 40.0


def test_the_harvest_its_sensors_its_grain_and_its_losses_know_no_acre(metric: Wearlog) -> None:
    """Neither in words nor in keys, while nothing is cut and when something is."""
    guessed = metric("harvest", "--left", "40")
    assert "a guess, computed from 12.0 m, 7.2 km/h and 70 %" in " ".join(guessed.out.split())
    for words in (
        ("cut", "juniper", "40", "--hours", "9", "--crop", "wheat"),
        ("calibrate", "juniper", "speed", "7.4", "7.2"),
        ("calibrate", "juniper", "yield", "5150", "5000", "--crop", "wheat"),
        ("calibrate", "--sample", "wheat", "15", "--elevator", "15.2"),
        ("loss", "juniper", "wheat", "--seed", "33g", "--behind", "90", "--discharge", "2", "--yield", "3"),
    ):
        assert metric(*words).code == 0, words
    measured = metric("harvest", "--left", "400")
    assert "Juniper 12.0 m at 7.2 km/h (1 speed check)" in " ".join(measured.out.split())
    for words in (("harvest", "--left", "400"), ("harvest", "--grain"), ("calibrate",), ("loss",)):
        for ran in (metric(*words), metric(*words, "--json")):
            assert ran.code == 0, ran.err
            assert not re.search(r"\b(ac|acres?|ft|feet|lb|pounds?|mph|bu|bushels?)\b", ran.out.replace("_", " ")), (
                ran.out
            )


def test_what_was_saved_is_said_in_the_farms_unit(metric: Wearlog) -> None:
    assert metric("cut", "juniper", "40", "--hours", "9").out.startswith("Saved: Juniper cut 40.0 ha")
    assert re.fullmatch(
        r"Saved: read Juniper: 40\.0 ha, \d+ \w+ \d{4} \d\d:\d\d\.\n", metric("read", "juniper", "area", "40").out
    )
    refused = metric("read", "juniper", "area", "39")
    assert refused.code == 4
    assert "Juniper showed 40.0 ha on" in refused.err
    assert "39.0 ha would run backwards" in refused.err


def test_a_farm_of_acres_reads_the_same_words_as_acres(own: Wearlog, tmp_path: Path) -> None:
    assert own("add", "field", "bench", "--area", "40", "--ground", "stony").code == 0
    with opened(str(tmp_path / "small.db")) as store, store.reading() as connection:
        assert [one.area_square_metres for one in find_all(connection, Field)] == [round(40 * ACRE)]


def test_no_command_reads_a_measure_by_itself() -> None:
    """The words of a measure are read in one place: a command that looked its unit up itself would forget the farm's."""
    from importlib import import_module

    modules = {listed.module for group in overview.COMMANDS.values() for listed in group.values()}
    assert len(modules) > 10
    for module in modules:
        source = inspect.getsource(import_module(f"wearlog.cli.{module}_commands"))
        assert not re.search(r"\b(to_stored|read_number|STORED_UNITS)\b", source), module
