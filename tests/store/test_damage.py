"""A damaged log: `check` names what is wrong and never fails, and `check --repair` brings back what the journal still says."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from uuid import UUID

import pytest

from tests.cli.running import Ran, Wearlog, on_log, runner
from tests.farm_fixtures import entered_farm
from tests.small_farm import SmallFarm
from wearlog.exchange.export import export_folder
from wearlog.facts.fact import Fact
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location
from wearlog.store.opening import open_store

__all__ = ["entered_farm"]

#: 200 take a minute; with more of them other seeds are looked at
SPOILINGS = int(os.environ.get("WEARLOG_SPOILINGS", "60"))


@pytest.fixture
def file(entered_farm: tuple[SmallFarm, tuple[Fact, ...], Path], tmp_path: Path) -> Path:
    """The log of a small farm, copied for the test."""
    return Path(shutil.copy(entered_farm[2], tmp_path / "farm.db"))


@pytest.fixture
def wearlog(capsys: pytest.CaptureFixture[str], file: Path) -> Wearlog:
    return on_log(runner(capsys), file)


def sql(file: Path, *statements: str) -> None:
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        for statement in statements:
            connection.execute(statement)
        connection.commit()


def one_id(file: Path, table: str) -> UUID:
    with closing(sqlite3.connect(file)) as connection:
        return UUID(bytes=connection.execute(f"SELECT id FROM {table} ORDER BY id LIMIT 1").fetchone()[0])


def exported(file: Path, folder: Path) -> dict[str, bytes]:
    store = open_store(Location(file=file))
    export_folder(store, folder)
    store.close()
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def problems(ran: Ran) -> list[str]:
    return [line.removeprefix("NOT IN ORDER: ") for line in ran.out.splitlines() if line.startswith("NOT IN ORDER: ")]


def first(table: str) -> str:
    return f"WHERE id = (SELECT min(id) FROM {table})"


@pytest.mark.promise(
    about="a damaged file",
    fault="bytes in a row are no text any more",
    holds="check names row and table, check --repair rebuilds the row from its history",
    on="a file",
)
def test_bytes_that_are_no_text_are_found_by_row_and_table_and_rebuilt(
    file: Path, wearlog: Wearlog, tmp_path: Path
) -> None:
    before = exported(file, tmp_path / "before")
    sql(file, f"UPDATE machine SET name = CAST(x'ff00fe' AS TEXT) {first('machine')}")
    ran = wearlog("check")
    assert ran.code == 5
    assert problems(ran) == [f"row {one_id(file, 'machine')} of machine cannot be read"]
    ran = wearlog("check", "--repair")
    assert ran.code == 0
    (kept,) = tmp_path.glob("farm.db.before-restore-*")
    assert ran.out.splitlines()[-1] == f"  Nothing was lost. The damaged log is kept as {kept}."
    assert wearlog("check").code == 0
    assert exported(file, tmp_path / "after") == before
    assert [path.name for path in tmp_path.glob("farm.db.repaired*")] == []


@pytest.mark.promise(
    about="a damaged file",
    fault="a row was altered or is gone",
    holds="check names it, check --repair rebuilds it from its history",
    on="a file",
)
def test_a_row_that_says_other_things_and_one_that_is_gone_are_rebuilt(
    file: Path, wearlog: Wearlog, tmp_path: Path
) -> None:
    before = exported(file, tmp_path / "before")
    gone = one_id(file, "reading")
    sql(file, f"UPDATE part SET name = 'elsewhere' {first('part')}", f"DELETE FROM reading {first('reading')}")
    assert problems(wearlog("check")) == [
        f"row {one_id(file, 'part')} of part is not what its last version says",
        f"row {gone} of reading is missing",
    ]
    assert wearlog("check", "--repair").code == 0
    assert exported(file, tmp_path / "after") == before


@pytest.mark.promise(
    about="a damaged file", fault="an index is gone", holds="check names it, check --repair makes it anew", on="a file"
)
def test_a_dropped_index_is_named_and_made_anew(file: Path, wearlog: Wearlog) -> None:
    with closing(sqlite3.connect(file)) as connection:
        query = (
            "SELECT name, tbl_name FROM sqlite_schema WHERE type = 'index' AND sql IS NOT NULL ORDER BY name LIMIT 1"
        )
        name, table = connection.execute(query).fetchone()
    sql(file, f"DROP INDEX {name}")
    assert problems(wearlog("check")) == [f"the index {name} of {table} is missing"]
    assert wearlog("check", "--repair").code == 0
    assert wearlog("check").code == 0


@pytest.mark.promise(
    about="a damaged file",
    fault="what an entry follows is garbage",
    holds="a repair drops the entry and keeps its rows as they lay",
    on="a file",
)
def test_garbage_parents_cost_the_entry_and_not_its_rows(file: Path, wearlog: Wearlog, tmp_path: Path) -> None:
    before = exported(file, tmp_path / "before")
    sql(file, "INSERT INTO version_parent SELECT id, x'00' FROM version WHERE rowid = (SELECT max(rowid) FROM version)")
    found = problems(wearlog("check"))
    assert any("follows what is no version (00)" in problem for problem in found)
    ran = wearlog("check", "--repair", "--json")
    assert ran.code == 5
    repaired = ran.json["repaired"]
    # the version itself is whole, without what was laid upon it
    assert repaired["entries_lost"] == 1
    beside = Path(repaired["beside"])
    assert f"'wearlog restore {beside}' takes the repaired log" in ran.err
    assert exported(beside, tmp_path / "after") == before


def test_an_entry_that_lost_a_version_is_dropped_and_its_rows_stay_as_they_lay(
    file: Path, wearlog: Wearlog, tmp_path: Path
) -> None:
    before = exported(file, tmp_path / "before")
    sql(file, "UPDATE version SET content = x'00' WHERE rowid = (SELECT max(rowid) FROM version)")
    untouched = file.read_bytes()
    ran = wearlog("check", "--repair", "--json")
    assert ran.code == 5
    assert file.read_bytes() == untouched
    repaired = ran.json["repaired"]
    assert repaired["entries_lost"] >= 1
    assert repaired["rows_as_they_lay"] >= 1
    assert exported(Path(repaired["beside"]), tmp_path / "after") == before
    assert wearlog("restore", repaired["beside"]).code == 0
    assert wearlog("check").code == 0


@pytest.mark.promise(
    about="several at once",
    fault="somebody saves while a log is repaired",
    holds="what they saved is not put aside",
    on="a file",
)
def test_what_was_saved_during_a_repair_is_not_put_aside(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from wearlog.errors import ConflictError
    from wearlog.store import repair

    sql(file, f"UPDATE part SET name = 'elsewhere' {first('part')}")
    inspect = repair.inspect_log

    def meanwhile(store: object) -> object:
        sql(file, f"UPDATE part SET name = 'meanwhile' {first('part')}")
        return inspect(store)  # type: ignore[arg-type]

    monkeypatch.setattr(repair, "inspect_log", meanwhile)
    with pytest.raises(ConflictError, match=r"Something was saved into .* meanwhile"):
        repair.repair(open_store(Location(file=file)))
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute("SELECT count(*) FROM part WHERE name = 'meanwhile'").fetchone() == (1,)


def spoil_bytes(file: Path, dice: random.Random) -> None:
    """Overwrite some bytes somewhere behind the first page's head."""
    content = bytearray(file.read_bytes())
    for _ in range(dice.choice((1, 1, 3, 20))):
        at = dice.randrange(100, len(content))
        length = dice.choice((1, 4, 64, 4096))
        content[at : at + length] = dice.randbytes(len(content[at : at + length]))
    file.write_bytes(content)


