"""The device's name belongs to the machine, what is written for it is private, and where a log should not lie is told once."""

from __future__ import annotations

import json
import stat
from pathlib import Path

import pytest

from wearlog import settings
from wearlog.facts.bookkeeping import Setting
from wearlog.settings import data_folder, device_name, load_preferences
from wearlog.store import location
from wearlog.store.ledger import Entry, record
from wearlog.store.location import risk_of, told_once
from wearlog.store.opening import Store, open_store


def test_a_name_copied_with_the_log_from_another_machine_is_not_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("WEARLOG_DEVICE")
    monkeypatch.setattr(settings, "_machine", lambda: "first")
    name = device_name()
    assert device_name() == name
    monkeypatch.setattr(settings, "_machine", lambda: "second")
    other = device_name()
    assert other != name
    assert device_name() == other


def test_a_name_of_an_earlier_wearlog_stays(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("WEARLOG_DEVICE")
    data_folder().mkdir(parents=True)
    data_folder().joinpath("device.json").write_text('{"device": "cab 1", "location": ""}')
    monkeypatch.setattr(settings, "settings_folder", lambda: tmp_path / "config")
    assert device_name() == "cab 1"


def test_what_belongs_to_the_machine_is_private(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("WEARLOG_DEVICE")
    device_name()
    file = data_folder() / "device.json"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    assert json.loads(file.read_text())["device"] == load_preferences().device


@pytest.mark.parametrize("mark", [".my-sync", "farm (conflict 2026-08-14).db"])
def test_a_folder_that_is_kept_the_same_elsewhere_is_told_once(
    mark: str, file_store: Store, capsys: pytest.CaptureFixture[str]
) -> None:
    file = file_store.location.file
    assert file is not None
    assert risk_of(file) == ""
    file.parent.joinpath(mark).touch()
    with file_store.writing() as connection:
        record(connection, device="shop", said="note", entries=[Entry(Setting(key="x", content="y"))])
    (told,) = file_store.to_tell()
    assert told.startswith(f"{file} lies in a folder that another program keeps the same on several machines. ")
    assert told_once(file) == ""
    again = open_store(file_store.location)
    assert again.to_tell() == ()
    again.close()


def test_a_folder_that_a_program_calls_its_own_is_known_by_its_name(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    marked, named, plain = (tmp_path / name / "farm" / "farm.db" for name in ("Cloudbarn", "Skyshed - Farm", "Papers"))
    for file in (marked, named, plain):
        file.parent.mkdir(parents=True)
        file.touch()
        assert risk_of(file) == ""
    (tmp_path / "Cloudbarn" / ".cloudbarn").touch()
    (tmp_path / "Papers" / ".paperclip").touch()
    monkeypatch.setenv("SkyshedOffice", str(tmp_path / "Skyshed - Farm"))
    monkeypatch.setenv("PaperSize", "a4")
    for file in (marked, named):
        assert risk_of(file).startswith(
            f"{file} lies in a folder that another program keeps the same on several machines."
        )
    assert risk_of(plain) == ""


def test_a_network_share_is_told(file_store: Store, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    file = file_store.location.file
    assert file is not None
    mounts = tmp_path / "mounts"
    mounts.write_text(f"disk / ext4 rw 0 0\nshop:/farm {tmp_path} nfs4 rw 0 0\n")
    monkeypatch.setattr(location, "_MOUNTS", mounts)
    assert risk_of(file).startswith(f"{file} lies on a network share. ")


def test_functions_of_a_stranger_s_schema_are_not_trusted(file_store: Store) -> None:
    with file_store.reading() as connection:
        assert connection.exec_driver_sql("PRAGMA trusted_schema").scalar() == 0
