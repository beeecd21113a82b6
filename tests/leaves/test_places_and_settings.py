"""Where things lie on a machine, and what a device remembers of itself."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from wearlog import settings
from wearlog.errors import NotFoundError
from wearlog.settings import (
    Preferences,
    data_folder,
    default_file,
    device_name,
    load_preferences,
    save_preferences,
    shipped,
)
from wearlog.store.location import Location, locate


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """The folder that WEARLOG_HOME names in every test."""
    return tmp_path / "home"


def test_the_usual_file_lies_in_the_folder_that_wearlog_home_names(home: Path) -> None:
    assert (data_folder(), default_file()) == (home, home / "farm.db")


def test_without_wearlog_home_the_system_says_where(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("WEARLOG_HOME")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr("sys.platform", "linux")
    assert default_file() == tmp_path / "data" / "wearlog" / "farm.db"


def test_what_was_shipped_is_found_in_the_source_tree() -> None:
    root = Path(settings.__file__).parents[1]
    assert (shipped("migrations"), shipped("demo_fleet")) == (root / "migrations", root / "demo_fleet")


def test_what_was_shipped_is_found_in_an_installation_first(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The wheel carries it inside the package under another name; a stray folder beside the package is not taken for it."""
    inside = tmp_path / "wearlog" / "_migrations"
    inside.mkdir(parents=True)
    tmp_path.joinpath("migrations").mkdir()
    monkeypatch.setattr(settings, "__file__", str(tmp_path / "wearlog" / "settings.py"))
    assert shipped("migrations") == inside


def test_an_incomplete_installation_says_so() -> None:
    with pytest.raises(NotFoundError) as raised:
        shipped("no_such_folder")
    assert raised.value.message == "The folder 'no_such_folder' that belongs to the program is missing."
    assert raised.value.hint == "Install wearlog again."


def test_a_device_remembers_its_name_and_its_file(home: Path) -> None:
    """Writing makes the folder, replaces the file whole and leaves nothing beside it."""
    save_preferences(Preferences(device="cab", location="first"))
    save_preferences(Preferences(device="cab", location="postgresql://shed/farm"))
    assert load_preferences() == Preferences(device="cab", location="postgresql://shed/farm")
    assert [file.name for file in home.iterdir()] == ["device.json"]


@pytest.mark.parametrize("kept", [None, b"", b"{", b"[1]", b"\xff\xfe", b'"cab"'])
def test_preferences_that_are_missing_or_spoilt_are_the_usual_ones(home: Path, kept: bytes | None) -> None:
    home.mkdir()
    if kept is not None:
        home.joinpath("device.json").write_bytes(kept)
    assert load_preferences() == Preferences(device="", location="")


def test_preferences_of_a_newer_program_are_read_as_far_as_known(home: Path) -> None:
    home.mkdir()
    home.joinpath("device.json").write_text(json.dumps({"device": "cab", "theme": "dark"}), "utf-8")
    assert load_preferences() == Preferences(device="cab", location="")


def test_the_device_is_named_by_the_environment_first(monkeypatch: pytest.MonkeyPatch) -> None:
    save_preferences(Preferences(device="cab"))
    assert device_name() == "shop"
    monkeypatch.setenv("WEARLOG_DEVICE", "  ")
    assert device_name() == "cab"


def test_a_name_is_made_up_once_and_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    """The rest of the preferences stays."""
    monkeypatch.delenv("WEARLOG_DEVICE")
    save_preferences(Preferences(location="farm.db"))
    made = device_name()
    assert re.fullmatch("device-[0-9a-f]{6}", made)
    assert device_name() == made
    assert load_preferences() == Preferences(device=made, location="farm.db")


def test_a_home_that_cannot_be_written_still_gives_a_name(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("WEARLOG_DEVICE")
    tmp_path.joinpath("file").write_text("", "utf-8")
    monkeypatch.setenv("WEARLOG_HOME", str(tmp_path / "file" / "home"))
    assert re.fullmatch("device-[0-9a-f]{6}", device_name())


def test_the_log_is_what_was_named_else_the_environment_else_the_preference_else_the_usual(
    monkeypatch: pytest.MonkeyPatch, home: Path
) -> None:
    assert locate() == Location(file=home / "farm.db")
    save_preferences(Preferences(location="kept.db"))
    assert locate() == Location(file=Path("kept.db"))
    monkeypatch.setenv("WEARLOG_DB", "set.db")
    assert locate() == Location(file=Path("set.db"))
    assert locate("named.db") == Location(file=Path("named.db"))


def test_a_tilde_is_the_home_of_the_person(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    assert locate("~/farm.db") == Location(file=tmp_path / "farm.db")


@pytest.mark.parametrize(
    ("named", "driver"),
    [
        ("postgresql://shed/farm", "postgresql+psycopg://shed/farm"),
        ("postgres://ann@shed:5433/farm", "postgresql+psycopg://ann@shed:5433/farm"),
        ("postgresql:///farm", "postgresql+psycopg:///farm"),
        ("postgresql:///?service=farm", "postgresql+psycopg:///?service=farm"),
    ],
)
def test_a_server_is_named_by_its_address(named: str, driver: str) -> None:
    """With a host, or without one: this machine's own server, or an entry of PGSERVICE."""
    place = locate(named)
    assert place == Location(url=driver)
    assert place.name == named.replace("postgres:", "postgresql:")
