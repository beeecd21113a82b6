"""The yard that a process of its own reckons while the screens load: it says what is said here, and nothing that is past."""

from __future__ import annotations

import asyncio
import os
import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import settled
from wearlog.logbook.farm.farm_setting import change_settings
from wearlog.logbook.open_log import Store, opened
from wearlog.present.yard.yard_glance_page import YardPage
from wearlog.tui import ahead as reckoning_ahead
from wearlog.tui.ahead import Ahead, reckon_ahead
from wearlog.tui.app import Screens
from wearlog.tui.door import Door
from wearlog.tui.questions.farm import glance, make_ready, yard
from wearlog.tui.screens.farm.yard import YardScreen


@pytest.fixture
def begun(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> Iterator[Ahead]:
    """A process that reckons the small farm."""
    monkeypatch.setattr(reckoning_ahead, "processors", lambda: 2)
    ahead = reckon_ahead(small_farm)
    assert ahead is not None
    yield ahead
    ahead.end()


def said(page: YardPage) -> dict[str, Any]:
    """A page as a person reads it, its machines cell by cell."""
    words = {one.name: getattr(page, one.name) for one in fields(page) if one.name != "machines"}
    sheet = page.machines
    return words | {"machines": [(sheet.key_of(row), sheet.forms(row), sheet.shouts(row)) for row in sheet.rows]}


def name_the_farm(log: str, name: str) -> None:
    with opened(log) as store:
        change_settings(store, {"farm_name": name})


def test_it_tells_what_is_reckoned_here(small_farm: str, begun: Ahead) -> None:
    here, there = Door(small_farm), Door(small_farm, begun)
    for question in (glance, yard):
        assert said(question(there)) == said(question(here))
    assert not there.is_told_ahead
    assert there.farm_now() == here.farm_now()
    assert make_ready(there)
    here.close()
    there.close()


def test_what_was_entered_here_meanwhile_is_in_the_yard(small_farm: str, begun: Ahead) -> None:
    door = Door(small_farm, begun)
    assert glance(door).title == "The yard"
    change_settings(door.log, {"farm_name": "Upland"})
    assert yard(door).title == "Upland"
    door.close()


def test_what_another_entered_meanwhile_is_shown_as_soon_as_all_is_loaded(small_farm: str, begun: Ahead) -> None:
    door = Door(small_farm, begun)
    glance(door)
    assert yard(door).title == "The yard"
    name_the_farm(small_farm, "Upland")
    assert not make_ready(door)
    assert yard(door).title == "Upland"
    # told once: now it is read here
    assert make_ready(door)
    door.close()


def test_the_yard_is_shown_anew_where_the_log_is_another_by_then(small_farm: str, begun: Ahead) -> None:
    page = begun.page

    def entered_elsewhere_behind_it(wanted: str) -> Any:
        found = page(wanted)
        if wanted == "yard":
            name_the_farm(small_farm, "Upland")
        return found

    begun.page = entered_elsewhere_behind_it  # type: ignore[method-assign]
    screens = Screens(small_farm, begun)

    async def run() -> None:
        async with screens.run_test(size=(80, 24)) as pilot:
            await titled(screens, pilot, "Upland")

    asyncio.run(run())
    screens.gateway.close()


async def titled(screens: Screens, pilot: Pilot[None], name: str) -> None:
    """Wait until the yard is that of a farm of this name."""
    found = ""
    for _ in range(50):
        await settled(pilot)
        screen = screens.screen
        assert isinstance(screen, YardScreen)
        found = screen.page.title if screen.page is not None else ""
        if found == name:
            return
    raise AssertionError(found)


def test_where_it_comes_to_no_end_the_question_is_answered_here(small_farm: str, begun: Ahead) -> None:
    os.kill(begun._pid, 9)
    door = Door(small_farm, begun)
    assert "FIRST" not in glance(door).answer
    assert yard(door).title == "The yard"
    door.close()


def test_no_log_is_told_as_ever(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from wearlog.errors import NotFoundError

    monkeypatch.setattr(reckoning_ahead, "processors", lambda: 2)
    nowhere = str(tmp_path / "none.db")
    door = Door(nowhere, reckon_ahead(nowhere))
    with pytest.raises(NotFoundError):
        glance(door)


def test_a_log_that_somebody_holds_is_waited_for_once(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from wearlog.errors import ConflictError
    from wearlog.store import engine

    monkeypatch.setattr(reckoning_ahead, "processors", lambda: 2)
    monkeypatch.setattr(engine, "BUSY_SECONDS", 2)
    with closing(sqlite3.connect(small_farm, isolation_level=None)) as held:
        held.execute("BEGIN EXCLUSIVE")
        ahead = reckon_ahead(small_farm)
        # whoever asks has more patience here, so that it is seen who waited
        monkeypatch.setattr(engine, "BUSY_SECONDS", 60)
        door = Door(small_farm, ahead)
        begun = time.monotonic()
        with pytest.raises(ConflictError, match="in use by another program"):
            glance(door)
        assert time.monotonic() - begun < 30
    # and once it is free the next question is answered here
    assert yard(door).title == "The yard"
    door.close()


def test_the_process_is_gone_when_it_has_told_all(small_farm: str, begun: Ahead) -> None:
    pid = begun._pid
    door = Door(small_farm, begun)
    glance(door)
    yard(door)
    make_ready(door)
    with pytest.raises(ChildProcessError):
        os.waitpid(pid, 0)
    door.close()


def test_who_closes_the_screens_waits_for_no_reckoning(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def takes_long(location_text: str, out: object) -> None:
        time.sleep(60)

    monkeypatch.setattr(reckoning_ahead, "processors", lambda: 2)
    monkeypatch.setattr(reckoning_ahead, "_reckon", takes_long)
    door = Door(small_farm, reckon_ahead(small_farm))
    found: list[YardPage | None] = []
    waiting = threading.Thread(target=lambda: found.append(door.told_ahead("glance")))
    waiting.start()
    time.sleep(0.3)
    begun = time.monotonic()
    door.close()
    waiting.join(10)
    assert time.monotonic() - begun < 10
    assert found == [None]


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
def test_the_screens_are_closed_at_once_while_their_yard_is_reckoned(
    key: str, small_farm: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reckoning_ahead, "processors", lambda: 2)
    monkeypatch.setattr(reckoning_ahead, "_reckon", lambda location_text, out: time.sleep(60))
    screens = Screens(small_farm, reckon_ahead(small_farm))
    begun = [0.0]

    async def run() -> None:
        async with screens.run_test(size=(80, 24)) as pilot:
            await pilot.pause(0.5)
            begun[0] = time.monotonic()
            await pilot.press(key)
            while screens.is_running and time.monotonic() - begun[0] < 10:
                await asyncio.sleep(0.1)

    # it ends when all threads have
    asyncio.run(run())
    assert time.monotonic() - begun[0] < 10
    # nor is it reckoned here
    assert screens.gateway.door._log is None


def test_the_process_does_not_outlive_the_screens_however_they_ended(
    small_farm: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reckoning_ahead, "processors", lambda: 2)
    monkeypatch.setattr(reckoning_ahead, "_reckon", lambda location_text, out: time.sleep(60))
    ahead = reckon_ahead(small_farm)
    assert ahead is not None
    begun = time.monotonic()
    # as the system does for who was killed
    ahead._told.close()
    os.waitpid(ahead._pid, 0)
    assert time.monotonic() - begun < 10


def test_one_processor_reckons_one_thing_after_the_other(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reckoning_ahead, "processors", lambda: 1)
    assert reckon_ahead(small_farm) is None


def test_a_log_on_a_server_is_told_ahead_as_well(server_store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reckoning_ahead, "processors", lambda: 2)
    assert server_store.location.url is not None
    place = server_store.location.url.replace("+psycopg", "")
    with opened(place) as store:
        change_settings(store, {"farm_name": "Upland"})
    here, there = Door(place), Door(place, reckon_ahead(place))
    for question in (glance, yard):
        assert said(question(there)) == said(question(here))
    # the other process told it: nothing was opened here
    assert there._log is None
    name_the_farm(place, "Lowland")
    assert not make_ready(there)
    assert yard(there).title == "Lowland"
    here.close()
    there.close()