def spoil_rows(file: Path, dice: random.Random) -> None:
    """Put garbage into a column of one row, take a row away, or an index."""
    with closing(sqlite3.connect(file)) as connection:
        tables = [
            name
            for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
            if name != "alembic_version" and connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]
        ]
        table = dice.choice(sorted(tables))
        columns = [(name, kind) for _, name, kind, *_ in connection.execute(f"PRAGMA table_info({table})")]
        key = columns[0][0]
        keys = [row[0] for row in connection.execute(f"SELECT DISTINCT {key} FROM {table}")]
        (indices,) = zip(
            *connection.execute("SELECT name FROM sqlite_schema WHERE type = 'index' AND sql IS NOT NULL"), strict=True
        )
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        what = dice.randrange(4)
        if what == 0:
            connection.execute(f"DROP INDEX {dice.choice(sorted(indices))}")
        elif what == 1:
            connection.execute(f"DELETE FROM {table} WHERE {key} = ?", (dice.choice(keys),))
        else:
            column, kind = dice.choice(columns)
            garbage = {"INTEGER": f"{dice.choice((-1, 2**62, 7))}", "BLOB": f"x'{dice.randbytes(3).hex()}'"}.get(
                kind, f"CAST(x'{dice.choice(('ff', '00', '1b5b324a', 'e2808b', '41'))}' AS TEXT)"
            )
            # what the tables themselves refuse spoils nothing
            connection.execute(
                f"UPDATE OR IGNORE {table} SET {column} = {garbage} WHERE {key} = ?", (dice.choice(keys),)
            )
        connection.commit()


@pytest.mark.promise(
    about="a damaged file",
    fault="any bytes of the file are spoilt",
    holds="check says so in sentences and does not fail of it",
    on="a file",
)
def test_no_spoiling_makes_check_fail(file: Path, wearlog: Wearlog, tmp_path: Path) -> None:
    """It says that all is in order, or what is not: exit code 0, 4 or 5 and sentences, never a traceback."""
    whole = file.read_bytes()
    found = 0
    for number in range(SPOILINGS):
        dice = random.Random(number)
        file.write_bytes(whole)
        (spoil_bytes if number % 2 else spoil_rows)(file, dice)
        ran = wearlog("check")
        assert "Traceback" not in ran.out + ran.err, number
        assert "\x1b" not in ran.out + ran.err, number
        assert ran.code in {0, 4, 5}, (number, ran)
        if ran.code:
            found += 1
            assert ran.err.startswith("wearlog: "), number
        if ran.code == 5:
            assert problems(ran), number
        elif ran.code == 0:
            # bytes that nothing uses: all that was said is still said
            store = open_store(Location(file=file))
            assert inspect_log(store).problems == ()
            store.close()
    assert found > SPOILINGS * 0.8
