"""What a file has no heading for stays as the log holds it: an older export comes in again and takes nothing away."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tests.cli.running import on_log, runner
from tests.small_farm import SmallFarm, harvest
from wearlog.facts.closed_lists import Condition
from wearlog.facts.work import Run
from wearlog.ids import short_number
from wearlog.store.finding import find_all

NEW = {"conditions", "warranty_months", "warranty_h", "warranty_ac", "warranty_covers", "warranty_from"}


def conditions(farm: SmallFarm) -> list[tuple[Condition, ...]]:
    with farm.store.reading() as connection:
        return [one.conditions for one in find_all(connection, Run)]


def test_an_export_without_the_newer_headings_comes_in_again_and_leaves_them(
    capsys: pytest.CaptureFixture[str], file_farm: SmallFarm, tmp_path: Path
) -> None:
    own = on_log(runner(capsys), file_farm.store.location.file)
    harvest(file_farm, hours=8)
    with file_farm.store.reading() as connection:
        run = find_all(connection, Run)[0]
    number, part = short_number(run.id), file_farm.section_part.number
    assert own("change", number, "conditions=hot, muddy").code == 2, "no condition is called muddy"
    said = own("change", number, f"conditions={Condition.HOT.value}, {Condition.DUST.value}")
    assert said.code == 0, said.err
    with file_farm.store.reading() as connection:
        fit = short_number(file_farm.section_part.id)
    said = own("change", fit, "warranty=400 ac", "warranty_months=12", "warranty_pro_rata=yes")
    assert said.code == 0, said.err
    out = tmp_path / "out"
    assert own("export", str(out)).code == 0
    rows = list(csv.DictReader((out / "part.csv").read_text("utf-8").splitlines()))
    mine = next(row for row in rows if row["number"] == part)
    # the sections wear by area, so their warranty is written in acres
    assert (mine["warranty_ac"], mine["warranty_months"], mine["warranty_pro_rata"]) == ("400", "12", "yes")
    for sheet in ("run", "part"):
        with (out / f"{sheet}.csv").open(encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        kept = [name for name in rows[0] if name not in NEW]
        with (out / f"{sheet}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, kept, extrasaction="ignore")
            writer.writeheader()
            writer.writerows(rows)
    said = own("import", str(out))
    assert said.code == 0, said.out + said.err
    assert conditions(file_farm) == [(Condition.HOT, Condition.DUST)]
    assert own("entries", fit, "--json").json["rows"][0]["cells"]["warranty_ac"] == "400"


def test_an_empty_cell_under_a_heading_takes_away_and_is_asked_for(
    capsys: pytest.CaptureFixture[str], file_farm: SmallFarm, tmp_path: Path
) -> None:
    own = on_log(runner(capsys), file_farm.store.location.file)
    harvest(file_farm, hours=8)
    out = tmp_path / "out"
    assert own("export", str(out)).code == 0
    with file_farm.store.reading() as connection:
        number = short_number(find_all(connection, Run)[0].id)
    assert own("change", number, f"conditions={Condition.HOT.value}").code == 0
    refused = own("import", str(out))
    assert refused.code == 5
    assert "conditions" in refused.err
    assert own("import", str(out), "--replace").code == 0
    assert conditions(file_farm) == [()]
