"""Older copies are packed and stay what they are: listed, kept by the same rules, restored by the same name; no moment has none."""

from __future__ import annotations

import errno
import gzip
import os
import stat
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import Wearlog, on_log, runner
from tests.store.test_backup import contents, note, set_today
from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Setting
from wearlog.store import packed_copies, restoring
from wearlog.store.backup import copy_log, daily_backup, thin_out
from wearlog.store.finding import find_all
from wearlog.store.location import backup_folder, backups, backups_by_hand, copy_name, daily_files, named_copy
from wearlog.store.opening import Store
from wearlog.store.packed_copies import pack_older, plain_copy
from wearlog.store.restoring import restore
from wearlog.store.server_copies import restore_on_server
from wearlog.tui.door import Door
from wearlog.tui.questions.farm import pack_copies

DAYS = [str(date(2024, 7, 20) + timedelta(days=number)) for number in range(5)]
KEPT = [[f"entry {number}" for number in range(day)] for day in range(5)]


@pytest.fixture
def file(file_store: Store) -> Path:
    assert file_store.location.file is not None
    return file_store.location.file


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Wearlog:
    return runner(capsys)


@pytest.fixture
def plain(file_store: Store, file: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes]:
    """Five days with an entry each, and what the copy of each day is."""
    for number, day in enumerate(DAYS):
        set_today(monkeypatch, datetime.fromisoformat(f"{day} 12:00").astimezone())
        note(file_store, f"entry {number}")
    file_store.close()
    return {copy_name(path): path.read_bytes() for path in backups(file)}


def names(file: Path) -> list[str]:
    return sorted(path.name for path in backup_folder(file).iterdir())


def test_all_but_the_latest_two_are_packed_and_stay_what_they_are(file: Path, plain: dict[str, bytes]) -> None:
    packed = pack_older(file)
    assert [path.name for path in packed] == [f"{day}.db.gz" for day in reversed(DAYS[:3])]
    assert names(file) == [*(f"{day}.db.gz" for day in DAYS[:3]), *(f"{day}.db" for day in DAYS[3:])]
    for path in packed:
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        assert gzip.decompress(path.read_bytes()) == plain[copy_name(path)]
        assert path.stat().st_size < len(plain[copy_name(path)]) / 2
    assert [copy_name(path) for path in backups(file)] == DAYS
    assert backups_by_hand(file) == []
    assert pack_older(file) == []


def test_a_few_at_once_the_latest_first(file: Path, plain: dict[str, bytes]) -> None:
    assert [copy_name(path) for path in pack_older(file, most=2)] == [DAYS[2], DAYS[1]]
    assert [copy_name(path) for path in pack_older(file, most=2)] == [DAYS[0]]
    assert len(plain) == len(backups(file))


