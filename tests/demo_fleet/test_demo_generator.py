"""The generator writes the same bytes again, its sheets read back without a problem, and it makes farms and usage in any number."""

import subprocess
import sys
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path

import pytest

from demo_fleet.generator import farm_facts, many_farms, usage_rows, write_farm
from demo_fleet.sheet_writer import SheetWriter
from wearlog.exchange.source import read_source
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.machines import Meter, Reading
from wearlog.facts.work import Run
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.names import KnownNames

SHIPPED = Path(__file__).parents[2] / "demo_fleet"
ENDS = datetime(2026, 11, 21, tzinfo=UTC)


def bytes_under(folder):
    return {file.relative_to(folder).as_posix(): file.read_bytes() for file in folder.rglob("*.csv")}


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("farm")
    write_farm(folder)
    return folder


def test_the_shipped_sheets_are_what_the_generator_writes(written):
    """Byte for byte, and no sheet more or less."""
    assert bytes_under(written) == bytes_under(SHIPPED)
    assert len(bytes_under(written)) > 30


@pytest.mark.parametrize("call", [["-m", "demo_fleet.generator"], [str(SHIPPED / "generator.py")]])
def test_it_runs_as_a_module_and_by_its_path(written, tmp_path, call):
    """Both ways write the same farm into the folder that is named."""
    subprocess.run([sys.executable, *call, str(tmp_path)], check=True, cwd=SHIPPED.parent, capture_output=True)
    assert bytes_under(tmp_path) == bytes_under(written)


def test_the_sheets_are_small(written):
    """All together stay under 3 MB, so that they can be shipped."""
    assert sum(len(content) for content in bytes_under(written).values()) < 3_000_000


def test_the_sheets_read_back_to_the_same_sheets(written):
    """The importer finds no problem, and what it read is written as the same bytes: nothing is lost on the way."""
    reading = read_source(written, KnownNames(), time_zone="UTC", now=ENDS)
    assert not reading.problems
    assert len(reading.facts) == len(farm_facts())
    again = SheetWriter(reading.facts)
    for name, content in bytes_under(written).items():
        if not name.startswith(("truth/", "neighbours/")):
            assert again.text_of(name.removesuffix(".csv")).encode() == content, name


def test_another_seed_makes_another_farm_that_is_as_sound():
    """Ids and events differ; the logbook still believes all of it."""
    first, other = farm_facts(7), farm_facts(8)
    assert len(first) != len(other)
    assert unsound(other, KnownNames(), now=ENDS) == ()
    assert farm_facts(7) == first


def test_many_farms_lie_in_one_file_together():
    """Names and ids of three farms do not meet; what they share comes once."""
    facts = [fact for farm in many_farms(3) for fact in farm]
    assert len({fact.id for fact in facts}) == len(facts)
    assert unsound(facts, KnownNames(), now=ENDS) == ()
    assert sum(type(fact).__name__ == "Machine" for fact in facts) == 21
    assert sum(type(fact).__name__ == "Season" for fact in facts) == 7


def test_usage_rows_come_in_the_number_asked_for():
    """Runs and readings together; a counter shows the sum of its runs' hours."""
    facts = list(usage_rows(4000, pairs=10))
    usage = [fact for fact in facts if isinstance(fact, Run | Reading)]
    assert len(usage) == 4000
    assert unsound(facts, KnownNames()) == ()
    meter = next(fact for fact in facts if isinstance(fact, Meter))
    assert meter.kind is MeterKind.SEPARATOR_HOURS
    shown = [fact.shown_usage for fact in usage if isinstance(fact, Reading) and fact.meter_id == meter.id]
    runs = [fact for fact in usage if isinstance(fact, Run) and fact.combine_id == meter.machine_id]
    assert shown[0] == sum(run.separator_seconds or 0 for run in islice(runs, 3))
    assert shown[-1] == sum(run.separator_seconds or 0 for run in runs)
