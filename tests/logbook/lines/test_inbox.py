"""Notes brought in a line at a time: days above the lines, nothing twice, nothing as of now in silence."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from tests.logbook.plain_line.said_lines import NOW
from wearlog.errors import UsageError
from wearlog.facts.bookkeeping import OutsideLine
from wearlog.facts.machines import Reading
from wearlog.facts.wearing import Breakage
from wearlog.logbook.files.undo import undo
from wearlog.logbook.lines.inbox import (
    Inbox,
    InboxState,
    day_said,
    heading_day,
    heard_again,
    note_lines,
    read_inbox,
    take_line,
)
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

_NOTE = """
Friday Aug 14 2026
kestrel sections 44-46 rock, 40 min
- 16.20 merlin section 33 rock
juniper cut 60 ac on homeplace with kestrel 5 h

== aug 15 ==
greased plover
wren thingy broke
Merlin:
guard 12 bent straightened
"""


def _read(store: Store, text: str, source: str = "note.txt", **named: date) -> Inbox:
    return read_inbox(store, [(source, text)], NOW, **named)


def _take_all(store: Store, inbox: Inbox) -> int:
    new = inbox.of(InboxState.NEW)
    for line in new:
        take_line(store, line, line.heard, NOW)
    return len(new)


def _states(inbox: Inbox) -> list[str]:
    return [line.state.value for line in inbox.lines]


def test_lines_have_the_day_above_them_and_the_times_that_they_say(demo_store: Store) -> None:
    inbox = _read(demo_store, _NOTE)
    assert _states(inbox) == ["new", "new", "new", "new", "asked", "new"]
    at = [line.heard.entries[0].at.astimezone(NOW.tzinfo) for line in inbox.of(InboxState.NEW)]
    assert [f"{one:%m-%d %H:%M}" for one in at] == [
        "08-14 12:00",
        "08-14 16:20",
        "08-14 12:00",
        "08-15 12:00",
        "08-15 12:00",
    ]
    assert "time" in inbox.lines[0].heard.assumed
    assert "at" not in inbox.lines[0].heard.assumed


def test_a_machine_before_a_colon_is_that_of_the_lines_below(demo_store: Store) -> None:
    line = _read(demo_store, _NOTE).lines[-1]
    assert line.heard.entries[0].machine is not None
    assert (line.heard.entries[0].machine.name, line.heard.assumed[0]) == ("Merlin", "machine")


def test_each_line_is_a_deed_and_none_is_brought_in_again(demo_store: Store) -> None:
    assert _take_all(demo_store, _read(demo_store, _NOTE)) == 5
    again = _read(demo_store, _NOTE)
    assert _states(again) == ["known", "known", "known", "known", "asked", "known"]
    with demo_store.reading() as connection:
        kept = find_all(connection, OutsideLine)
        broke = {one.id for one in find_all(connection, Breakage)}
    assert len(kept) == 5
    assert set(next(one for one in kept if "44-46" in one.said).row_ids) & broke


def test_a_note_that_has_grown_or_was_put_in_order_brings_in_only_what_is_new(demo_store: Store) -> None:
    _take_all(demo_store, _read(demo_store, _NOTE))
    moved = "aug 15\ngreased  PLOVER\n" + _NOTE.replace("greased plover\n", "") + "kestrel guard 70 cracked\n"
    inbox = _read(demo_store, moved.replace("== aug 15 ==", "aug 15"))
    assert [line.note.said for line in inbox.of(InboxState.NEW)] == ["kestrel guard 70 cracked"]


def test_a_line_changed_in_the_note_is_asked_about(demo_store: Store) -> None:
    _take_all(demo_store, _read(demo_store, _NOTE))
    inbox = _read(demo_store, _NOTE.replace("sections 44-46 rock", "sections 44-47 rock"))
    assert inbox.lines[0].state is InboxState.ASKED
    assert inbox.lines[0].question == "It was 'kestrel sections 44-46 rock, 40 min' when it was brought in."


def test_the_same_line_twice_in_a_note_is_two_lines(demo_store: Store) -> None:
    inbox = _read(demo_store, "aug 14 2026\nreceived 5 tines\nreceived 5 tines\n")
    assert _take_all(demo_store, inbox) == 2
    assert _states(_read(demo_store, "aug 14 2026\nreceived 5 tines\nreceived 5 tines\nreceived 5 tines\n")) == [
        *("known", "known", "new"),
    ]


def test_a_copy_of_a_note_under_another_name_brings_nothing_in_again(demo_store: Store) -> None:
    _take_all(demo_store, _read(demo_store, _NOTE))
    assert _read(demo_store, _NOTE, "copy.txt").of(InboxState.NEW) == ()


def test_what_was_undone_may_be_brought_in_again(demo_store: Store) -> None:
    (line,) = _read(demo_store, "aug 14 2026\nkestrel guard 70 cracked\n").lines
    done = take_line(demo_store, line, line.heard, NOW)
    undo(demo_store, done.deed.id)
    assert _states(_read(demo_store, "aug 14 2026\nkestrel guard 70 cracked\n")) == ["new"]


@pytest.mark.parametrize(
    "line",
    ["kestrel guard 70 cracked", "kestrel guard 70 cracked yesterday", "kestrel guard 70 cracked at 9 this morning"],
)
def test_a_line_without_a_day_is_never_of_now_in_silence(line: str, demo_store: Store) -> None:
    (read,) = _read(demo_store, line).lines
    assert (read.state, read.no_day, read.question) == (InboxState.ASKED, True, "It says no day.")
    (given,) = _read(demo_store, line, day=date(2026, 8, 14)).lines
    assert given.state is InboxState.NEW
    assert given.heard.entries[0].at.astimezone(NOW.tzinfo).date() in (date(2026, 8, 14), date(2026, 8, 13))


def test_a_day_in_the_line_or_in_the_name_of_the_file_is_enough(demo_store: Store) -> None:
    assert _states(_read(demo_store, "aug 14 2026 kestrel guard 70 cracked")) == ["new"]
    (line,) = _read(demo_store, "kestrel guard 70 cracked", "2026-08-14 field.txt").lines
    assert (line.state, line.note.day) == (InboxState.NEW, date(2026, 8, 14))


def test_an_answer_settles_a_doubtful_line(demo_store: Store) -> None:
    inbox = _read(demo_store, "aug 14 2026\nwren thingy 4 broke\n")
    answered = heard_again(inbox, inbox.lines[0], NOW, said="wren tine 4 broke")
    assert (answered.state, answered.note.digest) == (InboxState.NEW, inbox.lines[0].note.digest)
    take_line(demo_store, answered, answered.heard, NOW)
    assert _states(_read(demo_store, "aug 14 2026\nwren thingy 4 broke\n")) == ["known"]


def test_a_meter_line_between_is_held_against_the_readings_of_its_day(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        shown = find_all(connection, Reading, meter_id=farm_meter(demo_store))
    first, second = sorted(shown, key=lambda one: one.at)[:2]
    day = (first.at + (second.at - first.at) / 2).astimezone(NOW.tzinfo).date()
    between = (first.shown_usage + second.shown_usage) / 2 / 3600
    fits, beyond = (
        _read(demo_store, f"{day.isoformat()}\njuniper engine {figure:.1f}\n").lines[0]
        for figure in (between, second.shown_usage / 3600 + 50)
    )
    assert (fits.state, fits.question) == (InboxState.NEW, "")
    assert beyond.question == f"Juniper showed only {second.shown_usage / 3600:,.1f} engine hours later."


def farm_meter(store: Store) -> object:
    """Return the id of Juniper's engine meter."""
    from wearlog.logbook.lines.line_saving import farm_words

    words = farm_words(store)
    juniper = next(one.id for one in words.vocabulary.machines if one.name == "Juniper")
    return next(one.id for one in words.meters if one.machine_id == juniper and one.kind.value == "engine_hours")