def test_a_full_disk_is_found_full_once(file: Path, plain: dict[str, bytes], monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[str] = []

    def full(copy: Path) -> Path:
        tried.append(copy_name(copy))
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(packed_copies, "_pack", full)
    assert pack_older(file) == []
    assert tried == [DAYS[2]]
    assert names(file) == [f"{day}.db" for day in DAYS]


def test_who_closes_the_screens_waits_for_one_copy_at_most(
    file: Path, plain: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    door, pack = Door(str(file)), packed_copies._pack

    def left_meanwhile(copy: Path) -> Path:
        door.leave()
        return pack(copy)

    monkeypatch.setattr(packed_copies, "_pack", left_meanwhile)
    pack_copies(door)
    door.close()
    assert names(file) == [f"{day}.db" for day in DAYS[:2]] + [f"{DAYS[2]}.db.gz"] + [f"{day}.db" for day in DAYS[3:]]


def test_each_is_restored_by_the_name_it_had(file: Path, plain: dict[str, bytes], run: Wearlog) -> None:
    pack_older(file)
    wearlog = on_log(run, file)
    assert [line.strip() for line in wearlog("restore").out.splitlines()][:6] == ["Backups of this log:", *DAYS]
    for day, kept in zip(DAYS, KEPT, strict=True):
        assert wearlog("restore", day).out.startswith(f"Restored {day}.\n")
        assert contents(file) == kept
    path = backup_folder(file) / f"{DAYS[2]}.db.gz"
    assert named_copy(file, path.name) == path
    elsewhere = file.with_name("look.db")
    assert on_log(run, elsewhere)("restore", str(path)).code == 0
    assert contents(elsewhere) == KEPT[2]
    assert not [one for one in file.parent.iterdir() if one.name.endswith(".part")]
    assert len(plain) == 5


def test_check_packs_them(file: Path, plain: dict[str, bytes], run: Wearlog) -> None:
    assert on_log(run, file)("check").out.startswith(f"{len(DAYS)} rows, ")
    assert [path.suffix for path in backups(file)] == [".gz"] * 3 + [".db"] * 2
    assert len(plain) == 5


def test_the_screens_pack_a_few_once_the_yard_is_painted(file: Path, plain: dict[str, bytes]) -> None:
    door = Door(str(file))
    pack_copies(door)
    door.close()
    assert [path.suffix for path in backups(file)] == [".gz"] * 3 + [".db"] * 2
    assert len(plain) == 5


def test_a_packed_copy_that_is_opened_as_a_log_says_how_it_becomes_one(
    file: Path, plain: dict[str, bytes], run: Wearlog
) -> None:
    path = pack_older(file)[0]
    ran = run("brief", "--db", str(path))
    assert ran.code != 0
    assert (
        ran.err == f"wearlog: {path} is packed.\n  'wearlog restore {path} --db ANOTHER.db' makes a log file of it.\n"
    )
    assert len(plain) == 5


@pytest.mark.promise(
    about="a kill or a crash",
    fault="an older copy is being packed when the program dies",
    holds="the plain copy is there until the packed one was read back",
    on="a file",
)
@pytest.mark.parametrize("step", ["GzipFile", "bring_to_disk", "put_in_place", "bring_names_to_disk"])
def test_wherever_packing_stops_the_plain_copy_is_there(
    step: str, file: Path, plain: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: Any, **__: Any) -> Any:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(packed_copies.gzip if step == "GzipFile" else packed_copies, step, stop)
        assert pack_older(file) == []
    assert {copy_name(path): path.read_bytes() for path in backups(file)} == plain
    assert {path.suffix for path in backups(file)} == {".db"}
    assert not [name for name in names(file) if name.endswith(".part")]
    assert len(pack_older(file)) == 3
    assert names(file) == [*(f"{day}.db.gz" for day in DAYS[:3]), *(f"{day}.db" for day in DAYS[3:])]


def test_what_does_not_read_back_is_not_taken(
    file: Path, plain: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    def open_spoilt(path: Path) -> Any:
        path.write_bytes(gzip.compress(b"another"))
        return gzip.GzipFile(path)

    monkeypatch.setattr(packed_copies.gzip, "open", open_spoilt)
    assert pack_older(file) == []
    assert names(file) == [f"{day}.db" for day in DAYS]
    assert {copy_name(path): path.read_bytes() for path in backups(file)} == plain


def test_a_copy_that_somebody_wrote_into_stays_plain(file: Path, plain: dict[str, bytes]) -> None:
    """Its journal belongs to it, and a file that is being written may be read half old and half new."""
    oldest = backups(file)[0]
    oldest.with_name(f"{oldest.name}-journal").write_bytes(b"left by a crash")
    assert [copy_name(path) for path in pack_older(file)] == [DAYS[2], DAYS[1]]
    assert oldest.read_bytes() == plain[DAYS[0]]


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="a packed backup is damaged",
    holds="it is refused, the log stays as it is",
    on="a file",
)
@pytest.mark.parametrize("damage", ["cut", "flipped", "no gzip", "no log"])
def test_a_damaged_packed_copy_is_refused_and_the_log_stays(damage: str, file: Path, plain: dict[str, bytes]) -> None:
    path = pack_older(file)[0]
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 0x10
    spoilt = {"cut": path.read_bytes()[:-9], "flipped": content, "no gzip": b"\1" * 90, "no log": gzip.compress(b"a b")}
    path.write_bytes(spoilt[damage])
    before = file.read_bytes()
    with pytest.raises(RefusedError, match="not a wearlog file" if damage == "no log" else "is damaged") as refused:
        restore(file, path)
    assert refused.value.message.startswith(f"{path} is ")
    assert file.read_bytes() == before
    assert not [one for one in file.parent.iterdir() if one.name.endswith(".part") or "before-restore" in one.name]
    assert len(plain) == 5


def test_a_copy_is_found_where_it_lay_before_it_was_packed(file: Path, plain: dict[str, bytes]) -> None:
    asked = str(backup_folder(file) / f"{DAYS[0]}.db")
    assert named_copy(file, asked) == Path(asked)
    packed = pack_older(file)[-1]
    assert named_copy(file, asked) == packed
    assert named_copy(file, f"{asked}.none") == Path(f"{asked}.none")
    assert len(plain) == 5


def test_a_copy_that_goes_while_it_is_being_restored_is_not_taken_for_an_empty_one(
    file: Path, plain: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    source = backup_folder(file) / f"{DAYS[0]}.db"
    looked = restoring.look_at_header

    def packed_behind_it(location: Any, application_id: int) -> None:
        looked(location, application_id)
        pack_older(file)

    monkeypatch.setattr(restoring, "look_at_header", packed_behind_it)
    before = file.read_bytes()
    with pytest.raises(NotFoundError, match="cannot be opened"):
        restore(file, source)
    assert file.read_bytes() == before
    assert not source.exists()
    assert restore(file, named_copy(file, DAYS[0])) is not None
    assert file.read_bytes() == plain[DAYS[0]]


def test_names_with_odd_signs_are_copied(file: Path, tmp_path: Path) -> None:
    odd = tmp_path / "a b%20?mode=ro#x" / "50% ü.db"
    odd.parent.mkdir()
    odd.write_bytes(file.read_bytes())
    copy_log(odd, tmp_path / "copy.db")
    assert contents(tmp_path / "copy.db") == contents(file)
    assert [path.name for path in odd.parent.iterdir()] == [odd.name]


def test_a_day_that_has_a_packed_copy_gets_no_other(
    file_store: Store, file: Path, plain: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A clock that was set back must not lay a later state under an earlier day."""
    pack_older(file)
    set_today(monkeypatch, datetime.fromisoformat(f"{DAYS[0]} 18:00").astimezone())
    assert daily_backup(file) is None
    note(file_store, "late")
    assert gzip.decompress(backups(file)[0].read_bytes()) == plain[DAYS[0]]


def test_of_a_day_with_two_files_the_plain_one_counts_and_both_go(file: Path, plain: dict[str, bytes]) -> None:
    pack_older(file)
    plain_one = backup_folder(file) / f"{DAYS[1]}.db"
    plain_one.write_bytes(plain[DAYS[1]])
    assert [path.suffix for path in backups(file)] == [".gz", ".db", ".gz", ".db", ".db"]
    assert len(daily_files(file)) == 6
    for number in range(40):
        copy_log(file, backup_folder(file) / f"{date(2025, 1, 1) + timedelta(days=number)}.db")
    removed = thin_out(daily_files(file))
    # the first of 2024 and of its last month stay: both are the first of these days
    assert sorted(path.name for path in removed if path.name < "2025") == sorted(
        [f"{day}.db.gz" for day in DAYS[1:3]] + [f"{day}.db" for day in (DAYS[1], *DAYS[3:])]
    )


def test_a_plain_copy_is_given_as_it_is(file: Path, plain: dict[str, bytes]) -> None:
    latest = backups(file)[-1]
    with plain_copy(latest, beside=file) as given:
        assert given == latest
    assert latest.read_bytes() == plain[DAYS[-1]]
    assert os.path.lexists(latest)


@pytest.mark.postgres
def test_a_packed_copy_goes_onto_a_server(file: Path, plain: dict[str, bytes], server_store: Store) -> None:
    path = pack_older(file)[0]
    restore_on_server(server_store.location, path)
    with server_store.reading() as connection:
        assert sorted(one.content for one in find_all(connection, Setting)) == KEPT[2]
    assert gzip.decompress(path.read_bytes()) == plain[DAYS[2]]
