"""An import that does not go with what the log holds beside it names the file and the line of the row."""

from __future__ import annotations

from pathlib import Path

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm


def test_a_fitting_into_a_taken_place_is_refused_with_its_file_and_line(
    own: Wearlog, file_farm: SmallFarm, tmp_path: Path
) -> None:
    file = tmp_path / "fitting.csv"
    head = "machine,component,position,fitted\n"
    taken = f"North,{file_farm.knife.place},7,2026-06-03 10:00\n"
    file.write_text(head + "\n" + taken, "utf-8")
    said = own("import", str(file), "--dry-run")
    assert said.code == 4
    assert said.err.startswith("wearlog: fitting.csv, line 3: Position 7 of ")
    assert "is still taken on" in said.err
    assert own("import", str(file)).err == said.err