def test_what_cannot_be_saved_is_left_with_its_reason(demo_store: Store) -> None:
    (line,) = _read(demo_store, "jan 15 2026\nplover knife drive rebuilt by shop\n").lines
    with pytest.raises(UsageError, match="goes on at its age"):
        take_line(demo_store, line, line.heard, NOW)


@pytest.mark.parametrize(
    ("heading", "day"),
    [
        ("Aug 14 2026", date(2026, 8, 14)),
        ("2026-08-14", date(2026, 8, 14)),
        ("friday 14 august", date(2026, 8, 14)),
        ("dec 5", date(2025, 12, 5)),
        ("8/14", date(2026, 8, 14)),
        ("thursday", date(2026, 11, 19)),
        ("5/6", None),
        ("feb 30", None),
        ("monday aug 14 2026", None),
        ("2027-01-01", None),
    ],
)
def test_a_heading_means_the_latest_such_day_or_none(heading: str, day: date | None) -> None:
    assert heading_day(heading, NOW) == day


def test_a_heading_that_is_no_day_leaves_its_lines_to_be_asked_about(demo_store: Store) -> None:
    (line,) = _read(demo_store, "feb 30\nkestrel guard 70 cracked\n").lines
    assert (line.state, line.question) == (InboxState.ASKED, "'feb 30' above it is no day that has been.")


def test_marks_of_lists_and_ruled_lines_are_no_part_of_a_line() -> None:
    lines = note_lines("* kestrel guard 3 bent\n-----\n[x] greased wren\n3) wren guard 4 bent\n\n", "note.txt", NOW)
    assert [(line.number, line.said) for line in lines] == [
        (1, "kestrel guard 3 bent"),
        (3, "greased wren"),
        (4, "wren guard 4 bent"),
    ]


def test_the_day_a_person_gives_may_be_said_in_words() -> None:
    assert day_said("yesterday", NOW) == date(2026, 11, 19)
    assert day_said("someday", NOW) is None


@pytest.mark.parametrize(
    ("heading", "first", "second"),
    [
        ("monday", date(2026, 11, 16), date(2026, 11, 23)),
        ("aug 14", date(2026, 8, 14), date(2027, 8, 14)),
    ],
)
def test_the_same_words_under_another_such_day_are_asked_about(
    heading: str, first: date, second: date, demo_store: Store
) -> None:
    text = f"{heading}\nkestrel guard 70 cracked, 20 min\n"
    before = datetime.combine(first, time(20), NOW.tzinfo)
    after = datetime.combine(second, time(20), NOW.tzinfo)
    (line,) = read_inbox(demo_store, [("notes.txt", text)], before).lines
    take_line(demo_store, line, line.heard, before)
    assert _states(read_inbox(demo_store, [("notes.txt", text)], before)) == ["known"]
    inbox = read_inbox(demo_store, [("notes.txt", text)], after)
    assert _states(inbox) == ["asked"]
    assert inbox.lines[0].question == f"It was brought in as of {first}. Now '{heading}' above it means {second}."
    again = heard_again(inbox, inbox.lines[0], after, said=inbox.lines[0].note.said)
    assert (again.state, again.note.day) == (InboxState.NEW, second)
    take_line(demo_store, again, again.heard, after)
    assert _states(read_inbox(demo_store, [("notes.txt", text)], after)) == ["known"]
