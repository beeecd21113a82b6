"""Two cabs on the screens: pack, take in what was looked at first, settle what was changed apart, join what was entered twice."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import play, press, screen_text, settled
from tests.tui.writing import Text, enter
from wearlog.exchange.bundles import pack
from wearlog.facts.closed_lists import Doing, MachineKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.work import Field
from wearlog.logbook.open_log import open_log
from wearlog.present.tables import CUT
from wearlog.store.finding import find_all
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.tui.app import Screens

ACRE = 4046.8564224


@contextmanager
def opened(file: str, device: str = "cab 2") -> Iterator[Store]:
    store = open_log(file)
    store.device = device
    yield store
    store.close()


def rows(file: str, fact_type: type[Any]) -> list[Any]:
    with opened(file) as store, store.reading() as connection:
        return find_all(connection, fact_type)


def write(store: Store, said: str, *entries: Entry | Fact) -> None:
    with store.writing() as connection:
        all_entries = [one if isinstance(one, Entry) else Entry(one) for one in entries]
        record(connection, device=store.device, said=said, entries=all_entries)


def edit_field(store: Store, acres: int) -> None:
    with store.reading() as connection:
        (field,) = find_all(connection, Field)
    changed = replace(field, area_square_metres=int(acres * ACRE))
    write(store, f"changed Long quarter to {acres} ac", Entry(changed, Doing.EDITED))


def words_on(screens: Screens) -> str:
    return " ".join(screen_text(screens).split())


@pytest.fixture
def stick(small_farm: str, tmp_path: Path) -> Path:
    """Where the other cab packed: it changed the field that this one changed as well, and began a combine of its own."""
    other = str(tmp_path / "other.db")
    shutil.copyfile(small_farm, other)
    folder = tmp_path / "stick"
    folder.mkdir()
    with opened(small_farm, "cab 1") as store:
        edit_field(store, 158)
    with opened(other) as store:
        edit_field(store, 157)
        write(store, "added the combine Kestrel", Machine(name="Kestrel", kind=MachineKind.COMBINE))
        pack(store, folder / "wearlog.bundle")
    return folder


async def take_in(pilot: Pilot[None], stick: Path) -> None:
    await enter(pilot, "j", "down", "enter", Text(str(stick)), "enter", "enter", "home")


def test_a_bundle_is_looked_at_first_and_then_taken_whole(small_farm: str, stick: Path) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "j")
        assert "Nothing is to be settled, joined or mended." in words_on(screens)
        await enter(pilot, "down", "enter", Text(str(stick)), "enter")
        assert "from 'cab 2': 2 entries, 1 touches the same part" in words_on(screens)
        assert "changed Long quarter to 157 ac" in words_on(screens)
        assert len(rows(small_farm, Machine)) == 3, "nothing is taken before that was seen"
        await enter(pilot, "enter")
        assert "Taken in: 2 entries. 1 row to settle, 1 thing looks entered twice, 1 to mend." in words_on(screens)
        assert len(rows(small_farm, Machine)) == 4
        await enter(pilot, "enter", "enter")
        assert "Nothing new: all that 'cab 2' packed is in this log already." in words_on(screens)

    play(small_farm, steps)


@pytest.mark.parametrize("size", [(46, 20), (80, 24)])
def test_what_was_changed_apart_stands_side_by_side_and_one_side_is_kept(
    small_farm: str, stick: Path, size: tuple[int, int]
) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await take_in(pilot, stick)
        await enter(pilot, "down", "down")
        told = "changed Long changed Long" if size[0] < 60 else "changed Long quarter to 157 ac"
        assert "1 cab 2 2 cab 1 entered" in words_on(screens)
        assert f"area 157.0 ac 158.0 ac it said {told}" in words_on(screens)
        await enter(pilot, "enter")
        assert f"area 157.0 ac 158.0 ac it said {told}" in words_on(screens)
        assert CUT not in screen_text(screens)
        assert "keep 1: 'cab 2' (shown now)" in words_on(screens)
        await enter(pilot, "down", "enter")
        assert "Settled a field that was changed apart: as 'cab 1' said. Both stay in the history." in words_on(screens)
        assert "1 thing looks entered twice, 1 to mend." in words_on(screens)
        assert [round(one.area_square_metres / ACRE) for one in rows(small_farm, Field)] == [158]
        await enter(pilot, "u")
        assert [round(one.area_square_metres / ACRE) for one in rows(small_farm, Field)] == [157], (
            "as it was shown before"
        )

    play(small_farm, steps, size)


@pytest.mark.parametrize("size", [(46, 20), (80, 24)])
def test_what_was_entered_twice_is_joined_and_parted_or_kept_apart(
    small_farm: str, stick: Path, size: tuple[int, int]
) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await take_in(pilot, stick)
        await enter(pilot, "down", "down", "down", "enter")
        assert "one thing: join them" in words_on(screens)
        assert "two things: offer them no more" in words_on(screens)
        assert "joined into what was entered first: 1 machine" in words_on(screens)
        await enter(pilot, "enter")
        assert "Joined two entries of the machine Kestrel into one. u parts them again." in words_on(screens)
        assert len(rows(small_farm, Machine)) == 3
        await enter(pilot, "u")
        assert len(rows(small_farm, Machine)) == 4
        await press(pilot, "escape")
        # what a person parted is offered no more, but it still is to be mended: two machines of one name
        await enter(pilot, "j", "end")
        assert "There is another machine 'Kestrel'." in words_on(screens)

    play(small_farm, steps, size)


def test_two_things_are_said_to_be_two_once(small_farm: str, stick: Path) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await take_in(pilot, stick)
        await enter(pilot, "down", "down", "down", "enter", "down", "enter")
        assert "are two things. u undoes." in words_on(screens)
        assert "1 row to settle, 1 to mend." in words_on(screens)

    play(small_farm, steps)


def test_packing_into_a_folder_takes_the_usual_name_and_the_screens_remember_the_stick(
    small_farm: str, tmp_path: Path
) -> None:
    folder = tmp_path / "stick"
    folder.mkdir()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "j", "enter", Text(str(folder)), "enter")
        assert (folder / "wearlog.bundle").exists()
        await enter(pilot, "enter")
        assert f"Enter saves: all of this log into {folder}" in words_on(screens)
        await enter(pilot, "ctrl+s")
        await settled(pilot)
        assert "in place of an older bundle" in words_on(screens)

    play(small_farm, steps, (120, 40))


def test_what_cannot_be_taken_in_is_said_under_the_question(small_farm: str, tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "j", "down", "enter", "enter")
        assert "No file is named." in words_on(screens)
        await enter(pilot, Text(str(empty)), "enter")
        assert "Pack one on the other laptop first." in words_on(screens)
        (empty / "a.bundle").write_bytes(b"no bundle")
        await enter(pilot, "enter")
        assert "cut short or damaged. Nothing was taken." in words_on(screens)

    play(small_farm, steps, (120, 40))
