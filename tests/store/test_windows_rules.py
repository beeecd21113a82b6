"""Backup, restore, upgrade and moving under the rules that another system has for files."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.dumping import load
from tests.store.test_backup import contents, note
from tests.windows_rules import Rules, open_files, rules
from wearlog.disk import HeldError, bring_names_to_disk, bring_to_disk, put_folder_in_place, put_in_place, take_away
from wearlog.errors import NotFoundError
from wearlog.logbook.farm.first_day import open_or_start
from wearlog.settings import write_private
from wearlog.store.backup import CopyFailedError, copy_log, daily_backup
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location, backups, logs_put_aside
from wearlog.store.migrate import upgrade
from wearlog.store.opening import create_store, open_store
from wearlog.store.restoring import change_counter, restore

__all__ = ["rules"]


@pytest.fixture
def log(tmp_path: Path, rules: Rules) -> Path:
    """A log made and written under the rules, with a copy that holds 'good' and 'later' in the log; nobody has it open."""
    store = create_store(Location(file=tmp_path / "farm" / "log.db"))
    file = store.location.file
    assert file is not None
    note(store, "good")
    copy_log(file, tmp_path / "copy.db")
    note(store, "later")
    store.close()
    return file


def in_order(file: Path) -> bool:
    store = open_store(Location(file=file))
    try:
        return not inspect_log(store).problems
    finally:
        store.close()


def test_the_rules_hold_as_the_other_system_has_them(tmp_path: Path, rules: Rules) -> None:
    held, free = tmp_path / "held", tmp_path / "free"
    free.write_bytes(b"free")
    with held.open("wb") as opened:
        opened.write(b"held")
        assert str(held) in open_files()
        with pytest.raises(PermissionError):
            free.replace(held)
        with pytest.raises(PermissionError):
            held.unlink()
        with pytest.raises(HeldError, match="held is open in another program"):
            put_in_place(free, held)
        with pytest.raises(HeldError):
            take_away(held)
    with pytest.raises(FileExistsError):
        free.rename(held)
    put_in_place(free, held)
    assert held.read_bytes() == b"free"
    bring_to_disk(held)
    bring_names_to_disk(tmp_path)


def test_a_folder_that_cannot_take_its_name_leaves_the_earlier_one(tmp_path: Path, rules: Rules) -> None:
    part, folder = tmp_path / "new.part", tmp_path / "orders"
    for one, words in ((part, "new"), (folder, "earlier")):
        one.mkdir()
        (one / "order.csv").write_text(words, "utf-8")
    rules.refuse = {2}
    with pytest.raises(HeldError):
        put_folder_in_place(part, folder)
    assert (folder / "order.csv").read_text("utf-8") == "earlier"
    rules.refuse.clear()
    put_folder_in_place(part, folder)
    assert (folder / "order.csv").read_text("utf-8") == "new"
    assert [one.name for one in tmp_path.iterdir() if one.is_dir()] == ["orders"]


def test_the_first_entry_of_a_day_makes_the_backup(tmp_path: Path, rules: Rules) -> None:
    store = create_store(Location(file=tmp_path / "log.db"))
    note(store, "today")
    assert store.trouble == ""
    assert len(backups(tmp_path / "log.db")) == 1
    store.close()


def test_a_backup_that_somebody_holds_costs_the_backup_and_not_the_entry(tmp_path: Path, rules: Rules) -> None:
    file = tmp_path / "log.db"
    store = create_store(Location(file=file))
    rules.refuse = {len(rules.replaced) + 1}
    note(store, "kept all the same")
    assert "is open in another program" in store.trouble
    assert "kept all the same" in contents(file)
    rules.refuse.clear()
    assert daily_backup(file) is not None
    store.close()


def test_restore_puts_the_copy_in_place_and_keeps_the_old_log(log: Path, tmp_path: Path, rules: Rules) -> None:
    kept = restore(log, tmp_path / "copy.db")
    assert kept is not None
    assert "later" in contents(kept)
    assert "later" not in contents(log)
    assert in_order(log)


def test_an_open_window_refuses_the_restore_and_the_log_stays(log: Path, tmp_path: Path, rules: Rules) -> None:
    window = open_store(Location(file=log))
    with window.reading() as connection:
        connection.exec_driver_sql("SELECT count(*) FROM setting").scalar()
        with pytest.raises(HeldError, match=r"log\.db is open in another program") as refused:
            restore(log, tmp_path / "copy.db")
    assert "Close the other wearlog windows" in refused.value.hint
    window.close()
    assert "later" in contents(log)
    assert logs_put_aside(log) == []


@pytest.mark.parametrize("journal", [False, True])
@pytest.mark.parametrize("links", [False, True])
@pytest.mark.parametrize("refused", [1, 2, 3, 4])
def test_a_restore_refused_at_any_step_leaves_the_log_as_it_was(
    log: Path,
    tmp_path: Path,
    rules: Rules,
    monkeypatch: pytest.MonkeyPatch,
    *,
    refused: int,
    journal: bool,
    links: bool,
) -> None:
    before = log.read_bytes()
    if journal:
        log.with_name("log.db-wal").write_bytes(b"left over by a crash")
    if not links:

        def no_links(*_: object) -> None:
            raise OSError(1, "Operation not permitted")

        monkeypatch.setattr("os.link", no_links)
    start = len(rules.replaced)
    rules.refuse = {start + refused}
    try:
        restore(log, tmp_path / "copy.db")
    except (HeldError, CopyFailedError):
        assert log.read_bytes() == before
        assert log.with_name("log.db-wal").exists() is journal
        assert logs_put_aside(log) == []
    else:
        assert len(rules.replaced) - start < refused, "the refused step was reached and nothing was told"
        assert "later" not in contents(log)
    assert not list(log.parent.glob("*.part"))


def test_restoring_in_the_place_of_an_unchanged_log_knows_that_it_is_unchanged(
    log: Path, tmp_path: Path, rules: Rules
) -> None:
    assert restore(log, tmp_path / "copy.db", unchanged_since=change_counter(log)) is not None
    assert "later" not in contents(log)


def test_an_upgrade_goes_through_and_keeps_the_old_log(tmp_path: Path, rules: Rules) -> None:
    file = tmp_path / "log.db"
    load("0001", file)
    kept = upgrade(Location(file=file))
    assert kept is not None
    assert kept.exists()
    assert in_order(file)


def test_no_new_log_is_begun_where_copies_of_one_lie(log: Path, tmp_path: Path, rules: Rules) -> None:
    copy_log(log, log.with_name("log.db-backups") / "2026-01-01.db")
    log.unlink()
    with pytest.raises(NotFoundError, match=r"there are copies of it: \d{4}-\d\d-\d\d and 1 more"):
        open_or_start(Location(file=log))


def test_private_text_is_the_same_bytes_on_every_system(tmp_path: Path, rules: Rules) -> None:
    write_private(tmp_path / "settings.json", "one\ntwo ±\n")
    assert (tmp_path / "settings.json").read_bytes() == "one\ntwo ±\n".encode()
