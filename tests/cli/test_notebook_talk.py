"""A notebook gone through at the keyboard: what cannot be taken is asked again, one answer settles many, a no saves nothing."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.running import Ran, Wearlog
from tests.cli.test_asking import Keyboard
from tests.small_farm import SmallFarm
from wearlog.facts.wearing import Breakage
from wearlog.store.finding import find_all
from wearlog.store.journal import last_deed

HEAD = "Date,Header,Item,Pos,Why\n"


@pytest.fixture
def talk(own: Wearlog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    """The command on a notebook of these rows, with these lines typed."""
    monkeypatch.setattr("wearlog.cli.options.machine_now", lambda: datetime(2026, 8, 20, 21, tzinfo=UTC))

    def ran(rows: str, *typed: str) -> Ran:
        (tmp_path / "book.csv").write_text(f"{HEAD}{rows}", "utf-8")
        monkeypatch.setattr("sys.stdin", Keyboard("".join(f"{one}\n" for one in typed)))
        return own("notebook", str(tmp_path / "book.csv"))

    return ran


def broken(farm: SmallFarm) -> list[tuple[int, ...]]:
    with farm.store.reading() as connection:
        return sorted(one.positions for one in find_all(connection, Breakage))


TWO_OPEN = "8/14/2026,North,section,,stone\n8/15/2026,North,section,,rock\n8/16/2026,North,section,90,rock\n"


def test_what_cannot_be_taken_is_told_and_asked_again(talk: Wearlog, file_farm: SmallFarm) -> None:
    ran = talk(TWO_OPEN, "Whom", "Why", "gravel", "Why=cause", "", "yes", "41", "42", "y")
    assert (ran.code, ran.out.splitlines()[0]) == (
        0,
        "Saved 3 of 3 rows as one entry; 'wearlog undo' takes it back.",
    )
    assert "No column is called 'Whom'." in ran.err
    assert "A column holds day, time, year, machine," in ran.err
    assert "'yes' does not answer 'Which of the 160: no position is named.' Write what it is, or 'skip'." in ran.err
    assert broken(file_farm) == [(41,), (42,), (90,)]


def test_one_answer_with_a_star_settles_all_that_ask_the_same(talk: Wearlog, file_farm: SmallFarm) -> None:
    ran = talk(TWO_OPEN, "", "7*", "y")
    assert len(re.findall(r"Your answer", ran.err)) == 1
    assert broken(file_farm) == [(7,), (7,), (90,)]


def test_later_leaves_all_rows_that_are_open_and_skip_leaves_one_out(talk: Wearlog, file_farm: SmallFarm) -> None:
    ran = talk(TWO_OPEN, "", "later", "y")
    assert "2 rows to ask about." in ran.err
    assert "1 row to save, 2 to ask about" in ran.err
    assert broken(file_farm) == [(90,)]
    ran = talk(TWO_OPEN, "", "skip", "42", "y")
    assert broken(file_farm) == [(42,), (90,)]


def test_a_no_at_the_end_saves_nothing_and_keeps_nothing(talk: Wearlog, file_farm: SmallFarm) -> None:
    with file_farm.store.reading() as connection:
        before = last_deed(connection, file_farm.store.device)
    ran = talk("8/14/2026,East,section,12,stone\n", "Why=note", "Why=cause", "", "header 35 ft", "y", "n")
    assert "Machine 'East' is not there (1 row)." in ran.err
    assert ran.err.endswith("Nothing was saved.\n")
    with file_farm.store.reading() as connection:
        assert last_deed(connection, file_farm.store.device) == before


def test_a_name_may_be_one_that_is_there(talk: Wearlog, file_farm: SmallFarm) -> None:
    ran = talk("8/14/2026,the wide one,section,12,stone\n", "", "what it is", "north", "y")
    assert "'what it is' is not read. y makes it, Enter leaves it for later." in ran.err
    assert broken(file_farm) == [(12,)]


def test_flags_and_yes_are_never_asked(own: Wearlog, talk: Wearlog, tmp_path: Path, file_farm: SmallFarm) -> None:
    (tmp_path / "book.csv").write_text(f"{HEAD}{TWO_OPEN}", "utf-8")
    for words in (("--yes",), ("--column", "Why=cause", "--dry-run")):
        assert "Which column is wrong" not in own("notebook", str(tmp_path / "book.csv"), *words).err
    assert broken(file_farm) == [(90,)]
